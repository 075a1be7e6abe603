import type { BenchTest } from '../bench-test/bench-test.ts'
import type { RecordedFact } from '../facts.ts'
import { asKnownNow } from '../state/known-now.ts'
import { inOrder } from '../state/when.ts'

/** Tests that prove something, the newest first: nothing is compared with the figures of a dead instrument. */
export function earlierTests(facts: readonly RecordedFact[]): BenchTest[] {
  return inOrder(asKnownNow(facts))
    .flatMap(({ fact }) => (fact.kind === 'tested' && fact.judgement.verdict !== 'invalid' ? [fact.test] : []))
    .reverse()
}
