/**
 * What lies first on the roster: of what is on hold whatever is still in hands and unconfirmed; of loans the soonest
 * back.
 */
import { randomUUID } from 'node:crypto'
import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { followUp } from '../../functions/follow-up/follow-up.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { aCrew, aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

const start = '2026-03-02T15:00:00.000Z'
const ana = 'ana@crew-one.example'
const bo = 'bo@crew-one.example'
const managers = ['manager-2@demo-utility.example', 'manager@demo-utility.example']
const kai = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'crew' }
const six = ['H-1', 'H-2', 'H-3', 'H-4', 'H-5', 'H-6']

/** Six fit sticks, the odd ones of crew one in the north, the even ones of crew two in the south. */
let furnished: readonly Item[]
beforeAll(async () => {
  const house = openHouse([], start)
  await furnish(house)
  await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, kai] })
  for (const [i, stickId] of six.entries()) {
    await house.done('PUT', `/v1/sticks/${stickId}`, { ...aStick, crewId: i % 2 === 0 ? 'CR-1' : 'CR-2' })
    await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest({ testedOn: day('2026-03-01') }))
  }
  furnished = house.table.items().filter((item) => !item.pk.includes('STICK#S-1'))
})

const open = () => openHouse(furnished, '2026-03-02T16:00:00.000Z')

const post = (house: House, stickId: string, door: string, body: object) =>
  house.done('POST', `/v1/sticks/${stickId}/${door}`, { factId: randomUUID(), occurredOn: '2026-03-02', ...body })

let minutes = 0
/** A minute later than whatever was reported before. */
async function report(house: House, stickId: string, kind = 'tingle') {
  minutes += 1
  house.at(new Date(Date.parse('2026-03-02T16:00:00.000Z') + minutes * 60_000).toISOString())
  await post(house, stickId, 'defects', { kind })
}

const noticesOf = (house: House) =>
  house.table.items().filter((item) => item.entity === 'notice') as unknown as readonly Notice[]

async function confirm(house: House, stickId: string, role: 'crew' | 'foreman' | 'manager') {
  const asked = noticesOf(house).filter(
    ({ answer, answeredAt, lines, to }) =>
      answer !== undefined &&
      answeredAt === undefined &&
      lines.some((line) => line.stickId === stickId) &&
      to.role === role,
  )
  const newest = asked.sort((a, b) => (a.owedAt < b.owedAt ? 1 : -1))[0]
  if (newest === undefined) throw new Error(`nobody of role ${role} was asked about ${stickId}`)
  expect(await house.organisation().notices.confirm(newest, house.clock())).toBe(true)
}

/** The hours pass in which the crews are asked, so that their managers are. */
async function nobodyConfirms(house: House): Promise<void> {
  for (const notice of noticesOf(house).filter(({ answer }) => answer !== undefined))
    await house.organisation().notices.sent(notice, house.clock(), 'ses-1')
  house.at(addSeconds(house.clock(), 4 * 3600))
  await followUp(house.table, house.clock())
}

async function rows(house: House, query: string, limit = 200) {
  const found: { stickId: string; status: string; custody: object | null }[] = []
  for (let next: string | null = ''; next !== null; ) {
    const { json } = await house.done('GET', `/v1/roster?limit=${limit}${query}${next === '' ? '' : `&cursor=${next}`}`)
    found.push(...json.items)
    next = json.next
  }
  return found
}
const held = async (house: House, limit = 200) =>
  (await rows(house, '&status=on%20hold', limit)).map(({ stickId }) => stickId)

describe('of the sticks on hold', () => {
  test('the newest comes first, across depots', async () => {
    const house = open()
    for (const stickId of ['H-3', 'H-1', 'H-2']) await report(house, stickId)
    expect(await held(house)).toEqual(['H-2', 'H-1', 'H-3'])
    for (const limit of [1, 2]) expect(await held(house, limit)).toEqual(['H-2', 'H-1', 'H-3'])
  })

  test('what somebody of the crew has confirmed goes down, and comes up again with the next word', async () => {
    const house = open()
    for (const stickId of ['H-1', 'H-2', 'H-3']) await report(house, stickId)
    await confirm(house, 'H-3', 'foreman')
    expect(await held(house)).toEqual(['H-2', 'H-1', 'H-3'])
    await confirm(house, 'H-2', 'foreman')
    expect(await held(house)).toEqual(['H-1', 'H-3', 'H-2'])
    await post(house, 'H-3', 'certificates', { issuedBy: 'Rodworks' })
    expect(await held(house)).toEqual(['H-1', 'H-3', 'H-2'])
    const { factId: _, ...failing } = overTheLimit({ testedOn: day('2026-03-02') })
    await house.done('POST', '/v1/sticks/H-3/bench-tests', { ...failing, factId: randomUUID() })
    expect(await held(house)).toEqual(['H-3', 'H-1', 'H-2'])
  })

  test('that a manager has read it says nothing of who has it in hand', async () => {
    const house = open()
    for (const stickId of ['H-1', 'H-3']) await report(house, stickId)
    await nobodyConfirms(house)
    await confirm(house, 'H-3', 'manager')
    expect(await held(house)).toEqual(['H-3', 'H-1'])
  })

  test('whoever was told face to face knows it too', async () => {
    const house = open()
    for (const stickId of ['H-1', 'H-3']) await report(house, stickId)
    const errand = noticesOf(house).find(
      ({ lines, to }) => lines[0]?.stickId === 'H-3' && to.tellInPerson.length > 0,
    )?.number
    await house.done('POST', `/v1/notices/${errand}/told`, { name: kai.name }, 'crew')
    expect(await held(house)).toEqual(['H-1', 'H-3'])
  })

  test('what lies in store or at the bench comes after what is in hands, lent out or not', async () => {
    const house = open()
    for (const [stickId, to] of [
      ['H-1', { store: 'DEP-1' }],
      ['H-3', { bench: 'DEP-2' }],
      ['H-5', { lentTo: 'Neighbours', returnBy: '2026-03-20' }],
    ] as const)
      await post(house, stickId, 'moves', { to })
    for (const stickId of ['H-5', 'H-2', 'H-1', 'H-3']) await report(house, stickId)
    expect(await held(house)).toEqual(['H-2', 'H-5', 'H-3', 'H-1'])
  })

  test('a confirmation is never lost, whoever else writes to the stick', async () => {
    const house = open()
    await report(house, 'H-1')
    const [asked] = noticesOf(house).filter(({ to }) => to.role === 'crew')
    if (asked === undefined) throw new Error('nobody was asked')
    house.table.trouble({ lose: [1, 2, 3] })
    expect(await house.organisation().notices.confirm(asked, house.clock())).toBe(true)
    house.table.trouble({})
    expect(noticesOf(house).find(({ number }) => number === asked.number)?.answeredAt).toBe(house.clock())
    expect(await house.organisation().notices.confirm(asked, house.clock())).toBe(false)
  })

  test('a fact recorded while somebody confirms overwrites no confirmation', async () => {
    const house = open()
    await report(house, 'H-1')
    await report(house, 'H-3')
    house.table.trouble({ meanwhile: { before: 1, what: () => confirm(house, 'H-3', 'crew') } })
    await post(house, 'H-3', 'certificates', { issuedBy: 'Rodworks' })
    house.table.trouble({})
    expect(await held(house)).toEqual(['H-1', 'H-3'])
  })

  test('in whatever order things happen: in hands and unconfirmed first, then the newest, by any number', async () => {
    const doing = fc.record({
      stick: fc.constantFrom(...six),
      what: fc.constantFrom('report', 'report', 'confirm', 'confirm', 'store'),
    })
    let confirmed = 0
    await fc.assert(
      fc.asyncProperty(
        fc.array(doing, { minLength: 6, maxLength: 20 }),
        fc.integer({ min: 1, max: 4 }),
        async (doings, limit) => {
          const house = open()
          const known = new Map<string, { at: Instant; told: boolean; inHands: boolean }>()
          const stored = new Set<string>()
          for (const { stick, what } of doings) {
            const one = known.get(stick)
            if (what === 'report' && one === undefined) {
              await report(house, stick)
              known.set(stick, { at: house.clock(), told: false, inHands: !stored.has(stick) })
            } else if (what === 'confirm' && one !== undefined && !one.told && !stored.has(stick)) {
              await confirm(house, stick, 'foreman')
              confirmed += 1
              one.told = true
            } else if (what === 'store') {
              await post(house, stick, 'moves', { to: { store: 'DEP-1' } })
              stored.add(stick)
              if (one !== undefined) one.inHands = false
            }
          }
          const urgent = ([, { told, inHands }]: [string, { told: boolean; inHands: boolean }]) =>
            inHands && !told ? 0 : 1
          const order = [...known]
            .sort((a, b) => urgent(a) - urgent(b) || (a[1].at < b[1].at ? 1 : -1))
            .map(([stickId]) => stickId)
          expect(await held(house, limit)).toEqual(order)
        },
      ),
      { numRuns: 120, seed: 20260314 },
    )
    expect(confirmed).toBeGreaterThan(40)
  })
})

test('what time alone has put on hold is listed there, and counted there', async () => {
  const house = openHouse(furnished, start)
  await house.done('PUT', '/v1/policies/employer', { packs: ['jp-ordinance-351'], effectiveFrom: '2026-03-02' })
  await post(house, 'H-1', 'moves', { to: { store: 'DEP-1' } })
  house.at('2026-10-20T15:00:00.000Z')
  const { json } = await house.done('GET', '/v1/sticks/H-1')
  expect([json.status, json.holds[0].code]).toEqual(['on hold', 'resting-in-store'])
  expect(await held(house)).toEqual(['H-1'])
  expect((await rows(house, '')).filter(({ stickId }) => stickId === 'H-1')).toHaveLength(1)
  const counts = (await house.done('GET', '/v1/roster')).json.counts
  expect(counts).toMatchObject({ 'on hold': 1, overdue: 5 })
})

test('each count goes no further than a thousand', async () => {
  const house = open()
  const [stick] = house.table.items().filter((item) => item.stickId === 'H-1' && item.sk === 'STATE')
  const copies = Array.from({ length: 1000 }, (_, i) =>
    JSON.parse(JSON.stringify(stick).replaceAll('H-1', `C-${String(i).padStart(4, '0')}`)),
  ) as Item[]
  const before = copies.slice(0, 994)
  for (let i = 0; i < before.length; i += 100)
    await house.table.transact(before.slice(i, i + 100).map((one) => house.table.put(one)))
  expect((await house.done('GET', '/v1/roster')).json.counts['in service']).toBe(1000)
  await house.table.transact(copies.slice(994).map((one) => house.table.put(one)))
  expect((await house.done('GET', '/v1/roster')).json.counts['in service']).toBe('1,000+')
})

describe('what is lent out', () => {
  async function lending() {
    const house = open()
    for (const [stickId, returnBy] of [
      ['H-1', '2026-03-20'],
      ['H-2', '2026-03-10'],
      ['H-5', '2026-03-15'],
    ] as const)
      await post(house, stickId, 'moves', { to: { lentTo: 'Neighbours', returnBy } })
    await report(house, 'H-5')
    return house
  }
  const lent = async (house: House, query = '', limit = 200) =>
    (await rows(house, `&lent=true${query}`, limit)).map(({ stickId }) => stickId)

  test('is listed, whatever its status, the soonest to be back first, with to whom and until when', async () => {
    const house = await lending()
    expect(await lent(house)).toEqual(['H-2', 'H-5', 'H-1'])
    expect(await lent(house, '', 1)).toEqual(['H-2', 'H-5', 'H-1'])
    expect((await rows(house, '&lent=true'))[0]?.custody).toEqual({ lentTo: 'Neighbours', returnBy: '2026-03-10' })
    expect(await lent(house, '&status=on%20hold')).toEqual(['H-5'])
    expect(await lent(house, '&depot=DEP-2')).toEqual(['H-2'])
    expect(await lent(house, '&crew=CR-1')).toEqual(['H-5', 'H-1'])
    expect((await house.done('GET', '/v1/roster?lent=true', undefined, 'crew')).json.items).toHaveLength(2)
  })

  test('no longer once it is back or scrapped', async () => {
    const house = await lending()
    await post(house, 'H-2', 'moves', { to: { store: 'DEP-2' } })
    await post(house, 'H-1', 'moves', { to: 'scrapped' })
    expect(await lent(house)).toEqual(['H-5'])
  })

  test('until a day before the move is refused, as is any other word than true', async () => {
    const house = open()
    const body = {
      factId: randomUUID(),
      occurredOn: '2026-03-02',
      to: { lentTo: 'Neighbours', returnBy: '2026-03-01' },
    }
    const { status, json } = await house.call('POST', '/v1/sticks/H-1/moves', body)
    expect([status, json.errors[0].pointer]).toEqual([422, '/to/returnBy'])
    await post(house, 'H-1', 'moves', { to: { lentTo: 'Neighbours', returnBy: '2026-03-02' } })
    expect((await house.call('GET', '/v1/roster?lent=yes')).status).toBe(422)
  })
})

describe('a loan that is not back', () => {
  const told = (house: House) =>
    noticesOf(house)
      .filter(({ kind, lines }) => kind === 'digest' && lines.some(({ loan }) => loan !== undefined))
      .map(({ day: on, to, lines }) => `${on} ${to.email}: ${lines.map(({ stickId }) => stickId).join(' ')}`)
      .sort()
  const everyMorning = async (house: House, from: string, days: number) => {
    for (let i = 0; i < days; i++) {
      house.at(new Date(Date.parse(`${from}T15:00:00.000Z`) + i * 86_400_000).toISOString())
      await Promise.all([sweep(house.table, house.clock), sweep(house.table, house.clock)])
    }
  }
  const toAll = (on: string, stickId: string) =>
    [ana, bo, ...managers].sort().map((email) => `${on} ${email}: ${stickId}`)

  test.each([
    ['in service', async () => undefined],
    ['on hold', (house: House) => report(house, 'H-1')],
  ] as const)(
    '%s: its crew and managers hear the day after, then weekly, once each however often it is looked',
    async (_, meanwhile) => {
      const house = open()
      await post(house, 'H-1', 'moves', { to: { lentTo: 'Neighbours', returnBy: '2026-03-05' } })
      await meanwhile(house)
      await everyMorning(house, '2026-03-03', 12)
      expect(told(house)).toEqual([...toAll('2026-03-06', 'H-1'), ...toAll('2026-03-13', 'H-1')])
      await post(house, 'H-1', 'moves', { occurredOn: '2026-03-14', to: { store: 'DEP-1' } })
      await everyMorning(house, '2026-03-15', 10)
      expect(told(house)).toHaveLength(8)
    },
  )

  test('a missed week heals itself', async () => {
    const house = open()
    await post(house, 'H-1', 'moves', { to: { lentTo: 'Neighbours', returnBy: '2026-03-05' } })
    await everyMorning(house, '2026-03-03', 2)
    await everyMorning(house, '2026-03-16', 5)
    expect(told(house)).toEqual([...toAll('2026-03-16', 'H-1'), ...toAll('2026-03-20', 'H-1')].sort())
  })

  test('with a due date on the same morning it is one mail, and the ladder goes on as it would', async () => {
    const house = openHouse(furnished, '2028-02-27T15:00:00.000Z')
    await post(house, 'H-1', 'moves', {
      occurredOn: '2028-02-27',
      to: { lentTo: 'Neighbours', returnBy: '2028-02-28' },
    })
    await everyMorning(house, '2028-02-28', 5)
    const toAna = noticesOf(house).filter(({ kind, to }) => kind === 'digest' && to.email === ana)
    expect(new Set(toAna.map(({ day: on }) => on)).size).toBe(toAna.length)
    const ofH1 = toAna.flatMap(({ day: on, lines }) =>
      lines.filter(({ stickId }) => stickId === 'H-1').map(({ loan, onlyLoan }) => [on, loan?.daysLate, onlyLoan]),
    )
    // due on 1 March: the day before is 29 February
    expect(ofH1).toEqual([
      ['2028-02-28', undefined, undefined],
      ['2028-02-29', 1, undefined],
      ['2028-03-01', undefined, undefined],
      ['2028-03-02', undefined, undefined],
    ])
  })
})
