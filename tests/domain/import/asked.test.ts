/** What is asked of a file: whatever can be read in two ways, and nothing else. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { dataRows, proposedReading, type SaidOfRows } from '../../../shared-domain/import/asked.ts'
import { rowRead } from '../../../shared-domain/import/rows.ts'

const numbered = (rows: readonly (readonly (string | number)[])[]) => rows.map((cells, i) => ({ row: i + 1, cells }))
const uses = (...dates: readonly string[]) => numbered([['Stick', 'Date'], ...dates.map((date) => ['S-1', date])])

const two = (figure: number) => String(figure).padStart(2, '0')
const days = fc.record({
  year: fc.integer({ min: 1990, max: 2040 }),
  month: fc.integer({ min: 1, max: 12 }),
  day: fc.integer({ min: 1, max: 28 }),
})
type Day = { readonly year: number; readonly month: number; readonly day: number }
const written: Readonly<Record<'day first' | 'month first', (one: Day) => string>> = {
  'day first': ({ year, month, day }) => `${day}/${month}/${year}`,
  'month first': ({ year, month, day }) => `${month}/${day}/${year}`,
}
const iso = ({ year, month, day }: Day) => `${year}-${two(month)}-${two(day)}`

function datesRead(rows: ReturnType<typeof uses>, said: SaidOfRows = {}): readonly unknown[] | 'asked' {
  const proposed = proposedReading(rows, 'uses', said)
  if (proposed === null || proposed.questions.length > 0) return 'asked'
  return dataRows(rows, proposed).map(({ cells }) => rowRead(cells, proposed.reading).fields.occurredOn)
}

describe('dates', () => {
  test('no date is ever read as another: it is read right, or asked about', () => {
    const order = fc.constantFrom('day first' as const, 'month first' as const)
    fc.assert(
      fc.property(fc.array(days, { minLength: 1, maxLength: 8 }), order, (all, by) => {
        const rows = uses(...all.map(written[by]))
        const read = datesRead(rows)
        if (read !== 'asked') expect(read).toEqual(all.map(iso))
        // whoever says the order has it read by that
        expect(datesRead(rows, { dates: by })).toEqual(all.map(iso))
      }),
    )
  })

  test('what begins with its year is never asked about', () => {
    fc.assert(
      fc.property(fc.array(days, { minLength: 1 }), (all) => {
        expect(datesRead(uses(...all.map(iso)))).toEqual(all.map(iso))
      }),
    )
  })
})

describe('figures', () => {
  const sticks = (heading: string, ...lengths: readonly (string | number)[]) =>
    numbered([
      ['Stick', 'Type', heading, 'Diameter (mm)', 'Primary'],
      ...lengths.map((length, i) => [`S-${i}`, 'FRP rod', length, 32, 'yes']),
    ])
  const asked = (rows: ReturnType<typeof sticks>, said: SaidOfRows = {}) =>
    proposedReading(rows, 'sticks', said)?.questions.map(({ about }) => about)

  test.each<[what: string, heading: string, lengths: (string | number)[], asked: string[]]>([
    ['a point that can be but one', 'Length (m)', ['2.4', '2.45'], []],
    ['a comma that can be but one', 'Length (m)', ['2,4', '2,45'], []],
    ['three figures behind it', 'Length (m)', ['2,400'], ['decimal']],
    ['told by another row', 'Length (m)', ['2,400', '2,45'], []],
    ['no unit', 'Length', ['8'], ['unit']],
    ['a unit in each cell', 'Length', ['8 ft', '2.4 m'], []],
    ['a unit in some', 'Length', ['8 ft', '8'], ['unit']],
    ['our own name of the field', 'workingLengthMetres', ['2.4'], []],
    ['numbers of a workbook', 'Length (ft)', [7.875, 8], []],
  ])('%s', (_, heading, lengths, questions) => {
    expect(asked(sticks(heading, ...lengths))).toEqual(questions)
  })

  test('what was said is asked no more', () => {
    expect(asked(sticks('Length', '2,400'), { decimal: ',', units: { workingLengthMetres: 'm' } })).toEqual([])
  })
})

test('the header is the row that says most, wherever it stands; without one nothing is known', () => {
  const rows = numbered([['Our sticks'], [], ['Stick', 'Date'], ['S-1', '2026-03-02']])
  expect(proposedReading(rows, 'uses')).toMatchObject({ headerRow: 3, questions: [] })
  expect(proposedReading(rows, 'uses', { headerRow: 1 })).toMatchObject({
    headerRow: 1,
    questions: [{ about: 'columns' }],
  })
  expect(proposedReading([], 'uses')).toBeNull()
})

test('moves of one stick and day without hours are asked for their order, others are not', () => {
  const moves = (...rows: readonly string[][]) =>
    proposedReading(numbered([['Stick', 'Date', 'Hour', 'Crew'], ...rows]), 'moves')?.questions
  expect(moves(['S-1', '2026-03-02', '', 'A'], ['S-2', '2026-03-02', '', 'A'], ['S-1', '2026-03-02', '', 'B'])).toEqual(
    [{ about: 'order', rows: [2, 4] }],
  )
  expect(moves(['S-1', '2026-03-02', '08:00', 'A'], ['S-1', '2026-03-02', '', 'B'])).toEqual([])
  expect(moves(['S-1', '2026-03-02', '', 'A'], ['S-1', '2026-03-03', '', 'B'])).toEqual([])
})
