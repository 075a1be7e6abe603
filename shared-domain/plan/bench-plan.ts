/**
 * The plan of a bench: who is called in when. First as little as can be is lacking, and then it costs as little as can
 * be.
 *
 * It begins with the greedy plan, and is bettered window by window: the sticks that fall due within some weeks are
 * planned anew among all others, which stay. A case of few weeks is one window, and comes out as the best there is. A
 * solver's answer is taken only where plain arithmetic finds it sound and better.
 */
import { greedyPlan } from './greedy.ts'
import { type Placed, type PlanNeeds, weeksOpenTo } from './needs.ts'
import { type Reckoning, reckoningOf } from './reckoning.ts'
import { classesOf, countsIn, countsOfClass, placedBy, type StickClass, statementOf } from './statement.ts'

export interface SolverEffort {
  /** an answer within that share of its bound will do */
  readonly gap: number
  /** in all */
  readonly seconds: number
}

export interface Solved {
  readonly columnValue: (column: string) => number
  readonly value: number
  /** nothing better is possible, but for the gap */
  readonly isProved: boolean
  /** what it took */
  readonly seconds: number
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

/** The house's own figures: small windows come further in the same time, and each stick lies in two of them. */
const weeksOfWindow = 8
const weeksBetweenWindows = 4
const passes = 2
/** A plan is shown beside its bound, so that much of the time is kept for it. */
const shareOfBounds = 0.25

export function benchPlan(needs: PlanNeeds, solve: Solve, effort: SolverEffort): BenchPlan {
  const classes = classesOf(needs)
  const windows = windowsOf(classes)
  const greedy = greedyPlan(needs)
  let best = better(candidate('greedy', needs, greedy), candidate('greedy', needs, asBefore(needs, greedy)))
  if (windows.length === 0) return { ...best, bound: 0 }
  // what one step leaves of its share of the time, later ones have
  let secondsLeft = effort.seconds
  let stepsLeft = passes * (windows.length + 1) + 1
  const kept = effort.seconds * shareOfBounds
  const asked: Work['asked'] = (statement, isOfBound = false) => {
    const share = isOfBound
      ? Math.max(secondsLeft / stepsLeft, Math.min(secondsLeft, kept / passes))
      : (secondsLeft - kept) / stepsLeft
    stepsLeft--
    // a step may take longer than its share, and no solver takes a time below nought
    if (share <= 0) return null
    const solved = solve(statement(), { ...effort, seconds: share })
    secondsLeft -= solved?.seconds ?? share
    return solved
  }
  const work = { needs, classes, asked }
  best = rounded(best, work)
  let bound: number | null = null
  for (let pass = 0; pass < passes; pass++) {
    for (const window of windows) best = betterIn(window, best, work)
    // what no plan that lacks more can be below, no plan that lacks less is below either
    bound = boundOf(best, work) ?? bound
    const isNear = bound !== null && best.reckoning.cost <= bound + effort.gap * bound + nearly
    if (isNear && best.reckoning.lackingMinutes === 0) break
  }
  return { ...best, bound }
}

const nearly = 1e-6

/**
 * The plan before, as far as its weeks are open; other sticks where the greedy plan has them. So what a plan said that
 * it lacked mends it: the same plan stands, and lacks nothing.
 */
function asBefore(needs: PlanNeeds, greedy: readonly Placed[]): Placed[] {
  const sticks = new Map(needs.sticks.map((stick) => [stick.stickId, stick]))
  return greedy.map(({ stickId, week }) => {
    const stick = sticks.get(stickId)
    const before = stick?.earlierWeek ?? null
    if (stick === undefined || before === null || !weeksOpenTo(stick, needs).includes(before)) return { stickId, week }
    return { stickId, week: before }
  })
}

type Candidate = Omit<BenchPlan, 'bound'>

const candidate = (by: Candidate['by'], needs: PlanNeeds, placed: readonly Placed[]): Candidate => ({
  by,
  placed,
  reckoning: reckoningOf(needs, placed),
})

/** The places, among all classes, of those that fall due within some weeks. */
type Window = ReadonlySet<number>

function windowsOf(classes: readonly StickClass[]): Window[] {
  const latest = classes.map(({ weeks }) => weeks.at(-1) ?? 0)
  const end = Math.max(0, ...latest) + 1
  const count = 1 + Math.max(0, Math.ceil((end - weeksOfWindow) / weeksBetweenWindows))
  return Array.from({ length: count }, (_, i) => {
    const from = i * weeksBetweenWindows
    const within = (week: number) => from <= week && week < from + weeksOfWindow
    return new Set(latest.flatMap((week, of) => (within(week) ? [of] : [])))
  }).filter(({ size }) => size > 0)
}

interface Work {
  readonly needs: PlanNeeds
  readonly classes: readonly StickClass[]
  /** a statement is written where there is time to answer it */
  readonly asked: (statement: () => string, isOfBound?: boolean) => Solved | null
}

/** The best in parts of sticks, rounded to whole ones. */
function rounded(best: Candidate, { needs, classes, asked }: Work): Candidate {
  const solved = asked(() => statementOf(needs, classes, { is: 'plan', isWhole: false, settled: [] }))
  if (solved === null) return best
  const found = classes.map((one, of) => countsOfClass(one, of, solved.columnValue))
  return better(best, candidate('solver', needs, placedBy(classes, found)))
}

function betterIn(window: Window, best: Candidate, { needs, classes, asked }: Work): Candidate {
  const counts = countsIn(best.placed, classes)
  const settled = counts.map((one, of) => (window.has(of) ? null : one))
  const solved = asked(() => statementOf(needs, classes, { is: 'plan', isWhole: true, settled }))
  if (solved === null) return best
  const found = classes.map((one, of) => settled[of] ?? countsOfClass(one, of, solved.columnValue))
  return better(best, candidate('solver', needs, placedBy(classes, found)))
}

function better(best: Candidate, other: Candidate): Candidate {
  const [a, b] = [best.reckoning, other.reckoning]
  if (b.faults.length > 0) return best
  const isBetter = b.lackingMinutes < a.lackingMinutes || (b.lackingMinutes === a.lackingMinutes && b.cost < a.cost)
  return isBetter ? other : best
}

function boundOf({ reckoning }: Candidate, { needs, classes, asked }: Work): number | null {
  const { lackingMinutes: lackingAtMost } = reckoning
  const relaxed = asked(() => statementOf(needs, classes, { is: 'bound', lackingAtMost }), true)
  return relaxed?.isProved ? relaxed.value : null
}
