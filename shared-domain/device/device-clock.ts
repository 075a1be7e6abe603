/** The clock of somebody's device beside the clock of the service. */
import { addSeconds, type Instant, millisOf } from '../calendar.ts'

/** Clocks that are less apart than this are right: an hour of a fact is told in minutes. */
const wrongFrom = 120

interface TwoClocks {
  /** the time that the service said it was */
  readonly service: Instant
  /** the device's clock as it asked, and as the answer came */
  readonly asked: Instant
  readonly answered: Instant
}

/** Seconds that the service is ahead of the device; the answer is taken to have been given halfway. */
export function secondsOff({ service, asked, answered }: TwoClocks): number {
  const halfway = (millisOf(asked) + millisOf(answered)) / 2
  return Math.round((millisOf(service) - halfway) / 1000)
}

export const isClockWrong = (seconds: number): boolean => Math.abs(seconds) >= wrongFrom

export function hourPutRight(shown: Instant, seconds: number): Instant {
  return isClockWrong(seconds) ? addSeconds(shown, seconds) : shown
}
