/** What is known of a stick: a fold of its facts and nothing else. */
import type { CalendarDate } from '../calendar.ts'
import type { Evidence } from '../policy/clocks.ts'
import type { StoppingEvent } from '../policy/requirement.ts'
import type { CustodySpell, LoggedUse } from '../policy/service-class.ts'
import type { Stick } from '../registers.ts'
import type { Failure } from './failure.ts'
import type { Detail, Hold } from './hold.ts'

export type Custody =
  | { readonly crewId: string }
  | { readonly store: string }
  | { readonly bench: string }
  | { readonly lentTo: string; readonly returnBy: CalendarDate }

/** A place in the order of a stick's facts: day, then hour, then order of recording. */
export interface Place {
  readonly day: CalendarDate
  /** local time as stated, or that of the fact of this day recorded before; `00:00` if none */
  readonly at: string
  readonly seq: number
}

export interface Registration {
  readonly seq: number
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
    readonly why: string
    readonly detail?: Detail
  } | null
  readonly scrapped: { readonly since: CalendarDate; readonly factId: string } | null
  readonly failure: Failure | null
  /** passed after a failure, and not yet looked at by a second person; a hold where the policy asks for that */
  readonly toBeReleased?: {
    readonly since: CalendarDate
    readonly factId: string
    readonly testRecordedBy: string
    /** who judged it again last, where somebody did */
    readonly testJudgedBy?: string
  }
  readonly holds: readonly Hold[]
  readonly evidence: Evidence
  /** the entry on the register by which the last full test that counts was judged */
  readonly testedSeq?: number
  /** since the last full test that counts, the spell that was on then among them */
  readonly custodySpells: readonly CustodySpell[]
  /** from 800 days before that test */
  readonly uses: readonly LoggedUse[]
  /** what happened to it since that test, the first of each kind */
  readonly events: readonly { readonly event: StoppingEvent; readonly since: CalendarDate; readonly factId: string }[]
  /** the last fact folded in */
  readonly last: Place | null
  /** how many facts are folded in */
  readonly facts: number
}

export const unknown: StickState = {
  registrations: [],
  custody: null,
  crewId: null,
  missing: false,
  removed: null,
  scrapped: null,
  failure: null,
  holds: [],
  evidence: {},
  custodySpells: [],
  uses: [],
  events: [],
  last: null,
  facts: 0,
}

/** The register's edition in force on a day; before the first one, the first. */
export function registrationOn(state: StickState, day: CalendarDate): Registration | undefined {
  const inForce = state.registrations.filter((one) => one.effectiveFrom <= day)
  const order = (a: Registration, b: Registration) =>
    a.effectiveFrom < b.effectiveFrom ? -1 : a.effectiveFrom > b.effectiveFrom ? 1 : a.seq - b.seq
  return [...inForce].sort(order).at(-1) ?? [...state.registrations].sort(order)[0]
}
