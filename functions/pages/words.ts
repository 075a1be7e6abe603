/** Statuses, dates and places as a page shows them: each status by word and by shape, never by colour alone. */
import { html, raw } from 'hono/html'
import type { Tester } from '../../shared-domain/bench-test/bench-test.ts'
import { type CalendarDate, daysBetween, type Instant } from '../../shared-domain/calendar.ts'
import { type Ordered, orderOn, toOrder } from '../../shared-domain/state/order.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import { isDated, mayBeUsed } from '../../shared-domain/state/use.ts'
import { worstHoldFirst } from '../../shared-domain/state/worst-hold.ts'
import type { Status, SurfaceState } from '../../shared-domain/words.ts'
import type { Directory } from '../questions/directory.ts'
import { depotLineOf } from '../web/depot-line.ts'
import { momentInWords } from '../web/moment.ts'
import type { Markup } from '../web/web-page.ts'
import type { FirstWording } from './first-wording.ts'

type Say = FirstWording['say']

const looks: { readonly [status in Status]: { tone: string; shape: string } } = {
  overdue: { tone: 'late', shape: '<path class="full" d="M10 1.5 19 18H1z"/>' },
  'on hold': { tone: 'stop', shape: '<path class="full" d="M6 1h8l5 5v8l-5 5H6l-5-5V6z"/>' },
  'due soon': { tone: 'soon', shape: '<circle cx="10" cy="10" r="8"/><path class="full" d="M10 2a8 8 0 0 1 0 16z"/>' },
  'awaiting first test': { tone: 'out', shape: '<circle cx="10" cy="10" r="8" stroke-dasharray="3 3"/>' },
  'in service': { tone: 'good', shape: '<path d="m3 11 5 5L18 4"/>' },
  'removed from service': { tone: 'out', shape: '<path d="m3 3 14 14M17 3 3 17"/>' },
  scrapped: { tone: 'out', shape: '<rect x="2" y="2" width="16" height="16"/><path d="m3 3 14 14M17 3 3 17"/>' },
}

const picture = (shape: string) => html`<svg viewBox="0 0 20 20" aria-hidden="true">${raw(shape)}</svg>`

/** The colour and the shape by which a status is known on every page. */
export function shapeOf(status: Status): { readonly tone: string; readonly picture: Markup } {
  const { tone, shape } = looks[status]
  return { tone, picture: picture(shape) }
}

export function statusMark({ status, notPrimary }: Pick<Standing, 'status' | 'notPrimary'>, by: FirstWording): Markup {
  const { tone, picture } = shapeOf(status)
  const mark = html`<span class="status ${tone}">${picture}${by.word('status', status)}</span>`
  return notPrimary ? html`${mark}<span class="below">${by.say('not primary, short')}</span>` : mark
}

export function date(day: CalendarDate, { day: inWords }: FirstWording): Markup {
  return html`<time datetime="${day}">${inWords(day)}</time>`
}

export function moment(at: Instant, zone: string, { day }: FirstWording): string {
  return momentInWords(at, zone, day)
}

/** The clock that all depots share, where they do. */
export function sharedZone({ depots }: Directory): string {
  const [first, ...others] = new Set(depots.map(({ timeZone }) => timeZone))
  return (others.length === 0 ? first : undefined) ?? 'UTC'
}

/** A stick, and the name of the depot to which it belongs; null where nobody knows it. */
interface StickAtPlace {
  readonly standing: Standing
  readonly state: StickState
  readonly place: string | null
}

/** The first line on every page of a stick, before anything else is said of it; below it what to do with it. */
export function orderMarkup({ standing, state, place }: StickAtPlace, wording: FirstWording): Markup {
  const { status } = standing
  const { line, errand } = orderOn(toOrder(standing, state, place))
  const why = mayBeUsed(status) ? '' : html`<p class="because">${whyOf(standing, wording)}</p>`
  return html`${orderLine(status, saidOrder(line, wording))}
${why}
<p class="todo">${saidOrder(errand, wording)}</p>`
}

export function orderLine(status: Status, text: string): Markup {
  const { tone, shape } = looks[mayBeUsed(status) ? status : 'on hold']
  return html`<p class="order ${tone}">${picture(shape)}<strong>${text}</strong></p>`
}

export const saidOrder = ({ is, ...values }: Ordered, { told }: Pick<FirstWording, 'told'>): string =>
  told({ code: is, says: { is, ...values } })

interface Due {
  readonly status: Status
  readonly dueOn: CalendarDate | null
  readonly today: CalendarDate
}

/** Beside what must not be used for another reason than its age no date stands: it would read as leave until then. */
export function dueFor({ status, dueOn, today }: Due, wording: FirstWording): Markup {
  const undated = undatedFor({ status, dueOn }, wording.say)
  if (undated !== undefined || dueOn === null) return html`<span class="quiet">${undated ?? ''}</span>`
  return html`${date(dueOn, wording)}<span class="days">${daysTo(daysBetween(today, dueOn), wording.say)}</span>`
}

/** Why no date stands there, of a stick beside which none does. */
export function undatedFor({ status, dueOn }: Pick<Due, 'status' | 'dueOn'>, say: Say): string | undefined {
  const why = isDated(status) ? (dueOn === null ? 'no date yet' : undefined) : undatedBy[status]
  return why === undefined ? undefined : say(why)
}

const undatedBy = {
  'on hold': 'no date on hold',
  'awaiting first test': 'no date untested',
  'removed from service': 'no date removed',
  scrapped: 'no date scrapped',
  overdue: undefined,
  'due soon': undefined,
  'in service': undefined,
} as const satisfies { readonly [status in Status]: unknown }

export function daysTo(daysLeft: number, say: Say): string {
  if (daysLeft < 0) return say('days overdue', { days: -daysLeft })
  return daysLeft === 0 ? say('today') : say('in days', { days: daysLeft })
}

/** Of a stick out of service for good what put it there, not what held it before; of several holds the worst. */
export function whyOf(standing: Standing, wording: FirstWording): string {
  const { status, holds } = standing
  const [first, ...others] = status === 'on hold' ? worstHoldFirst(holds) : []
  if (first === undefined) return wording.why(standing)
  const what = wording.hold(first).text
  return others.length === 0 ? `${what}.` : wording.say('reasons', { what, more: others.length })
}

/** Of a label that is wrong; nothing of one that is right, or that nobody recorded. */
export function wrongLabel({ label, status }: Standing, { say }: FirstWording): string | null {
  if (!label?.isWrong || label.shows === null) return null
  return say(isDated(status) ? 'label too late' : 'label still on', { on: label.shows })
}

export function where({ custody, missing }: StickState, names: Names, { say }: FirstWording): string {
  if (custody === null) return say('where unknown')
  const place = placeOf(custody, names, say)
  return missing ? say('where missing', { place }) : place
}

function placeOf(custody: NonNullable<StickState['custody']>, names: Names, say: Say): string {
  if ('crewId' in custody) return say('where with', { crew: names.crew(custody.crewId) })
  if ('store' in custody) return say('where in store', { depot: names.depot(custody.store) })
  if ('bench' in custody) return say('where at the bench', { depot: names.depot(custody.bench) })
  return say('where lent', { to: custody.lentTo, on: custody.returnBy })
}

interface Place {
  readonly state?: SurfaceState
  readonly section?: string | undefined
  readonly quarterTurn?: number
  readonly fromMetres: number
  readonly toMetres: number
}

/** "dry, quarter turn 90°, 0.6 to 0.9 m from the working end" */
export function placeOn(place: Place, say: Say): string {
  const { state, section, quarterTurn, fromMetres: from, toMetres: to } = place
  const span =
    section === undefined
      ? say('span from the working end', { from, to })
      : say('span of a section', { section, from, to })
  return [
    ...(state === undefined ? [] : [say(state)]),
    ...(quarterTurn === undefined ? [] : [say('quarter turn', { turn: quarterTurn })]),
    span,
  ].join(', ')
}

/** A tester is known by name, or by their number on the register of people. */
export const testerOf = (tester: Tester): string => (typeof tester === 'string' ? tester : tester.personId)

/** What happened, and what somebody wrote beside it. */
export const noted = (what: string, note: string | undefined, say: Say): string =>
  note ? say('noted', { what, note }) : what

export function depotLine(depot: Directory['depots'][number], { say }: FirstWording): Markup {
  const { hours } = depot
  return depotLineOf(depot, hours === undefined ? undefined : say('depot hours', { hours }))
}

export const capital = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`

export interface Names {
  readonly crew: (id: string) => string
  readonly depot: (id: string) => string
}

/** The name of the depot to which a stick belongs; null where nobody knows it. */
export const depotNameOf = (depotId: string | null, names: Names): string | null =>
  depotId === null ? null : names.depot(depotId)

export function namesIn({ crews, depots }: Directory): Names {
  return {
    crew: (id) => crews.find((one) => one.id === id)?.name ?? id,
    depot: (id) => depots.find((one) => one.id === id)?.name ?? id,
  }
}
