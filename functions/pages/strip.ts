/** A survey to scale, length by quarter turn, each mark a shape of its own; and the same as a table, place by place. */
import { html, raw } from 'hono/html'
import type { Cell, Mark, Strip } from '../../shared-domain/bench-test/strip.ts'
import type { QuarterTurn } from '../../shared-domain/words.ts'
import type { Markup } from '../web/web-page.ts'

/** The shape of a mark, so that nobody has to tell shades apart; what conforms has none. */
const shapes: { readonly [mark in Mark]: string } = {
  conforms: '',
  'over limit': '<path class="full" d="M10 2 19 18H1z"/>',
  'in guard band': '<path d="M10 3 18 17H2z"/>',
  'not settled': '<path d="M2 12c3-8 5-8 8 0s5 8 8 0"/>',
  'no limit': '<circle cx="10" cy="10" r="7"/><path d="M5 15 15 5"/>',
  'not read': '<path d="m4 4 12 12M16 4 4 16"/>',
  'overlap too small': '<path d="M7 2v16M13 2v16"/>',
}

const shape = (mark: Mark) =>
  shapes[mark] === '' ? '' : html`<svg viewBox="0 0 20 20" aria-hidden="true">${raw(shapes[mark])}</svg>`

export function stripFigure(strip: Strip): Markup {
  const name = nameOf(strip)
  return html`<figure class="strip">
<figcaption><strong>${name}</strong> ${strip.limitMicroamps === null ? 'no limit covers it' : `limit ${strip.limitMicroamps} µA`}; metres from ${strip.section === undefined ? 'the' : 'its'} working end</figcaption>
<div class="scale" aria-hidden="true">${strip.turns.map((turn) => band(turn.quarterTurn, turn.cells, strip))}${axis(strip)}</div>
<details><summary>${name} as a table</summary>${table(strip)}</details>
</figure>`
}

function nameOf({ state, section }: Strip): string {
  const surface = state === 'dry' ? 'Dry' : 'Wet'
  return section === undefined ? surface : `${surface}, section ${section}`
}

function band(quarterTurn: QuarterTurn, cells: readonly Cell[], strip: Strip): Markup {
  return html`<div class="turn"><span class="degrees">${quarterTurn}°</span><div class="band">${cells.map((_, i) => mark(cells, i, strip))}</div></div>`
}

/** Readings overlap: each is drawn to the middle of what it shares with its neighbours. */
function mark(cells: readonly Cell[], i: number, strip: Strip): Markup | string {
  const cell = cells[i]
  if (cell === undefined) return ''
  const left = middle(cells[i - 1]?.toMetres, cell.fromMetres)
  const right = middle(cells[i + 1]?.fromMetres, cell.toMetres)
  const place = `left:${percent(left, strip)};width:${percent(Math.max(0.004, right - left), strip)}`
  return html`<i class="${classOf(cell.mark)}" style="${place};--share:${shareOf(cell, strip)}">${shape(cell.mark)}</i>`
}

function middle(neighbour: number | undefined, own: number): number {
  return neighbour === undefined ? own : (neighbour + own) / 2
}

function percent(metres: number, { lengthMetres }: Strip): string {
  return `${Math.round((metres / lengthMetres) * 10_000) / 100}%`
}

/** How much of its limit a reading takes, for its shade; 1 is the limit. */
function shareOf({ leakageMicroamps }: Cell, { limitMicroamps }: Strip): number {
  if (leakageMicroamps === null || limitMicroamps === null) return 0
  return Math.min(1, Math.round((leakageMicroamps / limitMicroamps) * 100) / 100)
}

const classOf = (mark: Mark) => mark.replaceAll(' ', '-')

function axis({ lengthMetres }: Strip): Markup {
  const steps = [0, 0.25, 0.5, 0.75, 1].map((share) => `${Math.round(lengthMetres * share * 100) / 100} m`)
  return html`<div class="axis">${steps.map((step) => html`<span>${step}</span>`)}</div>`
}

function table({ turns }: Strip): Markup {
  const places = placesOf(turns.flatMap(({ cells }) => cells))
  return html`<div class="wide"><table><thead><tr><th scope="col">From – to</th>${turns.map(({ quarterTurn }) => html`<th scope="col">${quarterTurn}°</th>`)}</tr></thead>
<tbody>${places.map(
    ([from, to]) =>
      html`<tr><th scope="row">${from} – ${to} m</th>${turns.map(({ cells }) => {
        const cell = cells.find((one) => one.fromMetres === from && one.toMetres === to)
        return html`<td>${cell === undefined ? html`<span class="quiet">–</span>` : said(cell)}</td>`
      })}</tr>`,
  )}</tbody></table></div>`
}

function placesOf(cells: readonly Cell[]): [number, number][] {
  const places = new Map(cells.map((one) => [`${one.fromMetres} ${one.toMetres}`, one]))
  return [...places.values()]
    .sort((a, b) => a.fromMetres - b.fromMetres || a.toMetres - b.toMetres)
    .map((one) => [one.fromMetres, one.toMetres])
}

function said({ leakageMicroamps, mark }: Cell): Markup {
  const reading = leakageMicroamps === null ? '' : `${leakageMicroamps} µA`
  return mark === 'conforms'
    ? html`${reading}`
    : html`<span class="mark ${classOf(mark)}">${shape(mark)}${reading} ${mark}</span>`
}

/** What the shapes mean, of those that occur. */
export function stripLegend(strips: readonly Strip[]): Markup | string {
  const cells = strips.flatMap(({ turns }) => turns.flatMap((turn) => turn.cells))
  const seen = new Set(cells.map(({ mark }) => mark).filter((mark) => mark !== 'conforms'))
  return html`<p class="legend"><span class="mark"><i class="conforms" style="--share:.25"></i><i class="conforms" style="--share:.75"></i> within the limit, the stronger the shade the nearer</span>${[...seen].map((mark) => html`<span class="mark ${classOf(mark)}">${shape(mark)} ${mark}</span>`)}</p>`
}
