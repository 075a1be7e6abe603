/**
 * Pictures of figures, drawn by hand: bars from nought, and readings beside what was asked of them. A table says the
 * same beside each. The parts are named by classes, so that paper and forced colours have their own.
 */
import { html } from 'hono/html'
import type { Markup } from '../web/web-page.ts'

/** Marks of an axis at even steps of 1, 2 or 5 and their tens, from the first below `low` to the first above `high`. */
export function niceTicks(low: number, high: number, about = 5): number[] {
  const span = high > low ? high - low : Math.max(1, Math.abs(high))
  const tens = 10 ** Math.floor(Math.log10(span / about))
  const share = span / about / tens
  const step = tens * (share > 5 ? 10 : share > 2 ? 5 : share > 1 ? 2 : 1)
  const first = Math.floor(rounded(low / step))
  const last = Math.max(first + 1, Math.ceil(rounded(high / step)))
  return Array.from({ length: last - first + 1 }, (_, i) => rounded((first + i) * step))
}

/** Without the dust of binary fractions. */
const rounded = (value: number) => Number(value.toPrecision(12))

const wide = 720
const high = 260
/** room at the sides for the figures of the axis and for the names below */
const left = 64
const right = 12
const top = 34
const bottom = 44

interface Said {
  /** unique on the page */
  readonly id: string
  readonly title: string
  readonly desc: string
  /** what the axis at the left counts */
  readonly unit: string
}

export interface Bar {
  readonly value: number
  /** counting ended there: the bar goes on beyond what is drawn */
  readonly isMore?: boolean
  /** name below the bar, where there is room for one; `every` names only where there is little room */
  readonly name?: string
  readonly isRare?: boolean
}

interface Axis {
  readonly ticks: readonly number[]
  readonly unit: string
}

const heightOf = (value: number, [first = 0, ...others]: readonly number[]) => {
  const last = others.at(-1) ?? first + 1
  return round(high - bottom - ((value - first) / (last - first)) * (high - top - bottom))
}

const round = (value: number) => Math.round(value * 10) / 10

function frame({ id, title, desc }: Said, content: Markup): Markup {
  return html`<svg class="chart" viewBox="0 0 ${wide} ${high}" role="img" aria-labelledby="${id}-title ${id}-desc">
<title id="${id}-title">${title}</title><desc id="${id}-desc">${desc}</desc>${content}</svg>`
}

function axis({ ticks, unit }: Axis): Markup {
  return html`<text class="unit" x="4" y="16">${unit}</text>${ticks.map((tick) => {
    const y = heightOf(tick, ticks)
    return html`<path class="grid" d="M${left} ${y}H${wide - right}"/>
<text x="${left - 8}" y="${y + 4}" text-anchor="end">${tick}</text>`
  })}`
}

/** Bars of whole numbers. Their axis begins with nought and steps by whole numbers. */
export function bars(said: Said, all: readonly Bar[]): Markup {
  const most = Math.max(1, ...all.map(({ value }) => value))
  const ticks = niceTicks(0, most).filter(Number.isInteger)
  const each = (wide - left - right) / Math.max(1, all.length)
  const drawn = all.map(({ value, isMore, name, isRare }, i) => {
    const x = round(left + i * each)
    const y = heightOf(value, ticks)
    const middle = round(x + each / 2)
    const bar =
      value === 0
        ? ''
        : html`<path class="bar" d="M${x} ${high - bottom}V${y}h${round(each * 0.8)}V${high - bottom}z"/>`
    const more = isMore ? html`<text class="more" x="${middle}" y="${y - 3}" text-anchor="middle">+</text>` : ''
    const below =
      name === undefined
        ? ''
        : html`<text class="${isRare ? 'rare' : 'often'}" x="${x}" y="${high - bottom + 18}">${name}</text>
<path class="grid ${isRare ? 'rare' : 'often'}" d="M${x} ${high - bottom}v5"/>`
    return html`${bar}${more}${below}`
  })
  return frame(
    said,
    html`${axis({ ticks, unit: said.unit })}<path class="base" d="M${left} ${high - bottom}H${wide - right}"/>${drawn}`,
  )
}

export interface Point {
  readonly value: number
  readonly isRight: boolean
  readonly isAfter: boolean
}

export interface Tolerance {
  readonly from: number
  readonly middle: number
  readonly to: number
}

interface Ends {
  readonly first: string
  readonly last: string
}

/**
 * Readings in their order, the oldest at the left, over the band in which they are right. The axis begins where the
 * figures do: what matters is how near a reading comes to the edge of its band.
 */
export function points(said: Said & Ends, all: readonly Point[], band: Tolerance): Markup {
  const values = all.map(({ value }) => value)
  const ticks = niceTicks(Math.min(band.from, ...values), Math.max(band.to, ...values))
  const each = (wide - left - right) / Math.max(1, all.length)
  const [from, to, middle] = [band.from, band.to, band.middle].map((value) => heightOf(value, ticks))
  const drawn = all.map((one, i) => mark(one, round(left + (i + 0.5) * each), heightOf(one.value, ticks)))
  return frame(
    said,
    html`<path class="band" d="M${left} ${from ?? 0}V${to ?? 0}H${wide - right}V${from ?? 0}z"/>
${axis({ ticks, unit: said.unit })}
<path class="edge" d="M${left} ${from ?? 0}H${wide - right}M${left} ${to ?? 0}H${wide - right}"/>
<path class="asked" d="M${left} ${middle ?? 0}H${wide - right}"/>${drawn}
<text x="${left}" y="${high - bottom + 20}">${said.first}</text>
<text x="${wide - right}" y="${high - bottom + 20}" text-anchor="end">${said.last}</text>`,
  )
}

/** A reading outside its band has another shape; one taken afterwards is hollow. */
function mark({ isRight, isAfter }: Point, x: number, y: number): Markup {
  const fill = isAfter ? 'hollow' : 'full'
  if (isRight) return html`<circle class="reading ${fill}" cx="${x}" cy="${y}" r="4.5"/>`
  return html`<path class="reading wrong ${fill}" d="M${x} ${round(y - 7)}l7 12h-14z"/>`
}

export interface Load extends Omit<Bar, 'isMore'> {
  /** what there is room for: a line across the bar, and what lies above it is drawn apart */
  readonly most: number
}

/** Bars of what is asked, with a line at what there is. */
export function loads(said: Said, all: readonly Load[]): Markup {
  const ticks = niceTicks(0, Math.max(1, ...all.flatMap(({ value, most }) => [value, most])))
  const each = (wide - left - right) / Math.max(1, all.length)
  const width = round(each * 0.8)
  const at = (value: number) => heightOf(value, ticks)
  const drawn = all.map(({ value, most, name, isRare }, i) => {
    const x = round(left + i * each)
    const part = (kind: string, from: number, to: number) =>
      to <= from ? '' : html`<path class="${kind}" d="M${x} ${at(from)}V${at(to)}h${width}V${at(from)}z"/>`
    const below =
      name === undefined
        ? ''
        : html`<text class="${isRare ? 'rare' : 'often'}" x="${x}" y="${high - bottom + 18}">${name}</text>
<path class="grid ${isRare ? 'rare' : 'often'}" d="M${x} ${high - bottom}v5"/>`
    return html`${part('bar', 0, Math.min(value, most))}${part('over', most, value)}
<path class="most" d="M${x} ${at(most)}h${width}"/>${below}`
  })
  return frame(
    said,
    html`${axis({ ticks, unit: said.unit })}<path class="base" d="M${left} ${high - bottom}H${wide - right}"/>${drawn}`,
  )
}
