import type { BenchTest } from '../bench-test/bench-test.ts'
import type { RecordedFact } from '../facts.ts'
import { inOrder } from '../state/fold.ts'
import { asKnownNow } from '../state/known-now.ts'

/** Those that prove something, the newest first: with figures of a dead instrument nothing is compared. */
export function earlierTests(facts: readonly RecordedFact[]): BenchTest[] {
  return inOrder(asKnownNow(facts))
    .flatMap(({ fact }) => (fact.kind === 'tested' && fact.judgement.verdict !== 'invalid' ? [fact.test] : []))
    .reverse()
}
