/** A survey to scale, length by quarter turn, each mark a shape of its own; and the same as a table, place by place. */
import { html, raw } from 'hono/html'
import type { Cell, Mark, Strip, Turn } from '../../shared-domain/bench-test/strip.ts'
import type { Markup } from '../web/web-page.ts'
import { classOf, drawnAt, inDrawingOrder, shadeOf, shapeOfMark } from './strip-shapes.ts'
import type { PageWording } from './wording.ts'
import { capital } from './words.ts'

type Say = PageWording['say']

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
  const shown = inDrawingOrder(cells).map((i) => mark(cells, i, strip))
  return html`<div class="turn"><span class="degrees">${quarterTurn}°</span><svg class="band">${shown}</svg></div>`
}

/** Places are attributes, since the page takes no style but that of its stylesheet. */
function mark(cells: readonly Cell[], i: number, strip: Strip): Markup | string {
  const drawn = drawnAt(cells, i, strip)
  if (drawn === null) return ''
  const { x, width, look, mark: of } = drawn
  return html`<foreignObject x="${x}" width="${width}" height="100%">
<i class="${look}">${shape(of)}</i></foreignObject>`
}

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
