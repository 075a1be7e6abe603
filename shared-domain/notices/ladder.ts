/**
 * The ladder by which a crew is told of a due date: once at each step of the policy, once on the day after, then
 * regularly while it is overdue. The lender of a loan that is not back is told by a ladder too. Nobody looks for
 * "today's" sticks: each carries the next date on which somebody must be told, so a missed morning heals itself.
 *
 * | days after the due date | who says so |
 * |---|---|
 * | −60, −30, −14, −7, −1, 0 | `tellDaysBefore` of the policy, unless it names others |
 * | 1 | always: on that morning the stick must not be used any more, and no policy leaves it out |
 * | 7, 14, 21 … | `tellOverdueEveryDays` of the policy, counted from the due date |
 *
 * | days after the day a loan was to be back | |
 * |---|---|
 * | 1, 8, 15 … | always, until it is back |
 *
 * | days after the last word that its label shows too late a date | |
 * |---|---|
 * | 7 | always, until its label is changed; a notice for another cause says it too, and the days begin anew |
 */
import { addDays, type CalendarDate, daysBetween } from '../calendar.ts'
import type { Rules } from '../policy/rules.ts'
import type { Standing } from '../state/standing.ts'
import type { StickState } from '../state/state.ts'
import { isDated, mayBeUsed } from '../state/use.ts'

/** The steps that a crew has been told of: all of this due date, through this day. */
export interface ToldThrough {
  readonly dueOn: CalendarDate
  readonly through: CalendarDate
}

/** The word that a stick's crew has had of its due date, and what it has still to hear of it. */
export interface ToldSoFar {
  readonly told: ToldThrough | null
  /** the later date from which the due date was brought forward, its crew not yet told */
  readonly broughtForwardFrom?: CalendarDate | null
}

/** The first day on which the crew is owed word of the due date; null when the ladder does not speak of the stick. */
export function nextTellOn(
  standing: Standing,
  { told, broughtForwardFrom = null }: ToldSoFar,
  rules: Rules,
): CalendarDate | null {
  const { dueOn, status } = standing
  if (!rules.entered || dueOn === null || (status !== 'overdue' && !mayBeUsed(status))) return null
  // a date brought forward is told in the next digest, whatever the ladder says: a label with the old date is wrong
  if (broughtForwardFrom !== null) return told?.through ?? ('1900-01-01' as CalendarDate)
  const through = told?.dueOn === dueOn ? told.through : null
  const steps = rules.tellDaysBefore.map((days) => addDays(dueOn, -days))
  const next = steps.find((step) => through === null || step > through)
  if (next !== undefined) return next
  const dayAfter = addDays(dueOn, 1)
  if (through === null || through < dayAfter) return dayAfter
  return nextOfEvery(rules.tellOverdueEveryDays, dueOn, through)
}

/** Days are counted from a fixed one, so that a late morning does not shift the week. */
function nextOfEvery(days: number, from: CalendarDate, through: CalendarDate): CalendarDate {
  const passed = Math.floor(daysBetween(from, through) / days)
  return addDays(from, (passed + 1) * days)
}

/** Tells whether the crew has had no word yet that the stick is overdue. */
export function isFirstWordOverdue({ dueOn, daysOverdue }: Standing, told: ToldThrough | null): boolean {
  return daysOverdue > 0 && (told === null || told.dueOn !== dueOn || told.through <= dueOn)
}

/** The days that the lender has been told of, for a loan that was to be back by then. */
export interface LoanTold {
  readonly returnBy: CalendarDate
  readonly through: CalendarDate
}

const loanToldEveryDays = 7

/** The first day on which the lender is owed word that a loan is not back, also where the stick must not be used. */
export function nextLoanTellOn(
  { custody, scrapped }: Pick<StickState, 'custody' | 'scrapped'>,
  told: LoanTold | null,
): CalendarDate | null {
  if (custody === null || !('lentTo' in custody) || scrapped !== null) return null
  const first = addDays(custody.returnBy, 1)
  const through = told?.returnBy === custody.returnBy ? told.through : null
  return through === null || through < first ? first : nextOfEvery(loanToldEveryDays, first, through)
}

/** The day on which the stick's people were told last that its label shows this date. */
export interface LabelTold {
  readonly shows: CalendarDate
  readonly on: CalendarDate
}

const labelToldEveryDays = 7

/**
 * The first day on which word of a wrong label is owed. The hold says it of a stick that must not be used whatever its
 * date.
 */
export function nextLabelTellOn({ label, status }: Standing, told: LabelTold | null): CalendarDate | null {
  if (!label?.isWrong || !isDated(status)) return null
  return told?.shows === label.shows ? addDays(told.on, labelToldEveryDays) : label.since
}

/** Word of a wrong label: every notice of the stick says it, and so nobody need hear of it for a week. */
export function labelToldBy(
  told: LabelTold | undefined,
  { label, status }: Standing,
  toldOn: CalendarDate | null,
): LabelTold | undefined {
  if (!label?.isWrong || label.shows === null) return undefined
  if (toldOn !== null && isDated(status)) return { shows: label.shows, on: toldOn }
  return told?.shows === label.shows ? told : undefined
}

/** The earlier of two days, where there is any. */
export function earlierOf(a: CalendarDate | null, b: CalendarDate | null): CalendarDate | null {
  if (a === null || b === null) return a ?? b
  return a < b ? a : b
}

/**
 * The date that the label shows, where the stick has just come to stand under an earlier one. A label that nobody
 * recorded is taken to show the date under which the stick was last shown. No label shows the date of a look.
 */
export function earlierThanShown(shownDueOn: CalendarDate | null, standing: Standing): CalendarDate | null {
  const { dueOn, duty } = standing
  if (duty === 'look' || shownDueOn === null || dueOn === null || dueOn >= shownDueOn) return null
  return shownLater(shownDueOn, standing)
}

/** No date is brought forward any more once it lies as late again, or the label was changed. */
export function stillForward(from: CalendarDate | null, standing: Standing): CalendarDate | null {
  const { dueOn } = standing
  return from !== null && dueOn !== null && dueOn < from ? shownLater(from, standing) : null
}

function shownLater(shownDueOn: CalendarDate, { label }: Standing): CalendarDate | null {
  if (label === undefined) return shownDueOn
  return label.isWrong ? label.shows : null
}
