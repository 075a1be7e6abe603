/** A fact about a stick as a door hands it over to be recorded. */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { Happening, StandsFor } from '../../shared-domain/facts.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import type { Write } from '../store/table.ts'
import type { judged } from './judging.ts'

/** The time and the id of a fact, and how to make the fact once the stick is known. */
export interface FactEntry {
  readonly factId: string
  /** the day as stated; of something that lasted, its first day */
  readonly occurredOn: string
  /** the name of the date in the body, for its faults */
  readonly dateField: string
  readonly at?: string | undefined
  /** the number of days, of something that lasted */
  readonly days?: number
  readonly kind: Happening['kind']
  readonly body: unknown
  /** reports danger, and so is taken from anybody, of any stick, at any time */
  readonly danger?: boolean
  /** remarks on what could not be kept as it was sent */
  readonly remarks?: readonly Remark[]
  /** a registration may be the first that is heard of a stick; it will lie at the depot of its crew, if it has one */
  readonly createsStick?: { readonly depotId: string | null }
  /** answers whether the entry says nothing new of the stick as it is known */
  readonly isKnown?: (state: StickState, day: CalendarDate) => boolean
  /** the likeness of a bench test, the same for every copy of it, whatever its id */
  readonly likeness?: string
  /** nobody is told: the fact is carried over from before the service was used, or only asked about */
  readonly quiet?: boolean
  /** the circumstances of a report that waited for somebody to say which stick it was about */
  readonly waited?: Waited
  /** the number of entries that the stick had when it was weighed whether this registration loosens */
  readonly weighedWith?: number
  /** the approval of what loosens: asked for by somebody, and allowed by whoever records it now */
  readonly approved?: Approved
  /** the slip in whose place the entry stands */
  readonly standsFor?: StandsFor
  readonly happening: (found: FoundStick) => Promise<Happening>
}

/**
 * The stick as it is found, and the function that judges a test. That function is handed over so that whoever only
 * reads starts without it.
 */
export interface FoundStick {
  readonly stickId: string
  readonly state: StickState
  readonly today: CalendarDate
  readonly judged: typeof judged
}

export interface Remark {
  readonly pointer: string
  readonly text: string
}

export interface Approved {
  readonly proposer: string
  /** writes with the fact: the decision and word of it */
  readonly also: readonly Write[]
}

export interface Waited {
  readonly recordedAt: Instant
  readonly recordedBy: string
  readonly bodyHash: string
  /** the write with the fact: the report is placed, once */
  readonly placed: Write
}
