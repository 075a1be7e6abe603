/**
 * Every verdict that a recall by an instrument makes suspect, judged again by the known error: what still passes, what
 * holds the stick, what another full test has replaced since, and a removal that a right reading would not have caused.
 */
import { judgedWithError, type WithError } from '../bench-test/measured.ts'
import type { CalendarDate } from '../calendar.ts'
import type { RecordedFact } from '../facts.ts'
import { type InstrumentCause, type Recall, windowOf } from '../recall/recall.ts'
import type { Verdict } from '../words.ts'
import { replay } from './fold.ts'
import { asKnownNow } from './known-now.ts'

type Tested = RecordedFact & { readonly kind: 'tested' }

export interface SuspectVerdict {
  readonly factId: string
  readonly testedOn: CalendarDate
  readonly verdict: Verdict
  /** the stick is fit by this test, or would be */
  readonly isProof: boolean
  /** the readings put right, and whether they pass; nothing can be said where the error is not known by then */
  readonly again: WithError
}

export interface Suspect {
  readonly verdicts: readonly SuspectVerdict[]
  /**
   * the stick was removed for good, and would not have been by right readings; in doubt where nobody knows how the
   * instrument read. Nothing brings it back but two people.
   */
  readonly removal: 'would not have been' | 'in doubt' | null
}

type ByInstrument = Recall & { readonly cause: InstrumentCause }

export function suspectIn(facts: readonly RecordedFact[], recall: ByInstrument): Suspect {
  const known = asKnownNow(facts)
  const state = replay(facts)
  const suspect = known.filter((fact): fact is Tested => fact.kind === 'tested' && isSuspect(fact, recall))
  const verdicts = suspect.map((fact) => ({
    factId: fact.factId,
    testedOn: fact.occurredOn,
    verdict: fact.judgement.verdict,
    isProof: state.proof?.factId === fact.factId,
    again: againBy(fact, recall),
  }))
  return { verdicts, removal: state.removed === null ? null : removalBy(known, recall) }
}

function isSuspect({ test, occurredOn }: Tested, recall: ByInstrument): boolean {
  return test.instrumentId === recall.cause.instrumentId && windowOf(recall, occurredOn) !== 'good'
}

function againBy({ pinned, occurredOn }: Tested, recall: ByInstrument): WithError {
  const error = windowOf(recall, occurredOn) === 'suspect' ? recall.cause.error : null
  return judgedWithError(pinned.measured, error)
}

/**
 * The stick is folded once more with the failures gone that right readings would not have been, and then with those
 * gone of which nobody knows.
 */
function removalBy(known: readonly RecordedFact[], recall: ByInstrument): Suspect['removal'] {
  const removedWithout = (isGone: (fact: Tested) => boolean) =>
    replay(known.map((fact) => (isElectrical(fact) && isGone(fact) ? passing(fact) : fact))).removed !== null
  const passes = (fact: Tested) => isSuspect(fact, recall) && againBy(fact, recall).passes === true
  if (!removedWithout(passes)) return 'would not have been'
  const mayPass = (fact: Tested) => isSuspect(fact, recall) && againBy(fact, recall).passes !== false
  return removedWithout(mayPass) ? null : 'in doubt'
}

const isElectrical = (fact: RecordedFact): fact is Tested =>
  fact.kind === 'tested' && fact.judgement.verdict === 'fail' && fact.judgement.cause === 'electrical'

function passing(fact: Tested): Tested {
  return { ...fact, judgement: { verdict: 'pass', cause: null, reasons: [], worst: null } }
}
