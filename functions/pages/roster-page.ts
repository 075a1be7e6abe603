/** The roster: overdue first, then on hold, due soon, awaiting, in service. A link leads on; nothing needs a script. */

import { html } from 'hono/html'
import { mayBeUsed } from '../../shared-domain/state/use.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import type { Asker } from '../questions/asker.ts'
import { type Directory, directoryFor } from '../questions/directory.ts'
import { type DueWithin, type RosterRow, rosterFor, silentOn } from '../questions/roster.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { headings, select } from './filter.ts'
import { documentOf } from './layout.ts'
import type { PageWording } from './wording.ts'
import { dueFor, type Names, namesIn, statusMark, where, whyOf, wrongLabel } from './words.ts'

export interface RosterChoice {
  readonly status: Status | undefined
  readonly depotId: string | undefined
  readonly crewId: string | undefined
  /** only sticks that are due on one of these days */
  readonly due: DueWithin | undefined
  /** the place of the last row of the page before */
  readonly after: string | undefined
}

const rowsOnPage = 25

export async function rosterPage(asker: Asker, choice: RosterChoice, wording: PageWording): Promise<WebDocument> {
  const { after = '', ...asked } = choice
  const [directory, { rows, next }] = await Promise.all([
    directoryFor(asker),
    rosterFor(asker, { ...asked, after, limit: rowsOnPage }),
  ])
  const silent = await silentOn(asker, rows)
  const main = body({ rows, silent, next, choice, directory }, wording)
  return documentOf({ title: wording.say('roster'), main, here: 'roster' }, wording)
}

interface Known {
  readonly rows: readonly RosterRow[]
  /** of each stick that must not be used, those who have not confirmed that they know */
  readonly silent: Awaited<ReturnType<typeof silentOn>>
  readonly next: string | null
  readonly choice: RosterChoice
  readonly directory: Directory
}

function body(known: Known, wording: PageWording): Markup {
  const { rows, next, choice, directory } = known
  const { say, word } = wording
  const further =
    next === null
      ? ''
      : html`<nav class="pages" aria-label="${say('pages')}">
<a href="${linkTo({ ...choice, after: next })}">${say('next sticks')}</a></nav>`
  return html`<h1>${say('roster')}</h1>
<form class="filter" method="get" action="/roster">
${select({
  name: 'status',
  label: say('status'),
  none: say('every status'),
  entries: statuses.map((status) => [status, word('status', status)]),
  chosen: choice.status,
})}
${select({
  name: 'depot',
  label: say('depot'),
  none: say('every depot'),
  entries: options(directory.depots),
  chosen: choice.depotId,
})}
${select({
  name: 'crew',
  label: say('crew'),
  none: say('every crew'),
  entries: options(directory.crews),
  chosen: choice.crewId,
})}
${choice.due === undefined ? '' : html`<input type="hidden" name="dueFrom" value="${choice.due.from}"><input type="hidden" name="dueTo" value="${choice.due.to}">`}
<button>${say('show')}</button>
</form>
${dueDays(choice, wording)}
${rows.length === 0 ? html`<p class="empty">${say('roster empty')}</p>` : table(known, wording)}
${further}`
}

function dueDays({ due, ...choice }: RosterChoice, { say }: PageWording): Markup | string {
  if (due === undefined) return ''
  const any = linkTo({ ...choice, due: undefined, after: undefined })
  return html`<p><strong>${say('due between', { from: due.from, to: due.to })}</strong> <a href="${any}">${say('due any day')}</a></p>`
}

const options = (entries: Directory['crews'] | Directory['depots']) =>
  entries.map(({ id, name }) => [id, name] as const)

const columns = ['stick', 'status', 'due', 'where', 'crew', 'why'] as const

function table({ rows, silent, directory }: Known, wording: PageWording): Markup {
  const names = namesIn(directory)
  const silentOf = ({ stored }: RosterRow) => [...new Set((silent.get(stored.stickId) ?? []).map(({ name }) => name))]
  return html`<table class="cards">
<caption>${wording.say('roster caption')}</caption>
${headings(columns, wording)}
<tbody>${rows.map((row) => line(row, { silent: silentOf(row), names }, wording))}</tbody>
</table>`
}

interface Beside {
  readonly silent: readonly string[]
  readonly names: Names
}

function line({ stored, standing, today }: RosterRow, { silent, names }: Beside, wording: PageWording): Markup {
  const { stickId, state } = stored
  const { status, dueOn } = standing
  const { say } = wording
  const stopped = mayBeUsed(status) ? '' : html`<strong class="below stopped">${say('do not use')}</strong>`
  const label = wrongLabel(standing, wording)
  const beware = label === null ? '' : html`<strong class="below stopped">${label}</strong>`
  const crew = state.crewId === null ? html`<span class="quiet">${say('none')}</span>` : names.crew(state.crewId)
  const notConfirmed =
    silent.length === 0
      ? ''
      : html`<span class="below silent">${say('not confirmed by', { names: shortList(silent, wording) })}</span>`
  return html`<tr><th scope="row"><a href="/sticks/${encodeURIComponent(stickId)}">${stickId}</a></th>
<td data-label="${say('status')}">${statusMark(standing, wording)}${stopped}</td>
<td data-label="${say('due')}">${dueFor({ status, dueOn, today }, wording)}${beware}</td>
<td data-label="${say('where')}">${where(state, names, wording)}</td>
<td data-label="${say('crew')}">${crew}</td>
<td data-label="${say('why')}" class="why">${whyOf(standing, wording)}${notConfirmed}</td></tr>`
}

const mostNamed = 3

function shortList(names: readonly string[], { say, list }: PageWording): string {
  const more = names.length - mostNamed
  return more > 0 ? say('and others', { names: names.slice(0, mostNamed).join(', '), more }) : list(names)
}

function linkTo(choice: RosterChoice): string {
  const query = new URLSearchParams()
  if (choice.status !== undefined) query.set('status', choice.status)
  if (choice.depotId !== undefined) query.set('depot', choice.depotId)
  if (choice.crewId !== undefined) query.set('crew', choice.crewId)
  if (choice.due !== undefined) query.set('dueFrom', choice.due.from)
  if (choice.due !== undefined) query.set('dueTo', choice.due.to)
  if (choice.after !== undefined) query.set('after', choice.after)
  return `/roster?${query}`
}
