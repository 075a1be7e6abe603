/** Recalls: all of them; and one, with how far it is, the sticks that nobody confirmed, and what is left to be done. */
import { html } from 'hono/html'
import type { PutRight } from '../../shared-domain/bench-test/measured.ts'
import { kindOfRecall, nameOfCause, type RecallCause } from '../../shared-domain/recall/recall.ts'
import { mayAtAll } from '../../shared-domain/rights.ts'
import { shortened } from '../../shared-domain/state/recall-holds.ts'
import type { Asker } from '../questions/asker.ts'
import { type Directory, directoryFor } from '../questions/directory.ts'
import {
  type RecallCounts,
  type RecallProgress,
  recallFor,
  recallsFor,
  type StickOfRecall,
} from '../questions/recalls.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { documentOf } from './layout.ts'
import type { PageWording } from './wording.ts'
import { moment, type Names, namesIn, sharedZone, statusMark, where } from './words.ts'

type Kept = RecallProgress['recall']

export async function recallsPage(asker: Asker, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const [all, beside] = await Promise.all([recallsFor(asker), besideOf(asker)])
  const main = html`<h1>${say('recalls')}</h1>
<p>${say('recalls what for')}</p>
${waysToOpen(asker, wording)}
${all.length === 0 ? html`<p class="empty">${say('recalls none')}</p>` : listOf(all, beside, wording)}`
  return documentOf({ title: say('recalls'), main, here: 'recalls' }, wording)
}

function waysToOpen({ caller }: Asker, { say }: PageWording): Markup | string {
  if (!mayAtAll(caller.role, 'open a recall')) return ''
  const ways = (['lot', 'instrument', 'order'] as const).map(
    (kind) => html`<a href="/recall/${kind}">${say(`recall ${kind}`)}</a>`,
  )
  return html`<p class="acts">${ways}</p>`
}

function listOf(all: readonly Kept[], { zone }: Beside, wording: PageWording): Markup {
  const { say } = wording
  const rows = all.map(
    (one) => html`<tr><th scope="row"><a href="${recallPath(one)}">${titleOf(one, say)}</a></th>
<td data-label="${say('recall opened')}">${moment(one.at, zone, wording)}</td>
<td data-label="${say('recall state')}">${stateOf(one, say)}</td></tr>`,
  )
  return html`<table class="cards"><thead><tr><th scope="col">${say('recall cause')}</th>
<th scope="col">${say('recall opened')}</th><th scope="col">${say('recall state')}</th></tr></thead>
<tbody>${rows}</tbody></table>`
}

type Say = PageWording['say']

export const recallPath = ({ id }: Pick<Kept, 'id'>) => `/recalls/${encodeURIComponent(id)}`

export const titleOf = ({ cause }: Pick<Kept, 'cause'>, say: Say): string =>
  say(`recall of ${kindOfRecall(cause)}`, { named: nameOfCause(cause) })

const stateOf = ({ closed }: Kept, say: Say) => say(closed === undefined ? 'recall open' : 'recall closed')

interface Beside {
  readonly nameOf: (id: string) => string
  readonly names: Names
  readonly zone: string
}

async function besideOf(asker: Asker): Promise<Beside> {
  const directory: Directory = await directoryFor(asker)
  const people = new Map(directory.people.map(({ id, name }) => [id, name]))
  return { nameOf: (id) => people.get(id) ?? id, names: namesIn(directory), zone: sharedZone(directory) }
}

export async function recallPage(asker: Asker, id: string, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const [progress, beside] = await Promise.all([recallFor(asker, id), besideOf(asker)])
  const { recall, counts, open, unconfirmed } = progress
  const title = titleOf(recall, say)
  const main = html`<p><a href="/recalls">${say('to recalls')}</a></p>
<h1>${title}</h1>
${leadOf(recall, beside, wording)}
${barOf(counts, say)}
${countsOf(counts, say)}
${wayOn(asker, recall, wording)}
<h2>${say('nobody confirmed')}</h2>
${
  unconfirmed.length === 0
    ? html`<p class="empty">${say('all confirmed')}</p>`
    : sticksTable({ sticks: unconfirmed, of: counts.held - counts.confirmed }, beside, wording)
}
<h2>${say('still held')}</h2>
${
  open.length === 0
    ? html`<p class="empty">${say('nothing held')}</p>`
    : sticksTable({ sticks: open, of: counts.held }, beside, wording)
}
${removalsOf(progress, wording)}`
  return documentOf({ title, main, here: 'recalls' }, wording)
}

function leadOf(recall: Kept, { nameOf, zone }: Beside, wording: PageWording): Markup {
  const { say } = wording
  const { by, at, reason, closed, settledThrough, cause } = recall
  const values = { who: nameOf(by), when: moment(at, zone, wording), reason }
  return html`<p class="lead">${say('opened by', values)}</p>
${windowOf(cause, say)}
${settledThrough === null ? '' : html`<p role="status">${say('recall goes on')}</p>`}
${
  closed === undefined
    ? ''
    : html`<p>${say('closed by', { who: nameOf(closed.by), when: moment(closed.at, zone, wording) })}
${closed.note === undefined ? '' : say('closed note', { note: closed.note })}</p>`
}`
}

function windowOf(cause: RecallCause, say: Say): Markup | string {
  if (!('instrumentId' in cause)) return ''
  const { lastGoodOn: good, foundOutOn: found } = cause
  return html`<p>${say('instrument window', { good, found })} ${errorOf(cause, say)}</p>`
}

function errorOf({ error }: Extract<RecallCause, { readonly instrumentId: string }>, say: Say): string {
  if (error === null) return say('error unknown')
  const { value } = error
  if (error.kind === 'percent of full scale') return say('error of scale', { value, full: error.fullScaleMicroamps })
  return say(error.kind === 'offset microamps' ? 'error offset' : 'error of reading', { value })
}

/** How far it is, by word and by a bar. */
function barOf({ sticks, held, confirmed }: RecallCounts, say: Say): Markup {
  const done = sticks - held
  const bar = (value: number, most: number, text: string) =>
    html`<label class="bar"><span>${text}</span>
<progress max="${Math.max(1, most)}" value="${value}"></progress></label>`
  return html`<div class="bars">${bar(done, sticks, say('done with', { done, sticks }))}
${held === 0 ? '' : bar(confirmed, held, say('confirmed of', { confirmed, held }))}</div>`
}

const counted = ['held', 'broughtIn', 'missing', 'notFound', 'retested', 'cleared', 'replaced', 'removed'] as const

function countsOf(counts: RecallCounts, say: Say): Markup {
  const shown = counted.filter((name) => counts[name] > 0 || name === 'held')
  return html`<dl>${shown.map((name) => html`<dt>${say(`count ${name}`)}</dt><dd>${counts[name]}</dd>`)}</dl>`
}

function wayOn({ caller }: Asker, recall: Kept, { say }: PageWording): Markup {
  const mayClose = recall.closed === undefined && mayAtAll(caller.role, 'close a recall')
  return html`<p class="acts">${mayClose ? html`<a href="${recallPath(recall)}/close">${say('close recall')}</a>` : ''}
<a href="${recallPath(recall)}/report.csv">${say('recall file')}</a></p>`
}

interface Shown {
  readonly sticks: readonly StickOfRecall[]
  /** how many there are in all */
  readonly of: number
}

function sticksTable({ sticks, of }: Shown, { names }: Beside, wording: PageWording): Markup {
  const { say } = wording
  // only an instrument's recall has any
  const hasReadings = sticks.some(({ readings }) => readingsOf(readings, say) !== '')
  const rows = sticks.map((one) => {
    const { stored, standing, readings } = one
    const { crewId } = stored.state
    const path = `/sticks/${encodeURIComponent(stored.stickId)}`
    return html`<tr><th scope="row"><a href="${path}">${stored.stickId}</a></th>
<td data-label="${say('status')}">${statusMark(standing, wording)}</td>
<td data-label="${say('where')}">${where(stored.state, names, wording)}</td>
<td data-label="${say('crew')}">${crewId === null ? '' : names.crew(crewId)}</td>
${hasReadings ? html`<td data-label="${say('reading put right')}">${readingsOf(readings, say)}</td>` : ''}</tr>`
  })
  return html`<table class="cards"><thead><tr><th scope="col">${say('stick of it')}</th>
<th scope="col">${say('status')}</th><th scope="col">${say('where')}</th><th scope="col">${say('crew')}</th>
${hasReadings ? html`<th scope="col">${say('reading put right')}</th>` : ''}</tr></thead><tbody>${rows}</tbody></table>
${sticks.length < of ? html`<p class="quiet">${say('first of many', { shown: sticks.length })}</p>` : ''}`
}

function readingsOf(readings: readonly PutRight[], say: Say): string {
  return readings
    .filter(({ conforms }) => !conforms)
    .map(({ state, readMicroamps: read, trueMicroamps: truly, limitMicroamps: limit }) =>
      truly === null
        ? say('no reading')
        : say('put right from to', { state, read, truly: shortened(truly, limit), limit }),
    )
    .join('; ')
}

function removalsOf({ removals }: RecallProgress, { say }: PageWording): Markup | string {
  if (removals.length === 0) return ''
  const item = ({ stickId, removal }: RecallProgress['removals'][number]) =>
    html`<li><a href="/sticks/${encodeURIComponent(stickId)}">${stickId}</a>: ${say(`removal ${removal}`)}</li>`
  return html`<h2>${say('recall removals')}</h2><p>${say('recall removals follow')}</p>
<ul class="reasons">${removals.map(item)}</ul>`
}
