/** A plan of the bench without a solver, with one that lies, and its parts by hand. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { benchMinutesFor, mayBeAwayIn, spansOver } from '../../../shared-domain/plan/bench-minutes.ts'
import { benchPlan, type Solved } from '../../../shared-domain/plan/bench-plan.ts'
import { greedyPlan } from '../../../shared-domain/plan/greedy.ts'
import {
  costOfWeek,
  lastWeekBy,
  type PlanNeeds,
  type StickToPlan,
  weekOfDay,
  weeksOpenTo,
} from '../../../shared-domain/plan/needs.ts'
import { reckoningOf } from '../../../shared-domain/plan/reckoning.ts'
import { classesOf, countsIn, countsOfClass, placedBy, statementOf } from '../../../shared-domain/plan/statement.ts'
import { tries } from '../../support/tier.ts'
import { day } from '../../support/trade.ts'
import { anyNeeds } from './any-needs.ts'

const many = { seed: 1910269, numRuns: tries(5_000, 500) }

const stick = (stickId: string, of: Partial<StickToPlan> = {}): StickToPlan => ({
  stickId,
  crewId: 'CR-1',
  kind: 'long',
  benchMinutes: 60,
  weeksAway: 1,
  lastWeek: 3,
  earlierWeek: null,
  pinnedWeek: null,
  ...of,
})
const needs = (of: Partial<PlanNeeds> = {}): PlanNeeds => ({
  capacityMinutes: [120, 120, 120, 120],
  lockedWeeks: [],
  cover: [],
  sticks: [],
  mostWeeksEarly: 13,
  marginWeeks: 0,
  ...of,
})
const effort = { gap: 0, seconds: 1 }

describe('weeks', () => {
  test('the last one ends by the due date: a week ends with its Sunday', () => {
    const monday = day('2026-03-02')
    // ISO 8601: 2026-03-02 is a Monday
    expect(
      ['2026-03-01', '2026-03-07', '2026-03-08', '2026-03-14', '2026-03-15'].map((on) => lastWeekBy(day(on), monday)),
    ).toEqual([-1, -1, 0, 0, 1])
    expect(['2026-03-01', '2026-03-02', '2026-03-08', '2026-03-09'].map((on) => weekOfDay(day(on), monday))).toEqual([
      -1, 0, 0, 1,
    ])
  })

  test.each([
    ['up to the last one', {}, {}, [0, 1, 2, 3]],
    ['not too early', {}, { mostWeeksEarly: 1 }, [2, 3]],
    [
      'earlier where the bench is closed all that time',
      {},
      { mostWeeksEarly: 1, capacityMinutes: [9, 9, 0, 0] },
      [0, 1, 2, 3],
    ],
    ['not earlier where it is closed for ever', {}, { mostWeeksEarly: 1, capacityMinutes: [0, 0, 0, 0] }, [2, 3]],
    ['a pin', { pinnedWeek: 2 }, {}, [2]],
    ['a pin after the due date is none', { pinnedWeek: 3, lastWeek: 1 }, {}, [0, 1]],
    ['not a locked week', {}, { lockedWeeks: [3] }, [0, 1, 2]],
    ['the locked week it was planned for', { earlierWeek: 1 }, { lockedWeeks: [1] }, [1]],
    ['a lock stands above a pin', { earlierWeek: 1, pinnedWeek: 2 }, { lockedWeeks: [1] }, [1]],
    ['nobody is pinned into a locked week', { pinnedWeek: 3 }, { lockedWeeks: [3] }, [0, 1, 2]],
    ['a due date stands above a lock', { earlierWeek: 3, lastWeek: 1 }, { lockedWeeks: [3] }, [0, 1]],
    ['and where all is locked before it', { lastWeek: 1 }, { lockedWeeks: [0, 1] }, [1]],
    ['what is due before the first week ends: at once', { lastWeek: -5 }, {}, [0]],
  ])('open to a stick: %s', (_, of, so, weeks) => {
    expect(weeksOpenTo(stick('A', of), needs(so))).toEqual(weeks)
  })

  test('cost what is lost of the interval, three times as much in the margin, and two for a move', () => {
    const costs = (of: Partial<StickToPlan>) =>
      [0, 1, 2, 3].map((week) => costOfWeek(stick('A', of), week, needs({ marginWeeks: 1 })))
    expect(costs({})).toEqual([2, 1, 0, 3])
    expect(costs({ earlierWeek: 1 })).toEqual([4, 1, 2, 5])
    expect(costs({ lastWeek: 0 })[0]).toBe(0)
  })
})

describe('minutes', () => {
  const work = {
    setUpMinutes: 10,
    readingMinutes: 1.5,
    wettingMinutes: 15,
    refinishingMinutes: 80,
    failingShare: 0,
    spanMetres: 0.3,
    leastOverlapMetres: 0.05,
  }
  test('by hand: 2.4 m in spans of 0.3 m that overlap by 0.05 m are ten, four turns of each, dry and wet', () => {
    // (2.4 − 0.05) / (0.3 − 0.05) = 9.4
    expect(spansOver(2.4, work)).toBe(10)
    expect(spansOver(2.3, work)).toBe(9)
    expect(spansOver(0.2, work)).toBe(1)
    const at = { construction: 'FRP rod', workingLengthMetres: 2.4 } as const
    expect(benchMinutesFor(at, work)).toBe(10 + 2 * 10 * 4 * 1.5 + 15)
    expect(benchMinutesFor({ ...at, construction: 'wood' }, work)).toBe(10 + 10 * 4 * 1.5)
    // a tenth of them is refinished and read again: 0.1 × (80 + 135)
    expect(benchMinutesFor(at, { ...work, failingShare: 0.1 })).toBe(Math.ceil(145 + 21.5))
  })

  test('of a crew those may be away that it does not need, loaners among them, less those away already', () => {
    expect(mayBeAwayIn(3, { has: 5, needs: 4, loaners: 1, awayAlready: [3, 1] })).toEqual([0, 1, 2])
  })
})

describe('the greedy plan', () => {
  test('takes the latest week with room, the earliest due first', () => {
    const sticks = [stick('A'), stick('B', { lastWeek: 2 }), stick('C'), stick('D')]
    const placed = greedyPlan(needs({ sticks, capacityMinutes: [120, 120, 60, 60] }))
    expect(placed.map(({ stickId, week }) => [stickId, week])).toEqual([
      ['B', 2],
      ['A', 3],
      ['C', 1],
      ['D', 1],
    ])
  })

  test('keeps no date before itself: any case is planned without a fault, and none is late', () => {
    fc.assert(
      fc.property(anyNeeds, (any) => {
        const placed = greedyPlan(any)
        expect(reckoningOf(any, placed).faults).toEqual([])
        for (const { stickId, week } of placed) {
          const { lastWeek } = any.sticks.find((one) => one.stickId === stickId) ?? { lastWeek: Number.NaN }
          expect(week === 0 || week <= lastWeek).toBe(true)
        }
      }),
      many,
    )
  })
})

describe('the reckoning finds', () => {
  const sticks = [stick('A'), stick('B', { lastWeek: 1 })]
  test.each([
    ['a stick left out', {}, [['A', 3]], ['not planned']],
    [
      'one planned twice',
      {},
      [
        ['A', 3],
        ['B', 1],
        ['B', 0],
      ],
      ['planned twice'],
    ],
    [
      'one that nobody asked for',
      {},
      [
        ['A', 3],
        ['B', 1],
        ['X', 1],
      ],
      ['not to be planned'],
    ],
    [
      'one after its date',
      {},
      [
        ['A', 3],
        ['B', 2],
      ],
      ['after its due date'],
    ],
    [
      'one in no week of the plan',
      {},
      [
        ['A', 4],
        ['B', -1],
      ],
      ['outside the plan', 'outside the plan'],
    ],
    [
      'half a week',
      {},
      [
        ['A', 2.5],
        ['B', 1],
      ],
      ['outside the plan'],
    ],
    [
      'one put into a locked week',
      { lockedWeeks: [2] },
      [
        ['A', 2],
        ['B', 1],
      ],
      ['locked week changed'],
    ],
    [
      'one taken out of a locked week',
      { lockedWeeks: [2], sticks: [stick('A', { earlierWeek: 2 })] },
      [['A', 3]],
      ['locked week changed'],
    ],
    ['a pin that is not kept', { sticks: [stick('A', { pinnedWeek: 1 })] }, [['A', 3]], ['pin not kept']],
  ] as [string, Partial<PlanNeeds>, [string, number][], string[]][])('%s', (_, of, placed, faults) => {
    const found = reckoningOf(
      needs({ sticks, ...of }),
      placed.map(([stickId, week]) => ({ stickId, week })),
    )
    expect(found.faults.map(({ is }) => is)).toEqual(faults)
  })

  test('what the bench and a crew lack, by how much, and in one number', () => {
    const cover = [{ crewId: 'CR-1', kinds: ['long', 'short'], mayBeAway: [1, 0, 1, 1] }]
    const two = [
      stick('A', { weeksAway: 2 }),
      stick('B', { kind: 'short', benchMinutes: 90 }),
      stick('C', { crewId: 'CR-2' }),
    ]
    const placed = two.map(({ stickId }) => ({ stickId, week: 0 }))
    const found = reckoningOf(needs({ sticks: two, cover }), placed)
    expect(found.lacking).toEqual([
      { is: 'bench short', week: 0, minutes: 90 },
      { is: 'crew short', week: 0, crewId: 'CR-1', kinds: ['long', 'short'], sticks: 1 },
      { is: 'crew short', week: 1, crewId: 'CR-1', kinds: ['long', 'short'], sticks: 1 },
    ])
    expect([found.lackingMinutes, found.cost]).toEqual([90 + 60 + 60, 9])
  })

  test('what had to give way, and why', () => {
    const given = [
      stick('A', { lastWeek: -1 }),
      stick('B', { pinnedWeek: 3, lastWeek: 2 }),
      stick('C', { pinnedWeek: 1 }),
      stick('D', { earlierWeek: 1, lastWeek: 0 }),
    ]
    const all = needs({ sticks: given, lockedWeeks: [1], capacityMinutes: [120, 60, 60, 60] })
    const { lacking, faults } = reckoningOf(all, greedyPlan(all))
    expect(faults).toEqual([])
    expect(lacking).toEqual([
      { is: 'due before the first week ends', stickId: 'A' },
      { is: 'pin after the due date', stickId: 'B' },
      { is: 'pin in a locked week', stickId: 'C' },
      { is: 'lock gave way to the due date', stickId: 'D' },
    ])
  })
})

describe('the statement', () => {
  const two = needs({
    capacityMinutes: [0, 90],
    sticks: [stick('A', { lastWeek: 1 }), stick('B', { lastWeek: 1 })],
    cover: [{ crewId: 'CR-1', kinds: ['long'], mayBeAway: [2, 1] }],
  })
  const spaced = (text: string) => text.replaceAll(/\s+/g, ' ').trim()

  test('has a row for each class, week of the bench and crew, and a column for what may give way', () => {
    // two sticks cost one week each at the most, so that three outweighs them
    expect(spaced(statementOf(two, classesOf(two), { is: 'plan', isWhole: true, settled: [] }))).toBe(
      'Minimize obj: + 1 x0_0 + 0 x0_1 + 3 o0 + 3 o1 + 180 u0_0 + 180 u0_1 ' +
        'Subject To c0: + 1 x0_0 + 1 x0_1 = 2 ' +
        'b0: + 60 x0_0 - 1 o0 <= 0 b1: + 60 x0_1 - 1 o1 <= 90 ' +
        'k0_0: + 1 x0_0 - 1 u0_0 <= 2 k0_1: + 1 x0_1 - 1 u0_1 <= 1 ' +
        'Bounds x0_0 <= 2 x0_1 <= 2 General x0_0 x0_1 End',
    )
  })

  test('for a bound is in parts of sticks, and says how much may be lacking', () => {
    const text = spaced(statementOf(two, classesOf(two), { is: 'bound', lackingAtMost: 90 }))
    expect(text).toContain('lacking: + 1 o0 + 1 o1 + 60 u0_0 + 60 u0_1 <= 90 Bounds')
    expect(text).not.toContain('General')
  })

  test('leaves out what is settled, and takes it from what there is', () => {
    const three = needs({ ...two, sticks: [...two.sticks, stick('C', { lastWeek: 1, benchMinutes: 45 })] })
    const settled = [new Map([[1, 2]]), null]
    expect(spaced(statementOf(three, classesOf(three), { is: 'plan', isWhole: true, settled }))).toBe(
      'Minimize obj: + 1 x1_0 + 0 x1_1 + 2 o0 + 2 o1 + 120 u0_0 + 120 u0_1 ' +
        'Subject To c1: + 1 x1_0 + 1 x1_1 = 1 ' +
        'b0: + 45 x1_0 - 1 o0 <= 0 b1: + 45 x1_1 - 1 o1 <= -30 ' +
        'k0_0: + 1 x1_0 - 1 u0_0 <= 2 k0_1: + 1 x1_1 - 1 u0_1 <= -1 ' +
        'Bounds x1_0 <= 1 x1_1 <= 1 General x1_0 x1_1 End',
    )
  })

  test('has one class for sticks that are alike, and no column after a due date', () => {
    fc.assert(
      fc.property(anyNeeds, (any) => {
        const classes = classesOf(any)
        const kept = classes.flatMap(({ sticks }) => sticks.map(({ stickId }) => stickId)).sort()
        const due = any.sticks.filter(({ lastWeek }) => lastWeek < any.capacityMinutes.length)
        expect(kept).toEqual(due.map(({ stickId }) => stickId).sort())
        for (const { sticks, weeks } of classes)
          for (const { lastWeek } of sticks) expect(Math.max(...weeks)).toBeLessThanOrEqual(Math.max(0, lastWeek))
      }),
      many,
    )
  })

  test('is read back in whole sticks, whatever was answered', () => {
    const [one] = classesOf(two)
    if (one === undefined) throw new Error('no class')
    const halves = (column: string) => ({ x0_0: 0.6, x0_1: 1.4 })[column] ?? 0
    expect([...countsOfClass(one, 0, halves)]).toEqual([
      [0, 1],
      [1, 1],
    ])
    expect([...countsOfClass(one, 0, (column) => (column === 'x0_1' ? 1.999_999_9 : 0))]).toEqual([
      [0, 0],
      [1, 2],
    ])
    fc.assert(
      fc.property(anyNeeds, fc.float({ noNaN: true, min: -2, max: 9 }), (any, value) => {
        const classes = classesOf(any)
        const placed = placedBy(
          classes,
          classes.map((each, of) => countsOfClass(each, of, () => value)),
        )
        // too few or too many of a class, but never a stick outside what is open to it
        const faults = reckoningOf(any, placed).faults.map(({ is }) => is)
        expect(faults.filter((is) => is !== 'not planned')).toEqual([])
      }),
      many,
    )
  })

  test('reads a plan that there is as the same plan', () => {
    fc.assert(
      fc.property(anyNeeds, (any) => {
        const classes = classesOf(any)
        const before = reckoningOf(any, greedyPlan(any))
        const after = reckoningOf(any, placedBy(classes, countsIn(greedyPlan(any), classes)))
        expect([after.faults, after.lackingMinutes, after.cost]).toEqual([[], before.lackingMinutes, before.cost])
      }),
      many,
    )
  })
})

describe('a solver is not believed', () => {
  const sticks = [stick('A'), stick('B'), stick('C', { benchMinutes: 120 })]
  const tight = needs({ sticks, capacityMinutes: [120, 60, 60, 120] })
  const answers = (value: (column: string) => number): Solved => ({
    columnValue: value,
    value: 0,
    isProved: true,
    seconds: 0,
  })

  test('where there is none, the greedy plan stands, and nobody knows the bound', () => {
    const plan = benchPlan(tight, () => null, effort)
    expect(plan).toEqual({
      by: 'greedy',
      placed: greedyPlan(tight),
      reckoning: reckoningOf(tight, greedyPlan(tight)),
      bound: null,
    })
  })

  test('where its answer is no plan, or a worse one', () => {
    fc.assert(
      fc.property(anyNeeds, fc.func(fc.float({ noNaN: true, min: -1, max: 9 })), (any, value) => {
        const plan = benchPlan(any, () => answers(value), effort)
        const greedy = reckoningOf(any, greedyPlan(any))
        expect(plan.reckoning.faults).toEqual([])
        expect(plan.reckoning).toEqual(reckoningOf(any, plan.placed))
        const [a, b] = [plan.reckoning, greedy]
        expect(a.lackingMinutes < b.lackingMinutes || (a.lackingMinutes === b.lackingMinutes && a.cost <= b.cost)).toBe(
          true,
        )
      }),
      many,
    )
  })

  test('where it took more than its time, it is asked no more, and never for less than nought', () => {
    const given: number[] = []
    const slow = (_: string, { seconds }: { readonly seconds: number }) => {
      given.push(seconds)
      return { ...answers(() => 0), seconds: 3 * effort.seconds }
    }
    expect(benchPlan(tight, slow, effort)).toMatchObject({ by: 'greedy', bound: null })
    expect([given.length, Math.min(...given) > 0]).toEqual([1, true])
  })

  test('where there is nothing to plan, it is not asked', () => {
    const never = () => {
      throw new Error('asked')
    }
    expect(benchPlan(needs(), never, effort)).toMatchObject({ placed: [], bound: 0 })
  })
})
