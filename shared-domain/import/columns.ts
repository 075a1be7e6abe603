/**
 * Columns of a file, by its kind: the field of ours that each may hold, how its cells are read, and what tool rooms
 * call it. A proposal of which column is which is only that: a person looks at it before anything is read.
 */

import { constructions, errorKinds, languages, roles, testReasons, unitSystems } from '../words.ts'
import type { ImportKind, LengthUnit } from './choices.ts'

export type Holds =
  | 'text'
  | 'number'
  | 'metres'
  | 'millimetres'
  | 'date'
  | 'hour'
  | 'yes or no'
  /** several, parted by semicolons */
  | 'list'
  /** several parts of a stick, each with its name and its length, parted by semicolons */
  | 'sections'
  | { readonly words: readonly string[] }

export interface Column {
  readonly holds: Holds
  /** names of the column in spreadsheets, in small letters without marks */
  readonly called: readonly string[]
  readonly needed?: true
}

type Columns = Readonly<Record<string, Column>>

const stick: Column = {
  holds: 'text',
  called: ['stick', 'stick number', 'stick no', 'stick id', 'number', 'no', 'id', 'serial', 'serial number', 'pertiga'],
  needed: true,
}
const crewOf = (needed?: true): Column => ({
  holds: 'text',
  called: ['crew', 'crew id', 'crew number', 'gang', 'line crew', 'cuadrilla'],
  ...(needed === undefined ? {} : { needed }),
})
const note: Column = { holds: 'text', called: ['note', 'notes', 'remark', 'remarks', 'comment', 'comments', 'nota'] }
const occurredOn: Column = { holds: 'date', called: ['date', 'on', 'day', 'fecha'], needed: true }
const at: Column = { holds: 'hour', called: ['hour', 'time', 'at', 'hora'] }
/** The fact's own number, in files that went out: by it a row that comes back is known to be recorded. */
const factId: Column = { holds: 'text', called: ['fact'] }
const name: Column = { holds: 'text', called: ['name', 'full name', 'nombre'], needed: true }
const email: Column = { holds: 'text', called: ['email', 'e mail', 'mail', 'mail address', 'email address', 'correo'] }
const reader: Columns = {
  language: { holds: { words: languages }, called: ['language', 'idioma'] },
  units: { holds: { words: unitSystems }, called: ['units', 'unidades'] },
}

/** The fields by their names in the bodies of the requests that the rows become. */
export const columnsOf: { readonly [kind in ImportKind]: Columns } = {
  sticks: {
    stickId: stick,
    construction: {
      holds: { words: constructions },
      called: ['construction', 'type', 'kind', 'material', 'construccion', 'tipo'],
      needed: true,
    },
    workingLengthMetres: {
      holds: 'metres',
      called: ['working length', 'length', 'len', 'longitud', 'longitud de trabajo'],
      needed: true,
    },
    diameterMillimetres: { holds: 'millimetres', called: ['diameter', 'dia', 'diametro'], needed: true },
    primaryProtection: {
      holds: 'yes or no',
      called: ['primary protection', 'primary', 'relied on', 'proteccion principal'],
      needed: true,
    },
    crewId: crewOf(),
    lot: { holds: 'text', called: ['lot', 'batch', 'lote'] },
    lineKilovolts: { holds: 'number', called: ['line voltage', 'line kv', 'kv', 'kilovolts', 'tension'] },
    inServiceSince: {
      holds: 'date',
      called: ['in service since', 'in service', 'first used', 'first issue', 'bought', 'en servicio desde'],
    },
    sections: { holds: 'sections', called: ['sections', 'tramos'] },
    sameStick: { holds: 'yes or no', called: ['same stick'] },
  },
  'bench-tests': {
    stickId: stick,
    testedOn: {
      holds: 'date',
      called: ['tested on', 'test date', 'date tested', 'last test', 'date', 'fecha de prueba'],
      needed: true,
    },
    at,
    passed: {
      holds: 'yes or no',
      called: ['result', 'passed', 'pass', 'verdict', 'outcome', 'resultado'],
      needed: true,
    },
    testedBy: { holds: 'text', called: ['tested by', 'tester', 'by', 'probada por'] },
    reason: { holds: { words: testReasons }, called: ['reason', 'why', 'motivo'] },
    instrumentId: { holds: 'text', called: ['instrument', 'instrument id', 'tested with', 'instrumento'] },
    note,
    factId,
  },
  uses: {
    stickId: stick,
    occurredOn,
    at,
    days: { holds: 'number', called: ['days', 'number of days', 'dias'] },
    conditions: { holds: 'list', called: ['conditions', 'condition', 'weather', 'condiciones'] },
    note,
    factId,
  },
  moves: {
    stickId: stick,
    occurredOn,
    at,
    crewId: crewOf(),
    store: { holds: 'text', called: ['store', 'into store', 'store at', 'almacen'] },
    bench: { holds: 'text', called: ['bench', 'to bench', 'bench at', 'banco'] },
    lentTo: { holds: 'text', called: ['lent to', 'loan to', 'borrower', 'prestada a'] },
    returnBy: { holds: 'date', called: ['return by', 'back by', 'due back', 'devolver'] },
    what: { holds: { words: ['missing', 'found', 'scrapped'] }, called: ['what', 'event', 'suceso'] },
    note,
    factId,
  },
  people: {
    personId: { holds: 'text', called: ['person', 'person id', 'id', 'number', 'employee number'], needed: true },
    name,
    email: { ...email, needed: true },
    role: { holds: { words: roles }, called: ['role', 'job', 'cargo'], needed: true },
    depots: { holds: 'list', called: ['depots', 'depot', 'bases', 'base'] },
    crewId: crewOf(),
    ...reader,
    until: { holds: 'date', called: ['until', 'last day', 'hasta'] },
  },
  /** a row is somebody whom the crew names; a crew of several has as many rows */
  crews: {
    crewId: { ...crewOf(true), called: ['crew id', 'id', 'number', 'crew number'] },
    crewName: { holds: 'text', called: ['crew', 'crew name', 'name of crew', 'cuadrilla'], needed: true },
    depotId: { holds: 'text', called: ['depot', 'depot id', 'yard', 'base'], needed: true },
    recipient: { holds: 'text', called: ['name', 'person', 'reader', 'nombre'] },
    email,
    phone: { holds: 'text', called: ['phone', 'telephone', 'mobile', 'telefono'] },
    role: { holds: { words: ['crew', 'foreman'] }, called: ['role', 'job', 'cargo'] },
    ...reader,
  },
  /** a row is a calibration; an instrument has as many as it was calibrated */
  instruments: {
    instrumentId: {
      holds: 'text',
      called: ['instrument', 'instrument id', 'id', 'number', 'serial number', 'instrumento'],
      needed: true,
    },
    spanMetres: { holds: 'metres', called: ['span', 'electrode span', 'tramo'], needed: true },
    calibratedOn: {
      holds: 'date',
      called: ['calibrated on', 'calibrated', 'calibration date', 'calibrado el'],
      needed: true,
    },
    calibrationDueOn: {
      holds: 'date',
      called: ['calibration due on', 'calibration due', 'calibrated until', 'due', 'calibracion hasta'],
      needed: true,
    },
    expandedUncertaintyPercent: {
      holds: 'number',
      called: ['expanded uncertainty', 'uncertainty', 'incertidumbre'],
    },
    kilovolts: { holds: 'number', called: ['kilovolts', 'kv', 'voltage', 'tension'] },
    hertz: { holds: 'number', called: ['hertz', 'hz', 'frequency', 'frecuencia'] },
    foundOutOfTolerance: { holds: 'yes or no', called: ['found out of tolerance', 'out of tolerance', 'as found'] },
    foundErrorKind: { holds: { words: errorKinds }, called: ['found error kind', 'kind of error'] },
    foundErrorValue: { holds: 'number', called: ['found error', 'error found'] },
    foundErrorFullScale: { holds: 'number', called: ['found error full scale', 'full scale'] },
    certificate: { holds: 'text', called: ['certificate', 'certificate number', 'certificado'] },
    laboratory: { holds: 'text', called: ['laboratory', 'lab', 'laboratorio'] },
  },
}

/** A heading as it is compared: in small letters, without marks, without what stands in brackets. */
const plain = (heading: string) =>
  heading
    .normalize('NFD')
    .replaceAll(/\p{M}/gu, '')
    .replaceAll(/\([^)]*\)|\[[^\]]*\]/g, ' ')
    .replaceAll(/([a-z])([A-Z])(?!\b)/g, '$1 $2')
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()

const inBrackets = /[([]\s*(m|ft|mm|in|metres?|meters?|feet|inch(?:es)?)\s*[)\]]|[ _](m|ft|mm|in)$/i
const unitsByName: Readonly<Record<string, LengthUnit>> = { m: 'm', f: 'ft', mm: 'mm', i: 'in' }

/** The unit that a heading names, as in `Length (ft)`. */
export function unitInHeading(heading: string): LengthUnit | null {
  const named = inBrackets
    .exec(heading.trim())
    ?.slice(1)
    .find((one) => one !== undefined)
    ?.toLowerCase()
  if (named === undefined) return null
  return unitsByName[named] ?? unitsByName[named.charAt(0)] ?? null
}

/** The field of each column by its place in the file; null for a column that is left out. */
export type Mapping = readonly (string | null)[]

/**
 * Proposes a field for each heading that is called like one: its own name before what else it is called, the earlier
 * column before a later one. A field has one column at most.
 */
export function proposedMapping(headings: readonly string[], kind: ImportKind): Mapping {
  const fields = Object.entries(columnsOf[kind])
  const mapping: (string | null)[] = headings.map(() => null)
  const ranks = Math.max(...fields.map(([, { called }]) => called.length))
  for (let rank = -1; rank < ranks; rank++)
    for (const [field, { called }] of fields) {
      if (mapping.includes(field)) continue
      const sought = rank < 0 ? plain(field) : called[rank]
      const place = headings.findIndex((heading, i) => mapping[i] === null && plain(heading) === sought)
      if (place >= 0) mapping[place] = field
    }
  return mapping
}

/** The fields that a file of the kind must have and that no column is mapped to. */
export const unmapped = (mapping: Mapping, kind: ImportKind): readonly string[] =>
  Object.entries(columnsOf[kind]).flatMap(([field, { needed }]) =>
    needed === true && !mapping.includes(field) ? [field] : [],
  )

/** The row, among the first of a file, that is its header: the one with the most known headings; 0 if none has any. */
export function headerRowOf(rows: readonly (readonly string[])[], kind: ImportKind): number {
  const known = rows.map((row) => proposedMapping(row, kind).filter((field) => field !== null).length)
  const most = Math.max(0, ...known)
  return most === 0 ? 0 : known.indexOf(most)
}
