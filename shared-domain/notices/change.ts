/**
 * A change of standing and what it is told as, whatever brought it: a fact, a day that passes, other rules. `Seen` is
 * what the stick's people were told last.
 *
 * | was told as | stands | told as |
 * |---|---|---|
 * | anything else | on hold | hold |
 * | anything else | removed from service | removal |
 * | usable | awaiting its first test | hold: a stick that may be used no more is told of like one |
 * | on hold | in service or due soon | return |
 * | on hold | overdue | nothing: the ladder of due dates speaks of it |
 * | awaiting its first test | usable | nothing: whoever tested it knows, and the ladder speaks of its date |
 */
import type { CalendarDate } from '../calendar.ts'
import type { Slip } from '../slip.ts'
import { mayBeUsed, type Seen, seenAs } from '../state/use.ts'
import type { Status } from '../words.ts'

export type ChangeKind = 'hold' | 'removal' | 'return'

/** The kind of notice that a change calls for; null where nobody has to hear of it. */
export function kindOfChange(before: Seen, after: Status): ChangeKind | null {
  if (before === after) return null
  if (after === 'on hold') return 'hold'
  if (after === 'removed from service') return 'removal'
  if (after === 'awaiting first test') return before === 'usable' ? 'hold' : null
  return before === 'on hold' && mayBeUsed(after) ? 'return' : null
}

/**
 * Everything known of a stick for a change: what its people were told last, and which notices told that it must not be
 * used.
 */
export interface KnownSoFar {
  readonly seen?: Seen | undefined
  readonly held?: { readonly about?: string } | undefined
}

/**
 * The standing that the stick's people know. They know nothing of a hold that nobody was told of, as before the first
 * rules were entered.
 */
export function knownAs({ seen, held }: KnownSoFar, now: Seen): Seen {
  if (seen === undefined) return now
  if (held?.about !== undefined || seen !== 'on hold') return seen
  return now === 'usable' || now === 'awaiting first test' ? now : seen
}

/** The notice owed because a stick stands otherwise than its people know, with no fact that did it. */
export function changeOwed(known: KnownSoFar, { status }: { readonly status: Status }): ChangeKind | null {
  return kindOfChange(knownAs(known, seenAs(status)), status)
}

const importMark = 'import '
/** The mark of a stick of which the digest of an import is to tell. */
export const untoldBy = (id: string): string => `${importMark}${id}`
/** The import that is to tell of the stick; undefined where none is. */
export const importUntold = ({ untold }: { readonly untold?: string | undefined }): string | undefined =>
  untold?.startsWith(importMark) ? untold.slice(importMark.length) : undefined

/** A day before every day of the ladder: a change that its people have not heard of is looked at first. */
export const longUntold = '1900-01-01' as CalendarDate

/** The cause of a change that no fact of the stick brought. */
export type Cause =
  /**
   * `rules` is the name of all that binds: an edit of the employer's changes it, and so does a build with other packs
   */
  | { readonly by: 'rules'; readonly rules: string }
  | { readonly by: 'day'; readonly day: CalendarDate }
  /** a recall that binds it, where its sticks were looked through already */
  | { readonly by: 'recall'; readonly rules: string }
  /** a file of rows that was taken in */
  | { readonly by: 'import'; readonly import: string }
  /** an entry by which its tests were judged was a slip */
  | { readonly by: 'correction'; readonly factId: string; readonly slip: Slip }
