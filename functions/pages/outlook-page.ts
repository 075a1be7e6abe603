/** The weeks ahead: how many sticks fall due in each, as a picture and as a table by depot, and what no week holds. */
import { html } from 'hono/html'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { may, mayAtAll } from '../../shared-domain/rights.ts'
import type { Status } from '../../shared-domain/words.ts'
import type { Asker } from '../questions/asker.ts'
import { type Directory, directoryFor } from '../questions/directory.ts'
import { type Outlook, type OutlookNow, type OutlookWeek, outlookFor, weeksAhead } from '../questions/outlook.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { bars } from './chart.ts'
import { select } from './filter.ts'
import { documentOf } from './layout.ts'
import { addressWith, type Trail, turning } from './trail.ts'
import type { PageWording } from './wording.ts'
import { namesIn, statusMark } from './words.ts'

export interface OutlookChoice {
  readonly depotId: string | undefined
  readonly trail: Trail
}

/** The lists of the benches of whoever tests there, to print. */
function benchLists(
  { caller }: Asker,
  { choice, directory }: { readonly choice: OutlookChoice; readonly directory: Directory },
  { say }: PageWording,
): Markup | string {
  const mine = directory.depots.filter(({ id }) => may(caller, 'record a test', { crewId: null, depotId: id }))
  const shown = choice.depotId === undefined ? mine : mine.filter(({ id }) => id === choice.depotId)
  if (shown.length === 0) return ''
  const links = shown.map(
    ({ id, name }) => html`<li><a href="/depots/${encodeURIComponent(id)}/bench-list">${name}</a></li>`,
  )
  return html`<h2>${say('offer bench list')}</h2><ul>${links}</ul>`
}

/** More than any organisation's depots have weeks: what one page counts is bounded by the question. */
const weeksOnPage = 100_000

export async function outlookPage(asker: Asker, choice: OutlookChoice, wording: PageWording): Promise<WebDocument> {
  const { depotId, trail } = choice
  const [directory, outlook] = await Promise.all([
    directoryFor(asker),
    outlookFor(asker, { depotId, after: trail.after ?? '', limit: weeksOnPage }),
  ])
  const further = mayAtAll(asker.caller.role, 'read the fleet')
    ? html`<p><a href="/outlook/year">${wording.say('to the year')}</a></p>`
    : ''
  const plan = mayAtAll(asker.caller.role, 'read a plan')
    ? html`<p><a href="${addressWith('/plan', { depot: depotId })}">${wording.say('to the plan')}</a></p>`
    : ''
  const main = html`${body({ choice, directory, outlook, depots: depotsIn(outlook) }, wording)}${plan}${further}
${benchLists(asker, { choice, directory }, wording)}`
  return documentOf({ title: wording.say('outlook'), main, here: 'outlook' }, wording)
}

interface Known {
  readonly choice: OutlookChoice
  readonly directory: Directory
  readonly outlook: Outlook
  /** the depots that have a column of their own */
  readonly depots: readonly (string | null)[]
}

type Counted = OutlookWeek['sticks']

/** Sticks that nobody knows the place of have a column only where there are any. */
function depotsIn({ weeks, now }: Outlook): (string | null)[] {
  const all = [...new Set([...now, ...weeks].map(({ depotId }) => depotId))]
  const isSomewhere = (id: string | null) =>
    id !== null ||
    weeks.some(({ depotId, sticks }) => depotId === null && sticks !== 0) ||
    now.some((one) => one.depotId === null && nowRows.some(({ of }) => of(one) !== 0))
  const left = all.filter(isSomewhere)
  return left.sort((a, b) => ((a ?? '~') < (b ?? '~') ? -1 : 1))
}

function body(known: Known, wording: PageWording): Markup {
  const { choice, directory, outlook } = known
  const { say } = wording
  const today = outlook.now.map(({ on }) => on).sort()[0]
  return html`<h1>${say('outlook')}</h1>
${today === undefined ? '' : html`<p class="quiet">${say('outlook as of', { on: today })}</p>`}
<form class="filter" method="get" action="/outlook">
${select({
  name: 'depot',
  label: say('depot'),
  none: say('every depot'),
  entries: directory.depots.map(({ id, name }) => [id, name]),
  chosen: choice.depotId,
})}
<button>${say('show')}</button>
</form>
${tally(known, wording)}
${picture(known, wording)}
${outlook.next === null ? '' : html`<p class="hold">${say('counting ends')}</p>`}
${table(known, wording)}
<p class="quiet">${say('minutes unknown')}</p>
${turning(
  {
    trail: choice.trail,
    next: outlook.next,
    path: '/outlook',
    query: { depot: choice.depotId },
    names: { previous: say('previous weeks'), next: say('next weeks'), first: say('first weeks') },
  },
  wording,
)}`
}

function sum(all: readonly Counted[]): Counted {
  const [first = 0, ...others] = all
  if (others.length === 0) return first
  const numbers = all.filter((one) => typeof one === 'number')
  return numbers.length < all.length ? '1,000+' : numbers.reduce((one, other) => one + other, 0)
}

interface NowRow {
  readonly name: 'overdue now' | 'on hold now' | 'untested now'
  readonly status: Status
  readonly of: (now: OutlookNow) => Counted
}

const nowRows: readonly NowRow[] = [
  { name: 'overdue now', status: 'overdue', of: ({ overdue }) => overdue },
  { name: 'on hold now', status: 'on hold', of: ({ onHold }) => onHold },
  { name: 'untested now', status: 'awaiting first test', of: ({ awaitingFirstTest }) => awaitingFirstTest },
]

const soonWeeks = 4

/** What a manager looks for first. Of weeks that are not all counted no sum is told. */
function tally({ choice, outlook: { now, weeks, next } }: Known, wording: PageWording): Markup {
  const { say } = wording
  const isWhole = next === null && choice.trail.after === undefined
  const names = [...new Set(weeks.map(({ week }) => week))]
  const within = (count: number) => {
    const wanted = new Set(names.slice(0, count))
    const text = sum(weeks.filter(({ week }) => wanted.has(week)).map(({ sticks }) => sticks))
    return html`<li><strong>${text}</strong> <span>${say('due within weeks', { weeks: count })}</span></li>`
  }
  const standing = nowRows.map(({ status, of }) => {
    const address = addressWith('/roster', { status, depot: choice.depotId })
    const sticks = sum(now.map(of))
    return html`<li><a href="${address}"><strong>${sticks}</strong> ${statusMark({ status }, wording)}</a></li>`
  })
  return html`<ul class="tally">${standing}${isWhole ? html`${within(soonWeeks)}${within(weeksAhead)}` : ''}</ul>`
}

interface Whole {
  readonly week: string
  readonly from: CalendarDate
  readonly to: CalendarDate
  readonly sticks: Counted
  readonly ofDepots: readonly (OutlookWeek | undefined)[]
}

/** Each week over all depots. */
function wholeWeeks({ outlook: { weeks }, depots }: Known): Whole[] {
  const byWeek = Map.groupBy(weeks, ({ week }) => week)
  return [...byWeek].map(([week, all]) => ({
    week,
    from: all.map(({ from }) => from).sort()[0] as CalendarDate, // a group has a member
    to: all[0]?.to as CalendarDate,
    sticks: sum(all.map(({ sticks }) => sticks)),
    ofDepots: depots.map((id) => all.find(({ depotId }) => depotId === id)),
  }))
}

const heightOf = (sticks: Counted) => (typeof sticks === 'number' ? sticks : 1000)

function picture(known: Known, wording: PageWording): Markup | string {
  const { choice, directory } = known
  const { say } = wording
  const weeks = wholeWeeks(known)
  const [first, last] = [weeks[0], weeks.at(-1)]
  if (first === undefined || last === undefined) return ''
  const most = weeks.reduce((one, other) => (heightOf(other.sticks) > heightOf(one.sticks) ? other : one), first)
  const ends = { from: first.from, to: last.to }
  const title =
    choice.depotId === undefined
      ? say('due each week')
      : say('due each week at depot', { depot: namesIn(directory).depot(choice.depotId) })
  const desc =
    heightOf(most.sticks) === 0
      ? say('none in these weeks', ends)
      : say('most in a week', { ...ends, most: most.sticks, on: most.from })
  const drawn = weeks.map(({ sticks, from, to }, i) => ({
    value: heightOf(sticks),
    isMore: typeof sticks !== 'number',
    ...monthAt({ from, to, isFirst: i === 0 }, say),
  }))
  return html`<figure class="picture"><figcaption>${title}</figcaption>
${bars({ id: 'weeks', title, desc, unit: say('sticks in a week') }, drawn)}</figure>`
}

/** The name of a month below the week in which it begins; where there is little room, of every third month. */
function monthAt(
  { from, to, isFirst }: { readonly from: CalendarDate; readonly to: CalendarDate; readonly isFirst: boolean },
  say: PageWording['say'],
) {
  if (from.slice(0, 7) === to.slice(0, 7) && !from.endsWith('-01')) return {}
  // what is left of the first month is too narrow for its name
  if (isFirst) return {}
  const month = Number(to.slice(5, 7))
  return { name: say('month begins', { on: to }), isRare: month % 3 !== 1 }
}

function table(known: Known, wording: PageWording): Markup {
  const { choice, depots, directory } = known
  const { say } = wording
  const names = namesIn(directory)
  const hasTotal = depots.length !== 1
  const heads = depots.map((id) => html`<th scope="col">${id === null ? say('no depot known') : names.depot(id)}</th>`)
  const caption = say('outlook caption')
  return html`<div class="wide" role="region" tabindex="0" aria-label="${say('due each week')}"><table class="weeks">
<caption>${caption}</caption>
<thead><tr><th scope="col">${say('week')}</th>
${hasTotal ? html`<th scope="col">${say('all depots')}</th>` : ''}${heads}</tr></thead>
<tbody>
${choice.trail.after === undefined ? nowRows.map((row) => nowLine(row, { known, hasTotal }, wording)) : ''}</tbody>
<tbody>${wholeWeeks(known).map((week) => weekLine(week, { known, hasTotal }, wording))}</tbody>
</table></div>`
}

interface InTable {
  readonly known: Known
  readonly hasTotal: boolean
}

function nowLine({ name, status, of }: NowRow, { known, hasTotal }: InTable, { say }: PageWording): Markup {
  const { choice, outlook, depots } = known
  const cells = depots.map((id) => {
    const one = outlook.now.find(({ depotId }) => depotId === id)
    return figure(one && of(one), id === null ? null : { status, depot: id })
  })
  const total = hasTotal ? figure(sum(outlook.now.map(of)), { status, depot: choice.depotId }) : ''
  return html`<tr><th scope="row">${say(name)}</th>${total}${cells}</tr>`
}

function weekLine(
  { week, from, to, sticks, ofDepots }: Whole,
  { known, hasTotal }: InTable,
  { say }: PageWording,
): Markup {
  const cells = ofDepots.map((one, i) => {
    const depot = known.depots[i] ?? null
    return figure(one?.sticks, one === undefined || depot === null ? null : { dueFrom: one.from, dueTo: one.to, depot })
  })
  const total = hasTotal ? figure(sticks, { dueFrom: from, dueTo: to, depot: known.choice.depotId }) : ''
  return html`<tr><th scope="row">${say('from day to day', { from, to })} <span class="quiet">${week}</span></th>
${total}${cells}</tr>`
}

/** A number that leads to its sticks on the roster; nothing leads from nought, nor where no filter shows just those. */
function figure(sticks: Counted | undefined, asked: Readonly<Record<string, string | undefined>> | null): Markup {
  if (sticks === undefined) return html`<td class="count quiet">–</td>`
  if (sticks === 0 || asked === null) return html`<td class="count${sticks === 0 ? ' quiet' : ''}">${sticks}</td>`
  return html`<td class="count"><a href="${addressWith('/roster', asked)}">${sticks}</a></td>`
}
