/** A row of a file, as the fields of a body and as faults by their cells. */
import { expect, test } from 'vitest'
import { proposedMapping } from '../../../shared-domain/import/columns.ts'
import { type FileReading, rowRead } from '../../../shared-domain/import/rows.ts'

const headings = ['Stick', 'Type', 'Length (ft)', 'Diameter', 'Primary', 'In service since', 'Sections', 'Colour']
const reading: FileReading = {
  kind: 'sticks',
  mapping: proposedMapping(headings, 'sticks'),
  dates: 'day first',
  decimal: ',',
  units: { workingLengthMetres: 'ft' },
}

test('holds what its cells say, by the units, marks and orders that were chosen', () => {
  const cells = [
    '0012',
    'frp rod',
    '8',
    '31,8',
    'yes',
    '02/03/2024',
    'tip 4; hand grip 1,2 m; "a; b" 4; tail',
    'orange',
  ]
  expect(rowRead(cells, reading)).toEqual({
    fields: {
      stickId: '0012',
      construction: 'FRP rod',
      workingLengthMetres: 2.438,
      diameterMillimetres: 31.8,
      primaryProtection: true,
      inServiceSince: '2024-03-02',
      sections: [
        { name: 'tip', lengthMetres: 1.219 },
        { name: 'hand grip', lengthMetres: 1.2 },
        { name: 'a; b', lengthMetres: 1.219 },
        { name: 'tail', lengthMetres: null },
      ],
    },
    faults: [],
  })
})

test('leaves out what is empty, and what is not there at all', () => {
  expect(rowRead(['S-1', '', '  '], reading)).toEqual({ fields: { stickId: 'S-1' }, faults: [] })
})

test('names each cell that cannot be read, with what stands in it', () => {
  const { fields, faults } = rowRead(['S-1', 'plastic', 'long', '31.8', 'perhaps', '31/02/2024'], reading)
  expect(fields).toEqual({ stickId: 'S-1' })
  expect(faults.map(({ column, field, came }) => [column, field, came])).toEqual([
    [1, 'construction', 'plastic'],
    [2, 'workingLengthMetres', 'long'],
    [3, 'diameterMillimetres', '31.8'],
    [4, 'primaryProtection', 'perhaps'],
    [5, 'inServiceSince', '31/02/2024'],
  ])
})

test.each([
  ["'=1+1", '=1+1'],
  ["'-5", '-5'],
  ["'+49", '+49'],
  ["'@x", '@x'],
  ["''tis", "''tis"],
  ["'tis", "'tis"],
  ['1E5', '1E5'],
  ['-5', '-5'],
])('takes off the apostrophe that keeps %j from being a formula, and no other', (cell, text) => {
  expect(rowRead([cell], reading).fields.stickId).toBe(text)
})
