/**
 * The plan of a bench: who is called in when. First as little as can be is lacking, and then it costs as little as can
 * be. A solver's answer is taken only where plain arithmetic finds it sound and better than the greedy plan.
 */
import { greedyPlan } from './greedy.ts'
import type { Placed, PlanNeeds } from './needs.ts'
import { type Reckoning, reckoningOf } from './reckoning.ts'
import { classesOf, countsOfClass, isWholeClass, placedBy, type StickClass, statementOf } from './statement.ts'

export interface SolverEffort {
  /** an answer within that share of the bound will do */
  readonly gap: number
  readonly seconds: number
}

export interface Solved {
  readonly columnValue: (column: string) => number
  readonly value: number
  /** nothing better is possible, or nothing better than the gap allows */
  readonly isProved: boolean
}

/** Answers a statement, or null where there is no answer in time. */
export type Solve = (statement: string, effort: SolverEffort) => Solved | null

export interface BenchPlan {
  readonly by: 'greedy' | 'solver'
  readonly placed: readonly Placed[]
  readonly reckoning: Reckoning
  /** no plan that lacks so little costs less; null where nobody knows */
  readonly bound: number | null
}

export function benchPlan(needs: PlanNeeds, solve: Solve, effort: SolverEffort): BenchPlan {
  const greedy = candidate('greedy', needs, greedyPlan(needs))
  const classes = classesOf(needs)
  if (classes.length === 0) return { ...greedy, bound: 0 }
  const least = leastLacking(greedy, { needs, classes, solve, effort })
  const { lackingMinutes } = least.reckoning
  const asked = { for: 'least cost', lackingAtMost: lackingMinutes } as const
  const relaxed = solve(statementOf(needs, classes, { ...asked, isWhole: false }), effort)
  const bound = relaxed?.isProved ? relaxed.value : null
  if (relaxed === null) return { ...least, bound }
  const settled = classes.map((one, of) =>
    isWholeClass(one, of, relaxed.columnValue) ? countsOfClass(one, of, relaxed.columnValue) : null,
  )
  const wholeBy = (statement: string, best: Candidate) => {
    const solved = solve(statement, effort)
    return solved === null ? best : better(best, candidate('solver', needs, placedBy(classes, solved.columnValue)))
  }
  const mended = wholeBy(statementOf(needs, classes, { ...asked, isWhole: true, settled }), least)
  const isNear = bound !== null && mended.reckoning.cost <= bound + effort.gap * Math.abs(bound) + 1e-6
  if (isNear) return { ...mended, bound }
  return { ...wholeBy(statementOf(needs, classes, { ...asked, isWhole: true }), mended), bound }
}

type Candidate = Omit<BenchPlan, 'bound'>

const candidate = (by: Candidate['by'], needs: PlanNeeds, placed: readonly Placed[]): Candidate => ({
  by,
  placed,
  reckoning: reckoningOf(needs, placed),
})

function better(best: Candidate, other: Candidate): Candidate {
  const [a, b] = [best.reckoning, other.reckoning]
  if (b.faults.length > 0) return best
  const isBetter = b.lackingMinutes < a.lackingMinutes || (b.lackingMinutes === a.lackingMinutes && b.cost < a.cost)
  return isBetter ? other : best
}

interface Work {
  readonly needs: PlanNeeds
  readonly classes: readonly StickClass[]
  readonly solve: Solve
  readonly effort: SolverEffort
}

/** Where the greedy plan lacks nothing, no plan lacks less. */
function leastLacking(greedy: Candidate, { needs, classes, solve, effort }: Work): Candidate {
  if (greedy.reckoning.lackingMinutes === 0) return greedy
  const solved = solve(statementOf(needs, classes, { for: 'least lacking', isWhole: true }), { ...effort, gap: 0 })
  return solved === null ? greedy : better(greedy, candidate('solver', needs, placedBy(classes, solved.columnValue)))
}
