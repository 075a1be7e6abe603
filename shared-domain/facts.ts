/** Facts of a stick as they are kept. A fact is never edited or deleted; a correction is a new fact. */
import type { BenchTest } from './bench-test/bench-test.ts'
import type { Judgement } from './bench-test/judge.ts'
import type { Measured } from './bench-test/measured.ts'
import type { CalendarDate, Instant } from './calendar.ts'
import type {
  Certificate,
  ConditionCheck,
  CorrectiveStep,
  CountingBefore,
  Defect,
  JudgedAgain,
  LabelChange,
  Move,
  PaperLook,
  Release,
  Removal,
  TestedBefore,
  Use,
} from './fact-bodies.ts'
import type { Stick } from './registers.ts'
import type { Hole } from './restored.ts'

/** The editions a test was judged by, so that it can be judged again with the same ones years later. */
export interface Pinned {
  readonly stickSeq: number
  readonly procedureEdition: string
  readonly instrumentEditions: readonly string[]
  /** the policy, where it had a say in the verdict */
  readonly policyEdition?: string
  /** the demonstration that the test names */
  readonly demonstrationEdition?: string
  /** the highest readings beside the limits of those editions; earlier builds did not keep them */
  readonly measured?: Measured
}

export type Happening =
  | { readonly kind: 'registered'; readonly stick: Stick }
  | {
      readonly kind: 'tested'
      readonly test: BenchTest
      readonly pinned: Pinned
      readonly judgement: Judgement
      /** the later fact that this verdict is of, see `asJudgedNow`; never stored */
      readonly judgedAgain?: { readonly seq: number; readonly recordedBy: string }
    }
  /** a test from before the service was used, without its readings */
  | {
      readonly kind: 'tested before'
      readonly before: TestedBefore
      /** the two people who say that it counts, see `asCountedNow`; never stored */
      readonly counted?: { readonly by: string; readonly and: string }
    }
  /** two people say that a test from before counts for the due date */
  | { readonly kind: 'test before counted'; readonly counting: CountingBefore }
  | { readonly kind: 'corrective step'; readonly step: CorrectiveStep }
  | { readonly kind: 'used'; readonly use: Use }
  | { readonly kind: 'defect reported'; readonly defect: Defect }
  | { readonly kind: 'moved'; readonly move: Move }
  | { readonly kind: 'released'; readonly release: Release }
  | { readonly kind: 'certificate received'; readonly certificate: Certificate }
  | { readonly kind: 'condition checked'; readonly check: ConditionCheck }
  | {
      readonly kind: 'judged again'
      /** the fact of the test */
      readonly judges: string
      readonly again: JudgedAgain
      readonly pinned: Pinned
      readonly judgement: Judgement
      /** the correction of an entry from which it follows */
      readonly because?: string
      readonly undoes?: Undone
    }
  | {
      readonly kind: 'corrected'
      /** the fact that was a slip: it is kept, and folded in no more */
      readonly corrects: string
      readonly reason: string
      /** the fact in place of the slip, here or on another stick */
      readonly instead: { readonly factId: string; readonly stickId: string } | null
      readonly undoes?: Undone
    }
  | { readonly kind: 'removed'; readonly removal: Removal }
  | { readonly kind: 'label changed'; readonly label: LabelChange }
  /** the records were brought back from a backup, and what was recorded of the stick in between may be lost */
  | { readonly kind: 'records restored'; readonly lost: Hole }
  /** somebody compared the records that were brought back with the paper, and they agree */
  | { readonly kind: 'paper looked at'; readonly look: PaperLook }

/** Every kind; the compiler asks for each that is added. */
const kinds: { readonly [kind in Happening['kind']]: true } = {
  registered: true,
  tested: true,
  'tested before': true,
  'test before counted': true,
  'corrective step': true,
  used: true,
  'defect reported': true,
  moved: true,
  released: true,
  'certificate received': true,
  'condition checked': true,
  'judged again': true,
  corrected: true,
  removed: true,
  'label changed': true,
  'records restored': true,
  'paper looked at': true,
}

/** The kinds of this build. @lintignore a test holds the shape of the state to them */
export const kindsOfFacts: readonly string[] = Object.keys(kinds)

/**
 * A later build may have recorded facts of kinds of its own before it was rolled back. Of such a fact nothing is known
 * but that it happened.
 */
export const isOfKnownKind = ({ kind }: { readonly kind: string }): boolean => Object.hasOwn(kinds, kind)

/** The removal or the scrapping that was undone as a slip: nobody looked at the stick since. */
export type Undone = 'removal' | 'end of service'

export interface Recording {
  readonly factId: string
  /** recording order on this stick, from 1 without gaps */
  readonly seq: number
  readonly occurredOn: CalendarDate
  /** local time as stated, if it was */
  readonly at?: string
  /** the instants between which it happened, for certain, by the clocks of where the stick was then */
  readonly within: Within
  /** the time zone by which its day and hour are read */
  readonly clock: string
  /**
   * the time zone of where the stick was from then on, for a fact that moves it or whose depot is found to have changed
   */
  readonly clockAfter?: string
  readonly recordedAt: Instant
  readonly recordedBy: string
  /** the second person, for an entry that loosens */
  readonly approvedBy?: string
  /** the person who found out which stick it was, and when, for a report on a number that no stick had */
  readonly placed?: { readonly by: string; readonly at: Instant }
  readonly standsFor?: StandsFor
}

/** The slip that a fact stands in place of, and since when what happened had been told of. */
export interface StandsFor {
  readonly factId: string
  readonly recordedAt: Instant
  /** the slip's place in the order of recording, where it was of the same stick */
  readonly seq?: number
  /** the people who had a hand in the slip, and in what that stood for */
  readonly hands?: readonly Hand[]
}

/** Somebody by their entry, or by a name as it was written. */
export type Hand = string | { readonly personId: string }

/** The earliest and the latest instant of a fact: the same one where the hour is known and its reading certain. */
export interface Within {
  readonly earliest: Instant
  readonly latest: Instant
}

export type RecordedFact = Recording & Happening

/**
 * The side that a fact takes: for a stick, against it, or a change of what is known of it. A fact that mends a stick
 * changes what is known.
 */
export type Speaks = 'for' | 'changes' | 'mends' | 'against'

export function speaks(happening: Happening): Speaks {
  // a fact that cannot be read speaks against the stick
  if (!isOfKnownKind(happening)) return 'against'
  switch (happening.kind) {
    case 'defect reported':
      return 'against'
    case 'condition checked':
      return happening.check.sound ? 'for' : 'against'
    case 'tested':
      return happening.judgement.verdict === 'pass' ? 'for' : 'against'
    case 'tested before':
      return happening.before.passed ? 'for' : 'against'
    case 'moved':
      return happening.move.to === 'found' || happening.move.to === 'missing' ? 'against' : 'changes'
    case 'corrective step':
      return happening.step.kind === 'repaired' || happening.step.kind === 'refinished' ? 'mends' : 'for'
    case 'released':
    case 'certificate received':
    case 'paper looked at':
      return 'for'
    case 'registered':
    case 'used':
    case 'test before counted':
      return 'changes'
    case 'judged again':
    case 'corrected':
      return happening.undoes === undefined ? 'changes' : 'against'
    case 'removed':
    case 'records restored':
      return 'against'
    case 'label changed':
      return 'changes'
  }
}

/** Danger is what anybody may report of any stick, and nothing refuses. */
export function isDanger(happening: Happening): boolean {
  return isReport(happening.kind) && speaks(happening) === 'against'
}

function isReport(kind: Happening['kind']): boolean {
  return kind === 'defect reported' || kind === 'condition checked' || kind === 'moved'
}

/** The instant since which what happened had been told of. */
export const knownSince = ({ standsFor, recordedAt }: Recording): Instant => standsFor?.recordedAt ?? recordedAt

/**
 * The place in the order in which the facts of a stick were told of. A fact in place of a slip there has the slip's
 * own.
 */
export const seatOf = ({ standsFor, seq }: Recording): number => standsFor?.seq ?? seq

/** The body as it was handed in; null of a fact that belongs to its own stick. */
export function handedIn(fact: Happening): object | null {
  if (!isOfKnownKind(fact)) return null
  switch (fact.kind) {
    case 'tested':
      return fact.test
    case 'tested before':
      return fact.before
    case 'corrective step':
      return fact.step
    case 'used':
      return fact.use
    case 'defect reported':
      return fact.defect
    case 'moved':
      return fact.move
    case 'released':
      return fact.release
    case 'certificate received':
      return fact.certificate
    case 'condition checked':
      return fact.check
    case 'removed':
      return fact.removal
    case 'label changed':
      return fact.label
    case 'paper looked at':
      return fact.look
    case 'registered':
    case 'records restored':
    case 'judged again':
    case 'test before counted':
    case 'corrected':
      return null
  }
}
