/** What the page says of the sticks of a notice: the order first, then what to do, then why. */
import { html } from 'hono/html'
import type { StickLine } from '../../shared-domain/notices/notice.ts'
import { type Ordered, orderOn, type ToOrder } from '../../shared-domain/state/order.ts'
import { worstHoldFirst } from '../../shared-domain/state/worst-hold.ts'
import type { Notice } from '../store/notices.ts'
import type { Markup } from '../web/web-page.ts'
import type { AnswerWording } from './wording.ts'

/** The stick that a notice is about, where it is about one. */
export function onlyStick({ lines, more = 0 }: Notice): StickLine | undefined {
  return lines.length + more === 1 ? lines[0] : undefined
}

export function orderOf(notice: Notice, wording: AnswerWording): string {
  const line = onlyStick(notice)
  if (line !== undefined) return said(orderOn(standing(line)).line, wording)
  return wording.say('order several', { sticks: notice.lines.length + (notice.more ?? 0) })
}

/** The stick as its order depends on it, as far as a notice tells of it. */
function standing({ status, dueOn, duty, notPrimary, why, bringTo: place, ...line }: StickLine): ToOrder {
  const isMissing = line.holds.some(({ code }) => code === 'reported-missing')
  const lies = isMissing ? 'missing' : (line.liesAt ?? (line.loan === undefined ? 'in hands' : 'lent'))
  return { status, dueOn, duty, notPrimary, why, place, lies, lentTo: line.loan?.lentTo }
}

const said = ({ is, ...values }: Ordered, { told }: AnswerWording) => told({ code: is, says: { is, ...values } })

export function errandWith(notice: Notice, wording: AnswerWording): Markup {
  const { unanswered = [] } = notice
  const { say, list } = wording
  const line = onlyStick(notice)
  const errand = line === undefined ? say('do several') : said(orderOn(standing(line)).errand, wording)
  const others =
    unanswered.length === 0
      ? ''
      : html`
<p class="lead">${say('do make sure', { names: list(unanswered) })}</p>`
  return html`<p class="todo">${errand}</p>${others}`
}

export const isOver = ({ status }: StickLine): boolean => status === 'removed from service' || status === 'scrapped'

const mostHoldsShown = 4
const mostSticksShown = 30

export function whyNotToUse({ lines, more = 0 }: Notice, wording: AnswerWording): Markup {
  const { say } = wording
  const [line, ...others] = lines
  if (line !== undefined && others.length + more === 0) {
    const reasons = reasonsOf(line, wording).map((one) => html`<li>${one}</li>`)
    return html`<h2>${say('why')}</h2><ul>${reasons}</ul>`
  }
  const shown = lines.slice(0, mostSticksShown).map((one) => {
    const why = `${wording.status(one)}. ${reasonsOf(one, wording)[0] ?? ''}`
    return html`<li>${say('one stick', { stick: one.stickId, why })}</li>`
  })
  const rest = lines.length + more - shown.length
  const further = rest > 0 ? html`<li>${say('more sticks', { sticks: rest })}</li>` : ''
  return html`<h2>${say('each stick')}</h2><ul>${shown}${further}</ul>`
}

function reasonsOf(line: StickLine, wording: AnswerWording): string[] {
  const holds = isOver(line) ? [] : worstHoldFirst(line.holds)
  if (holds.length === 0) return [wording.why(line)]
  const shown = holds.slice(0, mostHoldsShown).map((hold) => `${wording.hold(hold).text}.`)
  const more = holds.length - shown.length
  return more > 0 ? [...shown, wording.say('more reasons', { more })] : shown
}
