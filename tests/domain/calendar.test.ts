/** The laws of our own date arithmetic; agreement with published rules and other libraries is in `tests/published`. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import * as z from 'zod'
import {
  addDays,
  addMonths,
  addMonthsToEndOfMonth,
  addSeconds,
  type CalendarDate,
  daysBetween,
  earliest,
  endOfMonth,
  type Instant,
  instantOf,
  isCalendarDate,
  isInstant,
  isoWeekOf,
  localDateAt,
  localHourAt,
  millisOf,
  mondayOf,
} from '../../shared-domain/calendar.ts'
import { calendarDate, localTime, timeZone } from '../../shared-domain/date-fields.ts'
import { askedBy } from '../support/english.ts'
import { day } from '../support/trade.ts'

const firstDay = day('1900-01-01')
const lastDay = day('9999-12-31')
const anyDate = fc.integer({ min: 0, max: daysBetween(firstDay, lastDay) }).map((days) => addDays(firstDay, days))

/** All that may be written, but the first five centuries where the suite runs once for each of many mutants. */
const lastYear = process.env.PROPERTY_RUNS === undefined ? 9999 : 2399

/** Every day as a calendar on the wall tears off its leaves, with no arithmetic but adding one. */
function* leaves(): Generator<string> {
  for (let year = 1900; year <= lastYear; year++) {
    const leap = year % 400 === 0 || (year % 4 === 0 && year % 100 !== 0)
    const lengths = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    for (const [at, length] of lengths.entries()) {
      const month = `${year}-${String(at + 1).padStart(2, '0')}`
      for (let number = 1; number <= length; number++) yield `${month}-${String(number).padStart(2, '0')}`
    }
  }
}

describe('a week', () => {
  test('begins with its Monday, seven days after the one before', () => {
    fc.assert(
      fc.property(
        anyDate.filter((date) => date > '1900-01-07' && date < '9999-12-25'),
        (date) => {
          const monday = mondayOf(date)
          expect(daysBetween(monday, date)).toBeGreaterThanOrEqual(0)
          expect(daysBetween(monday, date)).toBeLessThan(7)
          expect(new Date(`${monday}T00:00:00Z`).getUTCDay()).toBe(1)
          expect(mondayOf(addDays(monday, 6))).toBe(monday)
        },
      ),
    )
  })

  // ISO 8601:2004, 3.2.2 and its examples; the years that begin and end in the middle of a week
  test.each([
    ['1985-04-12', '1985-W15'],
    ['2000-01-01', '1999-W52'],
    ['2026-03-02', '2026-W10'],
    ['2026-12-31', '2026-W53'],
    ['2027-01-03', '2026-W53'],
    ['2027-01-04', '2027-W01'],
    ['2024-12-30', '2025-W01'],
    ['2023-01-01', '2022-W52'],
  ])('with %s in it is %s', (date, week) => {
    expect(isoWeekOf(day(date))).toBe(week)
  })

  test('has a name that sorts with its days, and no two have the same', () => {
    let last = ''
    for (let monday = day('1900-01-01'); monday < '2100-01-01'; monday = addDays(monday, 7)) {
      const week = isoWeekOf(monday)
      expect(week > last, `${last} ${week}`).toBe(true)
      expect(isoWeekOf(addDays(monday, 6))).toBe(week)
      last = week
    }
  })
})

describe('every day from 1900 to 9999', () => {
  test('is real, is as far from the first as leaves were torn off, and is found again by that count', () => {
    const wrong: string[] = []
    let torn = 0
    for (const leaf of leaves()) {
      const date = day(leaf)
      const right = isCalendarDate(leaf) && daysBetween(firstDay, date) === torn && addDays(firstDay, torn) === leaf
      if (!right) wrong.push(leaf)
      torn += 1
    }
    expect(wrong).toEqual([])
    // whole cycles of 400 years, 20 of them to 9999, and the hundred years of 1900 to 1999
    expect(torn).toBe(((lastYear - 1999) / 400) * 146_097 + 36_524)
  })
})

describe('laws of any date', () => {
  const before9900 = (date: CalendarDate) => date < '9900-01-01'
  const holds = (law: (date: CalendarDate, n: number) => boolean, most: number) => {
    const numbers = fc.integer({ min: 0, max: most })
    fc.assert(fc.property(anyDate.filter(before9900), numbers, law), {
      numRuns: Number(process.env.PROPERTY_RUNS ?? 5_000),
      seed: 20260306,
    })
  }

  test('days there and back lead home', () => {
    holds((date, n) => addDays(addDays(date, n), -n) === date, 36_000)
  })

  test('a later day sorts behind an earlier one, by as many days as were added', () => {
    holds((date, n) => addDays(date, n + 1) > date && daysBetween(date, addDays(date, n + 1)) === n + 1, 36_000)
  })

  test('months keep the day, or give the last day of a shorter month, and never lead into the month after', () => {
    holds((date, n) => {
      const due = addMonths(date, n)
      const monthsOn = (Number(due.slice(0, 4)) - Number(date.slice(0, 4))) * 12 + Number(due.slice(5, 7))
      const sameDay = due.slice(8) === date.slice(8)
      return (
        monthsOn - Number(date.slice(5, 7)) === n &&
        (sameDay || (due < `${due.slice(0, 8)}${date.slice(8)}` && due === endOfMonth(due)))
      )
    }, 1_100)
  })

  test('an earlier date is never due later', () => {
    holds((date, n) => addMonths(date, n) <= addMonths(addDays(date, 1), n), 1_100)
  })

  test('the end of the month is that of the same month, has a first behind it, and is never the earlier date', () => {
    holds((date, n) => {
      const end = addMonthsToEndOfMonth(date, n)
      return (
        addMonths(date, n) <= end &&
        addDays(end, 1).endsWith('-01') &&
        end.slice(0, 7) === addMonths(date, n).slice(0, 7)
      )
    }, 1_100)
  })
})

describe('there is no date', () => {
  test.each([
    ['a day after the last', () => addDays(lastDay, 1)],
    ['a month after the last', () => addMonths(day('9999-12-01'), 1)],
    ['the end of that month', () => addMonthsToEndOfMonth(day('9999-12-01'), 1)],
    ['more days than there are', () => addDays(firstDay, Number.MAX_SAFE_INTEGER)],
    ['more months than there are', () => addMonths(firstDay, Number.MAX_SAFE_INTEGER)],
    ['before the first year', () => addDays(firstDay, -800_000)],
    ['before the first year, in months', () => addMonths(firstDay, -1_900 * 12)],
    ['part of a month', () => addMonths(firstDay, 1.5)],
    ['part of a day', () => addDays(firstDay, 0.5)],
    ['no number of days', () => addDays(firstDay, Number.NaN)],
    ['endless months', () => addMonths(firstDay, Number.POSITIVE_INFINITY)],
    ['months after a day that is not real', () => addMonths(day('2026-02-30'), 1)],
    ['days after the year 0', () => addDays(day('0000-12-31'), 1)],
    ['days after no date', () => addDays(day(''), 1)],
    ['days from an instant', () => daysBetween(day('2026-03-02T00:00:00.000Z'), firstDay)],
    ['days to a month', () => daysBetween(firstDay, day('2026-03'))],
    ['the end of the 13th month', () => endOfMonth(day('2026-13-01'))],
    ['a day in a zone that nobody lives in', () => localDateAt('2026-03-02T00:00:00.000Z' as Instant, 'Nowhere/At')],
    ['a day at no instant', () => localDateAt('yesterday' as Instant, 'America/Chicago')],
    ['an instant at no number', () => instantOf(Number.NaN)],
    ['an instant in part of a millisecond', () => instantOf(0.5)],
    ['seconds after no instant', () => addSeconds('~' as Instant, 1)],
    ['part of a second', () => addSeconds('2026-03-02T00:00:00.000Z' as Instant, 0.0001)],
    ['a day of a year with five digits', () => localDateAt('9999-12-31T23:00:00.000Z' as Instant, 'Asia/Kathmandu')],
  ])('%s', (_, reckon) => {
    expect(reckon).toThrow(RangeError)
    const said =
      'no date of the calendar: .*|date outside the calendar|not a whole number: .+|Invalid time zone specified: .+'
    expect(reckon).toThrow(new RegExp(`^(${said})$`))
  })

  test('but the last and the first day are dates, and reaching back before the first is no fault', () => {
    expect([addDays(lastDay, 0), addMonths(lastDay, 0), endOfMonth(day('9999-12-01'))]).toEqual([
      lastDay,
      lastDay,
      lastDay,
    ])
    expect([addDays(firstDay, -1), addMonths(firstDay, -12)]).toEqual(['1899-12-31', '1899-01-01'])
    expect(addDays(addDays(firstDay, -1), 1)).toBe(firstDay)
    expect(addDays(firstDay, -daysBetween(day('0001-01-01'), firstDay))).toBe('0001-01-01')
  })
})

describe('where an instant meets the clock on the wall', () => {
  test.each([
    // 2026-03-08 is the day on which clocks in Chicago skip from 2 to 3
    ['2026-03-08T07:59:59.999Z', 'America/Chicago', '2026-03-08', 1],
    ['2026-03-08T08:00:00.000Z', 'America/Chicago', '2026-03-08', 3],
    ['2026-03-02T05:59:00.000Z', 'America/Chicago', '2026-03-01', 23],
    ['2026-03-01T18:14:00.000Z', 'Asia/Kathmandu', '2026-03-01', 23],
    ['2026-03-01T18:15:00.000Z', 'Asia/Kathmandu', '2026-03-02', 0],
    // Samoa had no 30 December 2011
    ['2011-12-30T09:59:00.000Z', 'Pacific/Apia', '2011-12-29', 23],
    ['2011-12-30T10:00:00.000Z', 'Pacific/Apia', '2011-12-31', 0],
  ])('%s in %s is %s, hour %i', (instant, zone, date, hour) => {
    expect([localDateAt(instant as Instant, zone), localHourAt(instant as Instant, zone)]).toEqual([date, hour])
  })

  test('no day goes missing from a count because a zone left it out', () => {
    expect(daysBetween(day('2011-12-29'), day('2011-12-31'))).toBe(2)
  })

  test('seconds pass in time, not on a clock that is put forward', () => {
    expect(addSeconds('2026-03-08T07:59:59.999Z' as Instant, 3_601)).toBe('2026-03-08T09:00:00.999Z')
    expect(addSeconds('2026-01-01T00:00:00.000Z' as Instant, -1)).toBe('2025-12-31T23:59:59.000Z')
  })

  test('an instant is written in UTC with milliseconds, and read as it is written', () => {
    fc.assert(
      fc.property(
        fc.date({ min: new Date('0001-01-01'), max: new Date('9999-12-31'), noInvalidDate: true }),
        (date) => {
          const instant = instantOf(date.getTime())
          return instant === date.toISOString() && isInstant(instant) && millisOf(instant) === date.getTime()
        },
      ),
      { numRuns: Number(process.env.PROPERTY_RUNS ?? 5_000), seed: 20260308 },
    )
    expect(instantOf(Date.UTC(2026, 2, 2, 6, 7, 8, 9))).toBe('2026-03-02T06:07:08.009Z')
  })
})

describe('what is handed in', () => {
  const told = (schema: z.ZodType, value: unknown) => askedBy(schema.safeParse(value).error?.issues[0]) ?? 'taken'

  test('as a date says what a date is, to people and to the API document', () => {
    expect(told(calendarDate, '2026-02-29')).toBe('a real calendar date written YYYY-MM-DD')
    expect(told(calendarDate, '2024-02-29')).toBe('taken')
    expect(z.toJSONSchema(calendarDate)).toMatchObject({ type: 'string', format: 'date' })
  })

  test.each(['00:00', '09:59', '10:00', '19:30', '20:07', '23:59'])('as an hour of the day: %s', (text) => {
    expect(told(localTime, text)).toBe('taken')
  })

  test.each([
    '24:00',
    '29:00',
    '9:00',
    '23:60',
    '12:5',
    '12:00 ',
    ' 12:00',
    '012:00',
    '12:000',
    '1200',
    'a2:00',
    '12:0a',
  ])('as no hour of the day: %j', (text) => {
    expect(told(localTime, text)).toBe('a local time written HH:MM')
  })

  test.each(['America/Chicago', 'Asia/Kathmandu', 'America/Argentina/Ushuaia'])('as a zone: %s', (text) => {
    expect(told(timeZone, text)).toBe('taken')
  })

  // the last ones are zones to a machine, but name no place whose clock is put forward
  test.each(['Nowhere/At', 'America/', '', 'UTC', 'EST'])('as no zone of a place: %j', (text) => {
    expect(told(timeZone, text)).toBe('an IANA time zone such as America/Chicago')
  })
})

test('the earliest of several is the first in the calendar, and of none there is none', () => {
  expect(earliest(['2028-02-29', '2026-12-31', '2027-01-01'].map(day))).toBe('2026-12-31')
  expect(earliest([])).toBeUndefined()
})
