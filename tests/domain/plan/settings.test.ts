/** A depot's bench as its manager entered it, what a plan makes of that, and what is tried on it. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, type CalendarDate, daysBetween, mondayOf } from '../../../shared-domain/calendar.ts'
import { plannedWeekOf } from '../../../shared-domain/notices/planned-week.ts'
import { benchPlan } from '../../../shared-domain/plan/bench-plan.ts'
import { depotPlanOf, type PlannedWeek, weekOfEach } from '../../../shared-domain/plan/depot-plan.ts'
import {
  type DepotBench,
  needsOfDepot,
  type PlanSettings,
  type StickOfDepot,
  settingsFrom,
  usualWork,
} from '../../../shared-domain/plan/settings.ts'
import { comesTo, triedOn } from '../../../shared-domain/plan/trial.ts'
import { constructions } from '../../../shared-domain/words.ts'
import { day } from '../../support/trade.ts'
import { anyNeeds } from './any-needs.ts'

const settings: PlanSettings = {
  weekMinutes: 1000,
  weeks: [],
  work: usualWork,
  weeksAway: 1,
  marginWeeks: 1,
  mostWeeksEarly: 12,
  keepPercent: 0,
  cover: [],
  pins: [],
  lockedWeeks: [],
}
const monday = day('2026-03-02')
const aStick: StickOfDepot = {
  stickId: 'S-1',
  crewId: 'CR-1',
  construction: 'FRP rod',
  workingLengthMetres: 2.4,
  dueOn: day('2026-05-03'),
  isUsable: true,
  isAtBench: false,
}
const bench: DepotBench = {
  today: monday,
  settings,
  measured: { spanMetres: 0.3, leastOverlapMetres: 0.05 },
  sticks: [aStick],
  earlier: new Map(),
}
const noSolver = () => null
const effort = { gap: 0, seconds: 0 }

function planOf(one: DepotBench, before: readonly PlannedWeek[] = []) {
  const of = needsOfDepot({ ...one, earlier: weekOfEach(before) })
  const plan = benchPlan(of.needs, noSolver, effort)
  const dueOn = new Map(one.sticks.map(({ stickId, dueOn: on }) => [stickId, on]))
  return depotPlanOf({ of, plan, dueOn, today: one.today, before })
}

describe('minutes of a week', () => {
  const minutes = (today: CalendarDate, more: Partial<PlanSettings> = {}) =>
    needsOfDepot({ ...bench, today, settings: { ...settings, ...more } }).needs.capacityMinutes.slice(0, 3)

  test.each([
    ['2026-03-02', [1000, 1000, 1000]],
    ['2026-03-05', [400, 1000, 1000]], // a Thursday: two days of five are left
    ['2026-03-07', [0, 1000, 1000]],
    ['2026-03-08', [0, 1000, 1000]],
  ] as const)('of a usual week that has begun, those of the days that are left: %s', (today, expected) => {
    expect(minutes(day(today))).toEqual(expected)
  })

  test('of a week of which somebody said them, just those', () => {
    const weeks = [
      { week: monday, minutes: 90 },
      { week: addDays(monday, 14), minutes: 0 },
    ]
    expect(minutes(day('2026-03-05'), { weeks })).toEqual([90, 1000, 0])
  })
})

describe('sticks that may be away', () => {
  const three = ['S-1', 'S-2', 'S-3'].map((stickId) => ({ ...aStick, stickId }))
  const away = (more: Partial<PlanSettings>, sticks: readonly StickOfDepot[] = three) =>
    needsOfDepot({ ...bench, sticks, settings: { ...settings, ...more } }).needs.cover.map((one) => one.mayBeAway[0])

  test('a share of them stays, rounded down; of a single one none has to', () => {
    expect(away({ keepPercent: 50 })).toEqual([2])
    expect(away({ keepPercent: 50 }, [aStick])).toEqual([1])
  })
  test('what lies at the bench is away already, and what is overdue covers nothing', () => {
    const [one, other, third] = three
    const sticks = [{ ...one, isAtBench: true }, { ...other, isUsable: false }, third] as StickOfDepot[]
    expect(away({ keepPercent: 50 }, sticks)).toEqual([0])
  })
  test('a row for a crew stands in place of the share, and constructions stand in for each other', () => {
    const sticks = [...three, { ...aStick, stickId: 'W-1', construction: 'wood' as const }]
    const cover = [{ crewId: 'CR-1', constructions: ['FRP rod', 'wood'] as const, least: 3, loaners: 1 }]
    expect(away({ keepPercent: 100, cover }, sticks)).toEqual([2])
  })
})

test('weeks that are past are dropped from the settings, the one of today is not', () => {
  const past = addDays(monday, -7)
  const kept = settingsFrom(
    {
      ...settings,
      weeks: [past, monday].map((week) => ({ week, minutes: 0 })),
      pins: [{ stickId: 'S-1', week: past }],
      lockedWeeks: [past, monday],
    },
    day('2026-03-05'),
  )
  expect(kept).toMatchObject({ weeks: [{ week: monday, minutes: 0 }], pins: [], lockedWeeks: [monday] })
})

describe('by chance', () => {
  const anyDay = fc.integer({ min: 0, max: 400 }).map((days) => addDays(monday, days - 20))
  const anySettings: fc.Arbitrary<PlanSettings> = fc.record({
    weekMinutes: fc.integer({ min: 0, max: 300 }),
    weeks: fc.array(fc.record({ week: anyDay.map(mondayOf), minutes: fc.constantFrom(0, 100, 1000) }), {
      maxLength: 4,
    }),
    work: fc.constant(usualWork),
    weeksAway: fc.integer({ min: 1, max: 3 }),
    marginWeeks: fc.integer({ min: 0, max: 3 }),
    mostWeeksEarly: fc.integer({ min: 0, max: 20 }),
    keepPercent: fc.integer({ min: 0, max: 100 }),
    cover: fc.constant([]),
    pins: fc.array(fc.record({ stickId: fc.constantFrom('S-0', 'S-1'), week: anyDay.map(mondayOf) }), { maxLength: 2 }),
    lockedWeeks: fc.array(anyDay.map(mondayOf), { maxLength: 2 }),
  })
  const anySticks = fc
    .array(
      fc.record({
        crewId: fc.constantFrom('CR-1', 'CR-2', null),
        construction: fc.constantFrom(...constructions),
        workingLengthMetres: fc.constantFrom(1.2, 2.4, 3.6),
        dueOn: anyDay,
        isUsable: fc.boolean(),
        isAtBench: fc.boolean(),
      }),
      { maxLength: 12 },
    )
    .map((sticks) => sticks.map((stick, i) => ({ ...stick, stickId: `S-${i}` })))
  const anyBench = fc
    .record({
      today: fc.integer({ min: 0, max: 6 }).map((days) => addDays(monday, days)),
      settings: anySettings,
      sticks: anySticks,
    })
    .map((one): DepotBench => ({ ...bench, ...one }))

  test('every stick due within the year has a week that ends by its date, or is called in at once', () => {
    fc.assert(
      fc.property(anyBench, (one) => {
        const { weeks } = planOf(one)
        const weekOf = new Map(
          weeks.flatMap(({ week, sticks }) => sticks.map(({ stickId }) => [stickId, week] as const)),
        )
        for (const { stickId, dueOn } of one.sticks) {
          const week = weekOf.get(stickId)
          const last = addDays(mondayOf(one.today), 52 * 7 - 1)
          if (week === undefined) expect(dueOn > last).toBe(true)
          else if (week !== mondayOf(one.today)) expect(daysBetween(addDays(week, 6), dueOn)).toBeGreaterThanOrEqual(0)
        }
      }),
    )
  })

  test('what a bench lacks is what its weeks take beyond their minutes, and the week names its sticks', () => {
    fc.assert(
      fc.property(anyBench, (one) => {
        const { weeks, broken } = planOf(one)
        const over = weeks.flatMap(({ week, capacityMinutes, sticks }) => {
          const minutes = sticks.reduce((sum, stick) => sum + stick.minutes, 0) - capacityMinutes
          return minutes > 0
            ? [{ is: 'bench short', week, minutes, stickIds: sticks.map(({ stickId }) => stickId).sort() }]
            : []
        })
        expect(broken.filter(({ is }) => is === 'bench short')).toEqual(over)
      }),
    )
  })

  test('made again of the same, a plan changes nothing', () => {
    fc.assert(
      fc.property(anyBench, (one) => {
        const first = planOf(one)
        const again = planOf(one, first.weeks)
        expect([again.changes, again.changed]).toEqual([[], 0])
        expect(again.weeks).toEqual(first.weeks)
      }),
    )
  })

  test('more hours a week never make more days overdue', () => {
    fc.assert(
      fc.property(anyBench, fc.integer({ min: 0, max: 300 }), (one, more) => {
        const tried = { weekMinutes: one.settings.weekMinutes + more }
        expect(comesTo(triedOn(one, tried), tried).daysOverdue).toBeLessThanOrEqual(comesTo(one, {}).daysOverdue)
      }),
    )
  })

  test('where nothing is tried, nothing follows', () => {
    fc.assert(
      fc.property(anyBench, (one) => {
        expect(comesTo(triedOn(one, {}), {})).toEqual(comesTo(one, {}))
      }),
    )
  })

  test('just so much as a plan says that it lacks mends it, whoever solves', () => {
    fc.assert(
      fc.property(anyNeeds, (any) => {
        const needs = { ...any, mostWeeksEarly: 6 }
        const first = benchPlan(needs, noSolver, effort)
        const weekOf = new Map(first.placed.map(({ stickId, week }) => [stickId, week]))
        const capacityMinutes = [...needs.capacityMinutes]
        const cover = needs.cover.map((one) => ({ ...one, mayBeAway: [...one.mayBeAway] }))
        for (const one of first.reckoning.lacking) {
          if (one.is === 'bench short') capacityMinutes[one.week] = (capacityMinutes[one.week] ?? 0) + one.minutes
          if (one.is !== 'crew short') continue
          for (const row of cover.filter(({ crewId, kinds }) => crewId === one.crewId && kinds === one.kinds))
            row.mayBeAway[one.week] = (row.mayBeAway[one.week] ?? 0) + one.sticks
        }
        const sticks = needs.sticks.map((one) => ({ ...one, earlierWeek: weekOf.get(one.stickId) ?? one.earlierWeek }))
        const mended = { ...needs, capacityMinutes, cover, sticks }
        expect(benchPlan(mended, noSolver, effort).reckoning.lackingMinutes).toBe(0)
      }),
    )
  })
})

describe('tried, by hand', () => {
  // 2.4 m takes 2 × 10 × 4 × 0.5 + 10 + 10 = 60 minutes, and a twentieth of 60 + 50 more: 66
  const four = ['S-1', 'S-2', 'S-3', 'S-4'].map((stickId) => ({ ...aStick, stickId, dueOn: day('2026-03-08') }))
  const tight = { ...bench, sticks: four, settings: { ...settings, weekMinutes: 132 } }

  test('four sticks due in the first week, with room for two: two are seven days late, and 132 minutes lack', () => {
    expect(comesTo(tight, {})).toEqual({ overtimeMinutes: 132, crewsLack: 0, weeksLost: 0, daysOverdue: 14 })
  })
  test('a closed first week makes all later by a week; a week more of time mends it', () => {
    const closed = { from: monday, weeks: 1 }
    expect(comesTo(triedOn(tight, { closed }), {}).daysOverdue).toBe(2 * 7 + 2 * 14)
    expect(comesTo(triedOn(tight, { earlierByWeeks: -1 }), {})).toMatchObject({ overtimeMinutes: 0, daysOverdue: 0 })
  })
  test('a loaner for each crew stands in for a stick that is away', () => {
    const stripped = { ...tight, settings: { ...tight.settings, weekMinutes: 1000, keepPercent: 100 } }
    expect(comesTo(stripped, {}).crewsLack).toBe(4)
    expect(comesTo(stripped, { loaners: 3 }).crewsLack).toBe(1)
  })
})

describe('the week that is told of a stick', () => {
  const planned = new Map([['S-1', { week: day('2026-03-09'), dueOn: day('2026-03-20') }]])
  const told = (on: string, dueOn: string | null = '2026-03-20') =>
    plannedWeekOf(planned, { stickId: 'S-1', dueOn: dueOn === null ? null : day(dueOn), day: day(on) })

  test('is that of the plan, through its Sunday', () => {
    expect([told('2026-03-02'), told('2026-03-15')]).toEqual(['2026-03-09', '2026-03-09'])
  })
  test('is none once it is over, where the due date moved, where there is none, and where nothing is planned', () => {
    expect([told('2026-03-16'), told('2026-03-02', '2026-03-14'), told('2026-03-02', null)]).toEqual([
      undefined,
      undefined,
      undefined,
    ])
    const other = { stickId: 'S-2', dueOn: day('2026-03-20'), day: monday }
    expect([plannedWeekOf(planned, other), plannedWeekOf(undefined, other)]).toEqual([undefined, undefined])
  })
  test('is none where the week ends after the due date', () => {
    const late = new Map([['S-1', { week: day('2026-03-09'), dueOn: day('2026-03-14') }]])
    expect(plannedWeekOf(late, { stickId: 'S-1', dueOn: day('2026-03-14'), day: monday })).toBeUndefined()
  })
})
