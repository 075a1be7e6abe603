/** Cases of a bench by chance: few sticks and weeks, little room, locks and pins, sticks that are due already. */
import fc from 'fast-check'
import type { PlanNeeds, StickToPlan } from '../../../shared-domain/plan/needs.ts'

const crews = ['CR-1', 'CR-2']
const kinds = ['long', 'short']
const mostSticks = 8
const mostWeeks = 6

const maybe = (week: fc.Arbitrary<number>) => fc.oneof({ weight: 3, arbitrary: fc.constant(null) }, week)

function anyStick(weeks: number): fc.Arbitrary<Omit<StickToPlan, 'stickId'>> {
  const week = fc.integer({ min: 0, max: weeks - 1 })
  return fc.record({
    crewId: fc.constantFrom(...crews),
    kind: fc.constantFrom(...kinds),
    benchMinutes: fc.constantFrom(30, 45, 60, 95),
    weeksAway: fc.integer({ min: 1, max: 2 }),
    // some are due before the first week ends, and some after the last
    lastWeek: fc.integer({ min: -2, max: weeks }),
    earlierWeek: maybe(fc.integer({ min: -1, max: weeks })),
    pinnedWeek: maybe(week),
  })
}

export const anyNeeds: fc.Arbitrary<PlanNeeds> = fc.integer({ min: 1, max: mostWeeks }).chain((weeks) =>
  fc.record({
    capacityMinutes: fc.array(fc.constantFrom(0, 60, 90, 140, 200), { minLength: weeks, maxLength: weeks }),
    lockedWeeks: fc.uniqueArray(fc.integer({ min: 0, max: weeks - 1 }), { maxLength: 2 }),
    cover: fc.array(
      fc.record({
        crewId: fc.constantFrom(...crews),
        kinds: fc.subarray(kinds, { minLength: 1 }),
        mayBeAway: fc.array(fc.integer({ min: 0, max: 3 }), { minLength: weeks, maxLength: weeks }),
      }),
      { maxLength: 3 },
    ),
    sticks: fc
      .array(anyStick(weeks), { maxLength: mostSticks })
      .map((sticks) => sticks.map((stick, i) => ({ ...stick, stickId: `S-${i}` }))),
    mostWeeksEarly: fc.integer({ min: 0, max: mostWeeks }),
    marginWeeks: fc.integer({ min: 0, max: 2 }),
  }),
)
