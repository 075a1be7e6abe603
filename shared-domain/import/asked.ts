/**
 * The reading of a file, as far as the file tells it, and the questions that a person has to answer. Nothing that can
 * be understood in two ways is guessed: one test day read as another puts a stick's due date months away.
 */

import { dateInCell, dateOrdersOf, decimalMarksOf, type FileCell, figureIn, numberInCell } from './cells.ts'
import {
  type DateOrder,
  type DecimalMark,
  dateOrders,
  type ImportKind,
  type LengthUnit,
  type RowOrder,
} from './choices.ts'
import { columnsOf, headerRowOf, type Mapping, proposedMapping, unitInHeading, unmapped } from './columns.ts'
import { type FileReading, rowReader } from './rows.ts'
import { subjectField } from './subjects.ts'

/** The answers that a person gave on a file, or that are remembered of one with the same headings. */
export interface SaidOfRows {
  /** the number of the row that names the columns */
  readonly headerRow?: number | undefined
  readonly mapping?: Mapping | undefined
  readonly dates?: DateOrder | undefined
  readonly decimal?: DecimalMark | undefined
  readonly units?: Readonly<Record<string, LengthUnit | undefined>> | undefined
  /** the order of rows about one stick and day that name no hour */
  readonly order?: RowOrder | undefined
}

/** A row of a file by the number that a spreadsheet shows beside it. */
export interface NumberedRow {
  readonly row: number
  readonly cells: readonly FileCell[]
}

export type ImportQuestion =
  /** needed fields that no column is mapped to, and headings that stand there twice */
  | { readonly about: 'columns'; readonly missing: readonly string[]; readonly twice: readonly string[] }
  | { readonly about: 'dates'; readonly orders: readonly DateOrder[]; readonly example: string }
  | { readonly about: 'decimal'; readonly marks: readonly DecimalMark[]; readonly example: string }
  | { readonly about: 'unit'; readonly field: string; readonly units: readonly LengthUnit[]; readonly example: string }
  | { readonly about: 'order'; readonly rows: readonly [number, number] }

export interface ProposedReading {
  readonly headerRow: number
  readonly headings: readonly string[]
  readonly reading: FileReading
  readonly order: RowOrder
  /** none where the file can be read as it is */
  readonly questions: readonly ImportQuestion[]
}

/** The header is looked for among these: above it stands a title at most, and whose list it is. */
const rowsBeforeData = 20

export function proposedReading(
  rows: readonly NumberedRow[],
  kind: ImportKind,
  said: SaidOfRows = {},
): ProposedReading | null {
  const header = headerOf(rows, kind, said)
  if (header === null) return null
  const { headings } = header
  const mapping = headings.map((_, i) => (said.mapping ?? proposedMapping(headings, kind))[i] ?? null)
  const data = dataRows(rows, { headerRow: header.row, headings })
  const columns: Columns = { kind, headings, mapping, data }
  const dates = datesAsked(columns, said)
  const decimal = decimalAsked(columns, said)
  const units = unitsAsked(columns, said, decimal.taken)
  const reading: FileReading = { kind, mapping, dates: dates.taken, decimal: decimal.taken, units: units.taken }
  const before = [...columnsAsked(columns, said), ...dates.asked, ...decimal.asked, ...units.asked]
  // days are told apart only once they can be read
  const order = before.length > 0 ? [] : orderAsked(data, reading, said)
  return {
    headerRow: header.row,
    headings,
    reading,
    order: said.order ?? 'as listed',
    questions: [...before, ...order],
  }
}

/** The row that names the columns. */
export function headerOf(
  rows: readonly NumberedRow[],
  kind: ImportKind,
  { headerRow }: Pick<SaidOfRows, 'headerRow'>,
): { readonly row: number; readonly headings: readonly string[] } | null {
  const first = rows.slice(0, rowsBeforeData)
  const texts = first.map(({ cells }) => cells.map(String))
  const header = headerRow === undefined ? first[headerRowOf(texts, kind)] : rows.find(({ row }) => row === headerRow)
  if (header === undefined) return null
  return { row: header.row, headings: header.cells.map((cell) => String(cell).trim()) }
}

/** The rows below the header that say something; a header that comes again, as on printed pages, says nothing. */
export function dataRows(
  rows: readonly NumberedRow[],
  { headerRow, headings }: Pick<ProposedReading, 'headerRow' | 'headings'>,
): readonly NumberedRow[] {
  return rows.filter(
    ({ row, cells }) =>
      row > headerRow &&
      cells.some((cell) => String(cell).trim() !== '') &&
      !headings.every((heading, i) => String(cells[i] ?? '').trim() === heading),
  )
}

interface Columns {
  readonly kind: ImportKind
  readonly headings: readonly string[]
  readonly mapping: Mapping
  readonly data: readonly NumberedRow[]
}

/** An answer that was taken, for now or for good, and the question where a person has to give it. */
interface Asked<Taken> {
  readonly taken: Taken
  readonly asked: readonly ImportQuestion[]
}

function columnsAsked({ kind, headings, mapping }: Columns, said: SaidOfRows): readonly ImportQuestion[] {
  const missing = unmapped(mapping, kind)
  const isTwice = (heading: string, place: number) => headings.some((one, i) => i !== place && one === heading)
  const isMapped = (heading: string, i: number) => heading !== '' && mapping[i] != null
  const twice = headings.filter((heading, i) => isMapped(heading, i) && isTwice(heading, i))
  const isAsked = missing.length > 0 || (twice.length > 0 && said.mapping === undefined)
  return isAsked ? [{ about: 'columns', missing, twice }] : []
}

const holdsOf = (kind: ImportKind, field: string | null | undefined) =>
  field == null ? undefined : columnsOf[kind][field]?.holds

/** The places of columns that hold such things. */
function placesOf({ kind, mapping }: Columns, ...kinds: readonly string[]): number[] {
  return mapping.flatMap((field, place) => (kinds.includes(String(holdsOf(kind, field))) ? [place] : []))
}

/** The cells of a column, each once: many a column of a hundred thousand rows has a dozen. */
function cellsAt(data: readonly NumberedRow[], place: number): ReadonlySet<FileCell> {
  const cells = new Set<FileCell>()
  for (const row of data) cells.add(row.cells[place] ?? '')
  return cells
}

function datesAsked(columns: Columns, said: SaidOfRows): Asked<DateOrder> {
  const places = placesOf(columns, 'date')
  if (said.dates !== undefined) return { taken: said.dates, asked: [] }
  const fitting = places.map((place) => dateOrdersOf(cellsAt(columns.data, place)))
  const open = dateOrders.filter((order) =>
    fitting.every((orders) => orders.some((one) => one === order || one === 'year first')),
  )
  const [only, ...others] = open
  if (only === undefined) return asksForDates(columns, places, ['day first', 'month first'])
  // a date that begins with its year, or names its month, reads alike by every order
  if (open.includes('year first')) return { taken: 'year first', asked: [] }
  return others.length === 0 ? { taken: only, asked: [] } : asksForDates(columns, places, open)
}

function asksForDates({ data }: Columns, places: readonly number[], orders: readonly DateOrder[]): Asked<DateOrder> {
  const cells = places.flatMap((place) => [...cellsAt(data, place)]).map(String)
  const readings = (cell: string) => new Set(orders.map((order) => dateInCell(cell, order)))
  const example = cells.find((cell) => readings(cell).size > 1) ?? ''
  return { taken: orders[0] ?? 'year first', asked: [{ about: 'dates', orders, example }] }
}

function decimalAsked(columns: Columns, said: SaidOfRows): Asked<DecimalMark> {
  if (said.decimal !== undefined) return { taken: said.decimal, asked: [] }
  const places = placesOf(columns, 'number', 'metres', 'millimetres')
  const cells = places.flatMap((place) => [...cellsAt(columns.data, place)]).map(withoutUnit)
  const open = decimalMarksOf(cells)
  const [only = '.', ...others] = open
  // each mark may leave something unread: then rows say which cells are wrong
  if (others.length === 0) return { taken: only, asked: [] }
  const example = cells.find((cell) => numberInCell(String(cell), '.') !== numberInCell(String(cell), ',')) ?? ''
  return { taken: only, asked: [{ about: 'decimal', marks: open, example: String(example) }] }
}

const withoutUnit = (cell: FileCell): FileCell =>
  typeof cell === 'number' ? cell : cell.trim().replace(/\s*(?:mm|cm|m|ft|in|['"′″])\.?$/i, '')

const unitsFor = { metres: ['m', 'ft', 'mm', 'in'], millimetres: ['mm', 'in'] } as const satisfies Record<
  string,
  readonly LengthUnit[]
>

/** A unit that stands in the heading or in each cell is not asked for, nor one that our own name of the field says. */
function unitsAsked(columns: Columns, said: SaidOfRows, mark: DecimalMark): Asked<Record<string, LengthUnit>> {
  const taken: Record<string, LengthUnit> = {}
  const asked: ImportQuestion[] = []
  for (const place of placesOf(columns, 'metres', 'millimetres')) {
    const field = columns.mapping[place] ?? ''
    const heading = columns.headings[place] ?? ''
    const holds = holdsOf(columns.kind, field) === 'millimetres' ? 'millimetres' : 'metres'
    const own = holds === 'metres' ? 'm' : 'mm'
    const told = said.units?.[field] ?? unitInHeading(heading) ?? (isOurName(heading, field) ? own : null)
    taken[field] = told ?? own
    if (told !== null) continue
    const bare = [...cellsAt(columns.data, place)].find((cell) => cell !== '' && figureIn(cell, mark) !== null)
    if (bare !== undefined) asked.push({ about: 'unit', field, units: unitsFor[holds], example: String(bare) })
  }
  return { taken, asked }
}

const isOurName = (heading: string, field: string) =>
  heading.replaceAll(/[^a-z]/gi, '').toLowerCase() === field.toLowerCase()

/** The first two rows about one thing and day that name no hour, of kinds whose rows may undo each other. */
function orderAsked(data: readonly NumberedRow[], reading: FileReading, said: SaidOfRows): readonly ImportQuestion[] {
  if (said.order !== undefined || !['moves', 'bench-tests'].includes(reading.kind)) return []
  const seen = new Map<string, number>()
  const read = rowReader(reading)
  for (const { row, cells } of data) {
    const { fields } = read(cells)
    if (fields.at !== undefined) continue
    const name = `${fields[subjectField[reading.kind]]} ${fields.occurredOn ?? fields.testedOn}`
    const earlier = seen.get(name)
    if (earlier !== undefined) return [{ about: 'order', rows: [earlier, row] }]
    seen.set(name, row)
  }
  return []
}
