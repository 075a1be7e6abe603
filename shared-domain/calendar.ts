/**
 * All date arithmetic of the product.
 *
 * Dates that people plan by are calendar dates at the depot, kept as `YYYY-MM-DD`; they never pass through an
 * instant. Strings of this form sort in calendar order, so `<` and `>` compare them.
 */
import { DateTime, IANAZone } from 'luxon'
import * as z from 'zod'

export type CalendarDate = string & { readonly __brand: 'CalendarDate' }

/** A UTC instant, ISO 8601 with milliseconds and `Z`; sorts in order of time. */
export type Instant = string & { readonly __brand: 'Instant' }

/** Only `YYYY-MM-DD` of a real day: week dates, ordinals, bare months and numbers are refused, not guessed at. */
export function isCalendarDate(text: string): text is CalendarDate {
  return /^\d{4}-\d{2}-\d{2}$/.test(text) && text >= '1900-01-01' && DateTime.fromISO(text, { zone: 'utc' }).isValid
}

// a refinement does not narrow its type: what passes isCalendarDate is one
export const calendarDate = z
  .string()
  .refine(isCalendarDate, { error: 'a real calendar date written YYYY-MM-DD' })
  .meta({ format: 'date' }) as unknown as z.ZodType<CalendarDate, string>

export const localTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, { error: 'a local time written HH:MM' })

export const timeZone = z.string().refine((zone) => IANAZone.isValidZone(zone) && zone.includes('/'), {
  error: 'an IANA time zone such as America/Chicago',
})

/**
 * The date `months` later, clamped to the last valid day: 2024-02-29 and 24 months give 2026-02-28.
 * Anchor it to the evidence date every time; chained additions drift to the 28th for ever.
 */
export function addMonths(date: CalendarDate, months: number): CalendarDate {
  return write(read(date).plus({ months }))
}

export function addDays(date: CalendarDate, days: number): CalendarDate {
  return write(read(date).plus({ days }))
}

/** Whole calendar days from `from` to `to`; negative when `to` is earlier. */
export function daysBetween(from: CalendarDate, to: CalendarDate): number {
  return Math.round((read(to).toMillis() - read(from).toMillis()) / 86_400_000)
}

/** The calendar date and hour on the wall at `zone` at an instant. */
export function localDateAt(instant: Instant, zone: string): CalendarDate {
  return write(DateTime.fromISO(instant, { zone }))
}

export function localHourAt(instant: Instant, zone: string): number {
  return DateTime.fromISO(instant, { zone }).hour
}

export function instantOf(millis: number): Instant {
  return DateTime.fromMillis(millis, { zone: 'utc' }).toISO() as Instant
}

export function addSeconds(instant: Instant, seconds: number): Instant {
  return DateTime.fromISO(instant, { zone: 'utc' }).plus({ seconds }).toISO() as Instant
}

export function earliest(dates: readonly CalendarDate[]): CalendarDate | undefined {
  return dates.reduce<CalendarDate | undefined>(
    (least, date) => (least === undefined || date < least ? date : least),
    undefined,
  )
}

/** A date as people read it, without a machine's order of digits: "2 March 2028". */
export function inWords(date: CalendarDate): string {
  return read(date).setLocale('en-GB').toFormat('d LLLL yyyy')
}

function read(date: CalendarDate): DateTime {
  return DateTime.fromISO(date, { zone: 'utc' })
}

function write(day: DateTime): CalendarDate {
  const text = day.toISODate()
  if (text === null) throw new RangeError('date outside the calendar')
  return text as CalendarDate
}
