/**
 * All date arithmetic of the product.
 *
 * Dates that people plan by are calendar dates at the depot, kept as `YYYY-MM-DD`; they never pass through an instant.
 * Strings of this form sort in calendar order, so `<` and `>` compare them.
 *
 * Dates are counted in whole months and whole days of the proleptic Gregorian calendar that ISO 8601 prescribes. A zone
 * is asked only where an instant meets a clock on the wall.
 */
import { nameAt, offsetAt } from './zone.ts'

export type CalendarDate = string & { readonly __brand: 'CalendarDate' }

/** A UTC instant, ISO 8601 with milliseconds and `Z`; sorts in order of time. */
export type Instant = string & { readonly __brand: 'Instant' }

/**
 * Text is a date only as `YYYY-MM-DD` of a real day: week dates, ordinals, bare months and numbers are refused, not
 * guessed at. Nobody tested a stick before 1900: such a year is a slip of the keyboard.
 * @lintignore three libraries are asked the same
 */
export function isCalendarDate(text: string): text is CalendarDate {
  return text >= '1900-01-01' && isRealDay(text)
}

/**
 * The date `months` later, clamped to the last valid day: 2024-02-29 and 24 months give 2026-02-28.
 * Anchor it to the evidence date every time; chained additions drift to the 28th for ever.
 */
export function addMonths(date: CalendarDate, months: number): CalendarDate {
  const day = dayOf(real(date))
  const count = yearOf(date) * 12 + monthOf(date) - 1 + whole(months)
  const year = Math.floor(count / 12)
  const month = count - year * 12 + 1
  return write(year, month, Math.min(day, lengthOfMonth(year, month)))
}

/** The last day of the date's month. @lintignore three libraries are asked the same */
export function endOfMonth(date: CalendarDate): CalendarDate {
  const month = monthOf(real(date))
  const year = yearOf(date)
  return write(year, month, lengthOfMonth(year, month))
}

/**
 * An interval in calendar months, due when the last of them ends: 2020-07-22 and 24 give 2022-07-31. That is how 14 CFR
 * 91.409 is read. It can be a month later than the anniversary, so only a policy that says so may count like this.
 */
export function addMonthsToEndOfMonth(date: CalendarDate, months: number): CalendarDate {
  return endOfMonth(addMonths(date, months))
}

export function addDays(date: CalendarDate, days: number): CalendarDate {
  return dateOf(dayNumber(date) + whole(days))
}

/** Whole calendar days from `from` to `to`; negative when `to` is earlier. */
export function daysBetween(from: CalendarDate, to: CalendarDate): number {
  return dayNumber(to) - dayNumber(from)
}

/** The Monday on or before the date: a week is that of ISO 8601, and begins with a Monday. */
export function mondayOf(date: CalendarDate): CalendarDate {
  const day = dayNumber(date)
  return dateOf(day - (day % daysOfWeek))
}

/**
 * The date's week as ISO 8601 writes it, `2026-W10`. It belongs to the year in which its Thursday lies. Such names sort
 * in calendar order.
 */
export function isoWeekOf(date: CalendarDate): string {
  const thursday = addDays(mondayOf(date), 3)
  const year = yearOf(thursday)
  const week = Math.floor((dayNumber(thursday) - daysBeforeYear(year)) / daysOfWeek) + 1
  return `${String(year).padStart(4, '0')}-W${padded(week)}`
}

/** Text is an instant only as every instant here is written: a real day, milliseconds and `Z`. */
export function isInstant(text: string): text is Instant {
  return writtenInstant.test(text) && isRealDay(text.slice(0, 10))
}

/** The calendar date on the wall at `zone` at an instant. */
export function localDateAt(instant: Instant, zone: string): CalendarDate {
  return wallAt(instant, zone).date
}

/** `HH:MM` on the wall */
export function localTimeAt(instant: Instant, zone: string): string {
  return wallAt(instant, zone).time.slice(0, 5)
}

export function localHourAt(instant: Instant, zone: string): number {
  return twoDigits(wallAt(instant, zone).time, 0)
}

/**
 * The name of the clocks at `zone` at an instant, so that an hour that comes twice is told apart: "CST", "GMT+5:45".
 */
export function zoneNameAt(instant: Instant, zone: string): string {
  return nameAt(millisOf(instant), zone)
}

/**
 * Every instant at which the clock on the wall at `zone` shows this day and hour: none in an hour that is left out or
 * that no day has, two in the hour that comes twice.
 */
export function instantsAt(date: string, time: string, zone: string): Instant[] {
  const shown = `${date}T${time}:00.000Z`
  return isInstant(shown) ? millisShowing(millisOf(shown), zone).map(instantOf) : []
}

/** The first instant of the day at `zone`, which is not midnight everywhere. */
export function startOfDay(date: CalendarDate, zone: string): Instant {
  const midnight = millisOf(`${real(date)}T00:00:00.000Z` as Instant)
  const [first] = millisShowing(midnight, zone)
  // the day begins as clocks are put forward, where that happens at midnight
  return instantOf(first ?? midnight - offsetAt(midnight - dayMillis, zone))
}

/** The last millisecond of the day at `zone`, so that the end of a day lies before the start of the next. */
export function endOfDay(date: CalendarDate, zone: string): Instant {
  return instantOf(millisOf(startOfDay(addDays(date, 1), zone)) - 1)
}

export function instantOf(millis: number): Instant {
  const { date, time } = wall(whole(millis))
  return `${date}T${time}Z` as Instant
}

/** Milliseconds since 1970 in UTC. */
export function millisOf(instant: Instant): number {
  if (!isInstant(instant)) throw new RangeError(`no date of the calendar: ${instant}`)
  const minutes = twoDigits(instant, 11) * 60 + twoDigits(instant, 14)
  const millis = twoDigits(instant, 17) * 1000 + Number(instant.slice(20, 23))
  const days = dayNumber(instant.slice(0, 10) as CalendarDate) - dayOf1970
  return days * dayMillis + minutes * 60_000 + millis
}

export function addSeconds(instant: Instant, seconds: number): Instant {
  return instantOf(millisOf(instant) + whole(seconds) * 1000)
}

export function earliest(dates: readonly CalendarDate[]): CalendarDate | undefined {
  return dates.reduce<CalendarDate | undefined>(
    (least, date) => (least === undefined || date < least ? date : least),
    undefined,
  )
}

/**
 * Years that four digits can hold. Reaching back from an early date may lead before 1900, which is no reason to fail;
 * beyond four digits strings would no longer sort in calendar order.
 */
const firstYear = 1
const lastYear = 9999

const written = /^\d{4}-\d{2}-\d{2}$/
const writtenInstant = /^\d{4}-\d\d-\d\dT([01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z$/
const codeOfZero = 48

function isRealDay(text: string): boolean {
  if (!written.test(text)) return false
  const year = yearOf(text)
  const day = dayOf(text)
  return year >= firstYear && day >= 1 && day <= lengthOfMonth(year, monthOf(text))
}

/** The type is only a promise: from text that is no date a due date would come out all the same. */
function real(text: string): CalendarDate {
  if (!isRealDay(text)) throw new RangeError(`no date of the calendar: ${text}`)
  return text as CalendarDate
}

function whole(count: number): number {
  if (!Number.isSafeInteger(count)) throw new RangeError(`not a whole number: ${count}`)
  return count
}

function yearOf(date: string): number {
  return twoDigits(date, 0) * 100 + twoDigits(date, 2)
}

function monthOf(date: string): number {
  return twoDigits(date, 5)
}

function dayOf(date: string): number {
  return twoDigits(date, 8)
}

function twoDigits(text: string, at: number): number {
  return (text.charCodeAt(at) - codeOfZero) * 10 + text.charCodeAt(at + 1) - codeOfZero
}

function write(year: number, month: number, day: number): CalendarDate {
  if (year < firstYear || year > lastYear) throw new RangeError('date outside the calendar')
  return `${String(year).padStart(4, '0')}-${padded(month)}-${padded(day)}` as CalendarDate
}

function padded(number: number): string {
  return number < 10 ? `0${number}` : `${number}`
}

function isLeap(year: number): boolean {
  return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)
}

/** Days of a common year before each month, and after the last. */
const daysBefore = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365]

/** Months count from 1, as they are written. */
function daysBeforeMonth(year: number, month: number): number {
  return (daysBefore[month - 1] ?? Number.NaN) + (month > 2 && isLeap(year) ? 1 : 0)
}

/** NaN for a month that does not exist, which no day is within. */
function lengthOfMonth(year: number, month: number): number {
  return daysBeforeMonth(year, month + 1) - daysBeforeMonth(year, month)
}

/** Days from the first day of the year 1. */
function daysBeforeYear(year: number): number {
  const years = year - 1
  return years * 365 + Math.floor(years / 4) - Math.floor(years / 100) + Math.floor(years / 400)
}

/** The first day of the year 1 was a Monday by this calendar. */
const daysOfWeek = 7

/** The first day of the year 1 is 0. */
function dayNumber(date: CalendarDate): number {
  const day = dayOf(real(date))
  const year = yearOf(date)
  return daysBeforeYear(year) + daysBeforeMonth(year, monthOf(date)) + day - 1
}

function dateOf(number: number): CalendarDate {
  const year = yearWith(number)
  const dayOfYear = number - daysBeforeYear(year)
  const month = monthWith(year, dayOfYear)
  return write(year, month, dayOfYear - daysBeforeMonth(year, month) + 1)
}

const meanYear = 365.2425

/**
 * Four hundred years are a whole number of mean years; within them the leap days stray from the mean by less than two
 * days either way. So two days on, the mean gives the year itself or, at the end of one, the next.
 */
function yearWith(number: number): number {
  const year = Math.floor((number + 2) / meanYear) + 1
  return daysBeforeYear(year) > number ? year - 1 : year
}

/**
 * No month is longer than 31 days, and twelve of 31 would overrun a year by less than a month. The guess is therefore
 * right or one too early.
 */
function monthWith(year: number, dayOfYear: number): number {
  const month = Math.floor(dayOfYear / 31) + 1
  return daysBeforeMonth(year, month + 1) <= dayOfYear ? month + 1 : month
}

const dayMillis = 86_400_000
const dayOf1970 = 719_162

interface Wall {
  readonly date: CalendarDate
  /** `HH:MM:SS.mmm` */
  readonly time: string
}

function wallAt(instant: Instant, zone: string): Wall {
  const millis = millisOf(instant)
  return wall(millis + offsetAt(millis, zone))
}

/** The reading of a clock that stood at midnight when 1970 began, and was never put forward or back. */
function wall(millis: number): Wall {
  const day = Math.floor(millis / dayMillis)
  const rest = millis - day * dayMillis
  const [hour, minute, second] = [
    Math.floor(rest / 3_600_000),
    Math.floor(rest / 60_000) % 60,
    Math.floor(rest / 1000) % 60,
  ]
  const time = `${padded(hour)}:${padded(minute)}:${padded(second)}.${String(rest % 1000).padStart(3, '0')}`
  return { date: dateOf(day + dayOf1970), time }
}

/** Clocks are put forward or back once within two days at most, so that what they were ahead by is one of these two. */
function millisShowing(millis: number, zone: string): number[] {
  const aheadBy = new Set([offsetAt(millis - dayMillis, zone), offsetAt(millis + dayMillis, zone)])
  return [...aheadBy].flatMap((ahead) => (offsetAt(millis - ahead, zone) === ahead ? [millis - ahead] : []))
}
