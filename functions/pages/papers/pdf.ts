/**
 * A paper as a tagged PDF: whoever cannot see it has it read in order, with headings, tables and what pictures show.
 * Every text lies in a part of the structure or is marked as none of it (PDF/UA-1, ISO 14289-1, 7.1).
 */
import PDFDocument, { type StructureElement, type StructureOptions } from 'pdfkit'
import type { Instant } from '../../../shared-domain/calendar.ts'
import { type PaperSize, paperSizes } from '../../../shared-domain/label-sheets.ts'
import { bold, regular } from './fonts.ts'

/** Points a millimetre: a point is 1/72 of an inch of 25.4 mm. */
export const millimetre = 72 / 25.4

export interface Look {
  readonly font?: 'regular' | 'bold'
  readonly size?: number
  readonly color?: string
  readonly align?: 'left' | 'center'
}

export interface PaperOptions {
  readonly title: string
  readonly language: string
  readonly size: PaperSize
  /** the moment it is made: the same paper of the same moment has the same bytes */
  readonly at: Instant
  /** the line at the foot of each page; left out of sheets of labels */
  readonly footer?: (page: number, pages: number) => string
  /** the sentence that is said where letters are missing in the font */
  readonly lettersMissing: string
}

/** A paper while it is drawn. Lengths are points from the upper left corner. */
export interface Paper {
  readonly doc: PDFDocument
  readonly left: number
  readonly width: number
  readonly bottom: number
  /** the part of the structure that is added to */
  readonly within: StructureElement
  /** the height at which the next thing is drawn */
  y: number
  hasMissing: boolean
}

const margin = 15 * millimetre
/** Room for what stands at the foot. */
const foot = 14 * millimetre

const sizes = { 1: 19, 2: 12.5 } as const

/** Draws a paper and answers its bytes. */
export async function drawn(options: PaperOptions, draw: (sheet: Paper) => void): Promise<Uint8Array<ArrayBuffer>> {
  const { title, language, size, at, footer, lettersMissing } = options
  const [width, height] = paperSizes[size]
  const made = new Date(at)
  const doc = new PDFDocument({
    size: [width * millimetre, height * millimetre],
    margin: 0,
    pdfVersion: '1.7',
    tagged: true,
    subset: 'PDF/UA',
    lang: language,
    displayTitle: true,
    info: { Title: title, CreationDate: made, ModDate: made },
    // without one of its own the maker takes a font that every reader is to have, and that has few letters
    font: regular,
    bufferPages: true,
  })
  const chunks: Uint8Array[] = []
  doc.on('data', (chunk) => chunks.push(chunk))
  const done = new Promise<void>((resolve) => doc.on('end', resolve))
  doc.registerFont('regular', regular)
  doc.registerFont('bold', bold)
  const root = doc.struct('Document')
  doc.addStructure(root)
  const sheet: Paper = {
    doc,
    within: root,
    left: margin,
    width: width * millimetre - 2 * margin,
    bottom: height * millimetre - foot,
    y: margin,
    hasMissing: false,
  }
  draw(sheet)
  if (sheet.hasMissing) textBlock(sheet, lettersMissing, { font: 'bold' })
  root.end()
  if (footer !== undefined) drawFeet(sheet, footer)
  doc.end()
  await done
  return Uint8Array.from(Buffer.concat(chunks))
}

function drawFeet(sheet: Paper, footer: (page: number, pages: number) => string): void {
  const { doc, left, width, bottom } = sheet
  const { count } = doc.bufferedPageRange()
  for (let page = 0; page < count; page++) {
    doc.switchToPage(page)
    doc.markContent('Artifact', { type: 'Pagination', subtype: 'Footer' })
    placed(sheet, footer(page + 1, count), { x: left, y: bottom + 4, width, size: 7.5, color: '#444' })
    doc.endMarkedContent()
  }
}

/** A letter that no font here has is told as such, and never left out. */
const stands = '\uFFFD'

function known(sheet: Paper, text: string): string {
  const { font } = sheet.doc._font
  return [...text.normalize('NFC')]
    .map((letter) => {
      if (letter === '\n' || font.hasGlyphForCodePoint(letter.codePointAt(0) ?? 0)) return letter
      sheet.hasMissing = true
      return stands
    })
    .join('')
}

interface Box {
  readonly x: number
  readonly y: number
  readonly width: number
}

const plainSize = 9.5

const pen = ({ doc }: Paper, { font = 'regular', size = plainSize, color = '#000' }: Look) =>
  doc.font(font).fontSize(size).fillColor(color)

/** A line of this font is so much higher than its letters are large. */
const leading = 1.36

/** Words end with a blank at the end of a line too, so that whoever has it read hears them apart. */
function placed(sheet: Paper, text: string, { x, y, width, ...look }: Box & Look): void {
  const doc = pen(sheet, look)
  const { size = plainSize, align } = look
  for (const [i, line] of linesFor(sheet, text, { ...look, width }).entries()) {
    const room = align === 'center' ? (width - doc.widthOfString(line)) / 2 : 0
    doc.text(`${line} `, x + room, y + (i + 0.78) * size * leading, { lineBreak: false, baseline: 'alphabetic' })
  }
}

/** @returns points */
function heightOf(sheet: Paper, text: string, look: Look & { readonly width: number }): number {
  return linesFor(sheet, text, look).length * (look.size ?? plainSize) * leading
}

/** The text in lines that fit. */
export function linesFor(sheet: Paper, text: string, { width, ...look }: Look & { readonly width: number }): string[] {
  const doc = pen(sheet, look)
  const fits = (line: string) => doc.widthOfString(line) <= width
  return known(sheet, text)
    .split('\n')
    .flatMap((paragraph) => {
      const lines = ['']
      for (const word of paragraph.split(' ').flatMap((one) => piecesOf(one, fits))) {
        const so = lines.at(-1) ?? ''
        if (so === '') lines[lines.length - 1] = word
        else if (fits(`${so} ${word}`)) lines[lines.length - 1] = `${so} ${word}`
        else lines.push(word)
      }
      return lines
    })
}

/** A word that is longer than a line goes on in the next. */
function piecesOf(word: string, fits: (line: string) => boolean): string[] {
  const letters = [...word]
  if (fits(word) || letters.length < 2) return [word]
  const end = letters.findIndex((_, i) => !fits(letters.slice(0, i + 1).join('')))
  const first = Math.max(1, end)
  return [letters.slice(0, first).join(''), ...piecesOf(letters.slice(first).join(''), fits)]
}

export function newPage(sheet: Paper): void {
  sheet.doc.addPage()
  sheet.y = margin
}

/** Begins a page where so much finds no room on this one. */
function makeRoom(sheet: Paper, height: number): void {
  if (sheet.y + height > sheet.bottom && sheet.y > margin) newPage(sheet)
}

/** Rules and frames, which say nothing. */
function ornament({ doc }: Paper, draw: () => void): void {
  doc.markContent('Artifact', { type: 'Layout' })
  draw()
  doc.endMarkedContent()
}

export function part(sheet: Paper, type: string, options: StructureOptions = {}): StructureElement {
  const element = sheet.doc.struct(type, options)
  sheet.within.add(element)
  return element
}

interface Piece extends Look {
  readonly tag: string
  readonly text: string
  readonly above?: number
}

function block(sheet: Paper, { tag, text, above = 0, ...look }: Piece): void {
  const { doc, left, width, within } = sheet
  const height = heightOf(sheet, text, { ...look, width })
  makeRoom(sheet, above + height + (tag === 'P' ? 0 : 70))
  if (sheet.y > margin) sheet.y += above
  const { y } = sheet
  within.add(doc.struct(tag, {}, () => placed(sheet, text, { x: left, y, width, ...look })))
  sheet.y = y + height + 3
}

export function heading(sheet: Paper, level: 1 | 2, text: string): void {
  block(sheet, { tag: `H${level}`, text, font: 'bold', size: sizes[level], above: level === 1 ? 0 : 9 })
}

export function textBlock(sheet: Paper, text: string, look: Look = {}): void {
  block(sheet, { tag: 'P', text, ...look })
}

export function list(sheet: Paper, items: readonly string[], look: Look = {}): void {
  const { doc, left } = sheet
  const all = part(sheet, 'L')
  const width = sheet.width - 12
  for (const text of items) {
    const height = heightOf(sheet, text, { ...look, width })
    makeRoom(sheet, height)
    const { y } = sheet
    const item = doc.struct('LI')
    all.add(item)
    item.add(doc.struct('Lbl', {}, () => placed(sheet, '•', { x: left, y, width: 12, ...look })))
    item.add(doc.struct('LBody', {}, () => placed(sheet, text, { x: left + 12, y, width, ...look })))
    sheet.y = y + height + 2
  }
}

/** A frame round an order and what belongs to it: thick round what stops. */
export function framed(sheet: Paper, { stops, lines }: Framed): void {
  const { doc, left } = sheet
  const width = sheet.width - 20
  const heights = lines.map(({ text, ...look }) => heightOf(sheet, text, { ...look, width }) + 2)
  const height = heights.reduce((sum, one) => sum + one, 0) + 14
  makeRoom(sheet, height)
  const top = sheet.y
  ornament(sheet, () => {
    doc
      .lineWidth(stops ? 3 : 0.8)
      .strokeColor('#000')
      .rect(left, top, sheet.width, height)
      .stroke()
  })
  let y = top + 7
  for (const [i, { text, ...look }] of lines.entries()) {
    const at = { x: left + 10, y, width, ...look }
    sheet.within.add(doc.struct('P', {}, () => placed(sheet, text, at)))
    y += heights[i] ?? 0
  }
  sheet.y = top + height + 6
}

export interface Framed {
  readonly stops: boolean
  readonly lines: readonly (Look & { readonly text: string })[]
}

export interface PaperTable {
  /** left out where each row is a name and its value */
  readonly heads?: readonly string[]
  readonly rows: readonly (readonly string[])[]
  /** shares of the width, which add up to 1 */
  readonly widths: readonly number[]
  /** points; for what is filled in by hand */
  readonly leastHeight?: number
  /** lines between columns too */
  readonly ruled?: boolean
  readonly size?: number
}

const cellPadding = 2.5

export function table(sheet: Paper, one: PaperTable): void {
  const element = part(sheet, 'Table')
  const { heads } = one
  const widths = one.widths.map((share) => share * sheet.width)
  const [first = []] = one.rows
  const firstRow = rowHeight(sheet, { cells: first, widths, one, isHead: false })
  // the head of a table does not stand alone at the end of a page
  makeRoom(sheet, firstRow + (heads === undefined ? 0 : rowHeight(sheet, { cells: heads, widths, one, isHead: true })))
  if (one.ruled) ornament(sheet, () => across(sheet, sheet.y))
  if (heads !== undefined) row(sheet, { element, cells: heads, widths, one, isHead: true })
  for (const cells of one.rows) {
    const height = rowHeight(sheet, { cells, widths, one, isHead: false })
    if (sheet.y + height > sheet.bottom) {
      newPage(sheet)
      // said once in the structure, and shown on each page
      if (heads !== undefined) row(sheet, { element: null, cells: heads, widths, one, isHead: true })
    }
    row(sheet, { element, cells, widths, one, isHead: false })
  }
  sheet.y += 8
}

function across({ doc, left, width }: Paper, y: number): void {
  doc
    .moveTo(left, y)
    .lineTo(left + width, y)
    .stroke()
}

interface Row {
  readonly cells: readonly string[]
  readonly widths: readonly number[]
  readonly one: PaperTable
  readonly isHead: boolean
}

const lookOf = ({ one, isHead }: Row, column: number): Look => ({
  font: isHead || column === 0 ? 'bold' : 'regular',
  size: one.size ?? 8.5,
})

function rowHeight(sheet: Paper, row: Row): number {
  const heights = row.cells.map((text, i) =>
    heightOf(sheet, text, { ...lookOf(row, i), width: (row.widths[i] ?? 0) - 2 * cellPadding }),
  )
  return Math.max(row.isHead ? 0 : (row.one.leastHeight ?? 0), ...heights) + 2 * cellPadding
}

function row(sheet: Paper, { element, ...row }: Row & { readonly element: StructureElement | null }): void {
  const { doc, left } = sheet
  const height = rowHeight(sheet, row)
  const { y } = sheet
  const tr = element === null ? null : doc.struct('TR')
  if (tr !== null) element?.add(tr)
  let x = left
  for (const [i, text] of row.cells.entries()) {
    const width = (row.widths[i] ?? 0) - 2 * cellPadding
    const at = { x: x + cellPadding, y: y + cellPadding, width, ...lookOf(row, i) }
    const write = () => placed(sheet, text, at)
    const scope = row.isHead ? 'Column' : 'Row'
    if (tr === null) ornament(sheet, write)
    else tr.add(row.isHead || i === 0 ? doc.struct('TH', { scope }, write) : doc.struct('TD', {}, write))
    x += row.widths[i] ?? 0
  }
  ornament(sheet, () => lines(sheet, row, height))
  sheet.y = y + height
}

function lines({ doc, left, width, y }: Paper, { widths, one, isHead }: Row, height: number): void {
  doc.lineWidth(isHead ? 1 : 0.4).strokeColor('#555')
  doc
    .moveTo(left, y + height)
    .lineTo(left + width, y + height)
    .stroke()
  if (!one.ruled) return
  let x = left
  for (const column of [0, ...widths]) {
    x += column
    doc
      .moveTo(x, y)
      .lineTo(x, y + height)
      .stroke()
  }
}

export interface Figure {
  readonly alt: string
  readonly height: number
  readonly draw: (at: { readonly x: number; readonly y: number; readonly width: number }) => void
}

export function figure(sheet: Paper, { alt, height, draw }: Figure): void {
  makeRoom(sheet, height)
  const { doc, left: x, width, y, within } = sheet
  const up = doc.page.height
  within.add(doc.struct('Figure', { alt, bbox: [x, up - y - height, x + width, up - y] }, () => draw({ x, y, width })))
  sheet.y = y + height + 4
}

/** A line of text at a place of its own, measured from its baseline: for what is cut out or filled in. */
export function lineAt(sheet: Paper, text: string, { x, y, tag = 'P', ...look }: Look & Placed): void {
  const { doc, within } = sheet
  const write = () => {
    pen(sheet, look).text(`${known(sheet, text)} `, x, y, { lineBreak: false, baseline: 'alphabetic' })
  }
  if (tag === null) write()
  else within.add(doc.struct(tag, {}, write))
}

interface Placed {
  readonly x: number
  readonly y: number
  /** null where whoever calls has opened a part already */
  readonly tag?: string | null
}

/** The largest size, down to the least, at which the line fits. */
export function sizeThatFits(sheet: Paper, text: string, { width, most, least, font = 'bold' }: Fit): number {
  const at = pen(sheet, { font, size: most }).widthOfString(known(sheet, text))
  return Math.max(least, Math.min(most, (most * width) / at))
}

interface Fit {
  readonly width: number
  readonly most: number
  readonly least: number
  readonly font?: 'regular' | 'bold'
}
