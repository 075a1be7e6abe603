/** A file as rows, whichever of the two kinds it is: what has to be asked of a person first, and then the reading. */
import type { EncodingAsked, Separator } from '../../../shared-domain/import/choices.ts'
import { beginningOf, csvRows, type Encoding, encodingOf, likelyEncodings } from './csv.ts'
import { type FileRow, Unreadable } from './unreadable.ts'
import type { Sheet } from './xlsx.ts'

/** Answers of a person on what a file does not tell by itself. */
export interface SaidOfFile {
  readonly encoding?: EncodingAsked | undefined
  readonly separator?: Separator | undefined
  /** the place of the sheet in the workbook */
  readonly sheet?: number | undefined
}

export type OpenedFile =
  | { readonly is: 'rows'; readonly rows: () => AsyncIterable<FileRow>; readonly sheets?: readonly Sheet[] }
  /** the beginning of the file in each encoding that it may be in */
  | { readonly is: 'encoding asked'; readonly beginnings: Readonly<Partial<Record<EncodingAsked, string>>> }
  | { readonly is: 'sheet asked'; readonly sheets: readonly Sheet[] }

const beginsWith = (bytes: Uint8Array, ...first: readonly number[]) => first.every((byte, i) => bytes[i] === byte)

/** @throws Unreadable where the file as a whole is none of ours */
export async function openFile(bytes: Uint8Array, said: SaidOfFile = {}): Promise<OpenedFile> {
  if (bytes.length === 0) throw new Unreadable({ is: 'file: empty' })
  // workbooks of last century, and those locked by a password
  if (beginsWith(bytes, 0xd0, 0xcf, 0x11, 0xe0)) throw new Unreadable({ is: 'file: old workbook' })
  if (beginsWith(bytes, 0x50, 0x4b)) return workbook(bytes, said)
  if (beginsWith(bytes, 0x25, 0x50, 0x44, 0x46) || beginsWith(bytes, 0x89, 0x50) || beginsWith(bytes, 0xff, 0xd8))
    throw new Unreadable({ is: 'file: no text' })
  const encoding: Encoding | undefined = encodingOf(bytes) ?? said.encoding
  if (encoding !== undefined) return { is: 'rows', rows: () => csvRows(bytes, { encoding, separator: said.separator }) }
  const beginnings = likelyEncodings(bytes).map((one) => [one, beginningOf(bytes, one, 300)] as const)
  return { is: 'encoding asked', beginnings: Object.fromEntries(beginnings) }
}

async function workbook(bytes: Uint8Array, { sheet }: SaidOfFile): Promise<OpenedFile> {
  // most files are text, and the reader of workbooks is large
  const { sheetsOf, xlsxRows } = await import('./xlsx.ts')
  const sheets = await sheetsOf(bytes)
  const [only, ...others] = sheets
  const chosen = sheets.find(({ place }) => place === sheet) ?? (others.length === 0 ? only : undefined)
  if (chosen === undefined) return { is: 'sheet asked', sheets }
  return { is: 'rows', sheets, rows: () => xlsxRows(bytes, chosen.place) }
}
