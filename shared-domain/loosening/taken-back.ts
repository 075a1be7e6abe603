/** A slip of the keyboard that its author puts right on the same day needs nobody else. */
import type { CalendarDate } from '../calendar.ts'
import { inForce } from '../in-force.ts'
import type { Dated } from './way.ts'

/** An edition, and who entered it when. */
export interface EnteredEdition<Body> extends Dated<Body> {
  readonly by: string
  /** the day on which it was entered, by the same clock as `today` */
  readonly enteredOn: CalendarDate
}

export interface TakingBack {
  readonly by: string
  readonly today: CalendarDate
  /** true where anything was judged or recorded by the newest edition since it was entered */
  readonly recordedUnder: boolean
}

/**
 * Tells whether `after` says again, word for word and from the same day on, what stood before the newest edition, which
 * its author entered today. `editions` stand in the order in which they were entered.
 */
export function isTakenBack<Body>(
  editions: readonly EnteredEdition<Body>[],
  after: Dated<Body>,
  { by, today, recordedUnder }: TakingBack,
): boolean {
  const newest = editions.at(-1)
  if (newest === undefined || recordedUnder) return false
  if (newest.by !== by || newest.enteredOn !== today || newest.effectiveFrom !== after.effectiveFrom) return false
  const stood = inForce(inOrderOfEffect(editions.slice(0, -1)), after.effectiveFrom)
  return stood !== undefined && isSame(stood.body, after.body)
}

function inOrderOfEffect<Body>(editions: readonly EnteredEdition<Body>[]): readonly EnteredEdition<Body>[] {
  // the sort is stable: of the editions of one day the last entered stands last
  return [...editions].sort((a, b) =>
    a.effectiveFrom < b.effectiveFrom ? -1 : a.effectiveFrom > b.effectiveFrom ? 1 : 0,
  )
}

/**
 * Bodies are the same whatever order the table kept their names in. The day from which an edition counts is left out,
 * since it stands beside the body too.
 */
function isSame(one: unknown, other: unknown): boolean {
  return written(one) === written(other)
}

function written(body: unknown): string {
  return JSON.stringify(body, (name, value: unknown) => {
    if (name === 'effectiveFrom') return undefined
    if (value === null || typeof value !== 'object' || Array.isArray(value)) return value
    return Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
  })
}
