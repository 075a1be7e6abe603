/** The rows of the roster: a line a stick on a wide screen and on paper, a card a stick on a phone. */
import { html } from 'hono/html'
import { daysBetween } from '../../shared-domain/calendar.ts'
import { isDated, mayBeUsed } from '../../shared-domain/state/use.ts'
import type { RosterRow, silentOn } from '../questions/roster.ts'
import type { Markup } from '../web/web-page.ts'
import type { FirstWording } from './first-wording.ts'
import { addressOf } from './roster-choice.ts'
import { boxOf } from './roster-chosen.ts'
import { date, daysTo, type Names, statusMark, undatedFor, where, whyOf, wrongLabel } from './words.ts'

export interface ListedRows {
  readonly rows: readonly RosterRow[]
  /** of each stick that must not be used, those who have not confirmed that they know */
  readonly silent: Awaited<ReturnType<typeof silentOn>>
  readonly names: Names
  readonly byCrew: boolean
  readonly isAllTicked: boolean
  readonly mayChoose: (row: RosterRow) => boolean
  /** as of when, and what is chosen: on every sheet of paper */
  readonly paper: string
}

const columns = ['stick', 'status', 'due', 'where and crew'] as const

export function rosterTable(listed: ListedRows, wording: FirstWording): Markup {
  const { rows, byCrew, paper, mayChoose } = listed
  const lines = rows.map((row) => lineOf(row, listed, wording))
  // where nothing is to be said, no room is kept for it
  const hasWhy = lines.some(({ why }) => why.length > 0)
  const heads = hasWhy ? [...columns, 'why and note' as const] : columns
  const hasBoxes = rows.some(mayChoose)
  const span = heads.length + (hasBoxes ? 1 : 0)
  const shown = (one: Line) => markupOf(one, { hasWhy, hasBoxes }, wording)
  const box = hasBoxes
    ? html`<th scope="col" class="box"><span class="unseen">${wording.say('chosen')}</span></th>`
    : ''
  const bodies = byCrew
    ? [...Map.groupBy(lines, ({ row }) => row.stored.state.crewId)].map(
        ([crewId, own]) => html`<tbody>${groupHead({ crewId, sticks: own.length, span }, listed, wording)}
${own.map(shown)}</tbody>`,
      )
    : html`<tbody>${lines.map(shown)}</tbody>`
  return html`<table class="rows"><caption class="unseen">${wording.say('roster list')}</caption>
<thead><tr class="paper"><td colspan="${span}">${paper}</td></tr>
<tr>${box}${heads.map((name) => html`<th scope="col">${wording.say(name)}</th>`)}</tr></thead>${bodies}</table>`
}

interface Group {
  readonly crewId: string | null
  readonly sticks: number
  readonly span: number
}

function groupHead({ crewId, sticks, span }: Group, { names }: ListedRows, { say }: FirstWording): Markup {
  const name =
    crewId === null
      ? say('of no crew')
      : html`<a href="${addressOf({ filter: { crewId }, byCrew: false })}">${names.crew(crewId)}</a>`
  return html`<tr class="group"><th scope="rowgroup" colspan="${span}">${name}
<span>${say('in group', { sticks })}</span></th></tr>`
}

interface Line {
  readonly row: RosterRow
  readonly due: Markup
  readonly place: Markup
  readonly why: readonly Markup[]
  /** its box; null where the reader may do nothing to the stick */
  readonly box: Markup | null
}

function lineOf(row: RosterRow, listed: ListedRows, wording: FirstWording): Line {
  const { silent, names, isAllTicked, mayChoose } = listed
  const unconfirmed = [...new Set((silent.get(row.stored.stickId) ?? []).map(({ name }) => name))]
  return {
    row,
    due: dueOf(row, wording),
    place: placeOf(row, names, wording),
    why: whyFor(row, unconfirmed, wording),
    box: mayChoose(row) ? boxOf(row.stored.stickId, isAllTicked, wording) : null,
  }
}

interface Columns {
  readonly hasWhy: boolean
  readonly hasBoxes: boolean
}

function markupOf({ row, due, place, why, box }: Line, { hasWhy, hasBoxes }: Columns, wording: FirstWording): Markup {
  const { stickId } = row.stored
  const stopped = mayBeUsed(row.standing.status)
    ? ''
    : html` <strong class="stopped">${wording.say('do not use')}</strong>`
  const said = hasWhy ? html`<td class="why">${why}</td>` : ''
  const first = hasBoxes ? (box ?? html`<td class="box"></td>`) : ''
  return html`<tr>${first}<th scope="row"><a href="/sticks/${encodeURIComponent(stickId)}">${stickId}</a></th>
<td class="how">${statusMark(row.standing, wording)}${stopped}</td>
<td class="due">${due}</td><td class="where">${place}</td>${said}</tr>`
}

/** Days first, since they are what is compared from row to row. */
function dueOf({ standing, today }: RosterRow, wording: FirstWording): Markup {
  const { status, dueOn } = standing
  const undated = undatedFor({ status, dueOn }, wording.say)
  if (undated !== undefined || dueOn === null) return html`<span class="quiet">${undated ?? ''}</span>`
  return html`<b>${daysTo(daysBetween(today, dueOn), wording.say)}</b> ${date(dueOn, wording)}`
}

function placeOf({ stored: { state }, today }: RosterRow, names: Names, wording: FirstWording): Markup {
  const { say } = wording
  const { custody, crewId } = state
  const isWithCrew = custody !== null && 'crewId' in custody && custody.crewId === crewId
  const whose =
    crewId === null || isWithCrew
      ? ''
      : html` <span class="quiet">${say('of crew', { crew: names.crew(crewId) })}</span>`
  const days = custody !== null && 'lentTo' in custody ? daysBetween(custody.returnBy, today) : 0
  const late = days > 0 ? html` <strong class="stopped">${say('loan late', { days })}</strong>` : ''
  return html`${where(state, names, wording)}${late}${whose}`
}

const mostNamed = 3

/** Of what is overdue or may be used the other columns say all there is, but for a label that shows too late a date. */
function whyFor({ standing }: RosterRow, silent: readonly string[], wording: FirstWording): Markup[] {
  const label = wrongLabel(standing, wording)
  const isSaid = !isDated(standing.status) && standing.status !== 'awaiting first test'
  return [
    ...(isSaid ? [html`<span>${whyOf(standing, wording)}</span> `] : []),
    ...(label === null ? [] : [html`<strong class="stopped">${label}</strong> `]),
    ...(silent.length === 0
      ? []
      : [html`<span class="silent">${wording.say('not confirmed by', { names: shortList(silent, wording) })}</span>`]),
  ]
}

function shortList(names: readonly string[], { say, list }: FirstWording): string {
  const more = names.length - mostNamed
  return more > 0 ? say('and others', { names: names.slice(0, mostNamed).join(', '), more }) : list(names)
}
