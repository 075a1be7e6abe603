/**
 * Tests from before the service was used, as they count by now. Such a test says its day and its result and nothing
 * more, so that it winds no clock by itself. Two people may say that it counts: that is a fact of its own, of the day
 * on which they said so, and moves no test in time.
 */
import type { RecordedFact } from '../facts.ts'

type Counted = RecordedFact & { kind: 'test before counted' }

/** Every test from before with the two people by whom it counts. Applied to its own answer it changes nothing. */
export function asCountedNow(facts: readonly RecordedFact[]): RecordedFact[] {
  const counts = new Map(facts.flatMap((fact) => (isByTwo(fact) ? [[fact.counting.counts, fact] as const] : [])))
  if (counts.size === 0) return [...facts]
  return facts.map((fact) => {
    const by = fact.kind === 'tested before' ? counts.get(fact.factId) : undefined
    if (fact.kind !== 'tested before' || by === undefined) return fact
    return { ...fact, counted: { by: by.recordedBy, and: by.approvedBy } }
  })
}

/** What one person says alone, however it was recorded, counts for nothing. */
const isByTwo = (fact: RecordedFact): fact is Counted & { readonly approvedBy: string } =>
  fact.kind === 'test before counted' && fact.approvedBy !== undefined && fact.approvedBy !== fact.recordedBy
