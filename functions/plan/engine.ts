/** HiGHS as the solver of a plan: mixed-integer linear programming in WebAssembly, loaded where a plan is made. */
import highs from 'highs'
import type { Solve, Solved, SolverEffort } from '../../shared-domain/plan/bench-plan.ts'

const loadHighs = highs as unknown as typeof highs.default // the types speak of the CommonJS file beside the module

/**
 * A solver that answers null where it has no answer in time. What is no sound plan is found out by whoever asks; a
 * statement that the solver cannot read is a fault of the program, and thrown.
 */
export async function openSolver(): Promise<Solve> {
  const solver = await loadHighs()
  return (statement: string, { gap, seconds }: SolverEffort): Solved | null => {
    const begun = performance.now()
    const solution = solver.solve(statement, {
      output_flag: false,
      time_limit: seconds,
      mip_rel_gap: gap,
      mip_abs_gap: leastGap,
      random_seed: 0,
    })
    const { Status: status, ObjectiveValue: value, Columns: columns } = solution
    const isProved = status === 'Optimal'
    if (!isProved && !stopped.has(status)) return null
    const values = new Map(
      Object.entries(columns).map(([name, column]) => [name, 'Primal' in column ? column.Primal : Number.NaN]),
    )
    // stopped before it came upon any plan
    if (!Number.isFinite(value) || [...values.values()].some((one) => !Number.isFinite(one))) return null
    return {
      columnValue: (column) => values.get(column) ?? 0,
      value,
      isProved,
      seconds: (performance.now() - begun) / millisPerSecond,
    }
  }
}

const millisPerSecond = 1000

/** Lack and cost are whole numbers: two plans differ by one at least. */
const leastGap = 0.9

/** It may hold the best plan that was found by then. */
const stopped: ReadonlySet<string> = new Set(['Time limit reached', 'Iteration limit reached'])
