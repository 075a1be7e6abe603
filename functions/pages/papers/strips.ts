/** The readings of a test on paper: each survey as a strip to scale, and below it as a table. */
import type { Cell, Mark, Strip, Turn } from '../../../shared-domain/bench-test/strip.ts'
import { cellReading, limitOfStrip, nameOfStrip, placesOf } from '../strip.ts'
import { middle, shapeOfMark, shareOf } from '../strip-shapes.ts'
import type { PageWording } from '../wording.ts'
import { figure, heading, lineAt, type Paper, table, textBlock } from './pdf.ts'

type Say = PageWording['say']

export function drawStrips(sheet: Paper, strips: readonly Strip[], { say }: PageWording): void {
  if (strips.length === 0) return
  heading(sheet, 2, say('paper readings'))
  textBlock(sheet, say('paper strip legend'), { size: 8 })
  for (const strip of strips) {
    textBlock(sheet, `${nameOfStrip(strip, say)}: ${limitOfStrip(strip, say)}`, { font: 'bold' })
    drawStrip(sheet, strip, say)
    drawReadings(sheet, strip, say)
  }
}

const band = { height: 16, gap: 3, left: 26, axis: 14 } as const

function drawStrip(sheet: Paper, strip: Strip, say: Say): void {
  const { turns, lengthMetres } = strip
  const height = turns.length * (band.height + band.gap) + band.axis
  figure(sheet, {
    alt: altOf(strip, say),
    height,
    draw: ({ x, y, width }) => {
      for (const [i, turn] of turns.entries()) {
        const top = y + i * (band.height + band.gap)
        lineAt(sheet, `${turn.quarterTurn}°`, { x, y: top + 11, size: 7.5, tag: null })
        drawTurn(sheet, turn, { strip, x: x + band.left, y: top, width: width - band.left })
      }
      for (const share of [0, 0.25, 0.5, 0.75, 1]) {
        const at = Math.round(lengthMetres * share * 100) / 100
        const text = say('length', { at })
        const right = share === 1 ? 24 : 0
        const place = x + band.left + share * (width - band.left) - right
        lineAt(sheet, text, { x: place, y: y + height - 4, size: 7.5, tag: null })
      }
    },
  })
}

function altOf(strip: Strip, say: Say): string {
  const read = strip.turns.flatMap(({ cells }) => cells.flatMap(({ leakageMicroamps }) => leakageMicroamps ?? []))
  const said = { name: nameOfStrip(strip, say), limit: limitOfStrip(strip, say) }
  if (read.length === 0) return say('paper strip alt, nothing read', said)
  return say('paper strip alt', { ...said, read: Math.max(...read) })
}

interface Along {
  readonly strip: Strip
  readonly x: number
  readonly y: number
  readonly width: number
}

function drawTurn({ doc }: Paper, { cells }: Turn, { strip, x, y, width }: Along): void {
  doc.lineWidth(0.5).strokeColor('#000')
  for (const [i, cell] of cells.entries()) {
    // a stretch that two readings share is halved between them
    const from = middle(cells[i - 1]?.toMetres, cell.fromMetres) / strip.lengthMetres
    const to = middle(cells[i + 1]?.fromMetres, cell.toMetres) / strip.lengthMetres
    const [left, right] = [x + from * width, x + Math.max(to, from + 0.004) * width]
    doc.rect(left, y, right - left, band.height).fillAndStroke(shadeOf(cell, strip), '#000')
    drawMark(doc, cell.mark, { x: (left + right) / 2, y: y + band.height / 2 })
  }
}

/** White for nought, a middle grey at the limit: a mark in black can be seen on all of them. */
function shadeOf(cell: Cell, strip: Strip): string {
  const level = Math.round(255 - 130 * shareOf(cell, strip))
  return `#${level.toString(16).padStart(2, '0').repeat(3)}`
}

function drawMark(doc: Paper['doc'], mark: Mark, { x, y }: { readonly x: number; readonly y: number }): void {
  const shape = shapeOfMark[mark]
  if (shape === null) return
  const size = band.height * 0.75
  doc
    .save()
    .translate(x - size / 2, y - size / 2)
    .scale(size / 20)
  doc.lineWidth(2).strokeColor('#000').path(shape.d)
  if (shape.isFull) doc.fill('#000')
  else doc.stroke()
  doc.restore()
}

function drawReadings(sheet: Paper, { turns }: Strip, say: Say): void {
  const rows = placesOf(turns.flatMap(({ cells }) => cells)).map(([from, to]) => [
    say('span', { from, to }),
    ...turns.map(({ cells }) => {
      const cell = cells.find((one) => one.fromMetres === from && one.toMetres === to)
      return cell === undefined ? '–' : cellReading(cell, say)
    }),
  ])
  const heads = [say('paper place'), ...turns.map(({ quarterTurn }) => `${quarterTurn}°`)]
  table(sheet, { heads, rows, widths: [0.24, 0.19, 0.19, 0.19, 0.19], size: 8 })
}
