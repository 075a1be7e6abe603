/**
 * A row of a file as the fields of a body. What a cell holds is read by its column alone; whether the body is right is
 * for the schema of the request that the row becomes, whose faults are told by the columns that they are in.
 */

import { type PartOfCell, partsOfCell, textBehind } from './as-text.ts'
import {
  type Damage,
  damageIn,
  dateInCell,
  type FileCell,
  figureIn,
  hourIn,
  metresIn,
  millimetresIn,
  wordIn,
  yesOrNoIn,
} from './cells.ts'
import type { DateOrder, DecimalMark, ImportKind, LengthUnit } from './choices.ts'
import { type Column, columnsOf, type Mapping } from './columns.ts'

/** The reading of a file, as a person has looked at it and said. */
export interface FileReading {
  readonly kind: ImportKind
  readonly mapping: Mapping
  readonly dates: DateOrder
  readonly decimal: DecimalMark
  /** the unit of a length that names none, by its field */
  readonly units: Readonly<Record<string, LengthUnit | undefined>>
}

/** A fault of a cell: the place of its column, its field, its content, and the kind of thing that would be right. */
export interface CellFault {
  readonly column: number
  readonly field: string
  readonly came: string
  readonly holds: Column['holds']
  /** damage that was done to the cell before it came here */
  readonly damage?: Damage
}

export type RowFields = Readonly<Record<string, unknown>>

export interface RowRead {
  readonly fields: RowFields
  readonly faults: readonly CellFault[]
}

export type RowReader = (cells: readonly FileCell[]) => RowRead

/** One row alone; many are read by one reader. @lintignore tests read one at a time */
export const rowRead = (cells: readonly FileCell[], reading: FileReading): RowRead => rowReader(reading)(cells)

/** Empty cells are left out, so that the schema says of them what it says of what is missing. */
export function rowReader(reading: FileReading): RowReader {
  const columns = reading.mapping.flatMap((field, column) => {
    const holds = field === null ? undefined : columnsOf[reading.kind][field]?.holds
    return field === null || holds === undefined
      ? []
      : [{ column, field, holds, readCell: cellReader(reading, field, holds) }]
  })
  return (cells) => {
    const fields: Record<string, unknown> = {}
    const faults: CellFault[] = []
    for (const { column, field, holds, readCell } of columns) {
      const read = readCell(cells[column] ?? '')
      if (read === null) continue
      if ('value' in read) fields[field] = read.value
      else faults.push({ column, field, holds, ...read })
    }
    return { fields, faults }
  }
}

/** A cell that says nothing is null. */
type CellRead = { readonly value: unknown } | Pick<CellFault, 'came' | 'damage'> | null

/** Cells of a column that are kept as they were read: most columns say the same few things all the way down. */
const mostKept = 500

function cellReader(reading: FileReading, field: string, holds: Column['holds']): (came: FileCell) => CellRead {
  const by = { ...reading, unit: reading.units[unitOf(field)] ?? ownUnit(holds) }
  const kept = new Map<FileCell, CellRead>()
  return (came) => {
    const known = kept.get(came)
    if (known !== undefined) return known
    const read = cellRead(came, holds, by)
    if (kept.size < mostKept) kept.set(came, read)
    return read
  }
}

function cellRead(came: FileCell, holds: Column['holds'], by: By): CellRead {
  const behind = typeof came === 'string' ? textBehind(came) : null
  const cell = behind ?? (typeof came === 'string' ? came.trim() : came)
  if (cell === '' && behind === null) return null
  const damage = behind === null ? damageIn(cell, holds === 'text') : null
  const value = damage === null ? valueIn(cell, holds, by) : null
  if (value !== null) return { value }
  return { came: String(cell), ...(damage === null ? {} : { damage }) }
}

/** Sections are given in the unit of the whole. */
const unitOf = (field: string) => (field === 'sections' ? 'workingLengthMetres' : field)

const ownUnit = (holds: Column['holds']): LengthUnit => (holds === 'millimetres' ? 'mm' : 'm')

interface By extends Pick<FileReading, 'dates' | 'decimal'> {
  readonly unit: LengthUnit
}

/** A section is its name and its length: `tip 1.2; grip 1.4`. */
function sectionIn({ quoted, rest }: PartOfCell, by: { readonly unit: LengthUnit; readonly mark: DecimalMark }) {
  const text = quoted === null ? rest : `q ${rest}`
  const [, name = text, length = ''] = /^(.*\S)\s+(\d\S*(?:\s*(?:mm|cm|m|ft|in))?)$/.exec(text) ?? []
  return { name: quoted ?? name, lengthMetres: metresIn(length, by) }
}

function valueIn(cell: FileCell, holds: Column['holds'], { dates, decimal, unit }: By): unknown {
  if (typeof holds === 'object') return wordIn(String(cell), holds.words)
  switch (holds) {
    case 'text':
      return String(cell)
    case 'number':
      return figureIn(cell, decimal)
    case 'metres':
      return metresIn(cell, { unit, mark: decimal })
    case 'millimetres':
      return millimetresIn(cell, { unit, mark: decimal })
    case 'date':
      return typeof cell === 'number' ? null : dateInCell(cell, dates)
    case 'hour':
      return typeof cell === 'number' ? null : hourIn(cell)
    case 'yes or no':
      return yesOrNoIn(String(cell))
    case 'list':
      return partsOfCell(String(cell)).map(({ quoted, rest }) => quoted ?? rest)
    case 'sections':
      return partsOfCell(String(cell)).map((part) => sectionIn(part, { unit, mark: decimal }))
  }
}
