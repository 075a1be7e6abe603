import { ChronoUnit, LocalDate } from '@js-joda/core'
import fc from 'fast-check'
import { DateTime } from 'luxon'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import {
  addDays,
  addMonths,
  addMonthsToEndOfMonth,
  type CalendarDate,
  daysBetween,
  endOfDay,
  endOfMonth,
  type Instant,
  instantOf,
  instantsAt,
  isCalendarDate,
  isInstant,
  localDateAt,
  localHourAt,
  localTimeAt,
  millisOf,
  startOfDay,
  zoneNameAt,
} from '../../shared-domain/calendar.ts'
import { calendarDate } from '../../shared-domain/date-fields.ts'
import { tries } from '../support/tier.ts'
import { day } from '../support/trade.ts'

/**
 * Dates ask for no zone, so the zones other than UTC only look whether one crept in; fewer still for each of many
 * mutants.
 */
const pairs = process.env.TZ === 'UTC' ? tries(100_000, 20_000) : tries(5_000, 2_000)

const months = (from: string, n: number) => addMonths(day(from), n)
const inLuxon = (date: CalendarDate) => DateTime.fromISO(date, { zone: 'utc' })
const agree = <T>(told: readonly (T | null)[], ours: T) => told.every((one) => one === ours)

/** What two digits can write, and a little more of it than a calendar has. */
const numbers = Array.from({ length: 35 }, (_, number) => String(number).padStart(2, '0'))

function parses(read: () => unknown): boolean {
  try {
    read()
    return true
  } catch {
    return false
  }
}

/** Half of them at the end of a month, where the rules part; drawn without our own arithmetic. */
const anyDate = fc
  .record({
    year: fc.oneof(fc.integer({ min: 1950, max: 2150 }), fc.integer({ min: 2001, max: 9898 })),
    month: fc.integer({ min: 1, max: 12 }),
    day: fc.oneof(fc.integer({ min: 1, max: 28 }), fc.constantFrom(29, 30, 31)),
  })
  .map((fields) => day(Temporal.PlainDate.from(fields).toString()))

describe('months are added to the evidence date and clamped to the last valid day', () => {
  test.each([
    // java.time.LocalDate.plusMonths, JDK documentation: 2007-03-31 plus one month is 2007-04-30
    ['2007-03-31', 1, '2007-04-30'],
    // Temporal.PlainDate.add, documentation, overflow "constrain": 2019-01-31 plus a month is 2019-02-28
    ['2019-01-31', 1, '2019-02-28'],
    // the same: 2006-08-24 plus 20 years 4 months is 2026-12-24
    ['2006-08-24', 244, '2026-12-24'],
    // our arithmetic by the same rule; the first four are the product's own interval of 24 months
    ['2024-11-24', 24, '2026-11-24'],
    ['2024-02-29', 24, '2026-02-28'],
    ['2020-07-22', 24, '2022-07-22'],
    ['2024-02-29', 48, '2028-02-29'],
    ['2024-02-29', 12, '2025-02-28'],
    ['2026-08-31', 6, '2027-02-28'],
    ['2027-08-30', 6, '2028-02-29'],
    ['2026-12-31', 6, '2027-06-30'],
    // public report jkbrzt/rrule#657: six months from the 31st must not skip to the next year
    ['2026-03-31', 6, '2026-09-30'],
  ])('%s and %i months: %s', (from, n, expected) => {
    expect(months(from, n)).toBe(expected)
  })

  test('anchored, not chained: RFC 7529 SKIP=BACKWARD, monthly from 2014-01-31', () => {
    expect([0, 1, 2, 3].map((n) => months('2014-01-31', n))).toEqual([
      '2014-01-31',
      '2014-02-28',
      '2014-03-31',
      '2014-04-30',
    ])
  })

  test('29 February comes back in the next leap year (date-fns/date-fns#1510 is the drift this prevents)', () => {
    expect([12, 24, 36, 48].map((n) => months('2024-02-29', n))).toEqual([
      '2025-02-28',
      '2026-02-28',
      '2027-02-28',
      '2028-02-29',
    ])
  })

  test('anchored, not chained: monthly from 2026-01-31', () => {
    const anchored = [1, 2, 3, 4].map((n) => months('2026-01-31', n))
    expect(anchored).toEqual(['2026-02-28', '2026-03-31', '2026-04-30', '2026-05-31'])
    // the fault of public reports jkbrzt/rrule#657 and date-fns/date-fns#1510, which adding to the last result brings
    let last = day('2026-01-31')
    const chained = anchored.map(() => {
      last = addMonths(last, 1)
      return last
    })
    expect(chained).toEqual(['2026-02-28', '2026-03-28', '2026-04-28', '2026-05-28'])
  })

  test('chained yearly, 29 February never comes back; ours is anchored to it', () => {
    let last = day('2024-02-29')
    for (let year = 0; year < 4; year++) last = addMonths(last, 12)
    expect([last, months('2024-02-29', 48)]).toEqual(['2028-02-28', '2028-02-29'])
  })

  test('agrees with java.time, Temporal and luxon on any date', () => {
    fc.assert(
      fc.property(anyDate, fc.integer({ min: -1_200, max: 1_200 }), (from, n) => {
        const told = [
          LocalDate.parse(from).plusMonths(n).toString(),
          Temporal.PlainDate.from(from).add({ months: n }).toString(),
          inLuxon(from).plus({ months: n }).toISODate(),
        ]
        return agree(told, addMonths(from, n))
      }),
      { numRuns: pairs, seed: 20260302 },
    )
  })

  test('the end of a month agrees with java.time, Temporal and luxon on any date', () => {
    fc.assert(
      fc.property(anyDate, fc.integer({ min: 0, max: 600 }), (from, n) => {
        const month = Temporal.PlainYearMonth.from(from.slice(0, 7)).add({ months: n })
        const told = [
          LocalDate.parse(from)
            .withDayOfMonth(1)
            .plusMonths(n + 1)
            .minusDays(1)
            .toString(),
          month.toPlainDate({ day: month.daysInMonth }).toString(),
          inLuxon(from).plus({ months: n }).endOf('month').toISODate(),
        ]
        return agree(told, addMonthsToEndOfMonth(from, n))
      }),
      { numRuns: pairs / 4, seed: 20260304 },
    )
  })
})

test('February is as long as java.time, Temporal and luxon say, in every year that may be written', () => {
  const years = Array.from({ length: 8_100 }, (_, i) => 1900 + i)
  const wrong = years.filter((year) => {
    const told = [
      LocalDate.of(year, 2, 1).lengthOfMonth(),
      Temporal.PlainYearMonth.from({ year, month: 2 }).daysInMonth,
      DateTime.utc(year, 2).daysInMonth ?? null,
    ]
    return !agree(told, Number(endOfMonth(day(`${year}-02-01`)).slice(8)))
  })
  expect(wrong).toEqual([])
})

describe('days overdue are a count of calendar days', () => {
  test.each([
    // CDC CDSi, calculation examples CALCDT-3 and -4: five weeks from 2000-02-01 and 2001-02-01, 4 days before
    // 2000-01-15
    ['2000-02-01', 35, '2000-03-07'],
    ['2001-02-01', 35, '2001-03-08'],
    ['2000-01-15', -4, '2000-01-11'],
  ])('%s and %i days: %s', (from, n, expected) => {
    expect(addDays(day(from), n)).toBe(expected)
    expect(daysBetween(day(from), day(expected))).toBe(n)
  })

  test('adding them agrees with java.time, Temporal and luxon, across every change of clocks', () => {
    fc.assert(
      fc.property(anyDate, fc.integer({ min: -36_500, max: 36_500 }), (from, n) => {
        const told = [
          LocalDate.parse(from).plusDays(n).toString(),
          Temporal.PlainDate.from(from).add({ days: n }).toString(),
          inLuxon(from).plus({ days: n }).toISODate(),
        ]
        return agree(told, addDays(from, n))
      }),
      { numRuns: pairs / 2, seed: 20260303 },
    )
  })

  test('counting them agrees with java.time, Temporal and luxon, across every change of clocks', () => {
    fc.assert(
      fc.property(anyDate, anyDate, (from, to) => {
        const told = [
          LocalDate.parse(from).until(LocalDate.parse(to), ChronoUnit.DAYS),
          Temporal.PlainDate.from(from).until(to).days,
          (inLuxon(to).toMillis() - inLuxon(from).toMillis()) / 86_400_000,
        ]
        return agree(told, daysBetween(from, to))
      }),
      { numRuns: pairs / 2, seed: 20260305 },
    )
  })
})

/** Temporal keeps the zones of the runtime by arithmetic of its own. */
describe('where an instant meets the clock on the wall', () => {
  const zones = Intl.supportedValuesOf('timeZone')

  /** Up to two hours from a change of the zone's clocks, where it has one after that year's beginning. */
  const aroundChanges = fc
    .record({
      zone: fc.constantFrom(...zones),
      // Toronto put its clocks forward across midnight in 1919, and from then on nobody did
      year: fc.integer({ min: 1920, max: 2039 }),
      minutes: fc.integer({ min: -120, max: 120 }),
    })
    .map(({ zone, year, minutes }) => {
      const begun = Temporal.Instant.from(`${year}-01-01T00:00Z`).toZonedDateTimeISO(zone)
      return { zone, there: (begun.getTimeZoneTransition('next') ?? begun).add({ minutes }), apart: minutes }
    })

  const holds = (law: (at: typeof aroundChanges extends fc.Arbitrary<infer At> ? At : never) => void) =>
    fc.assert(fc.property(aroundChanges, law), { numRuns: Math.min(pairs, tries(10_000, 1_000)), seed: 20260307 })

  const written = (instant: Temporal.ZonedDateTime) => instant.toInstant().toString({ smallestUnit: 'millisecond' })

  test('it shows the day, the hour and the name that Temporal and the runtime say', () => {
    holds(({ zone, there }) => {
      const at = instantOf(there.epochMilliseconds)
      const names = new Intl.DateTimeFormat('en-US', { timeZone: zone, hour: 'numeric', timeZoneName: 'short' })
      const name = names.formatToParts(there.epochMilliseconds).find(({ type }) => type === 'timeZoneName')?.value
      expect([at, millisOf(at)]).toEqual([written(there), there.epochMilliseconds])
      expect([localDateAt(at, zone), localTimeAt(at, zone), localHourAt(at, zone), zoneNameAt(at, zone)]).toEqual([
        there.toPlainDate().toString(),
        there.toPlainTime().toString().slice(0, 5),
        there.hour,
        name,
      ])
    })
  })

  test('it shows an hour at the instants that Temporal says: none, one or two', () => {
    const counts = new Set<number>()
    holds(({ zone, there, apart }) => {
      const minutes = Math.round(Math.abs(apart) * 1.25)
      const hour = there.toPlainDateTime().add({ minutes }).round({ smallestUnit: 'minute', roundingMode: 'floor' })
      const theirs = (['earlier', 'later'] as const)
        .map((disambiguation) => hour.toZonedDateTime(zone, { disambiguation }))
        .filter((one) => one.toPlainDateTime().equals(hour))
        .map(written)
      const ours = instantsAt(hour.toPlainDate().toString(), hour.toPlainTime().toString().slice(0, 5), zone)
      expect(ours).toEqual([...new Set(theirs)])
      counts.add(ours.length)
    })
    if (pairs >= 1_000) expect([...counts].sort()).toEqual([0, 1, 2])
  })

  test('its day begins and ends where Temporal says', () => {
    holds(({ zone, there }) => {
      const date = there.toPlainDate()
      const [begins, next] = [date, date.add({ days: 1 })].map((one) => one.toZonedDateTime(zone))
      const today = day(date.toString())
      expect([startOfDay(today, zone), endOfDay(today, zone)]).toEqual([
        begins === undefined ? '' : written(begins),
        next === undefined ? '' : written(next.subtract({ milliseconds: 1 })),
      ])
    })
  })

  test.each([
    ['2026-03-02T09:40:00Z'],
    ['2026-03-02T09:40:00.000+00:00'],
    ['2026-03-02 09:40:00.000Z'],
    ['2026-02-30T09:40:00.000Z'],
    ['2026-03-02T24:00:00.000Z'],
    ['2026-03-02T09:60:00.000Z'],
    ['2026-03-02T09:40:60.000Z'],
    ['2026-03-02T09:40:00.000Z '],
    [''],
  ])('no instant: %j', (text) => {
    expect(isInstant(text)).toBe(false)
    expect(() => millisOf(text as Instant)).toThrow(RangeError)
  })

  test.each([
    ['2026-03-02', '24:00'],
    ['2026-03-02', '9:40'],
    ['2026-02-29', '09:40'],
    ['2026-03-02', ''],
  ])('%s at %j is nowhere', (date, time) => {
    expect(instantsAt(date, time, 'America/Chicago')).toEqual([])
  })
})

/**
 * What other rules make of the same interval, as their documents print it. The product goes by the last valid day; here
 * stands where it parts with each of the others, and that it is never the later one.
 */
describe('the same interval by other published rules', () => {
  /** CDC CDSi, CALCDT-5, and RFC 7529 SKIP=FORWARD: a day that does not exist becomes the first of the next month. */
  const rolledForward = (from: string, n: number) => {
    const clamped = months(from, n)
    return clamped.slice(8) === from.slice(8) ? clamped : addDays(clamped, 1)
  }

  test('Temporal.PlainDate.add, "reject": 2019-01-31 and a month is no date; ours is the last valid day', () => {
    expect(() => Temporal.PlainDate.from('2019-01-31').add({ months: 1 }, { overflow: 'reject' })).toThrow(RangeError)
    expect(months('2019-01-31', 1)).toBe('2019-02-28')
  })

  test.each([
    // CDC CDSi, calculation examples CALCDT-1 and -2: years and months onto a day that exists
    ['2000-01-01', 36, '2003-01-01'],
    ['2000-11-01', 6, '2001-05-01'],
  ])('CDC CDSi: %s and %i months: %s', (from, n, expected) => {
    expect([months(from, n), rolledForward(from, n)]).toEqual([expected, expected])
  })

  test.each([
    // CDC CDSi, CALCDT-5
    ['2000-03-31', 6, '2000-10-01', '2000-09-30'],
    ['2010-08-31', 6, '2011-03-01', '2011-02-28'],
  ])('CDC CDSi CALCDT-5: %s and %i months rolls forward to %s, ours is %s', (from, n, rolled, clamped) => {
    expect([rolledForward(from, n), months(from, n)]).toEqual([rolled, clamped])
  })

  test('CDC CDSi CALCDT-6, from left to right: 2000-01-31 and 6 months less 4 days is 2000-07-27', () => {
    expect(addDays(months('2000-01-31', 6), -4)).toBe('2000-07-27')
  })

  test('RFC 7529 SKIP=FORWARD: monthly from 2014-01-31 and yearly from 2012-02-29', () => {
    const monthly = [0, 1, 2, 3].map((n) => rolledForward('2014-01-31', n))
    expect(monthly).toEqual(['2014-01-31', '2014-03-01', '2014-03-31', '2014-05-01'])
    const yearly = [12, 24, 36, 48].map((n) => rolledForward('2012-02-29', n))
    expect(yearly).toEqual(['2013-03-01', '2014-03-01', '2015-03-01', '2016-02-29'])
  })

  test('RFC 5545 and 7529, SKIP=OMIT: monthly from 2014-01-31 leaves out months with no 31st, ours none', () => {
    const monthly = [0, 1, 2, 3, 4].map((n) => months('2014-01-31', n))
    expect(monthly.filter((date) => date.endsWith('-31'))).toEqual(['2014-01-31', '2014-03-31', '2014-05-31'])
    expect(monthly).toHaveLength(5)
  })

  // 14 CFR 91.409 counts calendar months; the month's end is how pilots read it (pilotsofamerica.com, thread 138852)
  test('calendar months: 22 July 2020 and 24 calendar months end on 31 July 2022', () => {
    expect(addMonthsToEndOfMonth(day('2020-07-22'), 24)).toBe('2022-07-31')
    expect(endOfMonth(day('2022-07-22'))).toBe('2022-07-31')
  })

  // 14 CFR 121.401: a check in the month before or after its own counts as done in its own (FAA test question 8214)
  test('a month of grace keeps the anchor: that of December 2010, done in January 2012, is due in December', () => {
    for (const done of ['2010-12-01', '2010-12-10', '2010-12-31']) {
      const due = [12, 13, 24].map((n) => addMonthsToEndOfMonth(day(done), n))
      expect(due).toEqual(['2011-12-31', '2012-01-31', '2012-12-31'])
    }
  })

  // OSHA, letter to Skinner, 24 January 2007: "annual" is not over 365 days; the months are hcpro.com's example, June
  // 2010
  test('a cap of 365 days: December 2008, June 2009 and December 2010 leave one gap too long', () => {
    expect(daysBetween(day('2008-12-01'), day('2009-06-30'))).toBeLessThanOrEqual(365)
    expect(daysBetween(day('2009-06-30'), day('2010-12-01'))).toBeGreaterThan(365)
    expect(addDays(day('2009-06-30'), 365)).toBe('2010-06-30')
  })

  // our arithmetic by the rules above: last valid day; CALCDT-5; calendar months to their end; 365 days for each year
  test.each([
    ['2024-11-24', 24, '2026-11-24', '2026-11-24', '2026-11-30', '2026-11-24'],
    ['2024-02-29', 24, '2026-02-28', '2026-03-01', '2026-02-28', '2026-02-28'],
    ['2024-02-29', 12, '2025-02-28', '2025-03-01', '2025-02-28', '2025-02-28'],
    ['2024-02-29', 48, '2028-02-29', '2028-02-29', '2028-02-29', '2028-02-28'],
    ['2026-08-31', 6, '2027-02-28', '2027-03-01', '2027-02-28', null],
    ['2027-08-30', 6, '2028-02-29', '2028-03-01', '2028-02-29', null],
    ['2026-12-31', 6, '2027-06-30', '2027-07-01', '2027-06-30', null],
    ['2020-07-22', 24, '2022-07-22', '2022-07-22', '2022-07-31', '2022-07-22'],
  ])('%s and %i months: last valid day %s, rolled forward %s, month’s end %s, in days %s', (from, n, ...expected) => {
    const inDays = n % 12 === 0 ? addDays(day(from), (n / 12) * 365) : null
    const clamped = months(from, n)
    const [rolled, monthsEnd] = [rolledForward(from, n), addMonthsToEndOfMonth(day(from), n)]
    expect([clamped, rolled, monthsEnd, inDays]).toEqual(expected)
    expect(clamped <= rolled && clamped <= monthsEnd).toBe(true)
  })
})

describe('only a real calendar date is a date', () => {
  test.each([
    '2026-02-30',
    '2026-02-29',
    '2026-04-31',
    '2026-00-10',
    '2026-13-01',
    '2026-01-00',
    '2026-01-32',
    // ISO 8601: a week date, an ordinal date, a bare month, and the basic form
    '2026-W10-1',
    '2026W101',
    '2026-061',
    '2026-03',
    '20260302',
    // a spreadsheet's count of days
    '45292',
    '2026-3-2',
    ' 2026-03-02',
    '2026-03-02 ',
    '2026-03-02\n',
    '2026-03-02T00:00',
    // ISO 8601: an interval
    '2026-03-02/2026-03-03',
    '+02026-03-02',
    '-2026-03-02',
    '0000-01-01',
    '0026-03-02',
    '1899-12-31',
    '10000-01-01',
    '２０２６-03-02',
    '2026/03/02',
    '2026−03−02',
    '',
    // Gregorian rule: of the full centuries only every fourth is a leap year
    '1900-02-29',
    '2100-02-29',
  ])('refused: %j', (text) => {
    expect(isCalendarDate(text)).toBe(false)
    expect(calendarDate.safeParse(text).success).toBe(false)
  })

  test.each([20_260_302, 45_292, 0, null, undefined, new Date(0)])('refused, for it is no text: %j', (value) => {
    expect(calendarDate.safeParse(value).success).toBe(false)
  })

  test.each(['2024-02-29', '2000-02-29', '2400-02-29', '1900-01-01', '1900-02-28', '9999-12-31'])(
    'accepted: %s',
    (text) => {
      expect(isCalendarDate(text)).toBe(true)
      expect(calendarDate.parse(text)).toBe(text)
    },
  )

  test('java.time and Temporal call the same days real, for every day and month that two digits can write', () => {
    const years = [1900, 1904, 2000, 2023, 2024, 2100, 2399, 2400, 9996, 9999]
    const texts = years.flatMap((year) =>
      numbers.flatMap((month) => numbers.map((dayOfMonth) => `${year}-${month}-${dayOfMonth}`)),
    )
    expect(texts.filter(isCalendarDate)).toEqual(texts.filter((text) => parses(() => LocalDate.parse(text))))
    expect(texts.filter(isCalendarDate)).toEqual(texts.filter((text) => parses(() => Temporal.PlainDate.from(text))))
  })
})
