/** A fact about a stick as a door hands it over to be recorded. */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { Happening, StandsFor } from '../../shared-domain/facts.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import type { Write } from '../store/table.ts'
import type { judged } from './judging.ts'

/** When it happened, under which id, and how to make the fact once the stick is known. */
export interface FactEntry {
  readonly factId: string
  /** as stated; of something that lasted, its first day */
  readonly occurredOn: string
  /** the name of the date in the body, for its faults */
  readonly dateField: string
  readonly at?: string | undefined
  /** of something that lasted, how long */
  readonly days?: number
  readonly kind: Happening['kind']
  readonly body: unknown
  /** reports danger: taken from anybody, of any stick, at any time */
  readonly danger?: boolean
  /** what of it could not be kept as it was sent */
  readonly remarks?: readonly Remark[]
  /** a registration may be the first that is heard of a stick; it will lie at the depot of its crew, if it has one */
  readonly createsStick?: { readonly depotId: string | null }
  /** says nothing new of the stick as it is known */
  readonly isKnown?: (state: StickState, day: CalendarDate) => boolean
  /** of a bench test: the same for every copy of it, whatever its id */
  readonly likeness?: string
  /** carried over from before the service was used, or only asked about: nobody is told */
  readonly quiet?: boolean
  /** of a report that waited for somebody to say which stick it was about */
  readonly waited?: Waited
  /** of a registration: how many entries the stick had when it was weighed whether this one loosens */
  readonly weighedWith?: number
  /** of what loosens: asked for by somebody, and allowed by whoever records it now */
  readonly approved?: Approved
  /** of what stands in place of a slip */
  readonly standsFor?: StandsFor
  readonly happening: (found: FoundStick) => Promise<Happening>
}

/** The stick as it is found; and what judges a test, which is handed over so that whoever only reads starts without it. */
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
  /** with the fact: the decision and word of it */
  readonly also: readonly Write[]
}

export interface Waited {
  readonly recordedAt: Instant
  readonly recordedBy: string
  readonly bodyHash: string
  /** with the fact: the report is placed, once */
  readonly placed: Write
}
