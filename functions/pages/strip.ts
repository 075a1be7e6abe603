/** A survey to scale, length by quarter turn, each mark a shape of its own; and the same as a table, place by place. */
import { html, raw } from 'hono/html'
import type { Cell, Mark, Strip, Turn } from '../../shared-domain/bench-test/strip.ts'
import type { Markup } from '../web/web-page.ts'
import type { PageWording } from './wording.ts'
import { capital } from './words.ts'

type Say = PageWording['say']

interface Shape {
  /** a path on a square of 20 */
  readonly d: string
  readonly isFull?: true
}

/** The shape of a mark, so that nobody has to tell shades apart; what conforms has none. */
export const shapeOfMark: { readonly [mark in Mark]: Shape | null } = {
  conforms: null,
  'over limit': { d: 'M10 2 19 18H1z', isFull: true },
  'in guard band': { d: 'M10 3 18 17H2z' },
  'not settled': { d: 'M2 12c3-8 5-8 8 0s5 8 8 0' },
  'no limit': { d: 'M3 10a7 7 0 1 0 14 0a7 7 0 1 0-14 0M5 15 15 5' },
  'not read': { d: 'm4 4 12 12M16 4 4 16' },
  'overlap too small': { d: 'M7 2v16M13 2v16' },
}

const shape = (mark: Mark) => {
  const one = shapeOfMark[mark]
  if (one === null) return ''
  return html`<svg viewBox="0 0 20 20" aria-hidden="true"><path ${one.isFull ? raw('class="full" ') : ''}d="${one.d}"/>
</svg>`
}

export function stripFigure(strip: Strip, { say }: PageWording): Markup {
  const name = nameOfStrip(strip, say)
  return html`<figure class="strip">
<figcaption><strong>${name}</strong> ${limitOfStrip(strip, say)}</figcaption>
<div class="scale" aria-hidden="true">${strip.turns.map((turn) => band(turn, strip))}${axis(strip, say)}</div>
<details><summary>${say('as a table', { name })}</summary>${table(strip, say)}</details>
</figure>`
}

export function nameOfStrip({ state, section }: Pick<Strip, 'state' | 'section'>, say: Say): string {
  return capital(section === undefined ? say(state) : say('strip of section', { state: say(state), section }))
}

export function limitOfStrip({ limitMicroamps: limit, section }: Strip, say: Say): string {
  if (limit === null) return say(section === undefined ? 'strip without limit' : 'strip of section without limit')
  return say(section === undefined ? 'strip limit' : 'strip limit of section', { limit })
}

function band({ quarterTurn, cells }: Turn, strip: Strip): Markup {
  // what lies over its neighbours is drawn after them
  const order = [...cells.keys()].sort((a, b) => Number(isNarrow(cells[a])) - Number(isNarrow(cells[b])))
  const shown = order.map((i) => mark(cells, i, strip))
  return html`<div class="turn"><span class="degrees">${quarterTurn}°</span><svg class="band">${shown}</svg></div>`
}

const isNarrow = (cell: Cell | undefined) => cell?.mark === 'overlap too small'

/**
 * Readings overlap: each is drawn to the middle of what it shares with its neighbours. Places are attributes, since the
 * page takes no style but that of its stylesheet.
 */
function mark(cells: readonly Cell[], i: number, strip: Strip): Markup | string {
  const cell = cells[i]
  if (cell === undefined) return ''
  const left = middle(cells[i - 1]?.toMetres, cell.fromMetres)
  const right = middle(cells[i + 1]?.fromMetres, cell.toMetres)
  const width = percent(Math.max(0.004, right - left), strip)
  return html`<foreignObject x="${percent(left, strip)}" width="${width}" height="100%">
<i class="${classOf(cell.mark)} ${shadeOf(shareOf(cell, strip))}">${shape(cell.mark)}</i></foreignObject>`
}

export function middle(neighbour: number | undefined, own: number): number {
  return neighbour === undefined ? own : (neighbour + own) / 2
}

function percent(metres: number, { lengthMetres }: Strip): string {
  return `${Math.round((metres / lengthMetres) * 10_000) / 100}%`
}

/** The stylesheet has a shade for each twentieth of the limit. */
const shadeOf = (share: number) => `shade-${Math.round(share * 20)}`

/** How much of its limit a reading takes, for its shade; 1 is the limit. */
export function shareOf({ leakageMicroamps }: Cell, { limitMicroamps }: Strip): number {
  if (leakageMicroamps === null || limitMicroamps === null) return 0
  return Math.min(1, leakageMicroamps / limitMicroamps)
}

const classOf = (mark: Mark) => mark.replaceAll(' ', '-')

function axis({ lengthMetres }: Strip, say: Say): Markup {
  const steps = [0, 0.25, 0.5, 0.75, 1].map((share) => Math.round(lengthMetres * share * 100) / 100)
  return html`<div class="axis">${steps.map((at) => html`<span>${say('length', { at })}</span>`)}</div>`
}

function table({ turns }: Strip, say: Say): Markup {
  const places = placesOf(turns.flatMap(({ cells }) => cells))
  const cellAt = ({ cells }: Turn, [from, to]: readonly [number, number]) => {
    const cell = cells.find((one) => one.fromMetres === from && one.toMetres === to)
    return html`<td>${cell === undefined ? html`<span class="quiet">–</span>` : said(cell, say)}</td>`
  }
  const heads = turns.map(({ quarterTurn }) => html`<th scope="col">${quarterTurn}°</th>`)
  const rows = places.map(
    (place) => html`<tr><th scope="row">${say('span', { from: place[0], to: place[1] })}</th>
${turns.map((turn) => cellAt(turn, place))}</tr>`,
  )
  return html`<div class="wide"><table><thead><tr><th scope="col">${say('from to')}</th>${heads}</tr></thead>
<tbody>${rows}</tbody></table></div>`
}

export function placesOf(cells: readonly Cell[]): [number, number][] {
  const places = new Map(cells.map((one) => [`${one.fromMetres} ${one.toMetres}`, one]))
  return [...places.values()]
    .sort((a, b) => a.fromMetres - b.fromMetres || a.toMetres - b.toMetres)
    .map((one) => [one.fromMetres, one.toMetres])
}

function said(cell: Cell, say: Say): Markup {
  const { mark } = cell
  if (mark === 'conforms') return html`${cellReading(cell, say)}`
  return html`<span class="mark ${classOf(mark)}">${shape(mark)}${cellReading(cell, say)}</span>`
}

/** The figure, and the word of its mark where it has one. */
export function cellReading({ leakageMicroamps, mark }: Cell, say: Say): string {
  const reading = leakageMicroamps === null ? '' : `${leakageMicroamps} µA`
  return mark === 'conforms' ? reading : `${reading} ${say(`mark ${mark}`)}`
}

/** What the shapes mean, of those that occur. */
export function stripLegend(strips: readonly Strip[], { say }: PageWording): Markup | string {
  const cells = strips.flatMap(({ turns }) => turns.flatMap((turn) => turn.cells))
  const seen = new Set(cells.flatMap(({ mark }) => (mark === 'conforms' ? [] : [mark])))
  const shades = [0.25, 0.75].map((share) => html`<i class="conforms ${shadeOf(share)}"></i>`)
  const shapesSeen = [...seen].map(
    (one) => html`<span class="mark ${classOf(one)}">${shape(one)} ${say(`mark ${one}`)}</span>`,
  )
  return html`<p class="legend"><span class="mark">${shades} ${say('mark within the limit')}</span>${shapesSeen}</p>`
}
