/** A file that cannot be read as a whole, with the reason for whoever sent it. */
import type { FileFault } from '../../../shared-domain/import/file-fault.ts'

export class Unreadable extends Error {
  readonly says: FileFault
  constructor(says: FileFault) {
    super(says.is)
    this.says = says
  }
}

/** More than any organisation has of anything in one register, and little enough to be held in memory as text. */
const mostRows = 200_000
const mostColumns = 200
/** The most letters that a cell of a spreadsheet can hold. */
const longestCell = 32_767

/** A row of a file by the number that a spreadsheet shows beside it. A number is a cell that no text was written in. */
export interface FileRow {
  readonly row: number
  readonly cells: readonly (string | number)[]
}

/** @throws Unreadable where the row is beyond what is read */
export function checkedRow(one: FileRow): FileRow {
  const { row, cells } = one
  if (row > mostRows + 1) throw new Unreadable({ is: 'file: too many rows', most: mostRows })
  if (cells.length > mostColumns) throw new Unreadable({ is: 'file: too many columns', row, most: mostColumns })
  if (cells.some((cell) => typeof cell === 'string' && cell.length > longestCell))
    throw new Unreadable({ is: 'file: cell too long', row, most: longestCell })
  return one
}
