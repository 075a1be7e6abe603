/**
 * A row of a file as the fields of a body. What a cell holds is read by its column alone; whether the body is right is
 * for the schema of the request that the row becomes, whose faults are told by the columns that they are in.
 */
import {
  type DateOrder,
  type DecimalMark,
  dateIn,
  hourIn,
  type LengthUnit,
  metresIn,
  millimetresIn,
  numberIn,
  wordIn,
  yesOrNoIn,
} from './cells.ts'
import { type Column, columnsOf, type ImportKind, type Mapping } from './columns.ts'

/** How a file is read, as a person has looked at it and said. */
export interface Reading {
  readonly kind: ImportKind
  readonly mapping: Mapping
  readonly dates: DateOrder
  readonly decimal: DecimalMark
  /** the unit of a length that names none, by its field */
  readonly units: Readonly<Record<string, LengthUnit>>
}

/** What is wrong in a cell: the place of its column, its field, what stands in it, and what kind of thing would be right. */
export interface CellFault {
  readonly column: number
  readonly field: string
  readonly came: string
  readonly holds: Column['holds']
}

export type Fields = Readonly<Record<string, unknown>>

export interface RowRead {
  readonly fields: Fields
  readonly faults: readonly CellFault[]
}

/** An apostrophe keeps a program from taking a cell for a formula; exports of ours put it there, and it comes off again. */
const guarded = /^'(?=[=+@\t\r-])/

/** Empty cells are left out, so that the schema says of them what it says of what is missing. */
export function rowRead(cells: readonly string[], reading: Reading): RowRead {
  const columns = columnsOf[reading.kind]
  const fields: Record<string, unknown> = {}
  const faults: CellFault[] = []
  for (const [column, field] of reading.mapping.entries()) {
    const came = (cells[column] ?? '').replace(guarded, '').trim()
    const holds = field === null ? undefined : columns[field]?.holds
    if (field === null || holds === undefined || came === '') continue
    const value = valueIn(came, holds, { ...reading, unit: reading.units[field] ?? ownUnit(holds) })
    if (value === null) faults.push({ column, field, came, holds })
    else fields[field] = value
  }
  return { fields, faults }
}

const ownUnit = (holds: Column['holds']): LengthUnit => (holds === 'millimetres' ? 'mm' : 'm')

interface By extends Pick<Reading, 'dates' | 'decimal'> {
  readonly unit: LengthUnit
}

function valueIn(cell: string, holds: Column['holds'], { dates, decimal, unit }: By): unknown {
  if (typeof holds === 'object') return wordIn(cell, holds.words)
  switch (holds) {
    case 'text':
      return cell
    case 'number':
      return numberIn(cell, decimal)
    case 'metres':
      return metresIn(cell, { unit, mark: decimal })
    case 'millimetres':
      return millimetresIn(cell, { unit, mark: decimal })
    case 'date':
      return dateIn(cell, dates)
    case 'hour':
      return hourIn(cell)
    case 'yes or no':
      return yesOrNoIn(cell)
    case 'list':
      return cell
        .split(';')
        .map((one) => one.trim())
        .filter((one) => one !== '')
  }
}
