/** Rows about one thing, brought together from wherever in the file they stand, and read once they are judged. */
import type { NumberedRow, ProposedReading } from '../../shared-domain/import/asked.ts'
import type { ReadRow } from '../../shared-domain/import/bodies.ts'
import type { FileCell } from '../../shared-domain/import/cells.ts'
import type { RowFault } from '../../shared-domain/import/import.ts'
import { type CellFault, type FileReading, rowReader } from '../../shared-domain/import/rows.ts'
import { subjectField } from '../../shared-domain/import/subjects.ts'

type By = Pick<ProposedReading, 'reading' | 'order' | 'headings'>

/** Different cells of a column that are kept once. */
const mostKept = 500

/**
 * Keeps rows. A cell that came before in its column is kept once, whichever row it stands in: a file has a hundred
 * thousand rows, and of most columns a dozen cells.
 */
export function rowKeeper(): (row: NumberedRow) => NumberedRow {
  const columns: Map<FileCell, FileCell>[] = []
  const once = (cell: FileCell, place: number): FileCell => {
    columns[place] ??= new Map()
    const kept = columns[place]
    const known = kept.get(cell)
    if (known !== undefined) return known
    if (kept.size < mostKept) kept.set(cell, cell)
    return cell
  }
  return ({ row, cells }) => ({ row, cells: cells.map(once) })
}

export interface RowGroup {
  /** empty where the rows do not say what they are about */
  readonly subject: string
  readonly members: readonly NumberedRow[]
}

/** A group whose cells were read: rows that could be, in the order in which they happened, and faults of the others. */
export interface ReadGroup {
  readonly subject: string
  readonly rows: readonly ReadRow[]
  readonly faults: readonly RowFault[]
}

/** Rows that are done with in the time that is kept for a page. */
const rowsOnPage = 900
/** Things that are read together. */
const groupsOnPage = 100

export function groupsOf(data: readonly NumberedRow[], by: By): RowGroup[] {
  const { kind, mapping } = by.reading
  const subjectOf = subjectField[kind]
  const alone: FileReading = { ...by.reading, mapping: mapping.map((field) => (field === subjectOf ? field : null)) }
  const read = rowReader(alone)
  const groups = Map.groupBy(data, ({ cells }) => String(read(cells).fields[subjectOf] ?? ''))
  const isOfFacts = kind === 'uses' || kind === 'moves' || kind === 'bench-tests'
  return [...groups].flatMap(([subject, members]) =>
    members.length > rowsOnPage && (isOfFacts || subject === '')
      ? inParts({ subject, members }, by)
      : [{ subject, members }],
  )
}

/** A stick may have been used every day for years: what no page has room for is gone on with on the next. */
function inParts({ subject, members }: RowGroup, by: By): RowGroup[] {
  const read = rowReader(by.reading)
  const keys = new Map(members.map((one) => [one.row, timeOf(read(one.cells).fields)]))
  const sorted = listed(members, by).toSorted((a, b) => compared(keys.get(a.row) ?? '', keys.get(b.row) ?? ''))
  // a part is put in order once more by whoever reads it
  const again = listed(sorted, by)
  const parts = Math.ceil(again.length / rowsOnPage)
  const cut = Array.from({ length: parts }, (_, i) => again.slice(i * rowsOnPage, (i + 1) * rowsOnPage))
  return (by.order === 'last first' ? cut.toReversed() : cut).map((part) => ({ subject, members: part }))
}

const listed = <Row>(rows: readonly Row[], { order }: Pick<By, 'order'>): readonly Row[] =>
  order === 'last first' ? rows.toReversed() : rows

const timeOf = (fields: ReadRow['fields']) =>
  `${fields.occurredOn ?? fields.testedOn ?? fields.calibratedOn ?? ''} ${fields.at ?? ''}`
const compared = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)

/** Groups of the page that begins after so many. */
export function pageFrom(groups: readonly RowGroup[], at: number): readonly RowGroup[] {
  let rows = 0
  const page = groups.slice(at, at + groupsOnPage)
  const full = page.findIndex(({ members }) => {
    rows += members.length
    return rows >= rowsOnPage
  })
  return full < 0 ? page : page.slice(0, full + 1)
}

/** Reads groups by day and hour. Rows that name no hour stand in the file's order, or in the one that was said. */
export function groupReader(by: By): (group: RowGroup) => ReadGroup {
  const read = rowReader(by.reading)
  return ({ subject, members }) => {
    const rows: ReadRow[] = []
    const faults: RowFault[] = []
    for (const { row, cells } of members) {
      const { fields, faults: found } = read(cells)
      const told = faultsToTell({ row, cells }, found, by)
      if (told.length > 0) faults.push(...told)
      else rows.push({ row, fields })
    }
    const inTime = listed(rows, by).toSorted((a, b) => compared(timeOf(a.fields), timeOf(b.fields)))
    return { subject, rows: inTime, faults }
  }
}

const longestEcho = 100

function faultsToTell({ row, cells }: NumberedRow, faults: readonly CellFault[], { headings }: By): RowFault[] {
  const isLong = cells.length > headings.length && cells.slice(headings.length).some((cell) => !isBlank(cell))
  return [
    ...(isLong ? [{ row, column: null, field: null, came: null, why: { is: 'too many cells' as const } }] : []),
    ...faults.map(({ column, field, came, holds, damage }) => ({
      ...{ row, column, field, came: came.slice(0, longestEcho) },
      why: { is: 'cell' as const, holds, ...(damage === undefined ? {} : { damage }) },
    })),
  ]
}

const isBlank = (cell: FileCell) => String(cell).trim() === ''
