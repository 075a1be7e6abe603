/**
 * The roster: what waits, then overdue, on hold, due soon, awaiting, in service. A link leads on; nothing needs a
 * script.
 */

import { html } from 'hono/html'
import { localDateAt } from '../../shared-domain/calendar.ts'
import { mayAtAll } from '../../shared-domain/rights.ts'
import { statuses } from '../../shared-domain/words.ts'
import type { Asker } from '../questions/asker.ts'
import { type Directory, directoryFor } from '../questions/directory.ts'
import { mostFound } from '../questions/found.ts'
import { proposalsFor } from '../questions/proposals.ts'
import { morningFor, type RosterFilter, type RosterMorning, type RosterRow, silentOn } from '../questions/roster.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { select } from './filter.ts'
import type { FirstWording } from './first-wording.ts'
import { documentOf } from './layout.ts'
import { asOf, type Head, headOf } from './roster-band.ts'
import { addressOf, type Chip, type Chosen, chipsOf, type RosterChoice } from './roster-choice.ts'
import { chosenForm, mayBeChosen } from './roster-chosen.ts'
import { type ListedRows, rosterTable } from './roster-table.ts'
import { namesIn } from './words.ts'

const rowsOnPage = 25
/** Grouped by crew, more stand on a page, so that a crew is seldom on two. */
const rowsInGroups = 100

export async function rosterPage(asker: Asker, choice: RosterChoice, wording: FirstWording): Promise<WebDocument> {
  const { filter, edge, byCrew } = choice
  const limit = byCrew ? rowsInGroups : rowsOnPage
  const [directory, morning, organisation, proposals] = await Promise.all([
    directoryFor(asker),
    morningFor(asker, { ...filter, ...edge, limit }),
    nameOf(asker),
    proposalsWaiting(asker),
  ])
  const silent = await silentOn(asker, morning.rows)
  const { caller, now } = asker
  const known = { organisation, now, caller, directory, band: morning.band, proposals, chosen: choice }
  const main = body({ ...known, morning, silent, choice, limit }, wording)
  return documentOf({ title: wording.say('roster'), main, here: 'roster' }, wording)
}

/** Its name as it was entered; else the one by which the table knows it. */
async function nameOf({ organisation: { name, registers }, now }: Asker): Promise<string> {
  return (await registers.inForce('organisation', name, localDateAt(now, 'UTC')))?.body.name ?? name
}

async function proposalsWaiting(asker: Asker): Promise<number | null> {
  return mayAtAll(asker.caller.role, 'read proposals') ? (await proposalsFor(asker, 'open')).length : null
}

interface Known extends Head {
  readonly caller: Asker['caller']
  readonly morning: RosterMorning
  readonly silent: ListedRows['silent']
  readonly choice: RosterChoice
  readonly limit: number
}

function body(known: Known, wording: FirstWording): Markup {
  const { caller, morning, silent, choice, directory } = known
  const { say } = wording
  const chips = chipsOf(choice, directory, wording)
  const paper = [asOf(known, wording), ...chips.map(({ text }) => text)].join(' · ')
  const { byCrew, isAllTicked } = choice
  const mayChoose = (row: RosterRow) => mayBeChosen(caller, row)
  const listed = { rows: morning.rows, silent, names: namesIn(directory), byCrew, paper, isAllTicked, mayChoose }
  return html`${headOf(known, wording)}
${form(choice, directory, wording)}
${shownOf(known, chips, wording)}
${
  morning.rows.length === 0
    ? nothing(known, wording)
    : chosenForm({ caller, choice, isAny: morning.rows.some(mayChoose), table: rosterTable(listed, wording) }, wording)
}
${goneOf(known, wording)}${reached(known, wording)}
${pagesOf(known, wording)}
<p class="foot">${say('roster caption')}</p>`
}

const options = (entries: Directory['crews'] | Directory['depots']) =>
  entries.map(({ id, name }) => [id, name] as const)

function form({ filter, byCrew }: Chosen, { depots, crews }: Directory, { say, word }: FirstWording): Markup {
  const { status, depotId, crewId, store, lot } = filter
  const stated = statuses.map((one) => [one, word('status', one)] as const)
  const isMore = store !== undefined || lot !== undefined || filter.lent
  return html`<details class="choices"><summary>${say('choose')}</summary>
<form class="filter" method="get" action="/roster">${keptIn(filter)}
${select({ name: 'status', label: say('status'), none: say('any status'), entries: stated, chosen: status })}
${select({ name: 'depot', label: say('depot'), none: say('every depot'), entries: options(depots), chosen: depotId })}
${select({ name: 'crew', label: say('crew'), none: say('every crew'), entries: options(crews), chosen: crewId })}
<details${isMore ? ' open' : ''}><summary>${say('more choices')}</summary><div>
${select({ name: 'store', label: say('fit in store'), none: say('no store'), entries: options(depots), chosen: store })}
<label>${say('lot')}<input name="lot" value="${lot ?? ''}" maxlength="64" autocomplete="off"></label>
${select({
  name: 'bench',
  label: say('bench choice'),
  none: say('no store'),
  entries: [['true', say('only there')]],
  chosen: filter.atBench ? 'true' : undefined,
})}
${select({
  name: 'lent',
  label: say('loans'),
  none: say('loans or not'),
  entries: [['true', say('loans only')]],
  chosen: filter.lent ? 'true' : undefined,
})}
${select({
  name: 'group',
  label: say('grouped'),
  none: say('not grouped'),
  entries: [['crew', say('grouped by crew')]],
  chosen: byCrew ? 'crew' : undefined,
})}
</div></details>
<button>${say('show')}</button>
</form></details>`
}

/** What was chosen elsewhere stays chosen. */
function keptIn({ part, due }: RosterFilter): Markup[] {
  const kept = { q: part, dueFrom: due?.from, dueTo: due?.to }
  return Object.entries(kept).flatMap(([name, value]) =>
    value === undefined ? [] : [html`<input type="hidden" name="${name}" value="${value}">`],
  )
}

/** What is listed: which rows of how many, by what it was chosen, and the same list in other forms. */
function shownOf(known: Known, chips: readonly Chip[], wording: FirstWording): Markup {
  const { choice, morning } = known
  const { say } = wording
  const group = addressOf({ ...choice, byCrew: true })
  const chosen = chips.map(
    ({ text, without }) => html`<li><a href="${without}">${text} <span aria-hidden="true" class="off">×</span>
<span class="unseen">${say('take off')}</span></a></li>`,
  )
  const all = html`<li class="all">${say('all worst first')}</li>`
  const others =
    morning.rows.length === 0
      ? ''
      : html`<p class="forms">${choice.byCrew ? '' : html`<a href="${group}">${say('group by crew')}</a>`}
<a href="${addressOf(choice, {}, '/roster.csv')}" download>${say('as file')}</a></p>`
  return html`<div class="shown"><p>${say('shown')}: <b>${rangeOf(known, wording)}</b></p>
<ul>${chips.length === 0 ? all : chosen}</ul>${others}</div>`
}

/** "26–50 of 62": as our own links counted them, and only as far as that is known. */
function rangeOf(known: Known, { say }: FirstWording): string {
  const { rows, next } = known.morning
  if (rows.length === 0) return '0'
  const from = firstRow(known)
  const to = from + rows.length - 1
  const total = next === null ? to : known.morning.total
  if (total === null || (typeof total === 'number' && total < to)) return say('rows', { from, to })
  return say('rows of', { from, to, total: total === '1,000+' ? say('over a thousand') : total })
}

function firstRow({ morning: { previous }, choice: { from } }: Known): number {
  return previous === null ? 1 : Math.max(2, from)
}

/** What was asked, and a way out. */
function nothing({ choice, directory }: Known, wording: FirstWording): Markup {
  const { say } = wording
  const asked = chipsOf({ ...choice, byCrew: false }, directory, wording).map(({ text }) => text)
  if (asked.length === 0) return html`<p class="empty">${say('nothing listed')}</p>`
  return html`<p class="empty">${say('nothing found', { asked: asked.join(' · ') })}
<a href="/roster">${say('show all')}</a></p>`
}

function goneOf({ morning: { gone }, choice }: Known, { say }: FirstWording): Markup | string {
  const links = (
    [
      ['removed from service', 'gone removed'],
      ['scrapped', 'gone scrapped'],
    ] as const
  ).flatMap(([status, name]) => {
    const sticks = gone?.[status] ?? 0
    if (typeof sticks !== 'number' || sticks === 0) return []
    const href = addressOf({ ...choice, filter: { ...choice.filter, status } })
    return [html`<li><a href="${href}">${say(name, { sticks })}</a></li>`]
  })
  return links.length === 0 ? '' : html`<div class="gone"><p>${say('gone too')}</p><ul>${links}</ul></div>`
}

/** Where a search, or a look through a store, went no further. */
function reached({ morning, choice, limit }: Known, { say }: FirstWording): Markup | string {
  const { searched, rows, next } = morning
  if (searched !== undefined && !searched.isAll)
    return html`<p class="note">${say('searched so far', { looked: searched.looked, most: mostFound })}</p>`
  if (choice.byCrew && next !== null) return html`<p class="note">${say('groups go on')}</p>`
  return next !== null && rows.length < limit ? html`<p class="note">${say('looked so far')}</p>` : ''
}

function pagesOf(known: Known, { say }: FirstWording): Markup | string {
  const { choice, morning, limit } = known
  const { previous, next, rows } = morning
  const isFirst = 'after' in choice.edge && choice.edge.after === ''
  const from = firstRow(known)
  const back =
    previous === null
      ? isFirst || rows.length > 0
        ? ''
        : html`<a href="${addressOf(choice)}">${say('first sticks')}</a>`
      : html`<a rel="prev" href="${addressOf(choice, { before: previous, from: `${Math.max(1, from - limit)}` })}">
${say('previous sticks')}</a>`
  const on =
    next === null
      ? ''
      : html`<a rel="next" href="${addressOf(choice, { after: next, from: `${from + rows.length}` })}">
${say('next sticks')}</a>`
  if (back === '' && on === '') return ''
  return html`<nav class="pages" aria-label="${say('pages')}">${back}${on}</nav>`
}
