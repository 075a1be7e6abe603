/** The roster: overdue first, then on hold, due soon, awaiting, in service. A link leads on; nothing needs a script. */

import { html } from 'hono/html'
import type { Instant } from '../../shared-domain/calendar.ts'
import { mayBeUsed, mustNotBeUsed } from '../../shared-domain/state/use.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import type { Caller } from '../questions/identity.ts'
import { type RosterRow, readRoster } from '../questions/roster.ts'
import { notConfirmed } from '../store/notices.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Markup } from '../web/web-page.ts'
import { select } from './filter.ts'
import { documentOf } from './layout.ts'
import { dueFor, type Names, statusMark, where, whyOf } from './words.ts'

export interface RosterChoice {
  readonly status: Status | undefined
  readonly depotId: string | undefined
  readonly crewId: string | undefined
  /** the place of the last row of the page before */
  readonly after: string | undefined
}

const rowsOnPage = 25

export async function rosterPage(
  organisation: Organisation,
  caller: Caller,
  now: Instant,
  choice: RosterChoice,
): Promise<Markup> {
  const [depots, crews] = await Promise.all([
    organisation.registers.heads('depot'),
    organisation.registers.heads('crew'),
  ])
  const names: Names = {
    crew: (id) => crews.find((one) => one.id === id)?.newest.body.name ?? id,
    depot: (id) => depots.find((one) => one.id === id)?.newest.body.name ?? id,
  }
  const { after = '', ...asked } = choice
  const { rows, more } = await readRoster(organisation, caller, now, { ...asked, after, limit: rowsOnPage })
  const next = more ? (rows.at(-1)?.place ?? null) : null
  const silent = await silentOf(organisation, rows)
  return documentOf(
    'Roster',
    body(rows, silent, next, choice, names, { depots: options(depots), crews: options(crews) }),
    'roster',
  )
}

/** Of each stick that must not be used, the names of those who have not confirmed that they know. */
type Silent = ReadonlyMap<string, readonly string[]>

async function silentOf({ table, keys }: Organisation, rows: readonly RosterRow[]): Promise<Silent> {
  const held = rows.filter(({ standing }) => mustNotBeUsed(standing.status))
  const found = await Promise.all(
    held.map(async ({ stored: { stickId } }) => {
      const notices = await notConfirmed(table, keys, stickId)
      return [stickId, [...new Set(notices.map(({ to }) => to.name))]] as const
    }),
  )
  return new Map(found)
}

function options(heads: readonly { id: string; newest: { body: { name: string } } }[]): [string, string][] {
  return heads.map(({ id, newest }) => [id, newest.body.name])
}

function body(
  rows: readonly RosterRow[],
  silent: Silent,
  next: string | null,
  choice: RosterChoice,
  names: Names,
  lists: { depots: [string, string][]; crews: [string, string][] },
): Markup {
  return html`<h1>Roster</h1>
<form class="filter" method="get" action="/roster">
${select(
  'status',
  'Status',
  'all that matter, worst first',
  statuses.map((status) => [status, status]),
  choice.status,
)}
${select('depot', 'Depot', 'every depot', lists.depots, choice.depotId)}
${select('crew', 'Crew', 'every crew', lists.crews, choice.crewId)}
<button>Show</button>
</form>
${rows.length === 0 ? html`<p class="empty">No stick is listed here.</p>` : table(rows, silent, names)}
${next === null ? '' : html`<nav class="pages" aria-label="Pages"><a href="${linkTo({ ...choice, after: next })}">Next sticks</a></nav>`}`
}

function table(rows: readonly RosterRow[], silent: Silent, names: Names): Markup {
  return html`<table class="cards">
<caption>Dates are calendar dates at each stick’s depot. A stick may be used through its due date and not after it; one that must not be used for another reason has none here.</caption>
<thead><tr><th scope="col">Stick</th><th scope="col">Status</th><th scope="col">Due</th><th scope="col">Where</th><th scope="col">Crew</th><th scope="col">Why</th></tr></thead>
<tbody>${rows.map((row) => line(row, silent.get(row.stored.stickId) ?? [], names))}</tbody>
</table>`
}

function line({ stored, standing, today }: RosterRow, silent: readonly string[], names: Names): Markup {
  const { stickId, state } = stored
  return html`<tr><th scope="row"><a href="/sticks/${encodeURIComponent(stickId)}">${stickId}</a></th>
<td data-label="Status">${statusMark(standing.status)}${mayBeUsed(standing.status) ? '' : html`<strong class="below stopped">Do not use it</strong>`}</td>
<td data-label="Due">${dueFor(standing.status, standing.dueOn, today)}</td>
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
