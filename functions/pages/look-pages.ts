/**
 * The page for somebody who scans a printed code at a truck, signed in or not: one word in large letters, and why.
 * Of a hold no more is told than its kind: its words may name somebody.
 */
import { html } from 'hono/html'
import { isDated, mayBeUsed } from '../../shared-domain/state/use.ts'
import { worstHoldFirst } from '../../shared-domain/state/worst-hold.ts'
import type { CertificateLook, LabelLook } from '../questions/public-looks.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { documentOf } from './layout.ts'
import type { PageWording } from './wording.ts'
import { moment, orderLine, statusMark } from './words.ts'

/** Kinds of holds that are told to anybody; of others the status alone. */
const causes = {
  'failed-test': 'look failed test',
  'failed-before': 'look failed test',
  'open-defect': 'look failed test',
  'defect-reported': 'look reported',
  'reported-missing': 'look missing',
  recalled: 'look recalled',
} as const

const causeOf = (code: string): (typeof causes)[keyof typeof causes] | undefined =>
  Object.hasOwn(causes, code) ? causes[code as keyof typeof causes] : undefined // it is a key of it

export function labelLookPage(look: LabelLook, wording: PageWording): WebDocument {
  const { say } = wording
  const { stickId, standing, isRevoked, now, zone } = look
  const may = !isRevoked && mayBeUsed(standing.status)
  const word = orderLine(may ? standing.status : 'on hold', say(may ? 'look use' : 'look stop'))
  const why = isRevoked ? html`<p class="lead">${say('look revoked')}</p>` : whyNot(look, wording)
  const main = html`<h1 class="number">${stickId}</h1>
${word}
${why}
<p>${say('look compare')}</p>
<p>${say('look hour', { when: moment(now, zone, wording) })}</p>
<p><a class="button" href="/sticks/${encodeURIComponent(stickId)}/report">${say('look report')}</a></p>
<p><a href="/sticks/${encodeURIComponent(stickId)}">${say('look more')}</a></p>`
  return documentOf({ title: say('look title', { stick: stickId }), main }, wording)
}

function whyNot({ standing }: LabelLook, wording: PageWording): Markup {
  const { say } = wording
  const { status, dueOn, holds, notPrimary } = standing
  const [worst] = worstHoldFirst(holds)
  const cause = status === 'on hold' && worst !== undefined ? causeOf(worst.code) : undefined
  const until = isDated(status) && dueOn !== null
  const through = until
    ? html`<p class="lead">${say(mayBeUsed(status) ? 'look through' : 'look was due', { on: dueOn })}</p>`
    : ''
  return html`<p class="lead">${statusMark(standing, wording)}</p>
${through}
${cause === undefined ? '' : html`<p>${say(cause)}</p>`}
${notPrimary ? html`<p>${say('label not primary')}</p>` : ''}`
}

export function certificateLookPage(look: CertificateLook, wording: PageWording): WebDocument {
  const { say, word } = wording
  const { stickId, testedOn, factId, verdict, verdictAtFirst, isCorrected, hasNewer, standing, now, zone } = look
  const { status, dueOn } = standing
  const number = `${stickId}-${testedOn}-${factId.slice(-6)}`
  const rows: readonly (readonly [string, Markup | string])[] = [
    [say('look number'), number],
    [say('look tested on'), wording.day(testedOn)],
    [say('look verdict'), isCorrected ? say('look withdrawn') : word('verdict', verdict)],
    ...(verdictAtFirst === undefined ? [] : [[say('look at first'), word('verdict', verdictAtFirst)] as const]),
    [say('look stick today'), statusMark(standing, wording)],
    [say('paper due'), isDated(status) && dueOn !== null ? wording.day(dueOn) : '–'],
  ]
  const stands = !isCorrected && verdictAtFirst === undefined
  const main = html`<h1>${say('look certificate title', { number })}</h1>
${orderLine(mayBeUsed(status) && stands ? status : 'on hold', say(stands ? 'look stands' : 'look stands no more'))}
${mayBeUsed(status) ? '' : html`<p class="lead">${say('today not fit', { status })}</p>`}
<dl class="facts">${rows.map(([name, value]) => html`<dt>${name}</dt><dd>${value}</dd>`)}</dl>
${hasNewer ? html`<p>${say('look newer')}</p>` : ''}
<p>${say('look hour', { when: moment(now, zone, wording) })}</p>`
  return documentOf({ title: say('look certificate title', { number }), main }, wording)
}

/** A page that tells of no stick: nothing is known of the code, or too many ask. */
export function noLookPage(what: 'look nothing' | 'look busy', wording: PageWording): WebDocument {
  const { say } = wording
  const title = say(what)
  const main = html`<h1>${title}</h1>
<p class="lead">${say(`${what} means`)}</p>`
  return documentOf({ title, main }, wording)
}
