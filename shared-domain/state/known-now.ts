/**
 * Facts as they are known by now. What is recorded stays: a correction is a fact of its own, which says that another was a slip
 * and what stands in its place; the slip is folded in no more.
 */
import type { RecordedFact } from '../facts.ts'
import { asJudgedNow } from './judged-again.ts'

export type CorrectedFact = RecordedFact & { kind: 'corrected' }

/** Without slips, and every test with the newest of its judgements; asked again, the same. */
export function asKnownNow(facts: readonly RecordedFact[]): RecordedFact[] {
  return asJudgedNow(withoutSlips(facts))
}

function withoutSlips(facts: readonly RecordedFact[]): readonly RecordedFact[] {
  const slips = correctionsBySlip(facts)
  return facts.filter(({ factId }) => !slips.has(factId))
}

/** Under the id of each slip what says that it was one. */
export function correctionsBySlip(facts: readonly RecordedFact[]): ReadonlyMap<string, CorrectedFact> {
  return new Map(facts.flatMap((fact) => (fact.kind === 'corrected' ? [[fact.corrects, fact] as const] : [])))
}
