/** The week in which a bench calls a stick in, as far as a plan still tells the truth of it. */
import { addDays, type CalendarDate } from '../calendar.ts'

export interface PlannedStickWeek {
  readonly week: CalendarDate
  /** the due date by which it was planned */
  readonly dueOn: CalendarDate
}

export type PlannedSticks = ReadonlyMap<string, PlannedStickWeek>

/** A stick as it stands on a day. */
interface StickOnDay {
  readonly stickId: string
  readonly dueOn: CalendarDate | null
  readonly day: CalendarDate
}

const daysOfWeek = 7

/**
 * The Monday of the planned week; undefined where the due date moved since, where the week is over, or where it does
 * not end by the due date: then the date alone is told.
 */
export function plannedWeekOf(
  planned: PlannedSticks | undefined,
  { stickId, dueOn, day }: StickOnDay,
): CalendarDate | undefined {
  const found = planned?.get(stickId)
  if (found === undefined || dueOn === null || found.dueOn !== dueOn) return undefined
  const sunday = addDays(found.week, daysOfWeek - 1)
  return sunday >= day && sunday <= dueOn ? found.week : undefined
}
