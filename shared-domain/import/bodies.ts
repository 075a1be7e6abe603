/**
 * Rows about one thing, as the bodies of requests. What a body has wrong is said by the schema of that request; where
 * in the file it stands is said here.
 */

import type { ImportKind } from './choices.ts'
import type { FileReading, RowFields } from './rows.ts'
import { subjectField } from './subjects.ts'

/** A row whose cells could all be read. */
export interface ReadRow {
  readonly row: number
  readonly fields: RowFields
}

/** A request that rows become. */
export interface Wanted {
  readonly id: string
  readonly body: RowFields
  /** the rows that it is made of: one, or of a crew as many as it names people */
  readonly rows: readonly number[]
}

/** The cell that a fault of a body stands in: its row by its place among the rows of the request, and its field. */
export interface FaultAt {
  readonly row: number
  readonly field: string | null
}

/** The bodies of the rows of one thing, in their order. */
export function wantedOf(rows: readonly ReadRow[], reading: Pick<FileReading, 'kind'>): Wanted[] {
  const { kind } = reading
  if (kind === 'crews') return crewOf(rows)
  return rows.map(({ row, fields }) => ({ ...single(fields, reading), rows: [row] }))
}

function single(fields: RowFields, reading: Pick<FileReading, 'kind'>): Pick<Wanted, 'id' | 'body'> {
  const { stickId, personId, instrumentId, ...rest } = fields
  switch (reading.kind) {
    case 'sticks':
      return { id: String(stickId ?? ''), body: rest }
    case 'people':
      return { id: String(personId ?? ''), body: { depots: [], ...rest } }
    case 'instruments':
      return { id: String(instrumentId ?? ''), body: { ...calibrated(rest), effectiveFrom: rest.calibratedOn } }
    case 'moves':
      return { id: String(stickId ?? ''), body: moved(rest) }
    case 'bench-tests':
    case 'uses':
    case 'crews':
      return { id: String(stickId ?? ''), body: rest }
  }
}

/** An error that an instrument was found to have stands in columns of its own. */
function calibrated({ foundErrorKind, foundErrorValue, foundErrorFullScale, ...rest }: RowFields): RowFields {
  const found = [foundErrorKind, foundErrorValue, foundErrorFullScale]
  if (found.every((one) => one === undefined)) return rest
  return {
    ...rest,
    foundError: withoutNothing({
      kind: foundErrorKind,
      value: foundErrorValue,
      fullScaleMicroamps: foundErrorFullScale,
    }),
  }
}

const words = ['missing', 'found', 'scrapped']

/** A row names one place to which the stick went. Of several the schema says that it is none. */
function moved({ crewId, store, bench, lentTo, returnBy, what, ...rest }: RowFields): RowFields {
  const places = [
    ...(crewId === undefined ? [] : [{ crewId }]),
    ...(store === undefined ? [] : [{ store }]),
    ...(bench === undefined ? [] : [{ bench }]),
    ...(lentTo === undefined ? [] : [{ lentTo, returnBy }]),
    ...(words.includes(String(what)) ? [what] : []),
  ]
  return { ...rest, to: places.length === 1 ? places[0] : Object.assign({}, ...places) }
}

/** The first row of a crew names it; each row names one reader. */
function crewOf(rows: readonly ReadRow[]): Wanted[] {
  const [first] = rows
  if (first === undefined) return []
  const recipients = rows.flatMap(({ fields: { recipient, email, phone, role, language, units } }) =>
    recipient === undefined && email === undefined && phone === undefined
      ? []
      : [{ name: recipient, email, phone, role: role ?? 'crew', language, units }],
  )
  const { crewId, crewName, depotId } = first.fields
  const body = { name: crewName, depotId, recipients: recipients.map(withoutNothing) }
  return [{ id: String(crewId ?? ''), body: withoutNothing(body), rows: rows.map(({ row }) => row) }]
}

const withoutNothing = (fields: RowFields): RowFields =>
  Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined))

/** The place in the file of a fault of the body, by its pointer there. */
export function placeOfFault({ rows }: Wanted, kind: ImportKind, pointer: string): FaultAt {
  const [, first = '', second = '', third] = pointer.split('/')
  const row = rows[0] ?? 0
  if (first === 'id') return { row, field: subjectField[kind] }
  if (kind === 'crews' && first === 'recipients' && second !== '') {
    const field = third === 'name' ? 'recipient' : (third ?? 'email')
    return { row: rows[Number(second)] ?? row, field }
  }
  if (kind === 'crews' && first === 'name') return { row, field: 'crewName' }
  if (kind === 'moves' && first === 'to') return { row, field: second === '' ? null : second }
  const ofError: Readonly<Record<string, string>> = {
    kind: 'foundErrorKind',
    value: 'foundErrorValue',
    fullScaleMicroamps: 'foundErrorFullScale',
  }
  if (first === 'foundError') return { row, field: ofError[second] ?? 'foundErrorKind' }
  if (kind === 'instruments' && first === 'effectiveFrom') return { row, field: 'calibratedOn' }
  return { row, field: first === '' ? null : first }
}
