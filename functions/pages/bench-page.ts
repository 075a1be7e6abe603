/**
 * The bench: what lies there, and the page on which one stick is tested. That page is filled by its script, since a
 * test has to outlive its link; the same page without a stick is kept by the device and opens without one.
 */
import { html, raw } from 'hono/html'
import type { BenchTold } from '../../shared-domain/bench-entry/told.ts'
import { bench } from '../../shared-domain/catalogue/en/bench.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import {
  appearances,
  defectKinds,
  demonstrationKinds,
  type Language,
  surfaceStates,
  testReasons,
  waters,
} from '../../shared-domain/words.ts'
import type { Asker } from '../questions/asker.ts'
import { benchQueueFor, benchTaskFor, mostOffered } from '../questions/bench.ts'
import { directoryFor } from '../questions/directory.ts'
import { checkRole, notYours } from '../questions/rights.ts'
import type { RosterRow } from '../questions/roster.ts'
import { stickCalled } from '../questions/sticks.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { stickPath } from './acts/parts.ts'
import { documentOf } from './layout.ts'
import { type PageWording, pageWordingFor } from './wording.ts'
import { capital, depotNameOf, namesIn, orderMarkup, statusMark, where, whyOf } from './words.ts'

const look = { here: 'at the bench', more: 'bench' } as const

export const benchPathOf = (stickId: string) => `/bench/${encodeURIComponent(stickId)}`

/**
 * The number that was typed or scanned, as it is known; null where no stick has it.
 * @throws Refused where the stick is not the reader's
 */
export async function typedAtBench(asker: Asker, typed: string): Promise<string | null> {
  checkRole(asker.caller, 'record a test')
  const found = await stickCalled(asker, typed)
  if (found === 'not yours') throw notYours('stick')
  return found === 'unknown' ? null : found.stickId
}

export async function benchQueuePage(asker: Asker, typed: string, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const [{ rows, next }, directory] = await Promise.all([benchQueueFor(asker), directoryFor(asker)])
  const names = namesIn(directory)
  const wrong = typed === '' ? '' : html`<p class="trouble" role="alert">${say('bench no such number', { typed })}</p>`
  const all = rows.map((row) => queued(row, names, wording))
  const more = html`<p><a href="/roster?bench=true">${say('bench lies more')}</a></p>`
  const title = say('at the bench')
  const main = html`<h1>${title}</h1>
<p class="lead">${say('bench queue lead')}</p>
${wrong}
<form class="bench-number" method="get" action="/bench"><label for="number">${say('bench number')}</label>
<input id="number" name="stick" value="${typed}" maxlength="64" autocomplete="off" autocapitalize="characters"
spellcheck="false" required autofocus>
<button>${say('bench begin')}</button></form>
<section aria-labelledby="begun" id="bench-begun" hidden><h2 id="begun">${say('bench begun here')}</h2>
<div id="bench-entry"></div></section>
<h2>${say('bench lies here', { sticks: rows.length })}</h2>
${rows.length === 0 ? html`<p class="empty">${say('bench nothing lies')}</p>` : html`<ul class="queue">${all}</ul>`}
${next === null ? '' : more}
${await benchMarkup(null, wording)}`
  return documentOf({ title, main, ...look, script: 'bench' }, wording)
}

function queued({ stored, standing }: RosterRow, names: ReturnType<typeof namesIn>, wording: PageWording): Markup {
  const { stickId, state } = stored
  const { say } = wording
  return html`<li><a class="number" href="${benchPathOf(stickId)}">${say('bench begin stick', { stick: stickId })}</a>
<p>${statusMark(standing, wording)} ${whyOf(standing, wording)}</p>
<p class="quiet">${capital(where(state, names, wording))}</p></li>`
}

interface Tester {
  readonly stickId: string
  readonly name: string
}

export async function benchEntryPage(
  asker: Asker,
  { stickId, name }: Tester,
  wording: PageWording,
): Promise<WebDocument> {
  const { say } = wording
  const [task, directory] = await Promise.all([benchTaskFor(asker, stickId, name), directoryFor(asker)])
  const { known, sheet, isCut } = task
  const place = depotNameOf(known.stick.depotId, namesIn(directory))
  const order = orderMarkup({ standing: known.standing, state: known.stick.state, place }, wording)
  const cut = isCut ? html`<p class="trouble">${say('bench too many', { most: mostOffered })}</p>` : ''
  const title = say('bench test stick', { stick: stickId })
  const main = html`<h1>${title}</h1>
<details class="stands"><summary>${statusMark(known.standing, wording)}</summary>${order}
<p><a href="${stickPath(stickId)}">${say('to the stick', { stick: stickId })}</a></p></details>
${cut}
<div id="bench-entry">${withoutScript(stickId, wording)}</div>
${await benchMarkup(sheet, wording)}`
  return documentOf({ title, main, ...look, script: 'bench' }, wording)
}

/** Stands there until the script takes its place. */
const withoutScript = (stickId: string, { say }: PageWording) => html`<p class="empty">${say('bench needs script')}</p>
<p><a href="${stickPath(stickId)}/worksheet">${say('offer worksheet')}</a></p>`

/** The same for everybody: it names nobody, and the script fills in what the device keeps. */
export async function benchWithoutLink(language: Language): Promise<WebDocument> {
  const wording = await pageWordingFor({ language })
  const title = wording.say('at the bench')
  const main = html`<h1>${title}</h1>
<div id="bench-entry"></div>
${await benchMarkup(null, wording)}`
  return documentOf({ title, main, ...look, script: 'bench' }, wording)
}

/** Every value that a sentence of the script may have: the script puts them where their names stand. */
const values = [
  ...[
    'appearance',
    'asked',
    'count',
    'expected',
    'from',
    'last',
    'left',
    'limit',
    'meant',
    'name',
    'of',
    'on',
    'open',
    'percent',
  ],
  ...['place', 'read', 'reads', 'section', 'stage', 'state', 'status', 'stick', 'to', 'turn', 'typed', 'usual'],
  ...['was', 'when'],
]
const places = Object.fromEntries(values.map((name) => [name, `{${name}}`]))

async function benchMarkup(sheet: BenchTold['sheet'], wording: PageWording): Promise<Markup> {
  const { say, word, language, units } = wording
  const fill = say as (name: string, values: object) => string // every sentence of the part has its values among these
  const words = Object.fromEntries(Object.keys(bench).map((name) => [name, fill(name, places)]))
  const inWords = (kind: string, all: readonly string[]) => all.map((one) => [one, word(kind, one)])
  const outcomes = ['withstood', 'flashover', 'puncture', 'tracking', 'heating']
  const options: Readonly<Record<keyof BenchTold['options'], string[][]>> = {
    reason: inWords('reason', testReasons),
    defect: inWords('defect', defectKinds),
    water: inWords('water', waters),
    appearance: inWords('appearance', appearances),
    outcome: inWords('outcome', outcomes),
    state: inWords('state', surfaceStates),
    demonstration: inWords('demonstration', demonstrationKinds),
  }
  const spoken = language === 'es' ? (await import('../../shared-domain/catalogue/es/language.ts')).spanish : english
  const { locale, unitNames, until } = spoken
  const told = { sheet, words, options, tongue: { locale, unitNames, until }, units }
  // a text that would end the script stands escaped
  const data = raw(JSON.stringify(told).replaceAll('<', '\\u003c'))
  return html`<script type="application/json" id="bench">${data}</script>`
}
