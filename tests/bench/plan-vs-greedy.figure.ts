/**
 * Weeks of intervals that a plan throws away, and weeks that sticks are overdue, beside a bench that takes the earliest
 * due first of all that are due soon, week by week, as long as it has hours and the crew can give them up. How many
 * weeks are soon is what does best for it.
 */
import { openSolver } from '../../functions/plan/engine.ts'
import { benchPlan } from '../../shared-domain/plan/bench-plan.ts'
import type { PlanNeeds } from '../../shared-domain/plan/needs.ts'
import type { Figure } from './figure.ts'
import { benchOfDepot, effort } from './planned-bench.ts'

/** Just so much that a plan without a solver lacks nothing: a slow machine measures the same bench. */
const roomWithoutLack = 1.45

export const figure: Figure = {
  unit: 'ratio to the weeks lost and overdue of a bench that takes the earliest due first',
  better: 'lower',
  goal: 0.75,
  floorIn: 'weeks',
  async measure() {
    const needs = benchOfDepot(roomWithoutLack, 0.1)
    const { reckoning } = benchPlan(needs, await openSolver(), effort)
    // a plan that lacks hours is no plan to compare: whoever carries it out is late or works on
    if (reckoning.lackingMinutes > 0) throw new Error(`the plan lacks ${reckoning.lackingMinutes} minutes`)
    const each = Array.from({ length: needs.mostWeeksEarly + 1 }, (_, dueSoonWeeks) => dueSoonWeeks)
    const floor = Math.min(...each.map((dueSoonWeeks) => earliestDueFirst(needs, dueSoonWeeks)))
    // nothing is late in a plan, and without margins and moves its cost is the weeks lost
    return { value: reckoning.cost / floor, floor }
  },
}

function earliestDueFirst({ capacityMinutes, cover, sticks }: PlanNeeds, dueSoonWeeks: number): number {
  const waiting = [...sticks].sort((a, b) => a.lastWeek - b.lastWeek || (a.stickId < b.stickId ? -1 : 1))
  const away = new Map(cover.map(({ crewId, mayBeAway }) => [crewId, [...mayBeAway]]))
  let weeks = 0
  for (let week = 0; waiting.length > 0; week++) {
    let minutes = capacityMinutes[week % capacityMinutes.length] ?? 0
    for (const stick of [...waiting]) {
      const left = away.get(stick.crewId) ?? []
      const awayWeeks = Array.from({ length: stick.weeksAway }, (_, i) => week + i)
      const isFree = awayWeeks.every((one) => (left[one] ?? 1) > 0)
      if (stick.lastWeek - week > dueSoonWeeks || stick.benchMinutes > minutes || !isFree) continue
      minutes -= stick.benchMinutes
      for (const one of awayWeeks) left[one] = (left[one] ?? 1) - 1
      waiting.splice(waiting.indexOf(stick), 1)
      weeks += Math.abs(stick.lastWeek - week)
    }
  }
  return weeks
}
