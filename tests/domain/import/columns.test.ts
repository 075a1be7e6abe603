/** Which column of somebody's spreadsheet is which. */

import { describe, expect, test } from 'vitest'
import { importKinds } from '../../../shared-domain/import/choices.ts'
import {
  columnsOf,
  headerRowOf,
  proposedMapping,
  unitInHeading,
  unmapped,
} from '../../../shared-domain/import/columns.ts'

describe('the proposal', () => {
  test('knows headings in other letters, with units, marks and in Spanish', () => {
    expect(
      proposedMapping(['Stick No.', 'TYPE', 'Length (ft)', 'Dia. [in]', 'Primary?', 'Crew', 'Colour'], 'sticks'),
    ).toEqual([
      'stickId',
      'construction',
      'workingLengthMetres',
      'diameterMillimetres',
      'primaryProtection',
      'crewId',
      null,
    ])
    expect(proposedMapping(['Pértiga', 'Construcción', 'Longitud', 'Diámetro'], 'sticks')).toEqual([
      'stickId',
      'construction',
      'workingLengthMetres',
      'diameterMillimetres',
    ])
  })

  test('takes the nearer name first, and no field twice', () => {
    expect(proposedMapping(['Number', 'Stick', 'Stick'], 'sticks')).toEqual([null, 'stickId', null])
    expect(proposedMapping(['Date', 'Tested on'], 'bench-tests')).toEqual([null, 'testedOn'])
  })

  // so a file of ours comes in as it went out
  test.each(importKinds)('knows all fields of %s by their own names, in any order', (kind) => {
    const fields = Object.keys(columnsOf[kind])
    expect(proposedMapping(fields, kind)).toEqual(fields)
    expect(proposedMapping(fields.toReversed(), kind)).toEqual(fields.toReversed())
    expect(unmapped(fields, kind)).toEqual([])
  })

  test('does not fill in what is not there', () => {
    const mapping = proposedMapping(['Stick', 'Length'], 'sticks')
    expect(unmapped(mapping, 'sticks')).toEqual(['construction', 'diameterMillimetres', 'primaryProtection'])
    expect(proposedMapping(['constructor', '__proto__', 'toString'], 'sticks')).toEqual([null, null, null])
  })
})

test.each([
  ['Length (ft)', 'ft'],
  ['Length [feet]', 'ft'],
  ['Length (inches)', 'in'],
  ['Length (m)', 'm'],
  ['Span (metres)', 'm'],
  ['length_mm', 'mm'],
  ['Diameter mm', 'mm'],
  ['Length', null],
  ['Working length (overall)', null],
])('the unit of %j: %s', (heading, unit) => {
  expect(unitInHeading(heading)).toBe(unit)
})

test('the header is found below a title and blank rows', () => {
  const rows = [
    ['Hot stick register 2026', ''],
    ['', ''],
    ['Stick', 'Type', 'Length'],
    ['S-1', 'FRP rod', '2.4'],
  ]
  expect(headerRowOf(rows, 'sticks')).toBe(2)
  expect(headerRowOf([['a', 'b'], ['c']], 'sticks')).toBe(0)
  expect(headerRowOf([], 'sticks')).toBe(0)
})
