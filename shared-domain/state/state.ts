/** What is known of a stick: a fold of its facts and nothing else. */
import type { Tester } from '../bench-test/bench-test.ts'
import type { CalendarDate, Instant } from '../calendar.ts'
import type { Hand } from '../facts.ts'
import { inForce } from '../in-force.ts'
import type { Evidence } from '../policy/clocks.ts'
import type { CustodySpell, LoggedUse } from '../policy/service-class.ts'
import type { Stick } from '../registers.ts'
import type { StoppingEvent } from '../words.ts'
import type { Failure, Found } from './failure.ts'
import type { Detail, Hold, Mending } from './hold.ts'
import type { Place, Stay } from './when.ts'

export type Custody =
  | { readonly crewId: string }
  | { readonly store: string }
  | { readonly bench: string }
  | { readonly lentTo: string; readonly returnBy: CalendarDate }

export interface Registration {
  readonly seq: number
  /** of one that stands in place of a slip: its place among those of its day */
  readonly seat?: number
  readonly effectiveFrom: CalendarDate
  readonly stick: Stick
}

export interface StickState {
  readonly registrations: readonly Registration[]
  readonly custody: Custody | null
  /** the crew that is told about it: the one that has it, or had it last; none once it is put into store */
  readonly crewId: string | null
  readonly missing: boolean
  readonly removed: {
    readonly since: CalendarDate
    readonly factId: string
    readonly detail: Detail
  } | null
  readonly scrapped: { readonly since: CalendarDate; readonly factId: string } | null
  readonly failure: Failure | null
  /** what its examination found and no step has mended, or none that a full pass has followed */
  readonly unmended?: Unmended
  /** passed after a failure, and not yet looked at by a second person; a hold where the policy asks for that */
  readonly toBeReleased?: {
    readonly since: CalendarDate
    readonly factId: string
    readonly testRecordedBy: string
    /** earlier builds did not keep it */
    readonly testedBy?: Tester
    /** who judged it again last, where somebody did */
    readonly testJudgedBy?: string
    /** who had a hand in what it stands for, where that was a slip */
    readonly hands?: readonly Hand[]
  }
  readonly holds: readonly Hold[]
  /** by when the last cleaning, refinishing or repair had happened, at the latest */
  readonly lastStepBy: Instant | null
  /** the day of the last waxing, where nothing was cleaned, refinished or repaired since */
  readonly waxedOn: CalendarDate | null
  /** passed without being waxed; a hold where a rule asks for wax */
  readonly unwaxed?: Unwaxed
  /** when the last full test that counts stands */
  readonly lastPass: Instant | null
  /** when the last of what speaks against it, or mends it, happened */
  readonly lastAgainst: Instant | null
  readonly evidence: Evidence
  /** the entry on the register by which the last full test that counts was judged */
  readonly testedSeq?: number
  /** since the last full test that counts, the spell that was on then among them */
  readonly custodySpells: readonly CustodySpell[]
  /** from 800 days before that test */
  readonly uses: readonly LoggedUse[]
  /** what happened to it since that test, the first of each kind */
  readonly events: readonly { readonly event: StoppingEvent; readonly since: CalendarDate; readonly factId: string }[]
  /** the last that was recorded of its label; null where that was taken off */
  readonly label?: { readonly since: CalendarDate; readonly factId: string; readonly shows: CalendarDate | null }
  /** by whose clock its days were counted, in order of time */
  readonly stays: readonly Stay[]
  /** the last fact folded in */
  readonly last: Place | null
  /** how many facts are folded in */
  readonly facts: number
}

/** Found open at an examination: nothing but the step that mends it, and a full pass after that, clears it. */
export interface Unmended {
  readonly since: CalendarDate
  readonly factId: string
  readonly by: Mending
  readonly found: Found
  readonly mendedOn: CalendarDate | null
}

export interface Unwaxed {
  readonly since: CalendarDate
  readonly factId: string
  /** it was waxed by a step before the test, whose own cleaning then took the wax off */
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

/** Its entry on the register as it is on a day. */
export function registrationOn({ registrations }: StickState, day: CalendarDate): Registration | undefined {
  return inForce(inOrderOfEffect(registrations), day)
}

/** Somebody tested it once, or its maker certified it. */
export function isProven({ evidence }: StickState): boolean {
  return (['dry test', 'acceptance test', 'certificate'] as const).some((kind) => evidence[kind] !== undefined)
}

/** The first entry on the register covers the days before it too, also where it was recorded after what happened then. */
export function readByFirstEntry(before: StickState, { registrations }: StickState): StickState {
  return before.registrations.length > 0 ? before : { ...before, registrations }
}
