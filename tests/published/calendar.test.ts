import { ChronoUnit, LocalDate } from '@js-joda/core'
import fc from 'fast-check'
import { DateTime } from 'luxon'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { addDays, addMonths, daysBetween, isCalendarDate } from '../../shared-domain/calendar.ts'
import { day } from '../support/trade.ts'

const months = (from: string, n: number) => addMonths(day(from), n)

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

  test('agrees with java.time and Temporal on any date', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 80_000 }), fc.integer({ min: 0, max: 600 }), (offset, n) => {
        const from = addDays(day('1950-01-01'), offset)
        const ours = addMonths(from, n)
        expect(ours).toBe(LocalDate.parse(from).plusMonths(n).toString())
        expect(ours).toBe(Temporal.PlainDate.from(from).add({ months: n }).toString())
        expect(ours).toBe(DateTime.fromISO(from, { zone: 'utc' }).plus({ months: n }).toISODate())
      }),
      { numRuns: 5_000, seed: 20260302 },
    )
  })
})

describe('days overdue are a count of calendar days', () => {
  test.each([
    // CDC CDSi, calculation examples CALCDT-3 and -4: five weeks from 2000-02-01 and 2001-02-01, 4 days before 2000-01-15
    ['2000-02-01', 35, '2000-03-07'],
    ['2001-02-01', 35, '2001-03-08'],
    ['2000-01-15', -4, '2000-01-11'],
  ])('%s and %i days: %s', (from, n, expected) => {
    expect(addDays(day(from), n)).toBe(expected)
    expect(daysBetween(day(from), day(expected))).toBe(n)
  })

  test('agrees with java.time across every change of clocks', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60_000 }), fc.integer({ min: -20_000, max: 20_000 }), (offset, n) => {
        const from = addDays(day('1970-01-01'), offset)
        const to = addDays(from, n)
        expect(to).toBe(LocalDate.parse(from).plusDays(n).toString())
        expect(daysBetween(from, to)).toBe(LocalDate.parse(from).until(LocalDate.parse(to), ChronoUnit.DAYS))
      }),
      { numRuns: 3_000, seed: 20260303 },
    )
  })
})

describe('only a real calendar date is a date', () => {
  test.each([
    '2026-02-30',
    '2026-W10-1',
    '2026-061',
    '2026-03',
    '45292',
    '20260302',
    '2026-3-2',
    ' 2026-03-02',
    '2026-03-02T00:00',
    '',
  ])('refused: %j', (text) => {
    expect(isCalendarDate(text)).toBe(false)
  })

  test('accepted: 2024-02-29', () => {
    expect(isCalendarDate('2024-02-29')).toBe(true)
  })
})
