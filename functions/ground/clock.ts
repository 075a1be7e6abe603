import { type Instant, instantOf } from '../../shared-domain/calendar.ts'

/** A clock is passed to whatever needs the time, so that tests set it and nothing else reads it. */
export type WallClock = () => Instant

export const systemClock: WallClock = () => instantOf(Date.now())
