import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, addMonths, type CalendarDate, daysBetween } from '../../../shared-domain/calendar.ts'
import type { Happening } from '../../../shared-domain/facts.ts'
import { earlierTests } from '../../../shared-domain/slips/earlier-tests.ts'
import { tries } from '../../support/tier.ts'
import { aTest, day, happened, history } from '../../support/trade.ts'
import { judgedBy, stickOf } from '../bench-test/fixtures.ts'
import { askedOf, knownOf, ofTest, questionsAbout } from './fixtures.ts'

const seeded = { seed: 20260310, numRuns: tries(2000, 400) }

const asked = (on: string, today = '2026-03-10') =>
  questionsAbout(askedOf({ on: day(on) }), knownOf({ today: day(today) })).map(({ text }) => text)

describe('a day far from today', () => {
  test.each([
    ['a year too early', '2025-03-08', '2025-03-08 is 367 days before today, 2026-03-10. Is it 2026-03-08?'],
    ['a year too late', '2027-03-08', '2027-03-08 is 363 days after today, 2026-03-10. Is it 2026-03-08?'],
    ['ten years too early', '2016-03-08', '2016-03-08 is 3654 days before today, 2026-03-10. Is it 2026-03-08?'],
    ['more than 300 days ago', '2025-05-13', '2025-05-13 is 301 days before today, 2026-03-10. Is that the day?'],
    ['long ago, the last such day', '2024-05-13', '2024-05-13 is 666 days before today, 2026-03-10. Is it 2025-05-13?'],
    ['a day of this year too', '2024-01-20', '2024-01-20 is 780 days before today, 2026-03-10. Is it 2026-01-20?'],
    ['a month ahead, of last year', '2025-04-10', '2025-04-10 is 334 days before today, 2026-03-10. Is it 2026-04-10?'],
    [
      'a day that this year has not',
      '2024-02-29',
      '2024-02-29 is 740 days before today, 2026-03-10. Is it 2026-02-28?',
    ],
  ])('%s', (_, on, text) => expect(asked(on)).toEqual([text]))

  test('around new year: December typed with the new year, January with the old one', () => {
    expect(asked('2026-12-20', '2026-01-05')).toEqual([expect.stringContaining('Is it 2025-12-20?')])
    expect(asked('2025-01-04', '2026-01-05')).toEqual([expect.stringContaining('Is it 2026-01-04?')])
    expect(asked('2025-12-20', '2026-01-05')).toEqual([])
    expect(asked('2026-01-04', '2025-12-20')).toEqual([])
    // a day ahead is of this year or the next
    expect(asked('2025-01-04', '2025-12-20')).toEqual([expect.stringContaining('Is it 2026-01-04?')])
  })

  test.each([
    ['today', '2026-03-10'],
    ['300 days ago', '2025-05-14'],
    ['a planned test next summer', '2026-07-01'],
    ['a month ahead, to the day', '2026-04-10'],
    ['32 days ahead', '2026-04-11'],
    ['a year and 32 days ahead', '2027-04-11'],
  ])('%s is not asked about', (_, on) => expect(asked(on)).toEqual([]))

  test('names the field in which it stands', () => {
    expect(questionsAbout(askedOf({ on: day('2020-01-01') }), knownOf())).toMatchObject([
      { code: 'date-far-off', pointer: '/occurredOn' },
    ])
    expect(ofTest(aTest({ testedOn: day('2020-01-01') }))).toMatchObject([{ pointer: '/testedOn' }])
  })
})

const anyDay = fc.integer({ min: 0, max: 20_000 }).map((days) => addDays(day('2000-01-01'), days))
const near = fc.integer({ min: -31, max: 31 })

describe('for any day', () => {
  test('near today nothing is asked', () => {
    fc.assert(
      fc.property(anyDay, near, (today, away) => {
        expect(asked(addDays(today, away), today)).toEqual([])
      }),
      seeded,
    )
  })

  test('typed with a year too many or too few, the day is named that was meant', () => {
    fc.assert(
      fc.property(anyDay, near, fc.integer({ min: 1, max: 8 }), (today, away, years) => {
        const meant = addDays(today, away)
        fc.pre(!meant.endsWith('02-29'))
        for (const typed of [addMonths(meant, years * 12), addMonths(meant, years * -12)]) {
          expect(asked(typed, today)).toEqual([expect.stringContaining(`Is it ${meant}?`)])
        }
      }),
      seeded,
    )
  })

  test('it is asked alike whichever of both is today, as far as it is not merely long ago', () => {
    const isAsked = (on: CalendarDate, today: CalendarDate) => asked(on, today).length > 0
    fc.assert(
      fc.property(anyDay, fc.integer({ min: 0, max: 1500 }), (on, away) => {
        const today = addDays(on, away)
        if (isAsked(today, on)) expect(isAsked(on, today)).toBe(true)
        else if (away <= 300) expect(isAsked(on, today)).toBe(false)
      }),
      seeded,
    )
  })

  test('what is named lies nearer to today, in the same month, and is never asked about in turn', () => {
    fc.assert(
      fc.property(anyDay, anyDay, (on, today) => {
        const [text = ''] = asked(on, today)
        const meant = /Is it (.*)\?/.exec(text)?.[1]
        if (meant === undefined) return
        const away = (one: string) => Math.abs(daysBetween(day(one), today))
        expect(away(meant)).toBeLessThan(away(on))
        expect(meant.slice(5, 7)).toBe(on.slice(5, 7))
      }),
      seeded,
    )
  })
})

describe('a day before the first day of service', () => {
  const known = knownOf({ stick: stickOf({ inServiceSince: day('2025-12-01') }) })
  const of = (happening: Happening, on = '2025-11-30') =>
    questionsAbout(askedOf({ happening, on: day(on) }), known).map(({ text }) => text)
  const text = '2025-11-30 is before 2025-12-01, the first day of service of S-0012. Is that the day?'

  test('is asked about where the stick was in use, reported, released or tested again', () => {
    const periodic = happened.tested('pass', aTest({ testedOn: day('2025-11-30') }))
    for (const one of [happened.used(), happened.defect(), happened.released(), periodic]) {
      expect(of(one)).toEqual([text])
      expect(of(one, '2025-12-01')).toEqual([])
    }
  })

  test('is right for what comes before: a first test, a certificate, a step, a move', () => {
    const first = aTest({ testedOn: day('2025-11-30'), reason: 'first issue' })
    expect(of(happened.tested('pass', first))).toEqual([])
    expect(of(happened.step('waxed'))).toEqual([])
    expect(of(happened.moved({ store: 'DEP-1' }))).toEqual([])
  })

  test('is unknown where the register does not say it, or knows nothing of the stick', () => {
    for (const stick of [stickOf(), undefined]) {
      expect(questionsAbout(askedOf({ on: day('2025-11-30') }), knownOf({ stick }))).toEqual([])
    }
  })
})

describe('a test long before the last one', () => {
  const earlier = [aTest({ testedOn: day('2026-02-20') }), aTest({ testedOn: day('2024-02-20') })]
  const tested = (on: string) =>
    ofTest(aTest({ testedOn: day(on), dry: { readings: [] } }), { tests: { by: judgedBy(), earlier } }).map(
      (one) => one.text,
    )

  test('is asked about once it lies more than 31 days before it', () => {
    expect(tested('2026-01-19')).toEqual([
      '2026-01-19 is 32 days before its last test, on 2026-02-20. Is that the day?',
    ])
    expect(tested('2026-01-20')).toEqual([])
    expect(tested('2026-03-10')).toEqual([])
  })

  test('of tests that prove something, as they are judged by now; the newest is told first', () => {
    const on = (testedOn: string) => aTest({ testedOn: day(testedOn) })
    const facts = history(
      ['2024-02-01', happened.registered()],
      ['2024-02-20', happened.tested('pass', on('2024-02-20'))],
      ['2026-02-20', happened.tested('electrical', on('2026-02-20'))],
      ['2026-03-01', happened.tested('invalid', on('2026-03-01'))],
      ['2026-03-02', happened.tested('invalid', on('2026-03-02'))],
      ['2026-03-03', happened.judgedAgain(5, 'pass')],
    )
    expect(earlierTests(facts).map((one) => one.testedOn)).toEqual(['2026-03-02', '2026-02-20', '2024-02-20'])
  })
})
