/**
 * The share that one asker has of a running function, so that the others get their turn: a bucket that fills by itself,
 * and from which each request takes one. It is approximate, since every running function counts for itself.
 */
export interface Share {
  /** the most at once, where nothing was asked for a while */
  readonly atOnce: number
  /** the most for long */
  readonly perSecond: number
}

export interface Bucket {
  readonly left: number
  /** the millisecond at which so much was left */
  readonly at: number
}

/** `waitSeconds`: nought where the request is admitted. */
interface Taken {
  readonly bucket: Bucket
  readonly waitSeconds: number
}

export function takenFrom(bucket: Bucket | undefined, { atOnce, perSecond }: Share, now: number): Taken {
  const before = bucket ?? { left: atOnce, at: now }
  // a clock that was set back fills nothing
  const seconds = Math.max(0, now - before.at) / 1000
  const left = Math.min(atOnce, before.left + seconds * perSecond)
  if (left < 1) return { bucket: { left, at: now }, waitSeconds: Math.ceil((1 - left) / perSecond) }
  return { bucket: { left: left - 1, at: now }, waitSeconds: 0 }
}

/** A bucket that would be full by now says no more than none. */
export const isFullBy = (now: number, { left, at }: Bucket, { atOnce, perSecond }: Share): boolean =>
  left + (Math.max(0, now - at) / 1000) * perSecond >= atOnce

/**
 * Tells whether a body that may report danger does so. It has not been checked yet: whatever is not plainly something
 * else is word of danger.
 */
export function speaksOfDanger(sent: unknown): boolean {
  const { sound, to } = (sent ?? {}) as { readonly sound?: unknown; readonly to?: unknown }
  const isIssue = typeof to === 'object' && to !== null
  return sound !== true && !isIssue && to !== 'scrapped'
}
