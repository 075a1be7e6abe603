/** The roster: overdue first, then on hold, due soon, awaiting, in service. A link leads on; nothing needs a script. */

import { html } from 'hono/html'
import { mayBeUsed } from '../../shared-domain/state/use.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import type { Asker } from '../questions/asker.ts'
import { type Directory, directoryFor } from '../questions/directory.ts'
import { type RosterRow, rosterFor, silentOn } from '../questions/roster.ts'
import type { Markup } from '../web/web-page.ts'
import { select } from './filter.ts'
import { documentOf } from './layout.ts'
import { dueFor, type Names, namesIn, statusMark, where, whyOf, wrongLabel } from './words.ts'

export interface RosterChoice {
  readonly status: Status | undefined
  readonly depotId: string | undefined
  readonly crewId: string | undefined
  /** the place of the last row of the page before */
  readonly after: string | undefined
}

const rowsOnPage = 25

export async function rosterPage(asker: Asker, choice: RosterChoice): Promise<Markup> {
  const { after = '', ...asked } = choice
  const [directory, { rows, next }] = await Promise.all([
    directoryFor(asker),
    rosterFor(asker, { ...asked, after, limit: rowsOnPage }),
  ])
  const silent = await silentOn(asker, rows)
  return documentOf('Roster', body({ rows, silent, next, choice, directory }), 'roster')
}

interface Known {
  readonly rows: readonly RosterRow[]
  /** of each stick that must not be used, those who have not confirmed that they know */
  readonly silent: Awaited<ReturnType<typeof silentOn>>
  readonly next: string | null
  readonly choice: RosterChoice
  readonly directory: Directory
}

function body(known: Known): Markup {
  const { rows, next, choice, directory } = known
  return html`<h1>Roster</h1>
<form class="filter" method="get" action="/roster">
${select({
  name: 'status',
  label: 'Status',
  none: 'all that matter, worst first',
  entries: statuses.map((status) => [status, status]),
  chosen: choice.status,
})}
${select({ name: 'depot', label: 'Depot', none: 'every depot', entries: options(directory.depots), chosen: choice.depotId })}
${select({ name: 'crew', label: 'Crew', none: 'every crew', entries: options(directory.crews), chosen: choice.crewId })}
<button>Show</button>
</form>
${rows.length === 0 ? html`<p class="empty">No stick is listed here.</p>` : table(known)}
${next === null ? '' : html`<nav class="pages" aria-label="Pages"><a href="${linkTo({ ...choice, after: next })}">Next sticks</a></nav>`}`
}

const options = (entries: Directory['crews'] | Directory['depots']) =>
  entries.map(({ id, name }) => [id, name] as const)

function table({ rows, silent, directory }: Known): Markup {
  const names = namesIn(directory)
  const silentOf = ({ stored }: RosterRow) => [...new Set((silent.get(stored.stickId) ?? []).map(({ name }) => name))]
  return html`<table class="cards">
<caption>Dates are calendar dates at each stick’s depot. A stick may be used through its due date and not after it; one that must not be used for another reason has none here.</caption>
<thead><tr><th scope="col">Stick</th><th scope="col">Status</th><th scope="col">Due</th><th scope="col">Where</th><th scope="col">Crew</th><th scope="col">Why</th></tr></thead>
<tbody>${rows.map((row) => line(row, silentOf(row), names))}</tbody>
</table>`
}

function line({ stored, standing, today }: RosterRow, silent: readonly string[], names: Names): Markup {
  const { stickId, state } = stored
  const label = wrongLabel(standing)
  return html`<tr><th scope="row"><a href="/sticks/${encodeURIComponent(stickId)}">${stickId}</a></th>
<td data-label="Status">${statusMark(standing)}${mayBeUsed(standing.status) ? '' : html`<strong class="below stopped">Do not use it</strong>`}</td>
<td data-label="Due">${dueFor(standing.status, standing.dueOn, today)}${label === null ? '' : html`<strong class="below stopped">${label}</strong>`}</td>
<td data-label="Where">${where(state, names)}</td>
<td data-label="Crew">${state.crewId === null ? html`<span class="quiet">none</span>` : names.crew(state.crewId)}</td>
<td data-label="Why" class="why">${whyOf(standing)}${silent.length === 0 ? '' : html`<span class="below silent">Not confirmed by ${shortList(silent)}</span>`}</td></tr>`
}

const mostNamed = 3

function shortList(names: readonly string[]): string {
  const more = names.length - mostNamed
  return more > 0 ? `${names.slice(0, mostNamed).join(', ')} and ${more} more` : names.join(', ')
}

function linkTo(choice: RosterChoice): string {
  const query = new URLSearchParams()
  if (choice.status !== undefined) query.set('status', choice.status)
  if (choice.depotId !== undefined) query.set('depot', choice.depotId)
  if (choice.crewId !== undefined) query.set('crew', choice.crewId)
  if (choice.after !== undefined) query.set('after', choice.after)
  return `/roster?${query}`
}
