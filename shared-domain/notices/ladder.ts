/**
 * When a crew is told of a due date: at each step of the policy's ladder once, then regularly while it is overdue. Nobody
 * looks for "today's" sticks: each carries the next date on which somebody must be told, so a missed morning heals itself.
 */
import { addDays, type CalendarDate, daysBetween } from '../calendar.ts'
import type { Policy } from '../policy/policy.ts'
import type { Standing } from '../state/standing.ts'
import { mayBeUsed } from '../state/use.ts'

/** How far a crew was told: of this due date, every step through this day. */
export interface Told {
  readonly dueOn: CalendarDate
  readonly through: CalendarDate
}

/** The first day on which its crew is owed word of the due date; null when the ladder does not speak of the stick. */
export function nextTellOn(
  standing: Standing,
  told: Told | null,
  policy: Policy | null,
  broughtForwardFrom: CalendarDate | null = null,
): CalendarDate | null {
  const { dueOn, status } = standing
  if (policy === null || dueOn === null || (status !== 'overdue' && !mayBeUsed(status))) return null
  // in the next digest, whatever the ladder says: a label with the old date is wrong from now on
  if (broughtForwardFrom !== null) return told?.through ?? ('1900-01-01' as CalendarDate)
  const through = told?.dueOn === dueOn ? told.through : null
  const steps = policy.tellDaysBefore.map((days) => addDays(dueOn, -days))
  const next = steps.find((step) => through === null || step > through)
  return next ?? nextWhileOverdue(dueOn, through ?? dueOn, policy.tellOverdueEveryDays)
}

/** Anchored to the due date, so that a late morning does not shift the week. */
function nextWhileOverdue(dueOn: CalendarDate, through: CalendarDate, everyDays: number): CalendarDate {
  const passed = Math.max(0, Math.floor(daysBetween(dueOn, through) / everyDays))
  return addDays(dueOn, (passed + 1) * everyDays)
}

/** The date under which a stick was last shown, where it now stands under an earlier one; a label shows no look at it. */
export function earlierThanShown(shownDueOn: CalendarDate | null, { dueOn, duty }: Standing): CalendarDate | null {
  if (duty === 'look') return null
  return shownDueOn !== null && dueOn !== null && dueOn < shownDueOn ? shownDueOn : null
}

/** Nothing is brought forward any more once the date lies as late again. */
export function stillForward(from: CalendarDate | null, { dueOn }: Standing): CalendarDate | null {
  return from !== null && dueOn !== null && dueOn < from ? from : null
}
