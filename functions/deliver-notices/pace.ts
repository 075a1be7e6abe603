/** How fast and how much the account may send, and how long one run may wait for the mail service. */

/** What the mail service says that the account may send. */
export interface Quota {
  readonly mostPerSecond: number
  /** in 24 hours; null where there is no such limit */
  readonly mostADay: number | null
  /** in the last 24 hours */
  readonly sentADay: number
}

/** Passed in, so that tests wait for nothing. */
export interface Time {
  /** in milliseconds, from any beginning */
  now(): number
  sleep(millis: number): Promise<void>
  /** at least 0, below 1 */
  random(): number
}

export interface Pace {
  /** false once what is left of the day's quota is kept for what is urgent */
  hasRoomForOthers(): Promise<boolean>
  /** waits until the account may send one more; false where that comes after the end of this run */
  turn(): Promise<boolean>
  /** waits after the mail service failed so many times in a row; false where this run has waited enough */
  backOff(failures: number): Promise<boolean>
}

/** What SES lets every account send. */
const leastPerSecond = 1
const rateKnownMillis = 60_000
const askedAgainMillis = 10_000
const firstWaitMillis = 200
const longestWaitMillis = 5_000
/** All that one run waits for a service in trouble; after that the table keeps what is owed. */
const patienceMillis = 15_000

/** Of the day's quota what can wait leaves a fifth, so that a hold of the afternoon is still sent. */
const shareOfOthers = 0.8

/** One for all runs of a function's instance, since they share what the account may send. */
export function accountPace(ask: () => Promise<Quota>, time: Time): (end: number) => Pace {
  let quota: Quota = { mostPerSecond: leastPerSecond, mostADay: null, sentADay: 0 }
  let knownUntil = Number.NEGATIVE_INFINITY
  let sentSince = 0
  let free = Number.NEGATIVE_INFINITY

  /** What cannot be asked is no reason not to send: the last known stands. */
  async function known(): Promise<Quota> {
    if (time.now() < knownUntil) return quota
    try {
      quota = await ask()
      sentSince = 0
      knownUntil = time.now() + rateKnownMillis
    } catch {
      knownUntil = time.now() + askedAgainMillis
    }
    return quota
  }

  async function hasRoomForOthers(): Promise<boolean> {
    const { mostADay, sentADay } = await known()
    return mostADay === null || sentADay + sentSince < shareOfOthers * mostADay
  }

  async function turn(end: number): Promise<boolean> {
    const gap = 1000 / Math.max(leastPerSecond, (await known()).mostPerSecond)
    const start = Math.max(time.now(), free)
    if (start > end) return false
    free = start + gap
    sentSince += 1
    if (start > time.now()) await time.sleep(start - time.now())
    return true
  }

  return (end) => {
    let left = patienceMillis

    /** Anything up to twice as long each time: senders that failed together do not come back together. */
    async function backOff(failures: number): Promise<boolean> {
      const wait = time.random() * Math.min(longestWaitMillis, firstWaitMillis * 2 ** failures)
      if (wait > left || time.now() + wait > end) return false
      left -= wait
      await time.sleep(wait)
      return true
    }

    return { hasRoomForOthers, turn: () => turn(end), backOff }
  }
}
