/** Published examples of scheduling, stated as plans of a bench: their optimum comes out. */
import { expect, test } from 'vitest'
import { openSolver } from '../../functions/plan/engine.ts'
import { benchPlan } from '../../shared-domain/plan/bench-plan.ts'
import type { PlanNeeds } from '../../shared-domain/plan/needs.ts'

const solve = await openSolver()

function lackingOf(capacityMinutes: readonly number[], jobs: readonly { minutes: number; lastWeek: number }[]): number {
  const needs: PlanNeeds = {
    capacityMinutes,
    lockedWeeks: [],
    cover: [],
    sticks: jobs.map(({ minutes, lastWeek }, i) => ({
      stickId: `J-${i}`,
      crewId: 'CR-1',
      kind: 'any',
      benchMinutes: minutes,
      weeksAway: 1,
      lastWeek,
      earlierWeek: null,
      pinnedWeek: null,
    })),
    mostWeeksEarly: capacityMinutes.length,
    marginWeeks: 0,
  }
  return benchPlan(needs, solve, { gap: 0, seconds: 20 }).reckoning.lackingMinutes
}

/**
 * Cormen, Leiserson, Rivest and Stein, Introduction to Algorithms, 3rd edition, section 16.5, figure 16.7: seven tasks
 * of one unit of time with these deadlines. The best schedule has five of them in time, whatever the late ones cost.
 * Here none may be late, so two units of time are lacking.
 */
test('unit tasks with deadlines: two of seven do not fit', () => {
  const deadlines = [4, 2, 4, 3, 1, 4, 6]
  const jobs = deadlines.map((deadline) => ({ minutes: 1, lastWeek: deadline - 1 }))
  expect(lackingOf(new Array<number>(7).fill(1), jobs)).toBe(2)
})

/**
 * Martello and Toth, Knapsack Problems (1990), chapter 8, on bin packing; from memory: nine items of 300 in all into
 * bins of 100. Three bins would have to be full to the last, and four is the optimum.
 */
test('bin packing: what three weeks cannot hold, four can', () => {
  const jobs = (weeks: number) =>
    [70, 60, 50, 33, 33, 33, 11, 7, 3].map((minutes) => ({ minutes, lastWeek: weeks - 1 }))
  expect(lackingOf([100, 100, 100], jobs(3))).toBeGreaterThan(0)
  expect(lackingOf([100, 100, 100, 100], jobs(4))).toBe(0)
})
