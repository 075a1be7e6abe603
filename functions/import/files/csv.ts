/** Files of separated values: the encoding by what the bytes say, each record in its row. */

import { Readable } from 'node:stream'
import { CsvError, parse } from 'csv-parse'
import { type EncodingAsked, encodings, type Separator } from '../../../shared-domain/import/choices.ts'
import { separatorOf } from '../../../shared-domain/import/separator.ts'
import { checkedRow, type FileRow, Unreadable } from './unreadable.ts'

export type Encoding = 'utf-8' | EncodingAsked

const marks: readonly (readonly [Encoding, readonly number[]])[] = [
  ['utf-8', [0xef, 0xbb, 0xbf]],
  ['utf-16le', [0xff, 0xfe]],
  ['utf-16be', [0xfe, 0xff]],
]

/** Answers the encoding that the bytes tell by themselves; null where a person has to say which it is. */
export function encodingOf(bytes: Uint8Array): Encoding | null {
  const marked = marks.find(([, mark]) => mark.every((byte, i) => bytes[i] === byte))
  if (marked !== undefined) return marked[0]
  if (hasNothingBytes(bytes)) return null
  try {
    const strict = new TextDecoder('utf-8', { fatal: true })
    for (const part of partsOf(bytes)) strict.decode(part, { stream: true })
    strict.decode()
    return 'utf-8'
  } catch {
    return null
  }
}

/** Letters of two bytes have a nothing in most of them, and text of single bytes has none. */
const hasNothingBytes = (bytes: Uint8Array) => bytes.subarray(0, 4096).includes(0)

/** The encodings that a person is shown the beginning of the file in. */
export const likelyEncodings = (bytes: Uint8Array): readonly EncodingAsked[] =>
  encodings.filter((one) => one.startsWith('utf-16') === hasNothingBytes(bytes))

export function beginningOf(bytes: Uint8Array, encoding: Encoding, letters = 2000): string {
  return new TextDecoder(encoding).decode(bytes.subarray(0, 4 * letters), { stream: true }).slice(0, letters)
}

const partBytes = 65_536
function* partsOf(bytes: Uint8Array): Generator<Uint8Array> {
  for (let at = 0; at < bytes.length; at += partBytes) yield bytes.subarray(at, at + partBytes)
}

/** A letter may lie across two parts. */
function* lettersOf(bytes: Uint8Array, encoding: Encoding): Generator<string> {
  const decoder = new TextDecoder(encoding)
  for (const part of partsOf(bytes)) yield decoder.decode(part, { stream: true })
  yield decoder.decode()
}

/** Many times as long as a row with a long note. */
const longestRecord = 200_000

export interface CsvReading {
  readonly encoding: Encoding
  /** the separator as somebody said it is; else that of the first line */
  readonly separator?: Separator | undefined
}

export async function* csvRows(bytes: Uint8Array, { encoding, separator }: CsvReading): AsyncGenerator<FileRow> {
  const parser = parse({
    delimiter: separator ?? separatorOf(beginningOf(bytes, encoding)),
    // the first line would else decide how all others end
    record_delimiter: ['\r\n', '\n', '\r'],
    relax_column_count: true,
    // inches are written so: 8' 6"
    relax_quotes: true,
    // a quote that is never closed would else take the whole file for one cell
    max_record_size: longestRecord,
  })
  const source = Readable.from(lettersOf(bytes, encoding))
  source.once('error', (error) => parser.destroy(error))
  source.pipe(parser)
  let row = 0
  try {
    for await (const cells of parser as AsyncIterable<string[]>) {
      row++
      yield checkedRow({ row, cells: cells.length === 1 && cells[0] === '' ? [] : cells })
    }
  } catch (error) {
    if (error instanceof CsvError)
      throw new Unreadable({ is: 'file: quote not closed', row: Math.max(row, parser.info.records) + 1 })
    throw error
  } finally {
    source.destroy()
  }
}
