/**
 * A row of a file as the fields of a body. What a cell holds is read by its column alone; whether the body is right is
 * for the schema of the request that the row becomes, whose faults are told by the columns that they are in.
 */

import {
  type Cell,
  type Damage,
  damageIn,
  dateIn,
  figureIn,
  hourIn,
  metresIn,
  millimetresIn,
  wordIn,
  yesOrNoIn,
} from './cells.ts'
import type { DateOrder, DecimalMark, ImportKind, LengthUnit } from './choices.ts'
import { type Column, columnsOf, type Mapping } from './columns.ts'

/** How a file is read, as a person has looked at it and said. */
export interface Reading {
  readonly kind: ImportKind
  readonly mapping: Mapping
  readonly dates: DateOrder
  readonly decimal: DecimalMark
  /** the unit of a length that names none, by its field */
  readonly units: Readonly<Record<string, LengthUnit | undefined>>
}

/** What is wrong in a cell: the place of its column, its field, what stands in it, and what kind of thing would be right. */
export interface CellFault {
  readonly column: number
  readonly field: string
  readonly came: string
  readonly holds: Column['holds']
  /** what became of the cell before it came here */
  readonly damage?: Damage
}

export type Fields = Readonly<Record<string, unknown>>

export interface RowRead {
  readonly fields: Fields
  readonly faults: readonly CellFault[]
}

/** An apostrophe keeps a program from taking a cell for a formula; exports of ours put it there, and it comes off again. */
const guarded = /^'(?=[=+@\t\r-])/

/** Empty cells are left out, so that the schema says of them what it says of what is missing. */
export function rowRead(cells: readonly Cell[], reading: Reading): RowRead {
  const columns = columnsOf[reading.kind]
  const fields: Record<string, unknown> = {}
  const faults: CellFault[] = []
  for (const [column, field] of reading.mapping.entries()) {
    const cell = bare(cells[column] ?? '')
    const holds = field === null ? undefined : columns[field]?.holds
    if (field === null || holds === undefined || cell === '') continue
    const damage = damageIn(cell, holds === 'text')
    const by = { ...reading, unit: reading.units[field] ?? ownUnit(holds) }
    const value = damage === null ? valueIn(cell, holds, by) : null
    if (value !== null) fields[field] = value
    else faults.push({ column, field, came: String(cell), holds, ...(damage === null ? {} : { damage }) })
  }
  return { fields, faults }
}

const bare = (cell: Cell): Cell => (typeof cell === 'number' ? cell : cell.replace(guarded, '').trim())

const ownUnit = (holds: Column['holds']): LengthUnit => (holds === 'millimetres' ? 'mm' : 'm')

interface By extends Pick<Reading, 'dates' | 'decimal'> {
  readonly unit: LengthUnit
}

function valueIn(cell: Cell, holds: Column['holds'], { dates, decimal, unit }: By): unknown {
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
      return typeof cell === 'number' ? null : dateIn(cell, dates)
    case 'hour':
      return typeof cell === 'number' ? null : hourIn(cell)
    case 'yes or no':
      return yesOrNoIn(String(cell))
    case 'list':
      return String(cell)
        .split(';')
        .map((one) => one.trim())
        .filter((one) => one !== '')
  }
}
