/**
 * Word of danger: taken from anybody, of any stick and of numbers nobody knows, at any time, in any letters; and told.
 */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { tellOfUndelivered } from '../../functions/follow-up/undelivered.ts'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import { dangers as dangerous } from '../../shared-domain/state/worst-hold.ts'
import { defectKinds } from '../../shared-domain/words.ts'
import { messageOf } from '../support/mails.ts'
import { aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { everybody, furnish, type House, openHouse, type Who } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  await first.done('PUT', '/v1/sticks/S-2', { ...aStick, crewId: 'CR-2' })
  furnished = first.table.items()
})
/** 10 March 2026, ten in the morning at the depot. */
beforeEach(() => {
  house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
})

const post = (path: string, body: object, who: Who = 'bench', stickId = 'S-1') =>
  house.call('POST', `/v1/sticks/${stickId}/${path}`, body, who)
const fact = (on: string, more: object = {}) => ({ factId: randomUUID(), occurredOn: on, ...more })
const passes = (on: string, over: object = {}, stickId = 'S-1') =>
  post('bench-tests', aTest({ testedOn: day(on), ...over }), 'bench', stickId)
const stick = async (id = 'S-1') => (await house.call('GET', `/v1/sticks/${id}`)).json
const codesOf = ({ holds }: { holds: { code: string }[] }) => holds.map(({ code }) => code)
const notices = () => house.table.items().filter((item) => item.entity === 'notice')
const told = (kind?: string) =>
  notices()
    .filter((item) => kind === undefined || item.kind === kind)
    .map((item) => (item.to as { email: string }).email)
    .sort()
const managers = ['manager-2@demo-utility.example', 'manager@demo-utility.example', 'sol@demo-utility.example']

const dangers: readonly [name: string, door: string, body: object, code: string][] = [
  ['a tingle', 'defects', { kind: 'tingle' }, 'defect-reported'],
  ['an unsound look', 'condition-checks', { by: 'Ana Ferro', sound: false }, 'defect-reported'],
  ['missing', 'moves', { to: 'missing' }, 'reported-missing'],
  ['found, though nobody missed it', 'moves', { to: 'found' }, 'found-untested'],
]

describe.each(dangers)('%s', (_, door, body, code) => {
  // a test proves nothing of where a stick is: it stays missing until somebody finds it
  const staysMissing = code === 'reported-missing'

  test('of another crew’s stick is taken, tells the reporter nothing of it, and its own people all', async () => {
    await passes('2026-03-09')
    const sent = fact('2026-03-10', body)
    const reply = await post(door, sent, 'other crew')
    expect([reply.status, reply.json]).toEqual([201, { factId: sent.factId, stickId: 'S-1', recorded: true }])
    expect(codesOf(await stick())).toEqual([code])
    expect(told('hold')).toEqual(everybody)
    const again = await post(door, sent, 'other crew')
    expect([again.status, again.json]).toEqual([200, reply.json])
  })

  test.each([
    ['a day to come', { occurredOn: '2026-03-11' }, '/occurredOn'],
    ['a year to come', { occurredOn: '2062-03-10' }, '/occurredOn'],
    ['a day that does not exist', { occurredOn: '2026-02-30' }, '/occurredOn'],
    ['a day nobody can mean', { occurredOn: '0026-03-10' }, '/occurredOn'],
    ['an hour to come', { occurredOn: '2026-03-10', at: '10:05' }, '/at'],
    ['an hour that no day has', { occurredOn: '2026-03-10', at: '25:99' }, '/at'],
    ['an hour that the day left out', { occurredOn: '2026-03-08', at: '02:30' }, '/at'],
  ])('stated for %s stands at the hour of its recording, and the answer says so', async (_name, time, pointer) => {
    await passes('2026-03-10', { at: '09:40' })
    const reply = await post(door, { factId: randomUUID(), ...time, ...body }, 'crew')
    expect(reply.status).toBe(201)
    expect(reply.json.remarks).toEqual([{ pointer, text: expect.stringContaining('the hour of its recording') }])
    expect(codesOf(await stick())).toEqual([code])
    const facts = (await house.call('GET', '/v1/sticks/S-1/facts')).json.items
    expect(JSON.stringify(facts.at(-1))).toContain(time.occurredOn)
    // nothing recorded before the report, whatever hour it was stamped with, clears it
    expect((await passes('2026-03-10', { at: '09:59' })).json.stick.status).toBe('on hold')
    expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
  })

  test('of no date or hour at all is a fault: nobody could tell what was meant', async () => {
    for (const time of [{ occurredOn: 'yesterday' }, { occurredOn: '2026-03-10', at: 'noon' }])
      expect((await post(door, { factId: randomUUID(), ...time, ...body }, 'crew')).status).toBe(422)
  })

  test('in letters that cannot be shown is taken without them, and the answer says so', async () => {
    const note = 'felt it\u0000 at the\u202E joint\u0007'
    const reply = await post(door, fact('2026-03-10', { ...body, note }), 'crew')
    expect([reply.status, reply.json.remarks]).toEqual([
      201,
      [{ pointer: '/note', text: expect.stringContaining('cannot be shown') }],
    ])
    const facts = (await house.call('GET', '/v1/sticks/S-1/facts')).json.items
    expect(JSON.stringify(facts.at(-1))).toContain('felt it at the joint')
  })

  test('on a number that no stick has is kept, told to the managers, and stands at its hour once placed', async () => {
    await passes('2026-03-10', { at: '09:40' })
    const sent = fact('2026-03-10', body)
    const reply = await post(door, sent, 'other crew', 'NOT-THERE')
    expect([reply.status, reply.json.number, reply.json.recorded]).toEqual([202, 'NOT-THERE', true])
    expect(told('report')).toEqual(managers)
    expect((await post(door, sent, 'other crew', 'NOT-THERE')).status).toBe(202)
    expect((await post(door, { ...sent, note: 'other' }, 'other crew', 'NOT-THERE')).status).toBe(409)
    expect(told()).toEqual(managers)

    house.at('2026-03-10T18:00:00.000Z')
    await passes('2026-03-10', { at: '12:30' })
    const [kept] = (await house.call('GET', '/v1/unplaced-reports')).json.items
    expect(kept).toMatchObject({ factId: sent.factId, number: 'NOT-THERE', recordedBy: 'crew-2', placed: null })
    const place = (who: Who, stickId = 'S-1') =>
      house.call('POST', `/v1/unplaced-reports/${sent.factId}/place`, { stickId }, who)
    expect((await place('bench')).status).toBe(403)
    expect((await place('manager', 'NOWHERE')).status).toBe(422)
    const placed = await place('manager')
    // the test of half past twelve came after it
    expect([placed.status, placed.json.stick.status]).toEqual([201, staysMissing ? 'on hold' : 'in service'])
    const kind = staysMissing ? 'hold' : 'report'
    expect(told(kind).filter((email) => email.includes('crew-one'))).toEqual(everybody.slice(0, 2))
    expect((await place('manager')).status).toBe(200)
    expect((await place('manager', 'S-2')).status).toBe(409)
    expect((await post(door, sent, 'other crew', 'NOT-THERE')).status).toBe(202)
    expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
  })
})

test.each(dangers.filter(([name]) => name !== 'missing'))(
  '%s, older than the newest pass, leaves the stick fit and is told all the same',
  async (_, door, body) => {
    await passes('2026-03-10', { at: '09:40' })
    const reply = await post(door, fact('2026-03-10', { ...body, at: '08:00' }), 'crew')
    expect([reply.status, reply.json.stick.status]).toEqual([201, 'in service'])
    expect(told()).toEqual(everybody)
    const report = { on: '2026-03-10', at: '08:00', reportedBy: 'Ana Ferro', passedSince: '2026-03-10' }
    expect(notices()[0]).toMatchObject({ kind: 'report', report })
  },
)

test.each([['S%201'], ['S-1%00'], ['%F0%9F%94%A5'], ['x'.repeat(3000)]])(
  'a number that no register would take is no reason to refuse word of danger: %s',
  async (number) => {
    const reply = await house.call(
      'POST',
      `/v1/sticks/${number}/defects`,
      fact('2026-03-10', { kind: 'tingle' }),
      'crew',
    )
    expect([reply.status, told('report')]).toEqual([202, managers])
    expect((await house.call('POST', `/v1/sticks/${number}/uses`, fact('2026-03-10'), 'crew')).status).toBe(404)
  },
)

test('what is no danger is held to its day, its hour and its letters', async () => {
  await passes('2026-03-09')
  const faults = async (door: string, body: object, who: Who = 'bench') => {
    const { status, json } = await post(door, { factId: randomUUID(), ...body }, who)
    return [status, ...(json.errors ?? []).map(({ pointer }: { pointer: string }) => pointer)]
  }
  const tomorrow = { occurredOn: '2026-03-11' }
  expect(await faults('moves', { ...tomorrow, to: { bench: 'DEP-1' } })).toEqual([422, '/occurredOn'])
  expect(await faults('moves', { occurredOn: '2026-02-30', at: '25:99', to: { bench: 'DEP-1' } })).toEqual([
    422,
    '/occurredOn',
    '/at',
  ])
  expect(await faults('moves', { ...tomorrow, to: { bench: 'NOWHERE' } })).toEqual([422, '/occurredOn', '/to/bench'])
  expect(await faults('condition-checks', { ...tomorrow, by: 'Ana Ferro', sound: true })).toEqual([422, '/occurredOn'])
  expect(
    await faults('condition-checks', { occurredOn: '2026-03-10', at: '10:11', by: 'Ana Ferro', sound: true }),
  ).toEqual([422, '/at'])
  expect(await faults('condition-checks', { occurredOn: '2026-03-10', by: '', sound: true })).toEqual([422, '/by'])
  expect(
    await faults('condition-checks', { occurredOn: '2026-03-10', at: '10:09', by: 'Ana', sound: true }, 'crew'),
  ).toEqual([201])
  expect(await faults('uses', { occurredOn: '2026-03-09', days: 3 }, 'crew')).toEqual([422, '/days'])
  expect(await faults('uses', { occurredOn: '2026-03-09', days: 2 }, 'crew')).toEqual([201])
  expect(await faults('corrective-steps', { occurredOn: '2026-03-08', at: '02:30', kind: 'cleaned', by: 'X' })).toEqual(
    [422, '/at'],
  )
})

describe('a second danger on a stick that is held', () => {
  test.each(defectKinds.map((kind) => [kind, [...dangerous, 'other'].includes(kind)] as const))(
    '%s: told again %s',
    async (kind, isTold) => {
      await post('defects', fact('2026-03-09', { kind: 'lost gloss' }))
      const before = told().length
      await post('defects', fact('2026-03-10', { kind }), 'crew')
      expect(told()).toHaveLength(before + (isTold ? 4 : 0))
    },
  )

  test('equal reports are one hold with their number; one of another day is told, one sent twice is not', async () => {
    for (const on of ['2026-03-08', '2026-03-09', '2026-03-09'])
      await post('defects', fact(on, { kind: 'tingle' }), 'crew')
    const { holds } = await stick()
    expect(holds).toMatchObject([
      { code: 'defect-reported', since: '2026-03-08', text: 'Reported from use: tingle (3 times)' },
    ])
    expect(told()).toHaveLength(8)
  })

  test('missing, and found again, are told too', async () => {
    await post('defects', fact('2026-03-08', { kind: 'scratch' }))
    await post('moves', fact('2026-03-09', { to: 'missing' }), 'crew')
    await post('moves', fact('2026-03-10', { to: 'found' }), 'crew')
    expect(told('hold')).toHaveLength(12)
    expect(codesOf(await stick())).toEqual(['defect-reported', 'found-untested'])
  })
})

describe('used while unfit', () => {
  const used = async (on: string, days: number, who: Who = 'crew') =>
    (await post('uses', fact(on, { days }), who)).status

  test('is judged for every day of the use, not for its first alone', async () => {
    await passes('2024-03-08')
    expect(await used('2026-03-06', 3)).toBe(201)
    expect(told()).toEqual([])
    expect(await used('2026-03-07', 3)).toBe(201)
    expect(told('used while unfit')).toEqual(everybody)
    expect(notices()[0]).toMatchObject({ used: { on: '2026-03-07', unfitOn: '2026-03-09', status: 'overdue' } })
  })

  test.each<[string, () => Promise<unknown>]>([
    ['a report', () => post('defects', fact('2026-03-05', { kind: 'flashover' }), 'crew')],
    ['a failed test', () => post('bench-tests', overTheLimit({ testedOn: day('2026-03-05') }))],
    ['that it was missing', () => post('moves', fact('2026-03-05', { to: 'missing' }), 'crew')],
  ])('is told of an older use too where %s comes late', async (_, late) => {
    await passes('2026-03-01')
    await used('2026-03-04', 1)
    await used('2026-03-06', 2)
    await used('2026-03-08', 1)
    expect(told()).toEqual([])
    await late()
    expect(told('used while unfit')).toHaveLength(8)
    expect(told('hold')).toEqual(everybody)
  })

  test('is told of a fact that comes late though the stick was tested since', async () => {
    await passes('2026-03-01')
    await used('2026-03-06', 1)
    await passes('2026-03-09')
    await post('defects', fact('2026-03-05', { kind: 'flashover' }), 'crew')
    expect((await stick()).status).toBe('in service')
    expect(told('used while unfit')).toEqual(everybody)
    expect(told('report')).toEqual(everybody)
  })

  test('by another crew is its business where the stick is not fit, and nobody else’s where it is', async () => {
    await passes('2026-03-01')
    expect(await used('2026-03-09', 1, 'other crew')).toBe(403)
    await post('defects', fact('2026-03-09', { kind: 'drop' }), 'crew')
    expect(await used('2026-03-10', 1, 'other crew')).toBe(201)
    expect(told('used while unfit')).toEqual(everybody)
  })
})

describe('a report on a number that no stick has, which did not reach its manager', () => {
  test('is told to the other managers with the number, and passed to the owners with what was reported', async () => {
    const founder = { name: 'Oda Falk', email: 'owner@demo-utility.example', role: 'owner', depots: ['*'] }
    await house.done('PUT', '/v1/people/founder', founder)
    await post('defects', fact('2026-03-10', { kind: 'tingle', note: 'near the end' }), 'crew', 'NOT-THERE')
    const [notice] = notices() as unknown as Notice[]
    if (notice === undefined) throw new Error('nobody was told')
    await house.organisation().notices.sent(notice, house.clock(), 'ses-1')
    const why = { why: 'bounced', trouble: 'no such user' } as const
    const aside = house.organisation().notices.notReachedWrite(notice, 'ses-1', why)
    await house.table.transact(aside === null ? [] : [aside])
    expect(await tellOfUndelivered(house.table, house.clock())).toEqual({ undelivered: 1, failed: 0 })
    const after = notices().filter(({ number }) => number !== notice.number) as unknown as Notice[]
    const [passedOn] = after.filter(({ to }) => to.email === founder.email)
    expect(passedOn).toMatchObject({
      kind: 'report',
      report: { defect: 'tingle', unknownNumber: 'NOT-THERE', note: 'near the end' },
      passedOnFor: [notice.to.name],
    })
    const missed = after.filter(({ kind }) => kind === 'not delivered')
    expect(missed.map(({ to }) => to.email).sort()).toEqual(managers.filter((email) => email !== notice.to.email))
    for (const one of missed) expect(messageOf(one, 'https://pages.example').text).toContain('NOT-THERE')
  })
})

test('ten at once put a new stick on the register once', async () => {
  const before = house.table.items().length
  const replies = await Promise.all(
    Array.from({ length: 10 }, () => house.call('PUT', '/v1/sticks/S-9', { ...aStick, lot: 'L-9' }, 'manager')),
  )
  expect(replies.map(({ status }) => status).sort()).toEqual([...Array(9).fill(200), 201])
  expect((await house.call('GET', '/v1/sticks/S-9/facts')).json.items).toHaveLength(1)
  expect(house.table.items().length).toBe(before + 3)
})

describe('a bench test that was told already', () => {
  test.each<[string, (test: ReturnType<typeof overTheLimit>) => object]>([
    ['with another id', (test) => test],
    [
      'with its rows in another order',
      (test) => ({ ...test, wet: { ...test.wet, readings: test.wet?.readings.toReversed() } }),
    ],
    ['with its names in another order', (test) => Object.fromEntries(Object.entries(test).reverse())],
  ])('%s is no second failure', async (_, change) => {
    const test = overTheLimit({ testedOn: day('2026-03-02') })
    expect((await post('bench-tests', test)).status).toBe(201)
    expect((await post('corrective-steps', fact('2026-03-03', { kind: 'cleaned', by: 'Ines Roth' }))).status).toBe(201)
    const again = await post('bench-tests', { ...change(test), factId: randomUUID() })
    expect([again.status, again.json.reasons?.[0].code]).toEqual([409, 'same-test'])
    expect((await stick()).status).toBe('on hold')
    expect((await post('bench-tests', test)).status).toBe(200)
  })

  test('twice at once is kept once', async () => {
    const test = overTheLimit({ testedOn: day('2026-03-10') })
    const replies = await Promise.all([
      post('bench-tests', test),
      post('bench-tests', { ...test, factId: randomUUID() }),
    ])
    expect(replies.map(({ status }) => status).sort()).toEqual([201, 409])
  })
})

describe('a stick that passed without being waxed', () => {
  const holdText = async () => (await stick()).holds.map(({ code }: { code: string }) => code)
  const waxes = (on: string, at?: string) =>
    post('corrective-steps', fact(on, { kind: 'waxed', by: 'Ines Roth', ...(at === undefined ? {} : { at }) }))

  test('is on hold, which the bench and the managers are told, and the crew only if it has the stick', async () => {
    await post('moves', fact('2026-03-09', { to: { bench: 'DEP-1' } }))
    await passes('2026-03-10', { waxed: false })
    expect(await holdText()).toEqual(['not-waxed'])
    const bench = ['bench-2@demo-utility.example', 'bench@demo-utility.example', ...everybody.slice(2)].sort()
    expect(told('hold')).toEqual(bench)
    await waxes('2026-03-10')
    expect((await stick()).status).toBe('in service')
    expect(notices().find(({ kind }) => kind === 'return')?.cameBackBy).toBe('waxing')
  })

  test('with its crew, the crew is told too; and a report on it then is told in full', async () => {
    await passes('2026-03-10', { waxed: false })
    expect(told('hold')).toEqual(['bench-2@demo-utility.example', 'bench@demo-utility.example', ...everybody].sort())
    await post('defects', fact('2026-03-10', { kind: 'scratch' }), 'crew')
    expect(told('hold').filter((email) => email === 'ana@crew-one.example')).toHaveLength(2)
  })
})
