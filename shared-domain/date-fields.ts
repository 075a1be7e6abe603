/** Dates, hours and zones as fields of a body. What is done with them is arithmetic, and stands in `calendar.ts`. */
import * as z from 'zod'
import { type CalendarDate, isCalendarDate, mondayOf } from './calendar.ts'
import { expecting } from './fault.ts'
import { isZone } from './zone.ts'

const aDate = expecting({ is: 'right: a date' })
export const calendarDate = z
  .string(aDate)
  .refine(isCalendarDate, aDate)
  .meta({ format: 'date' }) as unknown as z.ZodType<CalendarDate, string> // a refinement narrows no type

export const monday = calendarDate.refine(
  (day) => isCalendarDate(day) && mondayOf(day) === day, // a text that is no date is looked at all the same
  expecting({ is: 'right: a Monday' }),
)

export const localTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, expecting({ is: 'right: an hour' }))

export const timeZone = z
  .string()
  .max(64, { abort: true })
  .refine((zone) => isZone(zone) && zone.includes('/'), expecting({ is: 'right: a time zone' }))
