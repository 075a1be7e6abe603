/** Dates and lengths as readers write them, against what others say of the same. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, type CalendarDate } from '../../../shared-domain/calendar.ts'
import { dateIn, lengthIn, periodsIn, smallLengthIn } from '../../../shared-domain/catalogue/values.ts'
import { feetInMetres } from '../../../shared-domain/feet.ts'
import { tries } from '../../support/tier.ts'
import { day } from '../../support/trade.ts'
import { spoken } from './messages.ts'

const { en, es } = spoken

describe('a date', () => {
  /** Every day of a common year and of a leap year, and days from 1900 to 9999. */
  const days = [
    ...Array.from({ length: 731 }, (_, i) => addDays(day('2027-01-01'), i)),
    ...['1900-01-01', '1999-12-31', '2000-02-29', '2100-02-28', '9999-12-31'].map(day),
  ]

  // a runtime without full language data would print names of its own
  test('is said in English with the day, the month and the year of the same day', () => {
    expect(dateIn(en, '2028-03-02')).toBe('2 March 2028')
    const months = 'January February March April May June July August September October November December'.split(' ')
    const inWords = (one: CalendarDate) => {
      const [year, month, dayOfMonth] = one.split('-').map(Number)
      return `${dayOfMonth} ${months[(month ?? 0) - 1]} ${year}`
    }
    for (const one of days) expect(dateIn(en, one)).toBe(inWords(one))
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 2_900_000 }), (later) => {
        const one = addDays(day('1900-01-01'), later)
        expect(dateIn(en, one)).toBe(inWords(one))
      }),
      { seed: 8601, numRuns: tries(2_000) },
    )
  })

  test('is said in Spanish with the day, the month and the year of the same day', () => {
    const months = 'enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre'.split(' ')
    for (const one of days) {
      const [year, month, dayOfMonth] = one.split('-').map(Number)
      expect(dateIn(es, one)).toBe(`${dayOfMonth} de ${months[(month ?? 0) - 1]} de ${year}`)
    }
  })

  test.each(['', 'yesterday', '2026-02-30', '2026-3-2', '1899-12-31', '2026-03-02T09:00:00.000Z'])(
    'that is none is told as it was stated: %j',
    (stated) => {
      for (const tongue of [en, es]) expect(dateIn(tongue, stated)).toBe(stated)
    },
  )

  test('periods are told one after the other, with the word of the language between their days', () => {
    const two = '2024-01-10/2025-01-10 2026-03-02/2027-03-01'
    expect(periodsIn(en, two)).toBe('10 January 2024 to 10 January 2025, 2 March 2026 to 1 March 2027')
    expect(periodsIn(es, two)).toBe(
      '10 de enero de 2024 a 10 de enero de 2025, 2 de marzo de 2026 a 1 de marzo de 2027',
    )
    expect(periodsIn(en, '2026-03-02/2027-03-01')).toBe('2 March 2026 to 1 March 2027')
  })
})

/** NIST SP 811 (2008 edition), B.8: 1 ft is 0.3048 m and 1 in is 25.4 mm, both exactly. */
const metresPerFoot = 0.3048
const millimetresPerInch = 25.4

describe('a length', () => {
  const length = (metres: number, tongue = en) => lengthIn({ ...tongue, units: 'US customary', isBare: false }, metres)

  test.each<[metres: number, inFeet: string]>([
    [0, '0 ft'],
    [0.025, '1 in'],
    [0.0254, '1 in'],
    [0.05, '2 in'],
    [0.1, '3.9 in'],
    [0.3, '11.8 in'],
    // 303 and 304 mm are 11.93 and 11.97 in
    [0.303, '11.9 in'],
    [0.304, '1 ft'],
    [0.3048, '1 ft'],
    [0.33, '1 ft 1 in'],
    [0.6096, '2 ft'],
    [0.9, '2 ft 11.4 in'],
    [1, '3 ft 3.4 in'],
    [1.2, '3 ft 11.2 in'],
    [1.8288, '6 ft'],
    // a tenth under 8 ft, and 8 ft themselves
    [2.436, '7 ft 11.9 in'],
    [2.4384, '8 ft'],
    [3.048, '10 ft'],
    [12.192, '40 ft'],
  ])('of %d m is %s', (metres, inFeet) => {
    expect(length(metres)).toBe(inFeet)
    expect(lengthIn({ ...en, units: 'US customary', isBare: true }, metres)).toBe(inFeet)
  })

  test('in Spanish has the names of the units in Spanish', () => {
    expect(length(0.3048, es)).toBe('1 pie')
    expect(length(2.4384, es)).toBe('8 pies')
    expect(length(0.9, es)).toBe('2 pies 11.4 pulg')
    expect(length(0.1, es)).toBe('3.9 pulg')
  })

  test('in feet and inches is that of the tape, to a tenth of an inch, and never twelve inches', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 15_000 }), (millimetres) => {
        const said = length(millimetres / 1000)
        const [, feet = '0', inches = '0'] = /^(?:(\d+) ft)? ?(?:([\d.]+) in)?$/.exec(said) ?? []
        expect(said).not.toBe('')
        expect(Number(inches)).toBeLessThan(12)
        const told = Number(feet) * metresPerFoot * 1000 + Number(inches) * millimetresPerInch
        expect(Math.abs(told - millimetres)).toBeLessThanOrEqual(0.05 * millimetresPerInch + 1e-9)
      }),
      { seed: 811, numRuns: tries(2_000) },
    )
  })

  test('of whole feet is whole feet, whatever millimetre that was rounded to', () => {
    for (let feet = 2; feet <= 40; feet += 1) expect(length(feetInMetres(feet))).toBe(`${feet} ft`)
  })

  test('in metres is to the millimetre, with its unit or without', () => {
    const inMetres = (metres: number, isBare = false) => lengthIn({ ...en, units: 'metric', isBare }, metres)
    expect([0, 0.3, 2.4, 2.4384, 12].map((one) => inMetres(one))).toEqual(['0 m', '0.3 m', '2.4 m', '2.438 m', '12 m'])
    expect(inMetres(0.1 + 0.2)).toBe('0.3 m')
    expect([inMetres(0.6, true), inMetres(0.1 + 0.2, true)]).toEqual(['0.6', '0.3'])
  })

  test.each<[millimetres: number, inInches: string]>([
    [0, '0 in'],
    [1, '0.04 in'],
    [20, '0.79 in'],
    [25.4, '1 in'],
    [32, '1.26 in'],
    [50, '1.97 in'],
    [76, '2.99 in'],
    [254, '10 in'],
  ])('of %d mm that is small is %s', (millimetres, inInches) => {
    expect(smallLengthIn({ ...en, units: 'US customary' }, millimetres)).toBe(inInches)
    expect(smallLengthIn({ ...es, units: 'US customary' }, millimetres)).toBe(inInches.replace('in', 'pulg'))
    expect(smallLengthIn({ ...en, units: 'metric' }, millimetres)).toBe(`${millimetres} mm`)
  })

  test('of one millimetre is told from the next', () => {
    const small = Array.from({ length: 300 }, (_, i) => smallLengthIn({ ...en, units: 'US customary' }, i))
    expect(new Set(small).size).toBe(small.length)
  })
})
