/**
 * Records brought back from a backup: of which time nothing was kept, which sticks may lack something, and what of the
 * journal stands.
 */
import { addSeconds, type Instant } from './calendar.ts'

/** A stretch of time of which the journal holds nothing: whatever was recorded then may be lost. */
export interface Hole {
  readonly from: Instant
  readonly to: Instant
}

/** The journal hears of itself each five minutes; three times is silence. @lintignore a property is held to it */
export const silentAfterSeconds = 900

/**
 * The holes of a journal between a backup and the loss of the table. `heard` is when something came to the journal, in
 * whatever order. A journal that was never heard is one hole.
 */
export function holesIn(heard: readonly Instant[], { from, to }: Hole): Hole[] {
  const within = heard.filter((at) => from <= at && at <= to).sort()
  const ends = [...within, to]
  return ends.flatMap((end, i) => {
    const begin = ends[i - 1] ?? from
    return end > addSeconds(begin, silentAfterSeconds) ? [{ from: begin, to: end }] : []
  })
}

/** What is left of a fact, as far as it tells whether another is lost. */
export interface LeftFact {
  readonly seq: number
  readonly recordedAt: Instant
}

/**
 * The stretch of which something of the stick may be lost; null where all of it is there. Facts of a stick are numbered
 * without a gap. So a number that is missing was lost, and a fact recorded after a hole proves, by its number, that
 * nothing of before it was.
 */
export function mayBeLost(facts: readonly LeftFact[], holes: readonly Hole[], all: Hole): Hole | null {
  const numbers = facts.map(({ seq }) => seq).sort((a, b) => a - b)
  if (numbers.some((seq, i) => seq !== i + 1)) return all
  const last =
    facts
      .map(({ recordedAt }) => recordedAt)
      .sort()
      .at(-1) ?? ''
  return holes.find(({ to }) => last < to) ?? null
}

/** An item as the journal holds it: where it came from, and its place among the writes there. */
export interface Journalled {
  /** the instant of the write, to the second */
  readonly at: Instant
  /** the number of the write, which rises for each item */
  readonly sequence: string
}

/** Whether `one` was written after `other`. Lines come twice, and in any order. */
export function isLater(one: Journalled, other: Journalled): boolean {
  if (one.at !== other.at) return one.at > other.at
  return BigInt(one.sequence) > BigInt(other.sequence)
}
