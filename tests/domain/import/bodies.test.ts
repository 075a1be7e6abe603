/** Rows as the bodies of requests, and where in the file a fault of a body stands. */
import { expect, test } from 'vitest'
import { placeOfFault, wantedOf } from '../../../shared-domain/import/bodies.ts'
import type { ImportKind } from '../../../shared-domain/import/choices.ts'
import type { RowFields } from '../../../shared-domain/import/rows.ts'

const wanted = (kind: ImportKind, ...rows: readonly RowFields[]) =>
  wantedOf(
    rows.map((fields, i) => ({ row: i + 2, fields })),
    { kind },
  )

test.each<[kind: ImportKind, fields: RowFields, body: RowFields]>([
  [
    'sticks',
    {
      stickId: 'S-1',
      sections: [
        { name: 'tip', lengthMetres: 1.2 },
        { name: 'hand grip', lengthMetres: 1.4 },
      ],
    },
    {
      sections: [
        { name: 'tip', lengthMetres: 1.2 },
        { name: 'hand grip', lengthMetres: 1.4 },
      ],
    },
  ],
  [
    'sticks',
    { stickId: 'S-1', sections: [{ name: 'tip', lengthMetres: null }] },
    { sections: [{ name: 'tip', lengthMetres: null }] },
  ],
  ['moves', { stickId: 'S-1', crewId: 'CR-1' }, { to: { crewId: 'CR-1' } }],
  [
    'moves',
    { stickId: 'S-1', lentTo: 'Ann', returnBy: '2026-03-02' },
    { to: { lentTo: 'Ann', returnBy: '2026-03-02' } },
  ],
  ['moves', { stickId: 'S-1', what: 'missing' }, { to: 'missing' }],
  ['moves', { stickId: 'S-1', store: 'DEP-1', bench: 'DEP-1' }, { to: { store: 'DEP-1', bench: 'DEP-1' } }],
  ['moves', { stickId: 'S-1' }, { to: {} }],
  ['people', { personId: 'p', name: 'Ann' }, { depots: [], name: 'Ann' }],
  [
    'instruments',
    { instrumentId: 'I', calibratedOn: '2026-01-01' },
    { calibratedOn: '2026-01-01', effectiveFrom: '2026-01-01' },
  ],
])('of %s: %j', (kind, fields, body) => {
  expect(wanted(kind, fields)).toEqual([{ id: String(Object.values(fields)[0]), body, rows: [2] }])
})

test('rows of one crew are one entry, and each a reader', () => {
  const [crew, ...others] = wanted(
    'crews',
    { crewId: 'CR-1', crewName: 'One', depotId: 'DEP-1', recipient: 'Ann', email: 'a@x.example' },
    { crewId: 'CR-1', crewName: 'One', depotId: 'DEP-1', recipient: 'Bo', phone: '1', role: 'foreman' },
    { crewId: 'CR-1', crewName: 'One', depotId: 'DEP-1' },
  )
  expect(others).toEqual([])
  expect(crew).toEqual({
    id: 'CR-1',
    rows: [2, 3, 4],
    body: {
      name: 'One',
      depotId: 'DEP-1',
      recipients: [
        { name: 'Ann', email: 'a@x.example', role: 'crew' },
        { name: 'Bo', phone: '1', role: 'foreman' },
      ],
    },
  })
})

test.each<[kind: ImportKind, pointer: string, row: number, field: string | null]>([
  ['sticks', '/id', 2, 'stickId'],
  ['people', '/id', 2, 'personId'],
  ['sticks', '/sections/1/lengthMetres', 2, 'sections'],
  ['moves', '/to', 2, null],
  ['moves', '/to/crewId', 2, 'crewId'],
  ['crews', '/recipients/1/email', 3, 'email'],
  ['crews', '/recipients/1/name', 3, 'recipient'],
  ['crews', '/recipients/1', 3, 'email'],
  ['crews', '/name', 2, 'crewName'],
  ['instruments', '/effectiveFrom', 2, 'calibratedOn'],
  ['uses', '', 2, null],
])('a fault of %s at %s stands in row %d', (kind, pointer, row, field) => {
  expect(placeOfFault({ id: 'x', body: {}, rows: [2, 3] }, kind, pointer)).toEqual({ row, field })
})
