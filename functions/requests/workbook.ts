/** Rows as a workbook. Only what writes rows is taken of the library: imported as a whole it would come as a whole. */
import { writeXlsxStream } from 'hucre/xlsx'
import { textForWorkbook } from '../../shared-domain/import/as-text.ts'
import type { SheetRows } from './sheet-formats.ts'

export async function workbookOf({ headings, rows }: SheetRows): Promise<Uint8Array<ArrayBuffer>> {
  const inCells = rows.map((cells) => cells.map((cell) => (typeof cell === 'string' ? textForWorkbook(cell) : cell)))
  const stream = writeXlsxStream([[...headings], ...inCells], { name: 'Quarterturn' })
  return new Uint8Array(await new Response(stream).arrayBuffer())
}
