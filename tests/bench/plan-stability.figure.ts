/** The share of sticks that a plan moves to another week where one in a hundred falls due three weeks sooner. */
import { openSolver } from '../../functions/plan/engine.ts'
import { benchPlan } from '../../shared-domain/plan/bench-plan.ts'
import type { PlanNeeds } from '../../shared-domain/plan/needs.ts'
import type { Figure } from './figure.ts'
import { benchOfDepot, effort } from './planned-bench.ts'

const sooner = 3

export const figure: Figure = {
  unit: 'ratio to all the sticks, of those that move',
  better: 'lower',
  goal: 0.05,
  floorIn: 'sticks',
  async measure() {
    const needs = benchOfDepot(1.45, 0.1)
    const solve = await openSolver()
    const before = benchPlan(needs, solve, effort).placed
    const changed: PlanNeeds = {
      ...needs,
      sticks: needs.sticks.map((stick, i) =>
        i % 100 === 0 ? { ...stick, lastWeek: Math.max(0, stick.lastWeek - sooner) } : stick,
      ),
    }
    const weekOf = new Map(before.map(({ stickId, week }) => [stickId, week]))
    const held = changed.sticks.map((stick) => ({ ...stick, earlierWeek: weekOf.get(stick.stickId) ?? null }))
    const { placed } = benchPlan({ ...changed, sticks: held }, solve, effort)
    const moved = placed.filter(({ stickId, week }) => weekOf.get(stickId) !== week).length
    return { value: moved / placed.length, floor: placed.length }
  },
}
