/** Dates, hours and zones as fields of a body. What is done with them is arithmetic, and stands in `calendar.ts`. */
import * as z from 'zod'
import { type CalendarDate, isCalendarDate } from './calendar.ts'
import { isZone } from './zone.ts'

export const calendarDate = z
  .string({ error: 'a real calendar date written YYYY-MM-DD' })
  .refine(isCalendarDate, { error: 'a real calendar date written YYYY-MM-DD' })
  .meta({ format: 'date' }) as unknown as z.ZodType<CalendarDate, string> // a refinement narrows no type

export const localTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, { error: 'a local time written HH:MM' })

export const timeZone = z
  .string()
  .max(64, { abort: true })
  .refine((zone) => isZone(zone) && zone.includes('/'), {
    error: 'an IANA time zone such as America/Chicago',
  })
