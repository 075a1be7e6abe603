/** Sheets of labels that are sold everywhere, in millimetres, named by their paper and how many labels are on one. */

export const paperSizes = { A4: [210, 297], letter: [215.9, 279.4] } as const
export type PaperSize = keyof typeof paperSizes

export interface LabelSheet {
  readonly paper: PaperSize
  readonly columns: number
  readonly rows: number
  readonly width: number
  readonly height: number
  /** millimetres from the left and upper edge of the sheet to the first label */
  readonly left: number
  readonly top: number
  /** millimetres between two columns; rows touch */
  readonly gap: number
}

export const labelSheets = {
  'a4-24': { paper: 'A4', columns: 3, rows: 8, width: 70, height: 37, left: 0, top: 0.5, gap: 0 },
  'a4-21': { paper: 'A4', columns: 3, rows: 7, width: 63.5, height: 38.1, left: 7.25, top: 15.15, gap: 2.5 },
  'letter-30': {
    paper: 'letter',
    columns: 3,
    rows: 10,
    width: 66.675,
    height: 25.4,
    left: 4.7625,
    top: 12.7,
    gap: 3.175,
  },
} as const satisfies Readonly<Record<string, LabelSheet>>
export type LabelSheetName = keyof typeof labelSheets

export const labelSheetNames = Object.keys(labelSheets) as LabelSheetName[] // the keys of the table above

export const mostOnSheet = Math.max(...Object.values(labelSheets).map(({ columns, rows }) => columns * rows))

/** The upper left corner of the label at a place, counted from 0 in rows from the top; millimetres. */
export function cornerOf(sheet: LabelSheet, place: number): { readonly x: number; readonly y: number } {
  const column = place % sheet.columns
  const row = Math.floor(place / sheet.columns)
  return { x: sheet.left + column * (sheet.width + sheet.gap), y: sheet.top + row * sheet.height }
}
