import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { reindex } from '../../functions/reindex/reindex.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { StoredStick } from '../../functions/store/sticks.ts'
import type { Item, Range } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { addDays, addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { aCrew, aDepot, anInstrument, aProcedure, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const ana = 'ana@crew-one.example'
const bo = 'bo@crew-one.example'
const cy = 'cy@crew-two.example'
const managers = ['manager-2@demo-utility.example', 'manager@demo-utility.example']
const morning = '2026-03-02T15:00:00.000Z'

let furnished: readonly Item[]
/** Sticks of crew one by the number of them, all due on 2026-03-04. */
const fleets = new Map<number, readonly Item[]>()

beforeAll(async () => {
  const house = openHouse([], '2026-02-01T15:00:00.000Z')
  await furnish(house)
  furnished = house.table.items().filter((item) => !item.pk.includes('STICK#S-1'))
  for (const size of [4, 60, 250]) {
    const filled = openHouse(furnished)
    for (const stickId of numbered(size)) await due(filled, stickId)
    fleets.set(size, filled.table.items())
  }
})

const numbered = (n: number) => Array.from({ length: n }, (_, i) => `S-${String(i + 1).padStart(3, '0')}`)

/** A stick whose test runs out two years after `testedOn`. */
async function due(house: House, stickId: string, testedOn = '2024-03-04', crewId: string | null = 'CR-1', who?: Who) {
  const { crewId: _, ...withoutCrew } = aStick
  const stick = crewId === null ? withoutCrew : { ...aStick, crewId }
  await house.done('PUT', `/v1/sticks/${stickId}`, stick, who)
  await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest({ testedOn: day(testedOn) }), who)
}

const fleet = (size: number, from = morning) => openHouse(fleets.get(size), from)

/** The hour comes well after what was written, and what has only just been is found the hour after. */
function run(house: House) {
  house.table.settled()
  return sweep(house.table, house.clock)
}

function digests(house: House): Notice[] {
  const notices = house.table.items().filter((item) => item.entity === 'notice' && item.kind === 'digest')
  return (notices as unknown as Notice[]).sort((a, b) => (a.owedAt < b.owedAt ? -1 : 1))
}

/** Who was owed a digest on which day, each as often as it was. */
const told = (house: House) => digests(house).map(({ to, day: on }) => `${on} ${to.email}`)

const sticksIn = ({ lines }: Notice) => lines.map((line) => line.stickId).sort()

const states = (house: House) =>
  house.table.items().filter((item) => item.entity === 'stick') as unknown as (StoredStick & { nextTellOn?: string })[]

/** Every stick named in each digest, told through the day, listed for a later one, and remembered once. */
function expectAllTold(house: House, size: number, on = '2026-03-02'): void {
  expect(told(house).sort()).toEqual([`${on} ${ana}`, `${on} ${bo}`])
  const numbers = digests(house).map((digest) => digest.number)
  for (const digest of digests(house)) expect(sticksIn(digest)).toEqual(numbered(size))
  expect(states(house)).toHaveLength(size)
  for (const stick of states(house)) {
    expect(stick.told).toEqual({ dueOn: '2026-03-04', through: on })
    expect(stick.nextTellOn).toBe(`2026-03-03#${stick.stickId}`)
  }
  const remembered = house.table.items().filter((item) => item.entity === 'told')
  expect(remembered).toHaveLength(size)
  for (const one of remembered) expect([...(one.notices as string[])].sort()).toEqual(numbers.sort())
}

const versions = (house: House) => Object.fromEntries(states(house).map((one) => [one.stickId, one.version]))

describe('a label that shows too late a date', () => {
  const us = 'us-29-cfr-1910-269-j'
  const yearly = { requirement: `${us}-frp`, interval: { months: 12 }, source: 'Tool manual 1.2' }
  const label = (house: House, over: object) =>
    house.done('POST', '/v1/sticks/S-1/labels', { factId: randomUUID(), occurredOn: '2026-03-02', ...over }, 'bench')
  const mornings = async (house: House, from: string, days: number) => {
    const before = digests(house).length
    for (let i = 0; i < days; i++) {
      house.at(`${addDays(day(from), i)}T15:00:00.000Z`)
      await run(house)
    }
    return digests(house).slice(before)
  }

  test('by other rules is told the next morning to crew and managers, and weekly until it is changed', async () => {
    const house = openHouse(furnished, morning)
    await due(house, 'S-1', '2026-03-02')
    await label(house, { kind: 'fixed', shows: '2028-03-02' })
    expect(await mornings(house, '2026-03-02', 3)).toEqual([])
    await house.done('PUT', '/v1/policies/employer', { packs: [us], shorten: [yearly] })
    house.table.settled()
    await reindex(house.table, house.clock(), () => true)
    const notices = await mornings(house, '2026-03-05', 16)
    expect([...new Set(notices.map((one) => one.day))]).toEqual(['2026-03-05', '2026-03-12', '2026-03-19'])
    expect(
      notices
        .slice(0, 4)
        .map(({ to }) => to.email)
        .sort(),
    ).toEqual([ana, bo, ...managers].sort())
    for (const { lines } of notices) expect(lines).toMatchObject([{ stickId: 'S-1', wrongLabel: '2028-03-02' }])
    expect(notices.map(({ lines: [line] }) => line?.onlyLabel)).toEqual([
      ...Array(4).fill(undefined),
      ...Array(8).fill(true),
    ])
    const [stick] = states(house)
    expect([stick?.labelTold, stick?.nextTellOn]).toEqual([{ shows: '2028-03-02', on: '2026-03-19' }, '2026-03-26#S-1'])

    await label(house, { occurredOn: '2026-03-20', kind: 'fixed', shows: '2027-03-02' })
    expect(await mornings(house, '2026-03-21', 10)).toEqual([])
    expect(states(house)[0]).not.toHaveProperty('labelTold')
  })
})

describe('one digest a person and day', () => {
  test.each([4, 250])(
    'that names all of %i sticks, each moved on once to the day it is spoken of next',
    async (size) => {
      const house = fleet(size)
      const before = versions(house)
      expect(await run(house)).toEqual({ rounds: 2, digests: 2, failed: 0, left: 0 })
      expectAllTold(house, size)
      for (const [stickId, version] of Object.entries(versions(house))) expect(version).toBe((before[stickId] ?? 0) + 1)
    },
  )

  test('run again, an hour later or at once, it finds nothing and writes nothing', async () => {
    const house = fleet(60)
    await run(house)
    const written = house.table.written()
    expect(await run(house)).toEqual({ rounds: 2, digests: 0, failed: 0, left: 0 })
    house.at('2026-03-02T16:00:00.000Z')
    await run(house)
    expect(house.table.written()).toBe(written)
  })

  test('the worst stands first', async () => {
    const house = openHouse(furnished)
    await due(house, 'S-2', '2024-04-01')
    await due(house, 'S-1', '2024-03-04')
    await due(house, 'S-3', '2024-02-01')
    await run(house)
    const [digest] = digests(house)
    expect(digest?.lines.map((one) => [one.stickId, one.status, one.daysLeft])).toEqual([
      ['S-3', 'overdue', -29],
      ['S-1', 'due soon', 2],
      ['S-2', 'due soon', 30],
    ])
    expect(digest?.lines[0]).toMatchObject({ crewName: 'Crew one', bringTo: 'North yard' })
  })

  test('a person of two crews at two depots that wake together gets one, with both crews’ sticks', async () => {
    const house = openHouse(furnished)
    const recipients = [{ name: 'Bo Lind', email: 'BO@crew-one.example', role: 'foreman' }]
    await house.done('PUT', '/v1/crews/CR-2', { name: 'Crew two', depotId: 'DEP-2', recipients })
    await due(house, 'S-1')
    await due(house, 'S-2', '2024-03-04', 'CR-2')
    await run(house)
    expect(told(house).map((one) => one.toLowerCase())).toHaveLength(2)
    const bos = digests(house).filter(({ to }) => to.email.toLowerCase() === bo)
    expect(bos.map(sticksIn)).toEqual([['S-1', 'S-2']])
  })

  test('sticks on hold are not spoken of, and come back into it after the test that clears them', async () => {
    const house = openHouse(furnished)
    await due(house, 'S-1')
    const defect = { factId: crypto.randomUUID(), occurredOn: '2026-03-01', kind: 'tingle' }
    await house.done('POST', '/v1/sticks/S-1/defects', defect)
    expect(await run(house)).toMatchObject({ digests: 0, failed: 0 })
    await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest())
    house.at('2028-01-02T15:00:00.000Z')
    await run(house)
    expect(told(house)).toEqual([`2028-01-02 ${ana}`, `2028-01-02 ${bo}`])
  })

  test('without rules in force nothing is said, and nothing fails', async () => {
    const house = openHouse(fleets.get(4)?.filter((item) => !item.pk.includes('#policy')))
    expect(await run(house)).toEqual({ rounds: 2, digests: 0, failed: 0, left: 0 })
    expect(house.table.written()).toBe(0)
  })
})

describe('sticks entered before any rules were in force', () => {
  const withoutRules = async () => {
    const house = openHouse(furnished.filter((item) => !item.pk.includes('#policy')))
    for (const stickId of numbered(3)) await due(house, stickId)
    await due(house, 'S-new', '2026-03-01')
    await house.done('PUT', '/v1/sticks/S-never', aStick)
    return house
  }
  const rules = async (house: House) => {
    await house.done('PUT', '/v1/policies/employer', { packs: ['us-29-cfr-1910-269-j'], effectiveFrom: '2020-01-01' })
    await reindex(house.table, house.clock(), () => true)
  }

  test('are told of in the first morning after there are', async () => {
    const house = await withoutRules()
    await run(house)
    expect(told(house)).toEqual([])
    await rules(house)
    expect(await run(house)).toEqual({ rounds: 2, digests: 2, failed: 0, left: 0 })
    for (const digest of digests(house)) expect(sticksIn(digest)).toEqual(numbered(3))
    expect(states(house).find((one) => one.stickId === 'S-new')?.nextTellOn).toBe('2028-01-01#S-new')
    const never = house.table.items().find((item) => item.stickId === 'S-never' && item.sk === 'STATE')
    expect(never?.depotStandingKey).toBe(house.organisation().keys.depotStanding('DEP-1', 'awaiting'))
    const written = house.table.written()
    await run(house)
    expect(house.table.written()).toBe(written)
  })

  test('are on the roster by their dates from then on', async () => {
    const house = await withoutRules()
    await due(house, 'S-late', '2024-02-01')
    await rules(house)
    await run(house)
    const overdue = await house.call('GET', '/v1/roster?status=overdue')
    expect(overdue.json.items.map((row: { stickId: string }) => row.stickId)).toEqual(['S-late'])
  })
})

describe('two runs, and runs that break off', () => {
  test.each([4, 60, 250])('two runs at once over %i sticks: one digest each, each stick told once', async (size) => {
    const house = fleet(size)
    await Promise.all([run(house), run(house)])
    await run(house)
    expectAllTold(house, size)
  })

  test('a second run between any two transactions of the first', async () => {
    for (let n = 1; n <= 6; n++) {
      const house = fleet(250)
      house.table.trouble({ meanwhile: { before: n, what: once(() => run(house)) } })
      await run(house)
      await run(house)
      expectAllTold(house, 250)
    }
  })

  const once = (what: () => Promise<unknown>) => {
    let called = false
    return async () => {
      if (called) return
      called = true
      await what()
    }
  }

  test('broken off before or after every transaction there is, then run again', async () => {
    const clean = fleet(250)
    clean.table.trouble({})
    await run(clean)
    const transactions = clean.table.transactions()
    expect(transactions).toBeGreaterThan(4)
    for (let n = 1; n <= transactions; n++) {
      for (const trouble of [{ crashBefore: n }, { crashAfter: n }]) {
        const house = fleet(250)
        const before = versions(house)
        house.table.trouble(trouble)
        expect((await run(house)).failed).toBe(1)
        house.table.trouble({})
        await run(house)
        expectAllTold(house, 250)
        for (const [stickId, version] of Object.entries(versions(house)))
          expect(version).toBe((before[stickId] ?? 0) + 1)
      }
    }
  })

  test('every transaction once lost to another writer', async () => {
    for (let n = 1; n <= 6; n++) {
      const house = fleet(250)
      house.table.trouble({ lose: [n] })
      expect((await run(house)).failed).toBe(0)
      expectAllTold(house, 250)
    }
  })

  test('everything lost for a whole hour is made good the next', async () => {
    const house = fleet(4)
    house.table.trouble({ lose: Array.from({ length: 50 }, (_, i) => i + 1) })
    expect(await run(house)).toEqual({ rounds: 2, digests: 0, failed: 0, left: 0 })
    expect(told(house)).toEqual([])
    house.table.trouble({})
    house.at('2026-03-02T16:00:00.000Z')
    await run(house)
    expectAllTold(house, 4)
  })

  test('a stick tested while the run is under way keeps its test, and no one waits for it', async () => {
    const house = fleet(60)
    const passes = () => house.done('POST', '/v1/sticks/S-060/bench-tests', aTest({ testedOn: day('2026-03-01') }))
    house.table.trouble({ meanwhile: { before: 2, what: once(passes) } })
    expect((await run(house)).failed).toBe(0)
    expect(told(house)).toEqual([`2026-03-02 ${ana}`, `2026-03-02 ${bo}`])
    expect((await house.call('GET', '/v1/sticks/S-060')).json).toMatchObject({ dueOn: '2028-03-01' })
    const others = states(house).filter((one) => one.stickId !== 'S-060')
    expect(others).toHaveLength(59)
    for (const one of others) expect(one.told?.through).toBe('2026-03-02')
  })

  test('rules that change while the run is under way are those by which it goes on', async () => {
    const house = fleet(60)
    const shorten = [{ requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 12 }, source: 'company rule 7' }]
    const changes = async () => {
      await house.done('PUT', '/v1/policies/employer', { packs: ['us-29-cfr-1910-269-j'], shorten })
      await reindex(house.table, house.clock(), () => true)
    }
    house.table.trouble({ meanwhile: { before: 2, what: once(changes) } })
    await run(house)
    house.table.trouble({})
    const editions = new Set(states(house).map(({ writtenUnder }) => writtenUnder))
    expect([...editions]).toEqual([expect.stringMatching(/^2026-03-02#/)])
    expect(new Set(states(house).map(({ shownDueOn }) => shownDueOn))).toEqual(new Set(['2025-03-04']))
    house.at('2026-03-03T15:00:00.000Z')
    await run(house)
    const [tomorrow] = digests(house).filter(({ day: on, to }) => on === '2026-03-03' && to.email === ana)
    expect(tomorrow?.lines).toHaveLength(60)
    expect(new Set(tomorrow?.lines.map(({ dueOn }) => dueOn))).toEqual(new Set(['2025-03-04']))
  })

  test('an index that has not caught up with the last run tells nobody twice', async () => {
    const house = fleet(60)
    const before = house.table.written()
    await run(house)
    house.table.trouble({ indexLag: house.table.written() - before })
    house.at('2026-03-02T16:00:00.000Z')
    expect(await run(house)).toEqual({ rounds: 2, digests: 0, failed: 0, left: 0 })
    expect(told(house)).toEqual([`2026-03-02 ${ana}`, `2026-03-02 ${bo}`])
    for (const one of states(house)) expect(one.told?.through).toBe('2026-03-02')
  })

  test('nor does one that is a day behind speak again of a step that was told', async () => {
    const house = openHouse(furnished)
    await due(house, 'S-1', '2024-04-01')
    const before = house.table.written()
    await run(house)
    house.table.trouble({ indexLag: house.table.written() - before })
    house.at('2026-03-03T15:00:00.000Z')
    expect(await run(house)).toEqual({ rounds: 2, digests: 0, failed: 0, left: 0 })
    expect(told(house)).toEqual([`2026-03-02 ${ana}`, `2026-03-02 ${bo}`])
  })

  test('a stick that an index shows at two depots at once is told once', async () => {
    const house = openHouse(furnished)
    await due(house, 'S-1')
    const { depotTell } = house.organisation().keys
    const twice = (range: Range) =>
      house.table.page(
        range.partition[1] === depotTell('DEP-2')
          ? { ...range, partition: ['depotTellKey', depotTell('DEP-1')] }
          : range,
      )
    house.table.settled()
    expect(await sweep({ ...house.table, page: twice }, house.clock)).toMatchObject({ failed: 0, digests: 2 })
    expect(digests(house).map(sticksIn)).toEqual([['S-1'], ['S-1']])
  })
})

describe('mornings missed and mornings late', () => {
  test('nine days asleep over several steps: told once on waking, then at the next step', async () => {
    const house = openHouse(furnished, '2026-02-10T15:00:00.000Z')
    await due(house, 'S-1')
    await run(house)
    house.at('2026-02-26T15:00:00.000Z')
    await run(house)
    house.at('2026-02-27T15:00:00.000Z')
    await run(house)
    house.at('2026-03-03T15:00:00.000Z')
    await run(house)
    const days = ['2026-02-10', '2026-02-26', '2026-03-03']
    expect(told(house)).toEqual(days.flatMap((on) => [`${on} ${ana}`, `${on} ${bo}`]))
  })

  test('a stick that enters late the same morning waits until tomorrow rather than send a second mail', async () => {
    const house = fleet(4)
    await run(house)
    await due(house, 'S-late')
    house.at('2026-03-02T18:00:00.000Z')
    await run(house)
    expectAllTold(openHouse(house.table.items().filter((item) => !item.pk.includes('S-late'))), 4)
    expect(states(house).find((one) => one.stickId === 'S-late')?.told).toBeNull()
    house.at('2026-03-03T15:00:00.000Z')
    await run(house)
    expect(digests(house).slice(2).map(sticksIn)).toEqual([
      [...numbered(4), 'S-late'],
      [...numbered(4), 'S-late'],
    ])
  })

  test('a crew whose first stick enters late is told the same day', async () => {
    const house = fleet(4)
    await run(house)
    await due(house, 'S-late', '2024-03-04', 'CR-2')
    house.at('2026-03-02T18:00:00.000Z')
    await run(house)
    expect(told(house)).toEqual([`2026-03-02 ${ana}`, `2026-03-02 ${bo}`, `2026-03-02 ${cy}`])
  })

  test('before the depot’s hour nothing is sent', async () => {
    const house = fleet(4, '2026-03-02T11:59:00.000Z')
    expect(await run(house)).toEqual({ rounds: 1, digests: 0, failed: 0, left: 0 })
    house.at('2026-03-02T12:00:00.000Z')
    expect(await run(house)).toMatchObject({ digests: 2 })
  })

  test('one organisation with too much for its share of the time goes on after the others, and finishes', async () => {
    const house = fleet(250)
    await othersHave(house)
    await due(house, 'S-theirs', '2024-03-04', 'CR-1', 'other owner')
    house.table.settled()
    // looking at a page takes one, and so does each asking
    let left = 34
    const outcome = await sweep(house.table, house.clock, () => left--)
    expect(outcome).toMatchObject({ failed: 0, left: 0 })
    expect(
      digests(house)
        .map(({ organisation }) => organisation)
        .sort(),
    ).toEqual(['demo-utility', 'demo-utility', 'other-utility'])
    expect(digests(house)[0]?.organisation).toBe('other-utility')
  })

  test('what one run has no time for the next takes up, and nobody hears twice', async () => {
    const house = fleet(250)
    for (let left = 4; left < 60; left += 4) {
      let asked = left
      house.table.settled()
      await sweep(house.table, house.clock, () => asked--)
    }
    expect(await run(house)).toMatchObject({ digests: 0, left: 0 })
    expect(told(house).sort()).toEqual([`2026-03-02 ${ana}`, `2026-03-02 ${bo}`])
  })

  test('another organisation goes first with each hour', async () => {
    const first = new Set<string>()
    for (let hour = 12; hour < 18; hour++) {
      const house = fleet(4, `2026-03-02T${hour}:00:00.000Z`)
      await othersHave(house)
      await due(house, 'S-theirs', '2024-03-04', 'CR-1', 'other owner')
      await run(house)
      const [digest] = house.table.items().filter((item) => item.kind === 'digest')
      first.add(String(digest?.organisation))
    }
    expect(first.size).toBe(2)
  })

  test('one organisation in trouble keeps no other waiting', async () => {
    const house = fleet(4)
    await othersHave(house)
    await due(house, 'S-theirs', '2024-03-04', 'CR-1', 'other owner')
    const failing = {
      ...house.table,
      page: (range: Range) =>
        range.index !== undefined && range.partition[1].startsWith('ORG#demo-utility#')
          ? Promise.reject(new Error('away'))
          : house.table.page(range),
    }
    house.table.settled()
    const outcome = await sweep(failing, house.clock)
    expect(outcome.failed).toBeGreaterThan(0)
    expect(digests(house).map((digest) => digest.organisation)).toEqual(['other-utility'])
  })
})

/** Another organisation with a crew, a person and a stick of the same names. */
async function othersHave(house: House): Promise<void> {
  const put = (path: string, body: object) => house.done('PUT', path, body, 'other owner')
  const [first] = aCrew.recipients
  await put('/v1/depots/DEP-1', aDepot)
  await put('/v1/crews/CR-1', { ...aCrew, name: 'Theirs', recipients: [first] })
  await put('/v1/instruments/INS-1', anInstrument)
  await put('/v1/procedures/PRC-1', aProcedure)
}

/** Hourly from one instant to another, on the hour as the scheduler is. */
async function hourly(house: House, from: string, to: string): Promise<void> {
  for (let now = from as Instant; now <= (to as Instant); now = addSeconds(now, 3600)) {
    house.at(now)
    const { failed } = await run(house)
    if (failed > 0) throw new Error(`the run at ${now} failed`)
  }
}

describe('each depot by its own day and hour', () => {
  /** Two crews with an overdue stick each, told every day; who was told on which day, and when. */
  async function everyDay(depots: Record<string, { timeZone: string; sweepHour: number }>, from: string, to: string) {
    const house = openHouse(furnished, from)
    const rules = { packs: ['us-29-cfr-1910-269-j'], tellOverdueEveryDays: 1, effectiveFrom: '2020-01-01' }
    await house.done('PUT', '/v1/policies/employer', rules)
    for (const [id, depot] of Object.entries(depots))
      await house.done('PUT', `/v1/depots/${id}`, { ...aDepot, ...depot })
    await due(house, 'S-1', '2024-02-01')
    await due(house, 'S-2', '2024-02-01', 'CR-2')
    await hourly(house, from, to)
    // the first day began before the first run
    return (email: string) =>
      digests(house)
        .filter((digest) => digest.to.email === email)
        .slice(1)
        .map((digest) => `${digest.day} ${digest.owedAt.slice(0, 16)}`)
  }

  test('two depots, one a quarter and one a half hour off: each at six on its own wall, on its own day', async () => {
    const depots = {
      'DEP-1': { timeZone: 'Asia/Kathmandu', sweepHour: 6 },
      'DEP-2': { timeZone: 'America/St_Johns', sweepHour: 6 },
    }
    const when = await everyDay(depots, '2026-03-01T12:00:00.000Z', '2026-03-05T00:00:00.000Z')
    expect(when(ana)).toEqual([
      '2026-03-02 2026-03-02T01:00',
      '2026-03-03 2026-03-03T01:00',
      '2026-03-04 2026-03-04T01:00',
    ])
    expect(when(cy)).toEqual([
      '2026-03-02 2026-03-02T10:00',
      '2026-03-03 2026-03-03T10:00',
      '2026-03-04 2026-03-04T10:00',
    ])
  })

  test('late in the evening, where the day of the depot and that of the world differ', async () => {
    const depots = {
      'DEP-1': { timeZone: 'Pacific/Apia', sweepHour: 0 },
      'DEP-2': { timeZone: 'America/Los_Angeles', sweepHour: 23 },
    }
    const when = await everyDay(depots, '2026-03-01T12:00:00.000Z', '2026-03-04T09:00:00.000Z')
    expect(when(ana)).toEqual(['2026-03-03 2026-03-02T11:00', '2026-03-04 2026-03-03T11:00'])
    expect(when(cy)).toEqual(['2026-03-02 2026-03-03T07:00', '2026-03-03 2026-03-04T07:00'])
  })

  const chicago = (sweepHour: number) => ({
    'DEP-1': { timeZone: 'America/Chicago', sweepHour },
    'DEP-2': { timeZone: 'America/Chicago', sweepHour },
  })

  // kelektiv/node-cron 563, node-cron 509
  test.each([
    [6, ['2026-03-07 2026-03-07T12:00', '2026-03-08 2026-03-08T11:00', '2026-03-09 2026-03-09T11:00']],
    [2, ['2026-03-07 2026-03-07T08:00', '2026-03-08 2026-03-08T08:00', '2026-03-09 2026-03-09T07:00']],
  ])('on the day whose hour 2 does not exist: told once, at hour %i or the next there is', async (hour, days) => {
    const when = await everyDay(chicago(hour), '2026-03-06T18:00:00.000Z', '2026-03-09T20:00:00.000Z')
    expect(when(ana)).toEqual(days)
    expect(when(cy)).toEqual(days)
  })

  test.each([
    [6, ['2026-10-31 2026-10-31T11:00', '2026-11-01 2026-11-01T12:00', '2026-11-02 2026-11-02T12:00']],
    [1, ['2026-10-31 2026-10-31T06:00', '2026-11-01 2026-11-01T06:00', '2026-11-02 2026-11-02T07:00']],
  ])('on the day whose hour 1 comes twice: told once, at hour %i', async (hour, days) => {
    const when = await everyDay(chicago(hour), '2026-10-30T18:00:00.000Z', '2026-11-02T20:00:00.000Z')
    expect(when(ana)).toEqual(days)
    expect(when(cy)).toEqual(days)
  })
})

describe('who is told of what', () => {
  test('another organisation’s sticks are never in a digest, though crew and depot have the same names', async () => {
    const house = fleet(4)
    await othersHave(house)
    await due(house, 'S-001', '2024-03-04', 'CR-1', 'other owner')
    await due(house, 'S-theirs', '2024-03-04', 'CR-1', 'other owner')
    await run(house)
    const seen = digests(house).map((digest) => [digest.organisation, digest.to.email, sticksIn(digest)])
    expect(seen.sort()).toEqual([
      ['demo-utility', ana, numbered(4)],
      ['demo-utility', bo, numbered(4)],
      ['other-utility', ana, ['S-001', 'S-theirs']],
    ])
    for (const digest of digests(house).filter((one) => one.organisation === 'other-utility'))
      for (const one of digest.lines) expect(one.crewName).toBe('Theirs')
  })

  const withoutMail = (house: House) =>
    house.done('PUT', '/v1/crews/CR-1', {
      ...aCrew,
      recipients: [{ name: 'Di Voss', phone: '555 0100', role: 'foreman' }],
    })

  test('a crew without mail: the managers of its depot, each asked to tell it in person', async () => {
    const house = fleet(4)
    await withoutMail(house)
    await run(house)
    expect(told(house).sort()).toEqual(managers.map((email) => `2026-03-02 ${email}`))
    for (const digest of digests(house)) {
      expect(sticksIn(digest)).toEqual(numbered(4))
      expect(digest.to.tellInPerson).toEqual([{ name: 'Di Voss', phone: '555 0100' }])
    }
  })

  test('a crew member without mail: the foreman tells, once for all the sticks', async () => {
    const house = fleet(4)
    const recipients = [...aCrew.recipients, { name: 'Di Voss', phone: '555 0100', role: 'crew' }]
    await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients })
    await run(house)
    expect(
      digests(house)
        .map(({ to }) => [to.email, to.tellInPerson.map((one) => one.name)])
        .sort(),
    ).toEqual([
      [ana, []],
      [bo, ['Di Voss']],
    ])
  })

  test('a stick with no crew: the managers', async () => {
    const house = openHouse(furnished)
    await due(house, 'S-1', '2024-03-04', null)
    await run(house)
    const everyManager = [...managers, 'sol@demo-utility.example']
    expect(told(house).sort()).toEqual(everyManager.map((email) => `2026-03-02 ${email}`))
    expect(digests(house)[0]?.lines).toMatchObject([{ stickId: 'S-1', crewId: null, crewName: null, bringTo: null }])
  })

  test('a stick nobody can be told of stays due to be told, and is told when somebody can be', async () => {
    const before = fleet(4)
    await withoutMail(before)
    const isOfPerson = (item: Item) => item.pk.includes('#person')
    const house = openHouse(before.table.items().filter((item) => !isOfPerson(item)))
    expect(await run(house)).toEqual({ rounds: 2, digests: 0, failed: 0, left: 0 })
    const later = openHouse(
      [...house.table.items(), ...before.table.items().filter(isOfPerson)],
      '2026-03-02T16:00:00.000Z',
    )
    await later.done('PUT', '/v1/crews/CR-1', aCrew)
    await run(later)
    expectAllTold(later, 4)
  })
})

describe('a great many at once', () => {
  const crewOf = (size: number) =>
    Array.from({ length: size }, (_, i) => ({ name: `Person ${i}`, email: `p${i}@crew-one.example`, role: 'crew' }))

  test('a crew of 40 with 250 sticks: forty digests, more than one transaction may carry', async () => {
    const house = fleet(250)
    await house.done('PUT', '/v1/depots/DEP-1', { ...aDepot, name: 'Yard '.repeat(24) })
    await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, name: '電力'.repeat(60), recipients: crewOf(40) })
    expect(await run(house)).toEqual({ rounds: 2, digests: 40, failed: 0, left: 0 })
    for (const digest of digests(house)) expect(sticksIn(digest)).toEqual(numbered(250))
    for (const one of states(house)) expect(one.told?.through).toBe('2026-03-02')
  })

  test('more sticks than one digest can hold: the worst of each crew by name, the rest counted, at once', async () => {
    const house = openHouse(furnished)
    await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, name: '電力'.repeat(60) })
    await due(house, 'S-0', '2024-03-04')
    const [state] = states(house)
    for (let i = 1; i <= 800; i++) {
      const stickId = `S-${i}`
      const item = { ...state, pk: house.organisation().keys.stick(stickId), sk: 'STATE', stickId }
      const sorts = { standingSort: `2026-03-04#${stickId}`, nextTellOn: `2026-01-03#${stickId}` }
      await house.table.transact([house.table.put({ ...item, ...sorts })])
    }
    await due(house, 'S-worst', '2024-02-20')
    // the one that is overdue goes to the managers too
    expect(await run(house)).toMatchObject({ digests: 4, failed: 0 })
    const [first] = digests(house).filter(({ to }) => to.email === ana)
    expect(first?.lines[0]?.stickId).toBe('S-worst')
    for (const digest of digests(house).filter(({ to }) => [ana, bo].includes(to.email))) {
      expect(digest.lines.length).toBeLessThan(802)
      expect(digest.lines.length + (digest.more ?? 0)).toBe(802)
    }
    // the managers hear of the one that is overdue alone: a crew's many sticks take no room of theirs
    for (const digest of digests(house).filter(({ to }) => managers.includes(to.email))) {
      expect(sticksIn(digest)).toEqual(['S-worst'])
    }
    for (const { told } of states(house)) expect(told).toMatchObject({ through: '2026-03-02' })
    house.at('2026-03-02T16:00:00.000Z')
    expect(await run(house)).toMatchObject({ digests: 0, failed: 0 })
  })

  test('three crews of 40, broken off between two pages of digests, then run again: one each', async () => {
    const house = openHouse(furnished)
    for (const crew of ['CR-1', 'CR-2', 'CR-3']) {
      const recipients = crewOf(40).map((one) => ({ ...one, email: `${crew}-${one.email}` }))
      await house.done('PUT', `/v1/crews/${crew}`, { ...aCrew, recipients })
      await due(house, `S-${crew}`, '2024-03-04', crew)
    }
    house.table.trouble({ crashAfter: 1 })
    await run(house)
    expect(digests(house).length).toBeGreaterThan(0)
    expect(digests(house).length).toBeLessThan(120)
    house.table.trouble({})
    await run(house)
    expect(new Set(told(house)).size).toBe(120)
    expect(told(house)).toHaveLength(120)
  })
})
