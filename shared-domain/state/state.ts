/** Everything known of a stick: a fold of its facts and nothing else. */
import type { Tester } from '../bench-test/bench-test.ts'
import type { Measured } from '../bench-test/measured.ts'
import type { CalendarDate, Instant } from '../calendar.ts'
import type { Hand } from '../facts.ts'
import { inForce } from '../in-force.ts'
import type { Evidence } from '../policy/clocks.ts'
import type { CustodySpell, LoggedUse } from '../policy/service-class.ts'
import type { Stick } from '../registers.ts'
import type { StoppingEvent } from '../words.ts'
import type { Failure, FoundFailure } from './failure.ts'
import type { Detail, Hold, Mending } from './hold.ts'
import type { Position, Stay } from './when.ts'

export type Custody =
  | { readonly crewId: string }
  | { readonly store: string }
  | { readonly bench: string }
  | { readonly lentTo: string; readonly returnBy: CalendarDate }

export interface Registration {
  readonly seq: number
  /** the place among the entries of its day, for an entry that stands in place of a slip */
  readonly seat?: number
  readonly effectiveFrom: CalendarDate
  readonly stick: Stick
}

export interface StickState {
  /** the stick's number, where whoever folded its facts knew it */
  readonly stickId?: string
  readonly registrations: readonly Registration[]
  readonly custody: Custody | null
  /**
   * the crew that is told about the stick: the one that has it, or had it last; none once the stick is put into store
   */
  readonly crewId: string | null
  readonly missing: boolean
  readonly removed: {
    readonly since: CalendarDate
    readonly factId: string
    readonly detail: Detail
  } | null
  readonly scrapped: { readonly since: CalendarDate; readonly factId: string } | null
  readonly failure: Failure | null
  /** the finding of an examination that no step has mended, or none that a full pass has followed */
  readonly unmended?: Unmended
  /**
   * present where the stick passed after a failure and no second person has looked yet; a hold where the policy asks
   * for that
   */
  readonly toBeReleased?: {
    readonly since: CalendarDate
    readonly factId: string
    readonly testRecordedBy: string
    /** earlier builds did not keep it */
    readonly testedBy?: Tester
    /** the person who judged it again last, where somebody did */
    readonly testJudgedBy?: string
    /** the people who had a hand in what the test stands for, where that was a slip */
    readonly hands?: readonly Hand[]
  }
  /** the last test from before the service was used */
  readonly testedBefore?: KnownBefore
  readonly holds: readonly Hold[]
  /** the latest instant at which the last cleaning, refinishing or repair can have happened */
  readonly lastStepBy: Instant | null
  /** the day of the last waxing, where nothing was cleaned, refinished or repaired since */
  readonly waxedOn: CalendarDate | null
  /** present where the stick passed without being waxed; a hold where a rule asks for wax */
  readonly unwaxed?: Unwaxed
  /** the instant at which the last full test that counts stands */
  readonly lastPass: Instant | null
  /** the instant of the last fact that speaks against the stick or mends it */
  readonly lastAgainst: Instant | null
  readonly evidence: Evidence
  /** the entry on the register by which the last full test that counts was judged */
  readonly testedSeq?: number
  /** the last full test that counts, as far as it may have to be judged again */
  readonly proof?: TestProof
  /** spells since the last full test that counts, the one that was on then among them */
  readonly custodySpells: readonly CustodySpell[]
  /** uses from 800 days before that test on */
  readonly uses: readonly LoggedUse[]
  /** events since that test, the first of each kind */
  readonly events: readonly { readonly event: StoppingEvent; readonly since: CalendarDate; readonly factId: string }[]
  /** the last record of its label; `shows` is null where the label was taken off */
  readonly label?: { readonly since: CalendarDate; readonly factId: string; readonly shows: CalendarDate | null }
  /** tests of it and reports on it, in order of time, as `past.ts` reads them */
  readonly past: string
  /** the clocks by which its days were counted, in order of time */
  readonly stays: readonly Stay[]
  /** the last fact folded in */
  readonly last: Position | null
  /** the number of facts folded in */
  readonly facts: number
}

/** The instrument and the readings by which a stick is fit; builds before shape 12 did not keep them. */
export interface TestProof {
  readonly factId: string
  readonly on: CalendarDate
  readonly instrumentId: string
  readonly measured?: Measured
}

/** A test of which its day and its result are known, and no readings. */
export interface KnownBefore {
  readonly on: CalendarDate
  readonly factId: string
  readonly passed: boolean
  /** the day of the newest by which the due date goes, because two people say so */
  readonly countsFrom: CalendarDate | null
}

/** A defect found open at an examination: nothing but the step that mends it, and a full pass after that, clears it. */
export interface Unmended {
  readonly since: CalendarDate
  readonly factId: string
  readonly by: Mending
  readonly found: FoundFailure
  readonly mendedOn: CalendarDate | null
}

export interface Unwaxed {
  readonly since: CalendarDate
  readonly factId: string
  /** true where a step had waxed the stick before the test, whose own cleaning then took the wax off */
  readonly waxedBefore: boolean
}

export const initial: StickState = {
  registrations: [],
  custody: null,
  crewId: null,
  missing: false,
  removed: null,
  scrapped: null,
  failure: null,
  holds: [],
  lastStepBy: null,
  waxedOn: null,
  lastPass: null,
  lastAgainst: null,
  evidence: {},
  custodySpells: [],
  uses: [],
  events: [],
  past: '',
  stays: [],
  last: null,
  facts: 0,
}

/** The entries of a stick in the order in which they take effect. */
export function inOrderOfEffect(registrations: readonly Registration[]): readonly Registration[] {
  return [...registrations].sort((a, b) =>
    a.effectiveFrom < b.effectiveFrom ? -1 : a.effectiveFrom > b.effectiveFrom ? 1 : seatOf(a) - seatOf(b),
  )
}

const seatOf = ({ seat, seq }: Registration) => seat ?? seq

/** The stick's entry on the register as it is on a day. */
export function registrationOn({ registrations }: StickState, day: CalendarDate): Registration | undefined {
  return inForce(inOrderOfEffect(registrations), day)
}

/** Tells whether somebody tested the stick once, or its maker certified it. */
export function isProven({ evidence }: StickState): boolean {
  return (['dry test', 'acceptance test', 'certificate'] as const).some((kind) => evidence[kind] !== undefined)
}

/**
 * The first entry on the register covers the days before it too, also where it was recorded after what happened then.
 */
export function readByFirstEntry(before: StickState, { registrations }: StickState): StickState {
  return before.registrations.length > 0 ? before : { ...before, registrations }
}
