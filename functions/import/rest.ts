/** The rows that were not taken, as a file to mend and send again: as they came, with what is wrong beside them. */
import type { NumberedRow } from '../../shared-domain/import/asked.ts'
import type { RowFault } from '../../shared-domain/import/import.ts'
import { rowFaultIn } from '../../shared-domain/import/told.ts'
import type { ImportWording } from './wording.ts'

/** Text that a program would take for a formula is led by an apostrophe, which the import takes off again. */
const guarded = (cell: string) => (/^[=+@\t\r]/.test(cell) ? `'${cell}` : cell)
const quoted = (cell: string) => (/[",;\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)
const line = (cells: readonly string[]) => `${cells.map((cell) => quoted(guarded(cell))).join(',')}\r\n`

/** A spreadsheet knows by the mark in front that it is UTF-8. */
export const restBegins = (headings: readonly string[], { say }: ImportWording): string =>
  `\uFEFF${line([...headings, say('rest row'), say('rest why')])}`

export interface NotTaken {
  readonly rows: readonly NumberedRow[]
  readonly faults: readonly RowFault[]
  /** the number of headings */
  readonly columns: number
}

/** The lines of those rows that have faults. */
export function restLines({ rows, faults, columns }: NotTaken, wording: ImportWording): string {
  const byRow = Map.groupBy(faults, ({ row }) => row)
  return rows
    .flatMap(({ row, cells }) => {
      const wrong = byRow.get(row)
      if (wrong === undefined) return []
      const own = Array.from({ length: columns }, (_, i) => String(cells[i] ?? ''))
      return [line([...own, String(row), wrong.map((fault) => rowFaultIn(wording, fault)).join(' · ')])]
    })
    .join('')
}
