/** Dates and lengths as a reader writes them. */
import { type CalendarDate, daysBetween, isCalendarDate } from '../calendar.ts'
import { metres, millimetres } from '../quantities.ts'
import type { UnitSystem } from '../words.ts'

/** A language as the runtime knows it, and its words for units. */
export interface Tongue {
  readonly locale: string
  /** how feet and inches are shortened */
  readonly unitNames: { readonly foot: string; readonly feet: string; readonly inches: string }
  /** the word between the two days of a period */
  readonly until: string
}

const epoch = '1970-01-01' as CalendarDate
const millisPerDay = 86_400_000

/** The dates of a language are formatted by one object, which is dear to make. */
const dateFormats = new Map<string, Intl.DateTimeFormat>()

/** A calendar date in words. Whatever else was stated as a day is told as it stands. */
export function dateIn({ locale }: Pick<Tongue, 'locale'>, date: string): string {
  if (!isCalendarDate(date)) return date
  const format = dateFormats.get(locale) ?? new Intl.DateTimeFormat(locale, { dateStyle: 'long', timeZone: 'UTC' })
  dateFormats.set(locale, format)
  return format.format(daysBetween(epoch, date) * millisPerDay)
}

const monthFormats = new Map<string, Intl.DateTimeFormat>()

/** The short name of a date's month, as it stands below a picture. */
export function monthIn({ locale }: Pick<Tongue, 'locale'>, date: string): string {
  if (!isCalendarDate(date)) return date
  const format = monthFormats.get(locale) ?? new Intl.DateTimeFormat(locale, { month: 'short', timeZone: 'UTC' })
  monthFormats.set(locale, format)
  return format.format(daysBetween(epoch, date) * millisPerDay)
}

const figureFormats = new Map<string, Intl.NumberFormat>()

/** A figure with all its decimals, and without a sign between thousands. */
export function plainFigureIn({ locale }: Pick<Tongue, 'locale'>, figure: number): string {
  const format =
    figureFormats.get(locale) ?? new Intl.NumberFormat(locale, { maximumFractionDigits: 20, useGrouping: false })
  figureFormats.set(locale, format)
  return format.format(figure)
}

const listFormats = new Map<string, Intl.ListFormat>()

/** Names one after the other, with the language's own word before the last. */
export function listIn({ locale }: Pick<Tongue, 'locale'>, names: readonly string[]): string {
  const format = listFormats.get(locale) ?? new Intl.ListFormat(locale, { type: 'conjunction' })
  listFormats.set(locale, format)
  return format.format(names)
}

/** Periods written as `2026-03-02/2027-03-01`, with a space between two of them. */
export function periodsIn(tongue: Tongue, periods: string): string {
  return periods
    .split(' ')
    .map((period) =>
      period
        .split('/')
        .map((date) => dateIn(tongue, date))
        .join(` ${tongue.until} `),
    )
    .join(', ')
}

/** One foot is 0.3048 m and one inch 25.4 mm, both exactly (NIST SP 811, 2008 edition, B.8). */
const millimetresPerInch = 25.4
const inchesPerFoot = 12

interface Measures extends Pick<Tongue, 'unitNames'> {
  readonly units: UnitSystem
}

/** Tenths of an inch are finer than a tape laid along a stick. `isBare`: in metres the unit follows further on. */
export function lengthIn(
  { units, unitNames, isBare }: Measures & { readonly isBare: boolean },
  length: number,
): string {
  if (units === 'metric') return isBare ? `${rounded(length)}` : `${rounded(length)} m`
  const tenths = Math.round((millimetres(length) / millimetresPerInch) * 10)
  const feet = Math.floor(tenths / (inchesPerFoot * 10))
  const inches = (tenths - feet * inchesPerFoot * 10) / 10
  const inFeet = `${feet} ${feet === 1 ? unitNames.foot : unitNames.feet}`
  if (inches === 0) return inFeet
  return feet === 0 ? `${inches} ${unitNames.inches}` : `${inFeet} ${inches} ${unitNames.inches}`
}

/** Hundredths of an inch tell every millimetre from the next. */
export function smallLengthIn({ units, unitNames }: Measures, length: number): string {
  if (units === 'metric') return `${length} mm`
  return `${Math.round((length / millimetresPerInch) * 100) / 100} ${unitNames.inches}`
}

function rounded(length: number): number {
  return metres(millimetres(length))
}
