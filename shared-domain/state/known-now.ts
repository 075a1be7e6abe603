/**
 * Facts as they are known by now. The recorded facts stay: a correction is a fact of its own, which says that another
 * was a slip and what stands in its place. The slip is folded in no more.
 */
import type { RecordedFact } from '../facts.ts'
import { asCountedNow } from './counted-before.ts'
import { asJudgedNow } from './judged-again.ts'

export type CorrectedFact = RecordedFact & { kind: 'corrected' }

/**
 * Facts without slips, every test with the newest of its judgements, and every test from before with the two people by
 * whom it counts. Applied to its own answer it changes nothing.
 */
export function asKnownNow(facts: readonly RecordedFact[]): RecordedFact[] {
  return asCountedNow(asJudgedNow(withoutSlips(facts)))
}

function withoutSlips(facts: readonly RecordedFact[]): readonly RecordedFact[] {
  const slips = correctionsBySlip(facts)
  return facts.filter(({ factId }) => !slips.has(factId))
}

/** Corrections under the id of the slip that each names. */
export function correctionsBySlip(facts: readonly RecordedFact[]): ReadonlyMap<string, CorrectedFact> {
  return new Map(facts.flatMap((fact) => (fact.kind === 'corrected' ? [[fact.corrects, fact] as const] : [])))
}
