/**
 * The order of turns: with each run the next is first, so that none that takes long keeps the others waiting for ever.
 */
import { type Instant, millisOf } from '../../shared-domain/calendar.ts'

/** `everyMillis` is how far runs lie apart. */
export function inTurn<T>(all: readonly T[], now: Instant, everyMillis: number): T[] {
  const first = all.length === 0 ? 0 : Math.floor(millisOf(now) / everyMillis) % all.length
  return [...all.slice(first), ...all.slice(0, first)]
}
