/** How fast the account may send, and how long one run may wait for the mail service. */

/** Passed in, so that tests wait for nothing. */
export interface Time {
  /** in milliseconds, from any beginning */
  now(): number
  sleep(millis: number): Promise<void>
  /** at least 0, below 1 */
  random(): number
}

export interface Pace {
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

/** One for all runs of a function's instance, since they share what the account may send. */
export function accountPace(mostPerSecond: () => Promise<number>, time: Time): (end: number) => Pace {
  let rate = leastPerSecond
  let rateUntil = Number.NEGATIVE_INFINITY
  let free = Number.NEGATIVE_INFINITY

  /** A rate that cannot be read is no reason not to send: the last one known stands. */
  async function perSecond(): Promise<number> {
    if (time.now() < rateUntil) return rate
    try {
      rate = Math.max(leastPerSecond, await mostPerSecond())
      rateUntil = time.now() + rateKnownMillis
    } catch {
      rateUntil = time.now() + askedAgainMillis
    }
    return rate
  }

  async function turn(end: number): Promise<boolean> {
    const gap = 1000 / (await perSecond())
    const start = Math.max(time.now(), free)
    if (start > end) return false
    free = start + gap
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

    return { turn: () => turn(end), backOff }
  }
}
