/**
 * What is refused at the door: every fault of one input in one answer, each with where, what came, what would be right.
 */
import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { aCrew, aDepot, aManager, anInstrument, aProcedure, aStick, aTest, survey } from '../support/trade.ts'
import { furnish, type House, openHouse, type Reply } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  house = openHouse()
  await furnish(house)
  furnished = house.table.items()
  house = openHouse(furnished)
})

const pointers = ({ json }: Reply): string[] =>
  (json.errors ?? []).map(({ pointer }: { pointer: string }) => pointer).sort()

/** A body of each route that takes one, right but for what a test does to it. */
const bodies: Record<string, () => Record<string, unknown>> = {
  'PUT /v1/depots/DEP-9': () => ({ ...aDepot }),
  'PUT /v1/crews/CR-9': () => ({ ...aCrew }),
  'PUT /v1/people/new': () => ({ ...aManager }),
  'PUT /v1/instruments/INS-9': () => ({ ...anInstrument }),
  'PUT /v1/procedures/PRC-9': () => ({ ...aProcedure }),
  'PUT /v1/policies/employer': () => ({ packs: ['us-29-cfr-1910-269-j'] }),
  'PUT /v1/sticks/S-9': () => ({ ...aStick }),
  'POST /v1/sticks/S-1/bench-tests': () => ({ ...aTest() }),
  'POST /v1/sticks/S-1/corrective-steps': () => fact({ kind: 'cleaned', by: 'Ines Roth' }),
  'POST /v1/sticks/S-1/uses': () => fact({ days: 1, conditions: ['wet'] }),
  'POST /v1/sticks/S-1/defects': () => fact({ kind: 'tingle' }),
  'POST /v1/sticks/S-1/moves': () => fact({ to: { bench: 'DEP-1' } }),
}
const fact = (more: object) => ({ factId: randomUUID(), occurredOn: '2026-03-02', ...more })
const doors = Object.keys(bodies)
const facts = doors.filter((door) => door.startsWith('POST'))
/** Word of danger is taken whatever its day and hour: `danger.test.ts`. */
const heldToTheClock = facts.filter((door) => !door.endsWith('defects'))

function send(door: string, body: unknown): Promise<Reply> {
  const [method = '', path = ''] = door.split(' ')
  return house.call(method, path, body)
}

async function expectRefused(reply: Promise<Reply>, status: number, ...expected: string[]): Promise<void> {
  const before = house.table.written()
  const { json, ...answer } = await reply
  expect(answer.status).toBe(status)
  if (status === 422) expect(pointers({ json, ...answer })).toEqual(expected.sort())
  expect(house.table.written()).toBe(before)
}

describe.each(doors)('%s', (door) => {
  test('a body that is right is taken', async () => {
    const fresh = openHouse(furnished)
    const [method = '', path = ''] = door.split(' ')
    expect([200, 201]).toContain((await fresh.call(method, path, bodies[door]?.())).status)
  })

  test.each(['', '{', '{"factId": }', '{"a": NaN}', "{'a': 1}", 'null,', '\u0000'])(
    'what is not JSON is 400: %j',
    async (text) => {
      const [method = '', path = ''] = door.split(' ')
      const before = house.table.written()
      const { status, json } = await house.send(method, path, text, 'owner')
      expect([status, typeof json.detail]).toEqual([400, 'string'])
      expect(house.table.written()).toBe(before)
    },
  )

  test.each([[null], [[]], ['text'], [7], [true]])('what is JSON but no object is 422: %j', async (body) => {
    await expectRefused(send(door, body), 422, '')
  })

  test('a name that is not known is refused where it stands', async () => {
    await expectRefused(
      send(door, { ...bodies[door]?.(), extra: 1, effectivefrom: null }),
      422,
      '/effectivefrom',
      '/extra',
    )
  })

  // colinhacks/zod PR 6139
  test.each(['__proto__', 'constructor', 'prototype', 'toString', 'hasOwnProperty'])(
    'a name of the language’s own is no exception: %s',
    async (name) => {
      const [method = '', path = ''] = door.split(' ')
      const text = JSON.stringify(bodies[door]?.()).replace('{', `{"${name}":{"role":"owner","days":9},`)
      const before = house.table.written()
      const reply = await house.send(method, path, text, 'owner')
      expect([reply.status, pointers(reply)]).toEqual([422, [`/${name}`]])
      expect(house.table.written()).toBe(before)
    },
  )

  test('every single part of it, replaced by null, is refused by its pointer or was not needed', async () => {
    for (const name of Object.keys(bodies[door]?.() ?? {})) {
      const reply = await send(door, { ...bodies[door]?.(), [name]: null })
      expect([name, reply.status, pointers(reply)]).toEqual([name, 422, [`/${name}`]])
    }
  })

  test('every number or yes and no, written as text, is refused by its pointer', async () => {
    const simple = Object.entries(bodies[door]?.() ?? {}).filter(([, value]) => typeof value !== 'string')
    for (const [name, value] of simple.filter(([, one]) => typeof one !== 'object')) {
      const reply = await send(door, { ...bodies[door]?.(), [name]: String(value) })
      expect([name, reply.status, pointers(reply)]).toEqual([name, 422, [`/${name}`]])
    }
  })
})

describe('all faults in one answer', () => {
  test('five faults in one bench test give exactly those five, and what came', async () => {
    const { instrumentId: _, ...test } = aTest({ dry: { readings: survey(2.4, 4) } })
    const [first, ...others] = survey(2.4, 4)
    const body = {
      ...test,
      factId: 'not-a-uuid',
      testedOn: '2026-02-30',
      dry: { readings: [first, { ...others[0], leakageMicroamps: '4.1' }, ...others.slice(1)] },
      examination: { defects: [], gloss: 'dull' },
    }
    const reply = await send('POST /v1/sticks/S-1/bench-tests', body)
    expect(reply.status).toBe(422)
    expect(reply.json.errors).toHaveLength(5)
    expect(pointers(reply)).toEqual([
      '/dry/readings/1/leakageMicroamps',
      '/examination/gloss',
      '/factId',
      '/instrumentId',
      '/testedOn',
    ])
    const came = Object.fromEntries(
      reply.json.errors.map((one: { pointer: string; came: unknown }) => [one.pointer, one.came]),
    )
    expect(came).toEqual({
      '/dry/readings/1/leakageMicroamps': '4.1',
      '/examination/gloss': 'dull',
      '/factId': 'not-a-uuid',
      '/instrumentId': null,
      '/testedOn': '2026-02-30',
    })
    for (const { expected } of reply.json.errors) expect(expected).toMatch(/\w{3}/)
  })

  test('what cannot be true of this stick is told in one answer too', async () => {
    const beyond = { quarterTurn: 0, fromMetres: 2.3, toMetres: 2.5, leakageMicroamps: 4 } as const
    const section = { ...beyond, toMetres: 2.4, section: 'tip' }
    const body = aTest({ dry: { readings: [...survey(2.4, 4), beyond, section] } })
    const n = body.dry?.readings.length ?? 0
    const reply = await send('POST /v1/sticks/S-1/bench-tests', body)
    expect(pointers(reply)).toEqual([`/dry/readings/${n - 2}/toMetres`, `/dry/readings/${n - 1}/section`])
  })

  test('an instrument and a procedure that nobody knows are two faults', async () => {
    const body = aTest({ instrumentId: 'INS-0', procedureId: 'PRC-0' })
    await expectRefused(send('POST /v1/sticks/S-1/bench-tests', body), 422, '/instrumentId', '/procedureId')
  })

  test('a name with a slash or a tilde is pointed to as RFC 6901 says', async () => {
    await expectRefused(send('PUT /v1/depots/DEP-9', { ...aDepot, 'a/b~c': 1 }), 422, '/a~1b~0c')
  })

  test('a very long value is not sent back whole', async () => {
    const { text } = await send('PUT /v1/depots/DEP-9', { ...aDepot, name: 'x'.repeat(20_000) })
    expect(text.length).toBeLessThan(1500)
  })
})

describe('dates', () => {
  const dateIn = (door: string) => (door.endsWith('bench-tests') ? 'testedOn' : 'occurredOn')

  // 45292 is not 1970; week dates, ordinals and bare months are no calendar dates
  test.each([
    null,
    45292,
    0,
    '',
    '2026-3-2',
    '2026-W10-1',
    '2026-061',
    '2026-03',
    '2026-02-29',
    '02.03.2026',
    '2026-03-02T10:00:00Z',
    ' 2026-03-02',
  ])('only YYYY-MM-DD of a real day is a date, not %j', async (date) => {
    for (const door of heldToTheClock)
      await expectRefused(send(door, { ...bodies[door]?.(), [dateIn(door)]: date }), 422, `/${dateIn(door)}`)
    const stick = { ...aStick, effectiveFrom: date, inServiceSince: date }
    await expectRefused(send('PUT /v1/sticks/S-9', stick), 422, '/effectiveFrom', '/inServiceSince')
    const periods = { ...anInstrument, calibratedOn: date, calibrationDueOn: date }
    const { status } = await send('PUT /v1/instruments/INS-9', periods)
    expect(status).toBe(422)
  })

  test.each(heldToTheClock)('one after today at the depot is 422, today itself is not: %s', async (door) => {
    const late = openHouse(furnished, '2026-03-03T05:59:00.000Z')
    const [method = '', path = ''] = door.split(' ')
    const on = (date: string) =>
      late.call(method, path, { ...bodies[door]?.(), factId: randomUUID(), [dateIn(door)]: date })
    const tomorrow = await on('2026-03-03')
    expect([tomorrow.status, pointers(tomorrow)]).toEqual([422, [`/${dateIn(door)}`]])
    expect(tomorrow.json.errors[0].expected).toContain('2026-03-02')
    expect((await on('2026-03-02')).status).toBe(201)
    late.at('2026-03-03T06:00:00.000Z')
    expect((await on('2026-03-03')).status).toBe(201)
  })

  test('today is the depot’s own, east of UTC too, and a stick can be registered on it', async () => {
    const early = openHouse(furnished, '2026-03-02T18:30:00.000Z')
    await early.done('PUT', '/v1/depots/DEP-1', { ...aDepot, timeZone: 'Asia/Kathmandu', effectiveFrom: '2026-03-02' })
    const first = await early.call('PUT', '/v1/sticks/S-9', aStick)
    expect([first.status, first.json.on]).toEqual([201, '2026-03-03'])
    const test = aTest({ testedOn: '2026-03-03' as never })
    expect((await early.call('POST', '/v1/sticks/S-9/bench-tests', test)).json.stick.dueOn).toBe('2028-03-03')
  })

  test('an edition of a stick cannot begin tomorrow', async () => {
    await expectRefused(send('PUT /v1/sticks/S-9', { ...aStick, effectiveFrom: '2026-03-03' }), 422, '/effectiveFrom')
  })

  test.each(['24:00', '9:05', '09:05:00', '', 905])('an hour of the day is HH:MM, not %j', async (at) => {
    for (const door of heldToTheClock) await expectRefused(send(door, { ...bodies[door]?.(), at }), 422, '/at')
  })
})

describe('names and addresses', () => {
  test.each(['', ' ', 'a/b', 'a#b', '-a', 'a-', 'ä', 'a b', 'a\u200bb', 'x'.repeat(65)])(
    'an identifier is refused in a path when made, and not found when looked for: %j',
    async (id) => {
      const path = encodeURIComponent(id)
      const before = house.table.written()
      const put = await house.call('PUT', `/v1/depots/${path}`, aDepot)
      expect([422, 404]).toContain(put.status)
      expect((await house.call('GET', `/v1/depots/${path}`)).status).toBe(404)
      expect(house.table.written()).toBe(before)
    },
  )

  test('a name too long to be a key is not found, and no failure of ours', async () => {
    for (const path of ['sticks', 'depots', 'people'])
      expect((await house.call('GET', `/v1/${path}/${'x'.repeat(3000)}`)).status).toBe(404)
    expect((await house.call('POST', `/v1/sticks/${'x'.repeat(3000)}/uses`, fact({}))).status).toBe(404)
  })

  test.each(['Ana\nFerro', 'Ana\u0000', '\u200b\u200b', '   ', '!?', 'x'.repeat(121)])(
    'a name is one line that can be read: %j is none',
    async (name) => {
      await expectRefused(send('PUT /v1/depots/DEP-9', { ...aDepot, name }), 422, '/name')
    },
  )

  // egulias/EmailValidator 414
  test.each([
    'änne@crew.example',
    'a b@crew.example',
    'a@crew',
    'a@crew.example\n',
    '"a"@crew.example',
    `${'a'.repeat(65)}@crew.example`,
    'a@-crew.example',
  ])('an address the mail service cannot write to is refused when entered: %j', async (email) => {
    await expectRefused(send('PUT /v1/people/new', { ...aManager, email }), 422, '/email')
    const recipients = [...aCrew.recipients, { name: 'Cy', email, role: 'crew' }]
    await expectRefused(send('PUT /v1/crews/CR-9', { ...aCrew, recipients }), 422, '/recipients/2/email')
  })

  test('a crew’s person needs an address or a phone', async () => {
    const recipients = [{ name: 'Cy', role: 'crew' }]
    await expectRefused(send('PUT /v1/crews/CR-9', { ...aCrew, recipients }), 422, '/recipients/0')
  })

  test('a crew, a store, a bench that nobody knows is refused where it is named', async () => {
    await expectRefused(send('PUT /v1/crews/CR-9', { ...aCrew, depotId: 'DEP-0' }), 422, '/depotId')
    await expectRefused(send('PUT /v1/sticks/S-9', { ...aStick, crewId: 'CR-0' }), 422, '/crewId')
    const to = (destination: unknown) => send('POST /v1/sticks/S-1/moves', fact({ to: destination }))
    await expectRefused(to({ crewId: 'CR-0' }), 422, '/to/crewId')
    await expectRefused(to({ store: 'DEP-0' }), 422, '/to/store')
    await expectRefused(to({ bench: 'DEP-0' }), 422, '/to/bench')
    for (const wrong of ['lost', {}, { crewId: 'CR-1', store: 'DEP-1' }, { lentTo: 'Cy' }, null, 3])
      await expectRefused(to(wrong), 422, '/to')
  })
})

describe('questions', () => {
  test.each([
    ['/v1/sticks/S-1?on=banana', '/on'],
    ['/v1/sticks/S-1?on=', '/on'],
    ['/v1/sticks/S-1?asKnownOn=2026-02-30', '/asKnownOn'],
    ['/v1/sticks/S-1?at=2026-03-02', '/at'],
    ['/v1/depots/DEP-1?on=2026-13-01', '/on'],
    ['/v1/people/manager?when=2026-03-01', '/when'],
    ['/v1/roster?limit=0', '/limit'],
    ['/v1/roster?limit=201', '/limit'],
    ['/v1/roster?limit=1e1', '/limit'],
    ['/v1/roster?status=lost', '/status'],
    ['/v1/roster?cursor=banana', '/cursor'],
    ['/v1/roster?crew=a%20b', '/crew'],
    ['/v1/notices?since=yesterday', '/since'],
    ['/v1/notices?state=read', '/state'],
    ['/v1/notices?sticks=S-1', '/sticks'],
  ])('%s is refused at %s', async (path, pointer) => {
    const reply = await house.call('GET', path)
    expect([reply.status, pointers(reply)]).toEqual([422, [pointer]])
  })

  test.each(['/v1/nothing', '/v1/sticks', '/', '/v1/sticks/S-0'])('%s is not found', async (path) => {
    expect((await house.call('GET', path)).status).toBe(404)
  })

  test('there is one policy of the employer, under its own name', async () => {
    const { status } = await house.call('PUT', '/v1/policies/other', { packs: ['us-29-cfr-1910-269-j'] })
    expect(status).toBe(404)
  })
})

describe('too much', () => {
  test('a body beyond five million characters is 413', async () => {
    const { status } = await house.send('POST', '/v1/sticks/S-1/bench-tests', `"${'x'.repeat(5_000_001)}"`, 'owner')
    expect(status).toBe(413)
  })

  test('a record too large to be kept is 413, and nothing of it is written', async () => {
    const defects = Array.from({ length: 200 }, () => ({
      kind: 'scratch' as const,
      open: false,
      note: 'x'.repeat(3000),
    }))
    const body = aTest({ examination: { defects, gloss: 'sound' } })
    await expectRefused(send('POST /v1/sticks/S-1/bench-tests', body), 413)
  })

  test('the longest stick read in the smallest steps, every reading too high, is kept with every reason', async () => {
    const fresh = openHouse(furnished)
    await fresh.done('PUT', '/v1/sticks/S-30', { ...aStick, workingLengthMetres: 20 })
    const body = aTest({
      dry: { readings: survey(20, 400) },
      wet: { water: 'distilled', appearance: 'beads', readings: survey(20, 900, undefined, true) },
    })
    const { json, status } = await fresh.call('POST', '/v1/sticks/S-30/bench-tests', body)
    expect([status, json.verdict]).toEqual([201, 'fail'])
    expect(json.reasons.length).toBe((body.dry?.readings.length ?? 0) + (body.wet?.readings.length ?? 0))
  })
})
