/** Rows as a file for spreadsheets: separated values as RFC 4180 has them, or a workbook. */
import { figureForSeparated, textForSeparated } from '../../shared-domain/import/as-text.ts'
import type { CellOut } from '../../shared-domain/import/out.ts'
import type { SheetFormat, SheetRows } from './sheet-formats.ts'

export const sheetTypes: { readonly [format in SheetFormat]: string } = {
  csv: 'text/csv; charset=utf-8; header=present',
  xlsx: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
}

/** The writer of workbooks is loaded with the first that is asked for. */
export async function sheetOf(sheet: SheetRows, format: SheetFormat): Promise<Uint8Array<ArrayBuffer>> {
  return format === 'csv' ? separated(sheet) : (await import('./workbook.ts')).workbookOf(sheet)
}

/** Spreadsheets read it as UTF-8 by the byte order mark. Each text is in quotes, a number of a stick too. */
function separated({ headings, rows }: SheetRows): Uint8Array<ArrayBuffer> {
  const lines = [headings, ...rows].map((cells) => `${cells.map(separatedCell).join(',')}\r\n`)
  return new TextEncoder().encode(`\uFEFF${lines.join('')}`)
}

function separatedCell(cell: CellOut): string {
  if (cell === null) return ''
  if (typeof cell === 'number') return figureForSeparated(cell)
  return `"${textForSeparated(cell).replaceAll('"', '""')}"`
}
