/** Statuses, dates and places as a page shows them: each status by word and by shape, never by colour alone. */
import { html, raw } from 'hono/html'
import {
  type CalendarDate,
  daysBetween,
  type Instant,
  inWords,
  localDateAt,
  localTimeAt,
  zoneNameAt,
} from '../../shared-domain/calendar.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import { isDated, mayBeUsed } from '../../shared-domain/state/use.ts'
import { worstHoldFirst } from '../../shared-domain/state/worst-hold.ts'
import type { Status } from '../../shared-domain/words.ts'
import type { Directory } from '../questions/directory.ts'
import type { Markup } from '../web/web-page.ts'
import { wording } from './wording.ts'

const looks: { readonly [status in Status]: { tone: string; shape: string } } = {
  overdue: { tone: 'late', shape: '<path class="full" d="M10 1.5 19 18H1z"/>' },
  'on hold': { tone: 'stop', shape: '<path class="full" d="M6 1h8l5 5v8l-5 5H6l-5-5V6z"/>' },
  'due soon': { tone: 'soon', shape: '<circle cx="10" cy="10" r="8"/><path class="full" d="M10 2a8 8 0 0 1 0 16z"/>' },
  'awaiting first test': { tone: 'out', shape: '<circle cx="10" cy="10" r="8" stroke-dasharray="3 3"/>' },
  'in service': { tone: 'good', shape: '<path d="m3 11 5 5L18 4"/>' },
  'removed from service': { tone: 'out', shape: '<path d="m3 3 14 14M17 3 3 17"/>' },
  scrapped: { tone: 'out', shape: '<rect x="2" y="2" width="16" height="16"/><path d="m3 3 14 14M17 3 3 17"/>' },
}

export function statusMark({ status, notPrimary }: Pick<Standing, 'status' | 'notPrimary'>): Markup {
  const { tone, shape } = looks[status]
  const mark = html`<span class="status ${tone}"><svg viewBox="0 0 20 20" aria-hidden="true">${raw(shape)}</svg>${status}</span>`
  return notPrimary ? html`${mark}<span class="below">not for primary protection</span>` : mark
}

export function date(day: CalendarDate): Markup {
  return html`<time datetime="${day}">${inWords(day)}</time>`
}

/** By the clock on the wall there, and what that clock is called. */
export function moment(at: Instant, zone: string): Markup {
  return html`<time datetime="${at}">${inWords(localDateAt(at, zone))}, ${localTimeAt(at, zone)} ${zoneNameAt(at, zone)}</time>`
}

/** What must stand on every page of a stick that must not be used, before anything else is said of it. */
export function order(status: Status): Markup | string {
  return mayBeUsed(status) ? '' : html`<p class="order">${raw(stop)}<strong>Do not use it</strong></p>`
}

const stop = `<svg viewBox="0 0 20 20" aria-hidden="true">${looks['on hold'].shape}</svg>`

/** Beside what must not be used for another reason than its age no date stands: it would read as leave until then. */
export function dueFor(status: Status, dueOn: CalendarDate | null, today: CalendarDate): Markup {
  if (!isDated(status)) return html`<span class="quiet">${undated[status] ?? ''}</span>`
  if (dueOn === null) return html`<span class="quiet">none yet</span>`
  return html`${date(dueOn)}<span class="days">${daysTo(daysBetween(today, dueOn))}</span>`
}

const undated: { readonly [status in Status]?: string } = {
  'on hold': 'none while it is on hold',
  'awaiting first test': 'not fit before its first test',
  'removed from service': 'no more: it is removed from service',
  scrapped: 'no more: it is scrapped',
}

function daysTo(daysLeft: number): string {
  if (daysLeft < 0) return `${count(-daysLeft)} overdue`
  return daysLeft === 0 ? 'today' : `in ${count(daysLeft)}`
}

/** Of a stick out of service for good what put it there, not what held it before; of several holds the worst. */
export function whyOf(standing: Standing): string {
  const { status, holds } = standing
  const [first, ...others] = status === 'on hold' ? worstHoldFirst(holds) : []
  if (first === undefined) return wording.why(standing)
  if (others.length === 0) return `${wording.hold(first).text}.`
  return `${wording.hold(first).text}, and ${others.length === 1 ? 'one hold' : `${others.length} holds`} more.`
}

/** Of a label that is wrong; nothing of one that is right, or that nobody recorded. */
export function wrongLabel({ label, status }: Standing): string | null {
  if (!label?.isWrong || label.shows === null) return null
  const shows = inWords(label.shows)
  return isDated(status)
    ? `Its label shows ${shows}, later than it is due: take it off or change it.`
    : `Its label still shows ${shows}: take it off.`
}

export function where(state: StickState, names: Names): string {
  const { custody } = state
  if (custody === null) return 'not recorded'
  const place = placeOf(custody, names)
  return state.missing ? `missing; last ${place}` : place
}

function placeOf(custody: NonNullable<StickState['custody']>, names: Names): string {
  if ('crewId' in custody) return `with ${names.crew(custody.crewId)}`
  if ('store' in custody) return `in store, ${names.depot(custody.store)}`
  if ('bench' in custody) return `at the bench, ${names.depot(custody.bench)}`
  return `lent to ${custody.lentTo} until ${inWords(custody.returnBy)}`
}

export interface Names {
  readonly crew: (id: string) => string
  readonly depot: (id: string) => string
}

export function namesIn({ crews, depots }: Directory): Names {
  return {
    crew: (id) => crews.find((one) => one.id === id)?.name ?? id,
    depot: (id) => depots.find((one) => one.id === id)?.name ?? id,
  }
}

function count(days: number): string {
  return days === 1 ? '1 day' : `${days} days`
}
