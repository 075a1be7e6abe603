/** What the page says of the sticks of a notice: the order first, then what to do, then why. */
import { html } from 'hono/html'
import type { StickLine } from '../../shared-domain/notices/notice.ts'
import { worstHoldFirst } from '../../shared-domain/state/worst-hold.ts'
import type { Notice } from '../store/notices.ts'
import type { Markup } from '../web/web-page.ts'
import type { AnswerWording } from './wording.ts'

type Say = AnswerWording['say']

export function orderOf({ lines, more = 0 }: Notice, { say }: AnswerWording): string {
  const sticks = lines.length + more
  const [line] = lines
  if (line === undefined || sticks > 1) return say('order several', { sticks })
  const { stickId: stick, status } = line
  if (isOver(line)) return say('order removed', { stick })
  return status === 'awaiting first test' ? say('order untested', { stick }) : say('order', { stick, status })
}

export function errandWith({ lines, more = 0, unanswered = [] }: Notice, { say, list }: AnswerWording): Markup {
  const [line] = lines
  const errand = line === undefined || lines.length + more > 1 ? say('do several') : errandOf(line, say)
  const others =
    unanswered.length === 0
      ? ''
      : html`
<p class="lead">${say('do make sure', { names: list(unanswered) })}</p>`
  return html`<p class="lead">${errand}</p>${others}`
}

function errandOf(line: StickLine, say: Say): string {
  if (line.liesAt === 'bench') return say('do leave at the bench')
  if (isOver(line)) return say('do hand in')
  if (line.liesAt === 'store') return say('do bring from store')
  return line.bringTo === null ? say('do bring') : say('do bring to', { place: line.bringTo })
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
