/** A label for a stick, on a place of a sheet that is free yet, and a page by which the printer is checked first. */
import { cornerOf, type LabelSheet } from '../../../shared-domain/label-sheets.ts'
import { dateForLabel, type LabelDue } from '../../../shared-domain/state/label.ts'
import { mayBeUsed } from '../../../shared-domain/state/use.ts'
import type { PageWording } from '../wording.ts'
import { code } from './code.ts'
import {
  figure,
  heading,
  lineAt,
  linesFor,
  millimetre,
  newPage,
  type Paper,
  part,
  sizeThatFits,
  textBlock,
} from './pdf.ts'

export interface Label {
  readonly stickId: string
  readonly standing: LabelDue & { readonly notPrimary?: true }
  readonly testedOn: string | null
  readonly codeUrl: string | undefined
}

/** Millimetres between what is printed and the edge of the label: where a sheet is a little off, nothing is cut. */
const inset = 3
/** The quiet zone of a code is blank, so it may begin nearer to the edge. */
const codeInset = 1.5
/** Millimetres: larger ones leave no room for words, and are read from no further away. */
const mostOfCode = 24

export interface OnSheet {
  readonly sheet: LabelSheet
  /** counted from 0 */
  readonly place: number
}

export function drawLabel(page: Paper, label: Label, { on, wording }: { readonly on: OnSheet; wording: PageWording }) {
  const { x, y } = cornerOf(on.sheet, on.place)
  const section = part(page, 'Sect')
  const left = (x + inset) * millimetre
  const side = Math.min(mostOfCode, on.sheet.height - 2 * codeInset) * millimetre
  const width = (on.sheet.width - inset - codeInset) * millimetre - side - 2
  const within = { ...page, within: section }
  let down = y + codeInset
  const lines = linesOf(label, wording).flatMap((line) => (line.wraps ? inSmallPrint(within, line, width) : [line]))
  for (const { text, most, least, font = 'bold', step } of lines) {
    const size = sizeThatFits(within, text, { width, most, least, font })
    down += step * (on.sheet.height / 25.4)
    lineAt(within, text, { x: left, y: down * millimetre, font, size })
  }
  page.hasMissing ||= within.hasMissing
  const { codeUrl } = label
  if (codeUrl === undefined) return
  const at = { x: (x + on.sheet.width - codeInset) * millimetre - side, y: (y + codeInset) * millimetre, side }
  code(within, { ...at, address: codeUrl, alt: wording.say('code alt label', { address: codeUrl }) })
}

/** Lines, as many as it takes; a label holds them beside the code. */
function inSmallPrint(sheet: Paper, line: Line, width: number): Line[] {
  const texts = linesFor(sheet, line.text, { width, size: line.most, font: 'regular' })
  return texts.map((text, i) => ({ ...line, text, step: i === 0 ? line.step : 2.1 }))
}

interface Line {
  readonly text: string
  readonly most: number
  readonly least: number
  readonly font?: 'regular' | 'bold'
  /** millimetres from the baseline above, on a label one inch high */
  readonly step: number
  readonly wraps?: true
}

function linesOf({ stickId, standing, testedOn }: Label, { say }: PageWording): Line[] {
  const { status, notPrimary } = standing
  const on = dateForLabel(standing)
  const through = on === null ? say('label no date') : say('label through', { on })
  return [
    { text: stickId, most: 22, least: 6, step: 5.2 },
    { text: mayBeUsed(status) ? through : say('label stop'), most: 13, least: 6, step: 4.8 },
    ...(mayBeUsed(status) && testedOn !== null
      ? [{ text: say('label tested', { on: testedOn }), most: 8, least: 5, font: 'regular' as const, step: 3.4 }]
      : []),
    ...(notPrimary ? [{ text: say('label not primary'), most: 8, least: 5, step: 3 }] : []),
    { text: say('label small print'), most: 5.5, least: 3.5, font: 'regular', step: 2.6, wraps: true },
  ]
}

/** Millimetres. */
const rulerLength = 100

export function drawRuler(page: Paper, { say }: PageWording): void {
  newPage(page)
  heading(page, 1, say('label check printer'))
  textBlock(page, say('label how'), { size: 11 })
  page.y += 10
  figure(page, {
    alt: say('label ruler alt'),
    height: 30,
    draw: ({ x, y }) => {
      const { doc } = page
      doc.lineWidth(0.5).strokeColor('#000')
      doc
        .moveTo(x, y)
        .lineTo(x + rulerLength * millimetre, y)
        .stroke()
      for (let at = 0; at <= rulerLength; at += 10) {
        doc
          .moveTo(x + at * millimetre, y)
          .lineTo(x + at * millimetre, y + 10)
          .stroke()
        lineAt(page, `${at}`, { x: x + at * millimetre - 3, y: y + 20, size: 7.5, tag: null })
      }
    },
  })
  textBlock(page, say('label fixed'), { size: 11 })
  textBlock(page, say('safety'), { size: 8.5 })
}
