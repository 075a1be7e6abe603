/**
 * A recall calls sticks back for one cause: an instrument that was found to read wrong, a maker's lot, or an order. A
 * recall binds from the moment of its recording on, and goes on to bind once it is closed: a stick leaves it by its own
 * evidence alone.
 */
import { addSeconds, type CalendarDate, type Instant, localDateAt } from '../calendar.ts'
import { canonical } from '../canonical.ts'
import { fingerprint } from '../fingerprint.ts'
import type { InstrumentError } from './error.ts'

export interface InstrumentCause {
  readonly instrumentId: string
  /** the last day on which the instrument is known to have read right */
  readonly lastGoodOn: CalendarDate
  readonly foundOutOn: CalendarDate
  /** null where nobody knows by how much it read wrong */
  readonly error: InstrumentError | null
}

export type RecallCause =
  | InstrumentCause
  | { readonly lot: string }
  | { readonly order: string; readonly stickIds: readonly string[] }

export type RecallKind = 'instrument' | 'lot' | 'order'

export function kindOfRecall(cause: RecallCause): RecallKind {
  if ('instrumentId' in cause) return 'instrument'
  return 'lot' in cause ? 'lot' : 'order'
}

/** The instrument, the lot or the order by its own name. */
export function nameOfCause(cause: RecallCause): string {
  if ('instrumentId' in cause) return cause.instrumentId
  return 'lot' in cause ? cause.lot : cause.order
}

/** A recall as far as it binds sticks. */
export interface Recall {
  /** the factId under which it was recorded */
  readonly id: string
  readonly cause: RecallCause
  /** the instant of its recording */
  readonly at: Instant
  /** the first day, from the finding on, on which the instrument was calibrated anew; absent where there is none */
  readonly goodAgainOn?: CalendarDate
}

/**
 * The first day on which a recall binds: the day of its recording where the day begins last. No stick anywhere is left
 * out for its clock.
 */
export function bindsFrom({ at }: Pick<Recall, 'at'>): CalendarDate {
  return localDateAt(addSeconds(at, -furthestBehindSeconds), 'UTC')
}

/** No clock on land is further behind that of UTC (UTC−12). */
const furthestBehindSeconds = 12 * 3600

/** When a test with the instrument was done: out of the window, in it, or when the error is not known any more. */
export type WithinWindow = 'good' | 'suspect' | 'after the finding'

/**
 * A test is suspect after the last good evidence, up to and including the finding. From then until the instrument is
 * calibrated anew nobody knows how it reads.
 */
export function windowOf(
  { cause, goodAgainOn }: { readonly cause: InstrumentCause } & Pick<Recall, 'goodAgainOn'>,
  testedOn: CalendarDate,
): WithinWindow {
  if (testedOn <= cause.lastGoodOn) return 'good'
  if (testedOn <= cause.foundOutOn) return 'suspect'
  return goodAgainOn !== undefined && testedOn >= goodAgainOn ? 'good' : 'after the finding'
}

/** The first of these calibrations that was made on the day of the finding or later. */
export function goodAgainAfter(
  { foundOutOn }: InstrumentCause,
  calibrations: readonly { readonly calibratedOn: CalendarDate }[],
): CalendarDate | undefined {
  return calibrations
    .map(({ calibratedOn }) => calibratedOn)
    .filter((on) => on >= foundOutOn)
    .sort()[0]
}

/**
 * All recalls by one short name, which is another once any of them binds otherwise. The table gives back what it keeps
 * with its fields in any order.
 */
export function nameOfRecalls(recalls: readonly Recall[]): string {
  return recalls.length === 0 ? '' : fingerprint(canonical(recalls))
}
