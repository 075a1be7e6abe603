/** Workbooks: one sheet, row by row, each cell as its text or as the number that it holds. */
import { streamXlsxRows } from 'hucre/xlsx'
import { checkedRow, type FileRow, Unreadable } from './unreadable.ts'
import { weigh } from './weigh.ts'

const longestSeconds = 5

export interface Sheet {
  readonly name: string
  /** place of the sheet among all of the workbook */
  readonly place: number
}

/** The sheets that whoever opens the workbook sees. A hidden one is read by nobody who does not know of it. */
export async function sheetsOf(bytes: Uint8Array): Promise<readonly Sheet[]> {
  const list = await weigh(bytes)
  const sheets = [...list.matchAll(/<(?:\w+:)?sheet\s([^>]*)>/g)].map(([, attributes = ''], place) => ({
    name: unescaped(/\bname="([^"]*)"/.exec(attributes)?.[1] ?? ''),
    place,
    isHidden: /\bstate="(?:hidden|veryHidden)"/.test(attributes),
  }))
  const seen = sheets.filter(({ isHidden }) => !isHidden).map(({ name, place }) => ({ name, place }))
  if (seen.length === 0) throw new Unreadable({ is: 'file: no sheet' })
  return seen
}

const named: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" }
const unescaped = (text: string) =>
  text.replaceAll(/&(?:#\d+|#x[\da-f]+|\w+);/gi, (mark) => letterOf(mark.slice(1, -1)))

function letterOf(name: string): string {
  if (!name.startsWith('#')) return named[name] ?? ''
  const isHex = /^#x/i.test(name)
  return String.fromCodePoint(Math.min(0x10ffff, Number.parseInt(name.slice(isHex ? 2 : 1), isHex ? 16 : 10)))
}

/** Time of the processor alone: a machine that does other things besides makes no honest file a hostile one. */
function usedMillis(): number {
  const { user, system } = process.threadCpuUsage()
  return (user + system) / 1000
}

/** The rows of a workbook that was weighed. Whoever reads on for longer than a few seconds in all is stopped. */
export async function* xlsxRows(bytes: Uint8Array, place: number): AsyncGenerator<FileRow> {
  let spent = 0
  let since = usedMillis()
  try {
    for await (const { index, values } of streamXlsxRows(bytes, { sheet: place })) {
      // time that whoever takes the row spends on it is not the reading's
      spent += usedMillis() - since
      if (spent > longestSeconds * 1000) throw new Unreadable({ is: 'file: takes too long', seconds: longestSeconds })
      yield checkedRow({ row: index + 1, cells: values.map(cellOf) })
      since = usedMillis()
    }
  } catch (error) {
    throw error instanceof Unreadable || !isOfTheFile(error) ? error : new Unreadable({ is: 'file: broken' })
  }
}

/** The reader names its own errors; a fault of ours is none of the file's. */
const isOfTheFile = (error: unknown) => error instanceof Error && /^(Parse|Zip|Encrypted|Xml|Hucre)/.test(error.name)

type Value = string | number | boolean | Date | null | undefined | object

function cellOf(value: Value): string | number {
  if (value === null || value === undefined) return ''
  if (value instanceof Date) return dateText(value)
  if (typeof value === 'number') return value
  return typeof value === 'boolean' ? (value ? 'true' : 'false') : String(value)
}

/** The year before the first day of either calendar of spreadsheets: such a cell holds an hour and no day. */
const hourAlone = /^(?:1899-12-3[01]|1900-01-00|1904-01-01)$/

/**
 * A moment of a spreadsheet has no zone, and comes as if it were UTC. It is kept as a fraction of a day, so that its
 * seconds may be off by a little.
 */
function dateText(moment: Date): string {
  const text = new Date(Math.round(moment.getTime() / 1000) * 1000).toISOString()
  const [day = '', hour = ''] = [text.slice(0, -14), text.slice(-13, -5)]
  const short = hour.endsWith(':00') ? hour.slice(0, 5) : hour
  if (hourAlone.test(day)) return short
  // spreadsheets count a 29 February that 1900 did not have: which day is meant before it nobody can tell
  if (day < '1900-03-01') return `${day}?`
  return short === '00:00' ? day : `${day} ${short}`
}
