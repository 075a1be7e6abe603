/** Where the link in a mail leads: a page with one button. Opening it changes nothing; the button confirms. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Hono } from 'hono/tiny'
import type { Instant } from '../../shared-domain/calendar.ts'
import { registerIdPattern } from '../../shared-domain/identifier-pattern.ts'
import { aboutOf } from '../../shared-domain/notices/confirmations.ts'
import type { Reader } from '../../shared-domain/wording.ts'
import type { WallClock } from '../ground/clock.ts'
import { isOutOfReach } from '../ground/errors.ts'
import { describe, log } from '../ground/log.ts'
import { openNotices } from '../store/notice-life.ts'
import type { Notice } from '../store/notices.ts'
import { openOrganisation } from '../store/organisation.ts'
import type { Table } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { type ConfirmationLink, faultOf } from '../web/confirmation-link.ts'
import { depotLineOf } from '../web/depot-line.ts'
import { houseStyle } from '../web/house-style.ts'
import { momentInWords } from '../web/moment.ts'
import { pageReaderOf } from '../web/reader.ts'
import { behindASecret, type Markup, webPage } from '../web/web-page.ts'
import { errandWith, isOver, onlyStick, orderOf, whyNotToUse } from './told.ts'
import { stillWaiting } from './waiting.ts'
import { type AnswerWording, answerWordingFor } from './wording.ts'

export interface AnswersParts {
  readonly table: Table
  readonly clock: WallClock
  /** passed in, so that a test may speak otherwise */
  readonly wordingFor?: (reader: Reader) => Promise<AnswerWording>
}

const path = '/answers/:organisation/:number/:until/:signature'

export function buildAnswers(parts: AnswersParts): Hono {
  const app = new Hono()
  app.get(path, (context) => guarded(parts, context, show))
  app.post(path, (context) => guarded(parts, context, confirm))
  app.notFound(async (context) => unknown(await asked(parts, context)))
  return app
}

/** Where no notice is found the browser says the language. */
function asked({ wordingFor = answerWordingFor }: AnswersParts, context: Context): Promise<AnswerWording> {
  return wordingFor(pageReaderOf(context.req.raw))
}

function wordingOf({ wordingFor = answerWordingFor }: AnswersParts, { to }: Notice): Promise<AnswerWording> {
  return wordingFor({ language: to.language, units: to.units })
}

type Work = (parts: AnswersParts, context: Context) => Promise<Response>

async function guarded(parts: AnswersParts, context: Context, work: Work): Promise<Response> {
  try {
    return await work(parts, context)
  } catch (error) {
    log('error', alarmWords.answerFailed, { trouble: describe(error) })
    return failed(await asked(parts, context), isOutOfReach(error) ? 503 : 500)
  }
}

async function show(parts: AnswersParts, context: Context): Promise<Response> {
  const found = await noticeBehind(parts, context)
  if (found instanceof Response) return found
  const wording = await wordingOf(parts, found)
  const { say } = wording
  const shown = toConfirm(found)
  const main = html`${whyNotToUse(shown, wording)}
${errandWith(shown, wording)}
${await whereTo(parts, shown, wording)}
<form method="post"><button>${say('i have read this')}</button></form>
<p>${say('not confirmed yet')}</p>
${await whatElse(parts, found, wording)}
${numberOf(found, say)}`
  return page({ status: 200, title: orderOf(shown, wording), of: shown, main }, wording)
}

async function confirm(parts: AnswersParts, context: Context): Promise<Response> {
  const found = await noticeBehind(parts, context)
  if (found instanceof Response) return found
  const notices = openNotices(parts.table, found.organisation)
  if (!(await notices.confirm(found, parts.clock()))) {
    const now = await noticeBehind(parts, context)
    if (now instanceof Response) return now
    if (!(await notices.confirm(now, parts.clock()))) return usedBefore(parts, now)
  }
  log('info', 'notice confirmed as read', { notice: found.number })
  const wording = await wordingOf(parts, found)
  const { say } = wording
  const lead = html`<p>${say('it is recorded')}</p>`
  const main = await stillToDo(parts, { found, lead }, wording)
  return page({ status: 200, title: say('thank you', { name: found.to.name }), main }, wording)
}

/** The notice with those of its sticks alone that are to be confirmed: a reminder names others too. */
function toConfirm(notice: Notice): Notice {
  return { ...notice, lines: notice.lines.filter((line) => aboutOf(line, notice) !== undefined) }
}

/** A notice that is confirmed, and what is said of that. */
interface Ended {
  readonly found: Notice
  readonly lead: Markup
}

/** Nobody is left with a word of thanks alone: what the notice asks for is still to be done. */
async function stillToDo(parts: AnswersParts, { found, lead }: Ended, wording: AnswerWording): Promise<Markup> {
  const notice = toConfirm(found)
  const { say } = wording
  const more = notice.lines.every(isOver) ? '' : html`<p>${say('ends nothing')}</p>`
  return html`${lead}
${which(notice, say)}
<p class="order stop"><strong>${orderOf(notice, wording)}</strong></p>
${errandWith(notice, wording)}
${await whereTo(parts, notice, wording)}
${more}
${await whatElse(parts, found, wording)}
<p>${say('you may close this')}</p>
${numberOf(notice, say)}`
}

const numberOf = ({ number, to: { name } }: Notice, say: AnswerWording['say']) =>
  html`<p class="small">${say('number', { number, name })}</p>`

/** What never was and what was tampered with are answered alike. */
async function noticeBehind(parts: AnswersParts, context: Context): Promise<Notice | Response> {
  const { table, clock } = parts
  const link = linkFrom(context)
  const notice = link === null ? undefined : await openNotices(table, link.organisation).one(link.number)
  const fault = link === null ? 'tampered with' : faultOf(link, notice, clock())
  if (fault !== null || notice === undefined) {
    log('info', 'a link that is no good', { fault: fault ?? 'tampered with' })
    // a notice whose link was tampered with says nothing of its reader
    if (fault !== 'expired' || notice === undefined) return unknown(await asked(parts, context))
    return expired(await wordingOf(parts, notice))
  }
  // who has left may not end the silence that is to bring somebody else there
  if (await openOrganisation(table, notice.organisation).hasLeft(notice.to.email, clock()))
    return left(notice, await wordingOf(parts, notice))
  return notice.answeredAt === undefined ? notice : usedBefore(parts, notice)
}

function linkFrom(context: Context): ConfirmationLink | null {
  const { organisation = '', number = '', until = '', signature = '' } = context.req.param() as Record<string, string>
  const named = registerIdPattern.test(organisation) && registerIdPattern.test(number)
  // what is no instant was never signed
  return named ? { organisation, number, until: until as Instant, signature } : null
}

function unknown(wording: AnswerWording): Promise<Response> {
  const { say } = wording
  const main = html`<p>${say('open it anew')}</p><p>${say('go by the mail')}</p>`
  return page({ status: 404, title: say('link no good'), main }, wording)
}

function expired(wording: AnswerWording): Promise<Response> {
  const { say } = wording
  const main = html`<p>${say('time is over')}</p><p>${say('go by the mail')}</p>`
  return page({ status: 410, title: say('link expired'), main }, wording)
}

function left({ to: { name } }: Notice, wording: AnswerWording): Promise<Response> {
  const { say } = wording
  const main = html`<p>${say('has left', { name })}</p><p>${say('go by the mail')}</p>`
  return page({ status: 403, title: say('no longer yours'), main }, wording)
}

async function usedBefore(parts: AnswersParts, notice: Notice): Promise<Response> {
  const wording = await wordingOf(parts, notice)
  const { say, day } = wording
  const { answeredAt } = notice
  const since =
    answeredAt === undefined
      ? say('confirmed already')
      : say('confirmed since', { when: momentInWords(answeredAt, await zoneOf(parts, notice), day) })
  const main = await stillToDo(parts, { found: notice, lead: html`<p>${since}</p>` }, wording)
  return page({ status: 409, title: say('used before'), main }, wording)
}

/** The place to bring the stick to, as the depot's entry has it now; nothing where the notice names another. */
async function whereTo(
  { table, clock }: AnswersParts,
  notice: Notice,
  { say }: AnswerWording,
): Promise<Markup | string> {
  const line = onlyStick(notice)
  if (line?.crewId == null || line.bringTo === null || line.liesAt !== undefined) return ''
  const known = openOrganisation(table, notice.organisation)
  const crew = await known.crewNow(line.crewId, clock())
  const depot = crew && (await known.registers.depotNow(crew.body.depotId, clock()))
  if (depot === undefined || depot.body.name !== line.bringTo) return ''
  const { hours } = depot.body
  return depotLineOf(depot.body, hours === undefined ? undefined : say('depot hours', { hours }))
}

/** Sticks that this person was told of besides, and nobody has confirmed: each by the button of its own mail. */
async function whatElse(parts: AnswersParts, found: Notice, wording: AnswerWording): Promise<Markup | string> {
  const { say } = wording
  const waiting = stillWaiting(openOrganisation(parts.table, found.organisation), found, parts.clock())
  // nobody is kept from confirming what they have read by a list that fails
  const lines = await waiting.catch((error: unknown) => {
    log('error', alarmWords.answerFailed, { trouble: describe(error) })
    return []
  })
  if (lines.length === 0) return ''
  const items = lines.map((line) => {
    const order = orderOf({ ...found, lines: [line], more: 0 }, wording)
    return html`<li>${say('one stick', { stick: line.stickId, why: order })}</li>`
  })
  return html`<h2>${say('what else waits')}</h2><ul>${items}</ul><p>${say('confirm each')}</p>`
}

/** The clock of the depot of the stick's crew; UTC, which names itself, where no crew has the stick. */
async function zoneOf({ table, clock }: AnswersParts, { organisation, lines }: Notice): Promise<string> {
  const crewId = lines[0]?.crewId ?? null
  const known = openOrganisation(table, organisation)
  const crew = crewId === null ? undefined : await known.crewNow(crewId, clock())
  return known.zoneAt(crew?.body.depotId ?? null, clock())
}

function failed(wording: AnswerWording, status: 500 | 503): Promise<Response> {
  const { say } = wording
  const main = html`<p>${say('try again')}</p><p>${say('go by the mail')}</p>`
  return page({ status, title: say('failed'), main }, wording)
}

interface Content {
  readonly status: number
  readonly title: string
  /** the notice whose order the title is */
  readonly of?: Notice
  readonly main: Markup
}

/** The file lies beside the source, and beside the bundle too. */
const stylesheet = `${houseStyle}\n${readFileSync(join(import.meta.dirname, 'answers.css'), 'utf8')}`

/** The stick that the order below is of, with the way to its page. */
function which(notice: Notice, say: AnswerWording['say']): Markup | string {
  const line = onlyStick(notice)
  if (line === undefined) return ''
  const { stickId: stick } = line
  return html`<p class="which"><a href="/sticks/${encodeURIComponent(stick)}">${say('which stick', { stick })}</a></p>`
}

function page({ status, title, of, main }: Content, { language, say }: AnswerWording): Promise<Response> {
  const heading =
    of === undefined
      ? html`<h1>${title}</h1>`
      : html`${which(of, say)}<h1 class="order stop"><strong>${title}</strong></h1>`
  const body = () => html`<header><a class="name" href="/">Quarterturn</a><span>${say('what this is')}</span></header>
<main>${heading}
${main}</main>
<footer><p>${say('safety')}</p></footer>`
  return webPage({ language, title, stylesheet, body }, { status, headers: behindASecret })
}
