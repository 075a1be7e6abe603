/** Answers by its status how a stick may be used, and what is said of it. */
import type { Status } from '../words.ts'

/**
 * A stick on hold, never shown to be fit, or removed for good: its people are told at once, and asked to confirm that
 * they know.
 */
export function mustNotBeUsed(status: Status): boolean {
  return status === 'on hold' || status === 'awaiting first test' || status === 'removed from service'
}

/** Tells whether a stick may be put into hands that would use it. */
export function mayBeUsed(status: Status): boolean {
  return status === 'in service' || status === 'due soon'
}

/**
 * Tells whether the due date is shown. Beside a stick that must not be used for another reason a date reads as leave to
 * use it until then.
 */
export function isDated(status: Status): boolean {
  return mayBeUsed(status) || status === 'overdue'
}

/** The news that its people have to know of a stick: that it may be used until its due date, or why not. */
export type Seen = Exclude<Status, 'in service' | 'due soon' | 'overdue'> | 'usable'

export function seenAs(status: Status): Seen {
  return status === 'in service' || status === 'due soon' || status === 'overdue' ? 'usable' : status
}
