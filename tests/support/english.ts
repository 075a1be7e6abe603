/** What is said of sticks, in English and metres: as the API says it and as most readers see it. */
import type { Warning } from '../../shared-domain/bench-test/procedure-warnings.ts'
import { calendar } from '../../shared-domain/catalogue/en/calendar.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { questions } from '../../shared-domain/catalogue/en/questions.ts'
import { refusing } from '../../shared-domain/catalogue/en/refusals.ts'
import { warnings } from '../../shared-domain/catalogue/en/warnings.ts'
import { ways } from '../../shared-domain/catalogue/en/ways.ts'
import { expectedBy, type Fault } from '../../shared-domain/fault.ts'
import type { Way } from '../../shared-domain/loosening/way.ts'
import type { Reason } from '../../shared-domain/reason.ts'
import type { Question } from '../../shared-domain/slips/question.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import { faultIn, questionIn, warningIn, wayIn, wordingIn } from '../../shared-domain/wording.ts'

const wording = wordingIn(english, 'metric', { ...calendar, ...ways, ...questions, ...warnings, ...refusing })

export const inEnglish = {
  ...wording,
  way: (way: Way | string) => wayIn(wording, way),
  question: (question: Question) => questionIn(wording, question),
  warning: (warning: Warning) => warningIn(wording, warning),
  fault: (fault: Pick<Fault, 'expected'>) => faultIn(wording, fault),
}

/** A reason as people read it: its sentence in the place of what it is made of. */
export function read(reason: Reason): Reason & { readonly text: string } {
  const { says: _, ...others } = reason
  return { ...others, text: inEnglish.reason(reason) }
}

/** A fault as people read it. */
export const readFault = (fault: Fault) => ({ ...fault, expected: inEnglish.fault(fault) })

/** What a schema asks for by one of its issues, as people read it. */
export const askedBy = (issue: { readonly message: string } | undefined) =>
  issue === undefined ? undefined : inEnglish.fault({ expected: expectedBy(issue.message) })

/** A rule whose reasons are told as people read them. */
export function asRead<Of extends readonly unknown[]>(rule: (...of: Of) => readonly Reason[]) {
  return (...of: Of) => rule(...of).map(read)
}

export const textOf = (reason: Reason) => inEnglish.reason(reason)

/** Whether it is none of the sentences for what this build has no words for. */
export const isKnown = (sentence: string) =>
  !/has no words for|^Ask the bench how it stands\.$|^what the bench says about it$/.test(sentence)

/** Why a stick is removed for good. */
export function whyRemoved({ removed }: Pick<StickState, 'removed'>): string | undefined {
  return removed === null
    ? undefined
    : inEnglish.why({ why: { is: 'why removed' }, removedFor: removed.detail, holds: [] })
}
