/** Forms of a file for spreadsheets, and its rows, for whoever needs nothing of how it is made. */

import type { CellOut } from '../../shared-domain/import/out.ts'

export const sheetFormats = ['csv', 'xlsx'] as const
export type SheetFormat = (typeof sheetFormats)[number]

export interface SheetRows {
  readonly headings: readonly string[]
  readonly rows: readonly (readonly CellOut[])[]
}
