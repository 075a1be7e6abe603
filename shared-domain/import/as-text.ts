/**
 * Text in a cell, kept from being taken for something else. A program of spreadsheets runs what begins like a formula,
 * and shortens what reads like a number; an apostrophe in front says that the rest is text. What goes out is led by
 * one, and what comes in has it taken off again, so that a file that went out comes in unchanged.
 */

import { damageIn } from './cells.ts'

const formula = /^[=+@\t\r-]/
/** A minus before a plain figure begins no formula, and whoever reads `-5` must not find `'-5`. */
const negative = /^-\d+(?:[.,]\d+)?$/
const quotes = /^'+/

/** Text that would come in as other text, or not at all: gaps at its ends are taken off, and an empty cell is none. */
const isLost = (text: string) => text.trim() !== text || text === '' || damageIn(text, true) !== null
const isTakenOtherwise = (text: string) => formula.test(text) || isLost(text)

/** An apostrophe that is there already would come off in place of ours. */
const hasQuote = (text: string) => quotes.test(text) && isTakenOtherwise(text.replace(quotes, ''))

/** Text as a file of separated values keeps it. */
export const textForSeparated = (text: string): string =>
  hasQuote(text) || (isTakenOtherwise(text) && !negative.test(text)) ? `'${text}` : text

/** Text as a workbook keeps it: there a cell says itself that it holds text, and no formula begins in one. */
export const textForWorkbook = (text: string): string =>
  (hasQuote(text) || isLost(text) ? `'${text}` : text).replaceAll(likeLetter, '_x005F_')

/** `_x0041_` is how a workbook writes a letter that XML cannot hold (ECMA-376, Part 1, ST_Xstring): its line is one. */
const likeLetter = /_(?=x[\dA-Fa-f]{4}_)/g

/** The text behind the apostrophe; null where the cell has none. */
export const textBehind = (cell: string): string | null => (hasQuote(cell) ? cell.slice(1) : null)

/**
 * A figure that reads alike with a point and with a comma as its mark: `1.234` could be a thousand and more, `1.2340`
 * cannot.
 */
export function figureForSeparated(figure: number): string {
  const text = String(figure)
  const plain = text.includes('e') ? figure.toFixed(20).replace(/\.?0+$/, '') : text
  return /^-?\d{1,3}\.\d{3}$/.test(plain) ? `${plain}0` : plain
}

/** Several in one cell, parted by semicolons; one that has a semicolon itself stands in quotes. */
export const listInCell = (parts: readonly string[]): string | null => (parts.length === 0 ? null : parts.join('; '))

export const partOfList = (text: string): string =>
  text.includes(';') || text.startsWith('"') || text.trim() !== text ? `"${text.replaceAll('"', '""')}"` : text

const parts = /\s*(?:"((?:[^"]|"")*)"([^;]*)|([^;]*))(?:;|$)/gy

/** The parts of a cell that has several, each with what stands in quotes at its front. */
export function partsOfCell(cell: string): readonly PartOfCell[] {
  return [...cell.matchAll(parts)]
    .map(([, quoted, behind = '', bare = '']) =>
      quoted === undefined
        ? { quoted: null, rest: bare.trim() }
        : { quoted: quoted.replaceAll('""', '"'), rest: behind.trim() },
    )
    .filter(({ quoted, rest }) => quoted !== null || rest !== '')
}

export interface PartOfCell {
  readonly quoted: string | null
  readonly rest: string
}
