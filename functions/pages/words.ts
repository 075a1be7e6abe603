/** Statuses, dates and places as a page shows them: each status by word and by shape, never by colour alone. */
import { html, raw } from 'hono/html'
import { type CalendarDate, inWords } from '../../shared-domain/calendar.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import type { Status } from '../../shared-domain/words.ts'
import type { Markup } from '../platform/web-page.ts'

const looks: { readonly [status in Status]: { tone: string; shape: string } } = {
  overdue: { tone: 'late', shape: '<path class="full" d="M10 1.5 19 18H1z"/>' },
  'on hold': { tone: 'stop', shape: '<path class="full" d="M6 1h8l5 5v8l-5 5H6l-5-5V6z"/>' },
  'due soon': { tone: 'soon', shape: '<circle cx="10" cy="10" r="8"/><path class="full" d="M10 2a8 8 0 0 1 0 16z"/>' },
  'awaiting first test': { tone: 'out', shape: '<circle cx="10" cy="10" r="8" stroke-dasharray="3 3"/>' },
  'in service': { tone: 'good', shape: '<path d="m3 11 5 5L18 4"/>' },
  'removed from service': { tone: 'out', shape: '<path d="m3 3 14 14M17 3 3 17"/>' },
  scrapped: { tone: 'out', shape: '<rect x="2" y="2" width="16" height="16"/><path d="m3 3 14 14M17 3 3 17"/>' },
}

export function statusMark(status: Status): Markup {
  const { tone, shape } = looks[status]
  return html`<span class="status ${tone}"><svg viewBox="0 0 20 20" aria-hidden="true">${raw(shape)}</svg>${status}</span>`
}

export function date(day: CalendarDate): Markup {
  return html`<time datetime="${day}">${inWords(day)}</time>`
}

export function daysTo({ dueOn, daysOverdue }: Standing, daysLeft: number): string {
  if (dueOn === null) return ''
  if (daysOverdue > 0) return `${count(daysOverdue)} overdue`
  return daysLeft === 0 ? 'today' : `in ${count(daysLeft)}`
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

function count(days: number): string {
  return days === 1 ? '1 day' : `${days} days`
}
