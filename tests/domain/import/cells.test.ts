/** Cells of spreadsheets as people fill them in, and what they are read as. */

import { DateTime } from 'luxon'
import { describe, expect, test } from 'vitest'
import { isCalendarDate } from '../../../shared-domain/calendar.ts'
import {
  dateInCell,
  dateOrdersOf,
  decimalMarksOf,
  hourIn,
  metresIn,
  millimetresIn,
  numberInCell,
  wordIn,
  yesOrNoIn,
} from '../../../shared-domain/import/cells.ts'
import type { DateOrder } from '../../../shared-domain/import/choices.ts'
import { constructions } from '../../../shared-domain/words.ts'

describe('a date', () => {
  test.each<[cell: string, order: DateOrder | undefined, date: string | null]>([
    ['2026-03-02', undefined, '2026-03-02'],
    [' 2026-03-02 ', 'day first', '2026-03-02'],
    ['2026/3/2', 'month first', '2026-03-02'],
    ['2026-03-02T00:00:00.000Z', undefined, '2026-03-02'],
    ['2026-03-02 00:00:00', undefined, '2026-03-02'],
    ['02/03/2026', 'day first', '2026-03-02'],
    ['02/03/2026', 'month first', '2026-02-03'],
    ['02/03/2026', undefined, null],
    ['2.3.2026', 'day first', '2026-03-02'],
    ['2-Mar-2026', undefined, '2026-03-02'],
    ['2 March 2026', undefined, '2026-03-02'],
    ['2nd march, 2026', undefined, '2026-03-02'],
    ['Mar 2, 2026', undefined, '2026-03-02'],
    ['2 de marzo de 2026', undefined, '2026-03-02'],
    ['3 ene 2026', undefined, '2026-01-03'],
    ['31 Dic. 2025', undefined, '2025-12-31'],
    // no century, no day, no such day
    ['02/03/26', 'day first', null],
    ['March 2026', undefined, null],
    ['2026-02-30', undefined, null],
    ['31/04/2026', 'day first', null],
    ['13/13/2026', 'month first', null],
    ['45352', 'day first', null],
    ['', undefined, null],
    ['yesterday', undefined, null],
    ['2026-03-02 14:20', undefined, null],
  ])('%j, %s: %s', (cell, order, date) => {
    expect(dateInCell(cell, order)).toBe(date)
  })

  // luxon as the reference: any day, in each of the ways people write it
  test.each(['yyyy-MM-dd', 'd MMMM yyyy', 'MMM d, yyyy', 'dd-MMM-yyyy'])('any, written as %s', (format) => {
    for (let step = 0; step < 4000; step += 7) {
      const day = DateTime.fromISO('1985-01-01', { zone: 'utc' }).plus({ days: step * 4 })
      expect(dateInCell(day.toFormat(format, { locale: 'en' }))).toBe(day.toISODate())
    }
  })

  test.each<[DateOrder, string]>([
    ['day first', 'd/M/yyyy'],
    ['month first', 'M/d/yyyy'],
  ])('any, %s', (order, format) => {
    for (let step = 0; step < 4000; step += 7) {
      const day = DateTime.fromISO('1985-01-01', { zone: 'utc' }).plus({ days: step * 4 })
      expect(dateInCell(day.toFormat(format), order)).toBe(day.toISODate())
    }
  })

  test('is none or a day that there is, whatever stands in the cell', () => {
    for (const cell of [
      '0/0/0000',
      '1/2/0',
      '9999/99/99',
      '00/00/2026',
      '1 2 2026',
      '٣/٢/٢٠٢٦',
      '1/2-2026',
      '-1/2/2026',
    ])
      for (const order of ['year first', 'day first', 'month first'] as const) {
        const date = dateInCell(cell, order)
        expect(date === null || isCalendarDate(date)).toBe(true)
      }
  })
})

describe('the orders of a column of dates', () => {
  test.each([
    [['13/02/2026', '01/02/2026'], ['day first']],
    [['02/13/2026', '01/02/2026'], ['month first']],
    // asked about, never guessed
    [
      ['01/02/2026', '03/04/2026'],
      ['day first', 'month first'],
    ],
    [['2026-01-02', ''], ['year first']],
    [['2 March 2026', 'Mar 5, 2026'], ['year first']],
    [['2026-01-02', '13/02/2026'], ['day first']],
    // two people, two habits: no order reads both
    [['13/02/2026', '02/13/2026'], []],
    [
      ['what', 'ever'],
      ['year first', 'day first', 'month first'],
    ],
  ] as const)('%j: %j', (cells, orders) => {
    expect(dateOrdersOf(cells)).toEqual(orders)
  })
})

test.each([
  ['14:20', '14:20'],
  ['9:05', '09:05'],
  ['2:20 PM', '14:20'],
  ['12:05 am', '00:05'],
  ['12:05 p.m.', '12:05'],
  ['14:20:59', '14:20'],
  ['14h20', '14:20'],
  ['24:00', null],
  ['13:00 pm', null],
  ['7', null],
  ['', null],
])('an hour %j: %s', (cell, hour) => {
  expect(hourIn(cell)).toBe(hour)
})

describe('a number', () => {
  test.each([
    ['4.1', '.', 4.1],
    ['4,1', ',', 4.1],
    ['4,1', '.', null],
    ['4.1', ',', null],
    ['1,234.5', '.', 1234.5],
    ['1.234,5', ',', 1234.5],
    ['1 234,5', ',', 1234.5],
    ['1’234.5', '.', 1234.5],
    ['-5', '.', -5],
    ['−5', '.', -5],
    ['+5', '.', 5],
    ['12,34,567', '.', null],
    // numbers that are names stay text, whatever their digits
    ['1E5', '.', null],
    ['0x10', '.', null],
    ['4.1 µA', '.', null],
    ['1/2', '.', null],
    ['', '.', null],
  ] as const)('%j by %j: %s', (cell, mark, number) => {
    expect(numberInCell(cell, mark)).toBe(number)
  })

  test.each([
    [['4,1', '12,05'], [',']],
    [['4.1', '12'], ['.']],
    // 1,234 is two numbers
    [
      ['1,234', '5'],
      ['.', ','],
    ],
    [['1,234', '5,5'], [',']],
    [['1,234', '5.5'], ['.']],
    [['4', '5'], ['.']],
    [['4,1', '4.1'], []],
    [['', 'none'], ['.']],
  ] as const)('its mark in the column %j: %j', (cells, marks) => {
    expect(decimalMarksOf(cells)).toEqual(marks)
  })
})

describe('a length', () => {
  // one foot is 0.3048 m exactly (NIST SP 811, B.6)
  const metric = { unit: 'm', mark: '.' } as const
  test.each([
    ['2.438', metric, 2.438],
    ['2,4', { unit: 'm', mark: ',' }, 2.4],
    ['8', { unit: 'ft', mark: '.' }, 2.438],
    ['2400', { unit: 'mm', mark: '.' }, 2.4],
    ['2400 mm', metric, 2.4],
    ['240 cm', metric, 2.4],
    ['2.4 m', { unit: 'ft', mark: '.' }, 2.4],
    ["8'", metric, 2.438],
    ['8 ft', metric, 2.438],
    ['8 ft 6 in', metric, 2.591],
    ['8\' 6"', metric, 2.591],
    ['8\' 6 1/2"', metric, 2.604],
    ['102"', metric, 2.591],
    ['long', metric, null],
    ['', metric, null],
    ['8\' 6 1/0"', metric, null],
  ] as const)('%j: %s', (cell, by, metres) => {
    expect(metresIn(cell, by)).toBe(metres)
  })

  test.each([
    ['32', 'mm', 32],
    ['1.25', 'in', 31.75],
    ['1 1/4 in', 'mm', 31.75],
    ['1-1/4"', 'mm', 31.75],
    ['3/4"', 'mm', 19.05],
    ['32 mm', 'in', 32],
    ['thick', 'mm', null],
  ] as const)('across, %j by %s: %s', (cell, unit, millimetres) => {
    expect(millimetresIn(cell, { unit, mark: '.' })).toBe(millimetres)
  })
})

test.each([
  ['Yes', true],
  ['x', true],
  ['PASS', true],
  ['no', false],
  ['Failed', false],
  ['', null],
  ['perhaps', null],
])('yes or no, %j: %s', (cell, value) => {
  expect(yesOrNoIn(cell)).toBe(value)
})

test('a word is known however its letters and gaps are written', () => {
  expect(wordIn(' frp_ROD ', constructions)).toBe('FRP rod')
  expect(wordIn('hollow frp tube', constructions)).toBe('hollow FRP tube')
  expect(wordIn('plastic', constructions)).toBeNull()
})
