/**
 * Every part of the pages in all its states, on one page, for whoever changes how they look. `npm run parts`
 * writes it to `reports/`; `npm run pictures -- parts` takes it wide, on a phone, light, dark and on paper.
 */
import { writeFileSync } from 'node:fs'
import { html } from 'hono/html'
import type { Field, Filled, Form } from '../../functions/pages/acts/form.ts'
import { formMarkup } from '../../functions/pages/acts/form-markup.ts'
import { bars, points } from '../../functions/pages/chart.ts'
import { documentOf } from '../../functions/pages/layout.ts'
import { headOf } from '../../functions/pages/roster-band.ts'
import { stripFigure, stripLegend } from '../../functions/pages/strip.ts'
import { pageWordingFor } from '../../functions/pages/wording.ts'
import { orderLine, statusMark } from '../../functions/pages/words.ts'
import { webPage } from '../../functions/web/web-page.ts'
import { marks, type Strip } from '../../shared-domain/bench-test/strip.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { quarterTurns, statuses } from '../../shared-domain/words.ts'

const wording = await pageWordingFor({})

const standings = statuses.flatMap((status) => [{ status }, { status, notPrimary: true as const }])
const marksOfStatuses = html`<h2>Statuses</h2><p>Solid: a reason of its own. Outlined: ran out.</p>
<ul>${standings.map((one) => html`<li>${statusMark(one, wording)}</li>`)}</ul>
${orderLine('on hold', wording.say('do not use'))}`

const head = {
  organisation: 'Demo utility',
  now: '2026-03-02T15:00:00.000Z' as Instant,
  directory: { depots: [{ id: 'DEP-1', name: 'North yard', timeZone: 'America/Chicago' }], crews: [], people: [] },
  chosen: { filter: { status: 'on hold' }, byCrew: false },
} as const
const bandOf = (count: number | '1,000+', urgent: number) => ({
  ...{ overdue: count, 'on hold': count, 'due soon': count, 'awaiting first test': count },
  ...{ urgent, soonDays: 60 },
})
const bands = html`<h2>The head of the roster: nothing, a morning, more than is counted</h2>
${headOf({ ...head, proposals: null, band: bandOf(0, 0) }, wording)}
${headOf({ ...head, proposals: 2, band: bandOf(12, 3) }, wording)}
${headOf({ ...head, proposals: 0, band: bandOf('1,000+', 40) }, wording)}`

/** A reading of each kind along the stick, each with what it shares with its neighbours. */
const strip: Strip = {
  state: 'wet',
  lengthMetres: 2.4,
  limitMicroamps: 20,
  turns: quarterTurns.map((quarterTurn, turn) => ({
    quarterTurn,
    cells: marks.map((mark, i) => ({
      fromMetres: Math.round(i * 34) / 100,
      toMetres: Math.round(Math.min(2.4, i * 0.34 + 0.4) * 100) / 100,
      leakageMicroamps: mark === 'not read' || mark === 'overlap too small' ? null : 4 + 5 * turn,
      mark,
    })),
  })),
}
const strips = html`<h2>Strips: every mark, and without a limit</h2>
${stripLegend([strip], wording)}${stripFigure(strip, wording)}
${stripFigure({ ...strip, state: 'dry', section: 'tip', limitMicroamps: null }, wording)}`

const said = (id: string, unit: string) => ({
  id,
  title: 'A picture of figures',
  desc: 'Its table says the same',
  unit,
})
const readings = [98, 101, 99, 108, 96, 100].map((value, i) => ({ value, isRight: value < 105, isAfter: i % 3 === 2 }))
const charts = html`<h2>Pictures of figures</h2>
${bars(
  said('bars', 'sticks'),
  [0, 1, 4, 2, 12].map((value, i) => ({ value, name: `W${i + 1}`, ...(value === 12 ? { isMore: true } : {}) })),
)}
${points({ ...said('points', 'µA'), first: '2 March', last: '9 March' }, readings, { from: 95, middle: 100, to: 105 })}`

const options = [
  ['a', 'The first'],
  ['b', 'The second', 'what it means'],
] as const
const fields: readonly Field[] = [
  { name: '/line', kind: 'line', label: 'A line', hint: 'What would be right' },
  { name: '/text', kind: 'text', label: 'More words', optional: true },
  { name: '/day', kind: 'date', label: 'A day' },
  { name: '/hour', kind: 'time', label: 'An hour', optional: true },
  { name: '/figure', kind: 'number', label: 'A figure' },
  { name: '/length', kind: 'measure', unit: 'm', label: 'A length' },
  { name: '/list', kind: 'list', of: 'lines', label: 'Several lines' },
  { name: '/choice', kind: 'choice', label: 'One of a list', options },
  { name: '/pick', kind: 'pick', label: 'One of a few', options },
  { name: '/choices', kind: 'choices', label: 'Any of a few', options },
  { name: '/yes', kind: 'yes', label: 'A box to tick' },
]
const form = (title: string): Form => ({
  title,
  lead: 'What it does, and what follows.',
  fields,
  send: 'Record it',
  preview: 'Show what would follow, record nothing',
  back: { path: '#', text: 'Back, and record nothing' },
})
const empty: Filled = { typed: null, faults: null, factId: '' }
const wrong: Filled = {
  ...empty,
  typed: Object.fromEntries(fields.map(({ name }) => [name, ['as it was typed']])),
  faults: { byField: new Map(fields.map(({ name }) => [name, ['What would be right.']])), others: ['Something else.'] },
}
const forms = html`<h2>A form, as it opens</h2>${formMarkup(form('A form'), empty, wording)}`
const faulty = html`<h2>A form, with a fault in each field</h2>${formMarkup(form('The same'), wrong, wording)}`

const words = html`<h2>Words beside them</h2><p class="lead">What is said first.</p><p class="note">A note.</p>
<p class="empty">Nothing to show. <a href="#parts">The way on</a></p>
<ul class="reasons"><li>A reason</li><li>Another</li></ul>
<p><a class="act" href="#parts">An act</a> <span class="quiet">of less weight</span></p>`

/** Each id stands once on a page, so the same form with faults has a page of its own. */
const pageOf = (main: ReturnType<typeof html>) =>
  webPage(documentOf({ title: 'Parts', main: html`<h1 id="parts">Parts</h1>${main}` }, wording), {
    who: { name: 'Mia Okafor', organisation: 'Demo utility', role: 'manager' },
  }).then((answer) => answer.text())

export const partsPages = async (): Promise<Readonly<Record<'parts' | 'parts-faulty', string>>> => ({
  parts: await pageOf(html`${marksOfStatuses}${bands}${strips}${charts}${words}${forms}`),
  'parts-faulty': await pageOf(faulty),
})

if (import.meta.main) {
  for (const [name, text] of Object.entries(await partsPages())) {
    const file = `reports/${name}.html`
    writeFileSync(file, text)
    console.log(file)
  }
}
