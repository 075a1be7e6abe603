/** The highest readings of a test beside their limits, as they are kept with its verdict. */
import { type SurfaceState, surfaceStates } from '../words.ts'
import type { BenchTest } from './bench-test.ts'
import { type Editions, judgedBy } from './editions.ts'
import type { JudgedBy } from './judge.ts'
import { limitFor, stricterInDoubt } from './limits.ts'
import type { Highest, Measured } from './measured.ts'

export function measuredIn(test: BenchTest, editions: Editions): Measured {
  const by = judgedBy(test, editions)
  const { comparison, decision } = by.procedure
  const { expandedUncertaintyPercent } = by
  return {
    comparison,
    decision,
    ...(expandedUncertaintyPercent === undefined ? {} : { expandedUncertaintyPercent }),
    highest: surfaceStates.flatMap((state) => highestOf(state, test, by)),
    ...((test.withstand ?? []).length > 0 ? { withstood: true } : {}),
  }
}

/** A limit of which it is in doubt whether it holds counts where it is the stricter one. */
function highestOf(state: SurfaceState, test: BenchTest, by: JudgedBy): Highest[] {
  const read = (test[state]?.readings ?? []).map(({ leakageMicroamps }) => leakageMicroamps)
  if (read.length === 0) return []
  const limit = stricterInDoubt(state, by) ?? limitFor(state, by)
  const microamps = read.reduce((most, one) => Math.max(most, one), 0)
  return [{ state, microamps, limit: limit?.microamps ?? null, source: limit?.source ?? '' }]
}
