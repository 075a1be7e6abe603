/**
 * Holds by recalls: what is recorded of an instrument, a lot or an order puts a stick on hold without a fact of its
 * own. No recall takes a hold away. A stick leaves a recall by its own evidence alone.
 *
 * | the recall is by | it binds a stick | the stick leaves it by a full test |
 * |---|---|---|
 * | an instrument | last tested in full with it, in the window | with another, or with it once calibrated anew |
 * | a lot | any entry of which says that lot, also a later one | that is proved later than the recall |
 * | an order | that it names | that is proved later than the recall |
 */
import { judgedWithError, type PutRight } from '../bench-test/measured.ts'
import { type CalendarDate, localDateAt } from '../calendar.ts'
import { bindsFrom, type InstrumentCause, nameOfCause, type Recall, windowOf } from '../recall/recall.ts'
import { type Detail, type Hold, holdFor } from './hold.ts'
import type { StickState } from './state.ts'

export function recallHolds(state: StickState, day: CalendarDate, recalls: readonly Recall[]): Hold[] {
  return recalls.flatMap((recall) => {
    const found = day < bindsFrom(recall) ? null : heldBy(state, recall)
    if (found === null) return []
    const named = { recall: recall.id, named: nameOfCause(recall.cause) }
    return [holdFor.recalled(localDateAt(recall.at, 'UTC'), { ...named, ...found })]
  })
}

type Found = Detail & Required<Pick<Detail, 'recalledBy'>>

/** What of the recall holds the stick; null where it does not bind it, or the stick has left it. */
function heldBy(state: StickState, recall: Recall): Found | null {
  const { cause } = recall
  if ('instrumentId' in cause) return byInstrument(state, { ...recall, cause })
  const isProvedSince = state.lastPass !== null && state.lastPass > recall.at
  if (isProvedSince || !isCalled(state, cause)) return null
  return { recalledBy: 'lot' in cause ? 'lot' : 'order' }
}

/** A lot that an entry once named stays the stick's: no edit takes a stick out of a recall. */
function isCalled({ stickId, registrations }: StickState, cause: Exclude<Recall['cause'], InstrumentCause>): boolean {
  if ('lot' in cause) return registrations.some(({ stick }) => stick.lot === cause.lot)
  return stickId === undefined || cause.stickIds.includes(stickId)
}

function byInstrument(state: StickState, recall: Recall & { readonly cause: InstrumentCause }): Found | null {
  const { proof, evidence } = state
  // an earlier build kept the day of the last full test, and not with which instrument it was done
  const on = proof?.on ?? evidence['dry test']
  if (on === undefined || (proof !== undefined && proof.instrumentId !== recall.cause.instrumentId)) return null
  switch (windowOf(recall, on)) {
    case 'good':
      return null
    case 'after the finding':
      return { recalledBy: 'finding', on }
    case 'suspect': {
      const again = judgedWithError(proof?.measured, recall.cause.error)
      if (again.passes === null) return { recalledBy: 'instrument', on }
      return again.passes ? null : { on, ...readingOf(again.readings) }
    }
  }
}

/** The reading that is furthest over its limit leads. */
function readingOf(readings: readonly PutRight[]): Found {
  const [worst] = readings
    .filter(({ conforms }) => !conforms)
    .sort((a, b) => (a.marginMicroamps ?? Number.NEGATIVE_INFINITY) - (b.marginMicroamps ?? Number.NEGATIVE_INFINITY))
  if (worst?.trueMicroamps == null) return { recalledBy: 'instrument' }
  const { state, readMicroamps: read, trueMicroamps, limitMicroamps: limit } = worst
  return { recalledBy: 'reading', state, read, truly: shortened(trueMicroamps, limit), limit }
}

/** A figure over its limit is never shortened to the limit itself. */
export function shortened(microamps: number, limit: number): number {
  const short = Math.round(microamps * 1000) / 1000
  return short > limit ? short : microamps
}
