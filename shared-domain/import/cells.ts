/**
 * Cells of somebody's spreadsheet, as the values that they stand for. Every cell is text until its column says what it
 * holds: `0012` is a number of a stick, and `1E5` too. What can be read two ways is read in none of them: the ways in
 * which a whole column can be read are told, and a person chooses.
 */

import { type CalendarDate, isCalendarDate } from '../calendar.ts'
import { feetInMetres } from '../feet.ts'
import { type DateOrder, type DecimalMark, dateOrders, decimalMarks, type LengthUnit } from './choices.ts'

/** A number is what a workbook keeps where no text was written; a file of text has none. */
export type FileCell = string | number

type Parts = readonly [year: number, month: number, day: number]

const months = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']
/** Spanish where it begins with other letters. */
const monthsInSpanish: Readonly<Record<string, number>> = { ene: 1, abr: 4, ago: 8, set: 9, dic: 12 }

const inFigures = /^(\d{1,4})([-/. ])(\d{1,2})\2(\d{1,4})$/
const dayAndName = /^(\d{1,2})(?:\.|st|nd|rd|th)?[-/. ]+(?:de )?([a-z]{3,10})\.?,?[-/. ]+(?:de )?(\d{4})$/
const nameAndDay = /^([a-z]{3,10})\.?[-/. ]+(\d{1,2})(?:st|nd|rd|th)?,?[-/. ]+(\d{4})$/
/** A spreadsheet writes a day without an hour as its midnight. */
const midnight = /[T ]+(?:00:00(?::00(?:\.0+)?)?Z?|12:00(?::00)? ?am)$/i

/**
 * Answers the date in the cell, or null where there is none. The year has four digits: a century is not guessed.
 * Without an order a date in figures is read only where it begins with its year.
 */
export function dateInCell(cell: string, order: DateOrder = 'year first'): CalendarDate | null {
  const text = cell.trim().replace(midnight, '').toLowerCase()
  const named = partsByName(text)
  if (named !== null) return dateOf(named)
  const figures = inFigures.exec(text)
  return figures === null ? null : dateOf(arranged(figures, order))
}

function partsByName(text: string): Parts | null {
  const [, day, name = '', year] = dayAndName.exec(text) ?? []
  if (year !== undefined) return [Number(year), monthOf(name), Number(day)]
  const [, first = '', second, last] = nameAndDay.exec(text) ?? []
  return last === undefined ? null : [Number(last), monthOf(first), Number(second)]
}

/** 0 for what is no month. */
function monthOf(name: string): number {
  const short = name.slice(0, 3)
  return monthsInSpanish[short] ?? months.indexOf(short) + 1
}

function arranged([, first = '', , second = '', third = '']: RegExpExecArray, order: DateOrder): Parts {
  if (first.length === 4) return [Number(first), Number(second), Number(third)]
  if (third.length !== 4 || order === 'year first') return [0, 0, 0]
  const [day, month] = order === 'day first' ? [first, second] : [second, first]
  return [Number(third), Number(month), Number(day)]
}

function dateOf([year, month, day]: Parts): CalendarDate | null {
  const padded = (figure: number, length: number) => String(figure).padStart(length, '0')
  const text = `${padded(year, 4)}-${padded(month, 2)}-${padded(day, 2)}`
  return year > 0 && isCalendarDate(text) ? text : null
}

/**
 * Answers the orders in which every date of a column can be read: none where each leaves something unread, several
 * where a person has to say which is meant. Cells that are no dates at all are left to whoever reads the rows.
 */
export function dateOrdersOf(cells: Iterable<FileCell>): readonly DateOrder[] {
  let open: readonly DateOrder[] = dateOrders
  let told = false
  for (const cell of cells) {
    if (typeof cell === 'number') continue
    const fitting = open.filter((order) => dateInCell(cell, order) !== null)
    if (dateOrders.every((order) => dateInCell(cell, order) === null)) continue
    told = true
    open = fitting
  }
  // dates that read alike in every order leave nothing to ask
  return told && open.includes('year first') ? ['year first'] : open
}

const hours = /^(\d{1,2})[:.h](\d{2})(?::\d{2}(?:\.\d+)?)?\s*([ap])?\.?\s?(?:m\.?)?$/i

/** The hour in the cell as `14:20`, or null where there is none. */
export function hourIn(cell: string): string | null {
  const [, hour, minute, half] = hours.exec(cell.trim()) ?? []
  if (hour === undefined || minute === undefined) return null
  const stated = Number(hour)
  if (half !== undefined && (stated < 1 || stated > 12)) return null
  const inDay = half === undefined ? stated : (stated % 12) + (half.toLowerCase() === 'p' ? 12 : 0)
  return inDay > 23 || Number(minute) > 59 ? null : `${String(inDay).padStart(2, '0')}:${minute}`
}

const figuresBy: { readonly [mark in DecimalMark]: RegExp } = {
  '.': /^([+-]?)(\d{1,3}(?:[, \u00A0\u202F’']\d{3})+|\d+)(?:\.(\d+))?$/,
  ',': /^([+-]?)(\d{1,3}(?:[. \u00A0\u202F’']\d{3})+|\d+)(?:,(\d+))?$/,
}

/** The number in the cell, or null. Letters behind it, such as a unit, make it none; so does an exponent. */
export function numberInCell(cell: string, mark: DecimalMark = '.'): number | null {
  const [all, sign, whole = '', fraction = '0'] = figuresBy[mark].exec(cell.trim().replace('−', '-')) ?? []
  return all === undefined ? null : Number(`${sign}${whole.replace(/\D/g, '')}.${fraction}`)
}

/**
 * Answers the decimal marks by which every number of a column can be read. `1,234` is two numbers: where the column has
 * nothing that tells them apart, a person has to.
 */
export function decimalMarksOf(cells: Iterable<FileCell>): readonly DecimalMark[] {
  let open: readonly DecimalMark[] = decimalMarks
  let differs = false
  for (const cell of cells) {
    if (typeof cell === 'number') continue
    const read = decimalMarks.map((mark) => numberInCell(cell, mark))
    if (read.every((one) => one === null)) continue
    open = open.filter((mark) => numberInCell(cell, mark) !== null)
    if (read[0] !== read[1]) differs = true
  }
  return open.length > 1 && !differs ? ['.'] : open
}

const inchesPerFoot = 12
const millimetresPerInch = 25.4
/** Feet may be followed by inches, as on a tape: `8 ft 6 in`, `8' 6"`; and inches by a fraction of one: `6 1/2"`. */
const feetPart = String.raw`(?:([\d.,]+)\s*(?:feet|foot|ft|pies|pie|['′’])\.?)?`
const inchesPart = String.raw`(?:([\d.,]+)(?:[\s-]+(\d{1,2})\/(\d{1,2}))?\s*(?:inches|inch|in|pulg|["″”]|'')\.?)?`
const onATape = new RegExp(String.raw`^${feetPart}\s*${inchesPart}$`, 'i')
const inMetres = /^(.+?)\s*(mm|cm|m|metres|meters|metros)\.?$/i
const perMetre: Readonly<Record<string, number>> = { mm: 1000, cm: 100 }

interface MeasuredBy {
  readonly unit: LengthUnit
  readonly mark: DecimalMark
}

/** The number that the cell holds, or that its text says. */
export const figureIn = (cell: FileCell, mark: DecimalMark): number | null =>
  typeof cell === 'number' ? cell : numberInCell(cell, mark)

/** The length in the cell in metres, to the millimetre; a unit that stands in the cell counts before the column's. */
export function metresIn(cell: FileCell, { unit, mark }: MeasuredBy): number | null {
  const bare = figureIn(cell, mark)
  if (bare !== null) return toMetres(bare, unit)
  const text = String(cell).trim()
  const [, figure, named = ''] = inMetres.exec(text) ?? []
  if (figure !== undefined) {
    const stated = numberInCell(figure, mark)
    return stated === null ? null : toMillimetre(stated / (perMetre[named.toLowerCase()] ?? 1))
  }
  const [all, feet, inches, over, under] = onATape.exec(text) ?? []
  if (all === undefined || (feet === undefined && inches === undefined)) return null
  const part = over === undefined ? 0 : Number(over) / Number(under)
  const [ft, inch] = [feet, inches].map((one) => (one === undefined ? 0 : numberInCell(one, mark)))
  if (ft == null || inch == null || !Number.isFinite(part)) return null
  return feetInMetres(ft + (inch + part) / inchesPerFoot)
}

/**
 * A length in our own unit is not made rounder than it was written, or a file that went out would come in as an
 * edit. What a spreadsheet worked out has less than a millionth too much or too little.
 */
const asWritten = (figure: number) => Math.round(figure * 1e6) / 1e6

const toMillimetre = (metres: number) => Math.round(metres * 1000) / 1000

function toMetres(figure: number, unit: LengthUnit): number {
  if (unit === 'ft') return feetInMetres(figure)
  if (unit === 'in') return feetInMetres(figure / inchesPerFoot)
  return unit === 'mm' ? toMillimetre(figure / 1000) : asWritten(figure)
}

/** A width across a stick, in millimetres to the hundredth: finer than anybody measures there. */
export function millimetresIn(cell: FileCell, { unit, mark }: MeasuredBy): number | null {
  const bare = figureIn(cell, mark)
  if (bare !== null) return acrossOf(bare, unit)
  const text = String(cell).trim()
  const [, figure = '', named] = /^(.+?)\s*(mm|in|inch|inches|pulg|["″”])\.?$/i.exec(text) ?? []
  if (named === undefined) return null
  const [, whole, over, under] = /^(?:(\d+)[\s-]+)?(\d{1,2})\/(\d{1,2})$/.exec(figure) ?? []
  const stated = under === undefined ? numberInCell(figure, mark) : Number(whole ?? 0) + Number(over) / Number(under)
  return stated === null || !Number.isFinite(stated)
    ? null
    : acrossOf(stated, named.toLowerCase() === 'mm' ? 'mm' : 'in')
}

function acrossOf(figure: number, unit: LengthUnit): number {
  if (unit === 'mm') return asWritten(figure)
  const per = { m: 1000, ft: millimetresPerInch * inchesPerFoot, mm: 1, in: millimetresPerInch }[unit]
  return Math.round(figure * per * 100) / 100
}

const yes = new Set(['yes', 'y', 'true', 'x', '1', 'pass', 'passed', 'ok', 'sí', 'si', 's', 'verdadero', 'aprobada'])
const no = new Set(['no', 'n', 'false', '0', 'fail', 'failed', 'falso', 'rechazada'])

export function yesOrNoIn(cell: string): boolean | null {
  const text = cell.trim().toLowerCase()
  return yes.has(text) ? true : no.has(text) ? false : null
}

/** The word among some that the cell says, however its letters and gaps are written. */
export function wordIn<Word extends string>(cell: string, words: readonly Word[]): Word | null {
  const plain = (text: string) =>
    text
      .trim()
      .toLowerCase()
      .replaceAll(/[\s_-]+/g, ' ')
  return words.find((word) => plain(word) === plain(cell)) ?? null
}

/** Damage that a program of spreadsheets has done to a cell: its true content is in the file no more. */
export const damages = ['error', 'lost letters', 'lost digits'] as const
export type Damage = (typeof damages)[number]

const errorWord = /^#(?:REF!|N\/A|DIV\/0!|VALUE!|NAME\?|NUM!|NULL!|SPILL!|CALC!|¿NOMBRE\?|¡REF!|¡VALOR!|¡DIV\/0!)$/i
/** A long number as such programs shorten it. `1E5`, which some call a stick, has no sign. */
const shortened = /^[+-]?\d(?:[.,]\d+)?E\+\d{2,}$/i
/** Digits beyond these are no more what was typed. */
const mostDigits = 1e15

export function damageIn(cell: FileCell, isText: boolean): Damage | null {
  if (typeof cell === 'number') return isText && Math.abs(cell) >= mostDigits ? 'lost digits' : null
  if (errorWord.test(cell)) return 'error'
  if (cell.includes('\uFFFD')) return 'lost letters'
  return isText && shortened.test(cell) ? 'lost digits' : null
}
