/** Where the link in a mail leads: a page with one button. Opening it changes nothing; the button confirms. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Hono } from 'hono/tiny'
import type { Instant } from '../../shared-domain/calendar.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import { safetyWords } from '../../shared-domain/safety-words.ts'
import type { WallClock } from '../ground/clock.ts'
import { describe, log } from '../ground/log.ts'
import { openNotices } from '../store/notice-life.ts'
import type { Notice } from '../store/notices.ts'
import { openOrganisation } from '../store/organisation.ts'
import type { Table } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { type ConfirmationLink, faultOf } from '../web/confirmation-link.ts'
import { behindASecret, type Markup, webDocument, webPage } from '../web/web-page.ts'

export interface AnswersParts {
  readonly table: Table
  readonly clock: WallClock
}

const path = '/answers/:organisation/:number/:until/:signature'

export function buildAnswers(parts: AnswersParts): Hono {
  const app = new Hono()
  app.get(path, (context) => guarded(() => show(parts, context)))
  app.post(path, (context) => guarded(() => confirm(parts, context)))
  app.notFound(() => page(404, 'No such link', html`<p>Nothing of this name exists.</p>`))
  return app
}

async function guarded(work: () => Promise<Response>): Promise<Response> {
  try {
    return await work()
  } catch (error) {
    log('error', alarmWords.answerFailed, { trouble: describe(error) })
    return page(500, 'Something failed on our side', html`<p>Nothing was recorded. Please try again.</p>`)
  }
}

async function show(parts: AnswersParts, context: Context): Promise<Response> {
  const found = await noticeBehind(parts, context)
  if (found instanceof Response) return found
  return page(
    200,
    `Notice ${found.number}`,
    html`<p>${found.to.name}: ${about(found)}.</p>
<form method="post"><button>I have read this notice</button></form>
<p>Opening this page has confirmed nothing yet. Press the button, so that nobody else has to be sent after you.</p>`,
  )
}

async function confirm(parts: AnswersParts, context: Context): Promise<Response> {
  const found = await noticeBehind(parts, context)
  if (found instanceof Response) return found
  const notices = openNotices(parts.table, found.organisation)
  if (!(await notices.confirm(found, parts.clock()))) {
    const now = await noticeBehind(parts, context)
    if (now instanceof Response) return now
    if (!(await notices.confirm(now, parts.clock()))) return usedBefore(now)
  }
  log('info', 'notice confirmed as read', { notice: found.number })
  return page(
    200,
    'Thank you',
    html`<p>It is recorded that ${found.to.name} has read notice ${found.number}: ${about(found)}.</p>
<p>${found.kind === 'removal' ? 'The stick does not come back into service.' : 'This clears nothing: the stick must not be used until what the notice names is done.'}</p>`,
  )
}

/** What never was and what was tampered with are answered alike. */
async function noticeBehind({ table, clock }: AnswersParts, context: Context): Promise<Notice | Response> {
  const link = linkFrom(context)
  const notice = link === null ? undefined : await openNotices(table, link.organisation).one(link.number)
  const fault = link === null ? 'tampered with' : faultOf(link, notice, clock())
  if (fault !== null || notice === undefined) {
    log('info', 'a link that is no good', { fault: fault ?? 'tampered with' })
    return fault === 'expired' ? expired() : unknown()
  }
  // who has left may not end the silence that is to bring somebody else there
  if (await openOrganisation(table, notice.organisation).hasLeft(notice.to.email, clock())) return left(notice)
  return notice.answeredAt === undefined ? notice : usedBefore(notice)
}

function linkFrom(context: Context): ConfirmationLink | null {
  const { organisation = '', number = '', until = '', signature = '' } = context.req.param() as Record<string, string>
  const named = registerId.safeParse(organisation).success && registerId.safeParse(number).success
  // what is no instant was never signed
  return named ? { organisation, number, until: until as Instant, signature } : null
}

function about({ lines, kind, more = 0 }: Notice): string {
  const [line] = lines
  const sticks = lines.length + more
  const what =
    sticks > 1
      ? `${sticks} sticks must not be used, among them ${line?.stickId ?? ''}: do not use them`
      : `stick ${line?.stickId ?? ''} is ${line?.status ?? 'not fit for use'}: do not use it`
  return kind === 'unanswered' ? `${what}; others have not confirmed it` : what
}

const unknown = () =>
  page(
    404,
    'This link is no good',
    html`<p>It is not as it was sent, or was meant for something else. Open it once more from the mail itself.</p>`,
  )

const expired = () =>
  page(410, 'This link has expired', html`<p>The time to confirm this notice is over; others have been told since.</p>`)

const left = ({ number, to }: Notice) =>
  page(
    403,
    'This link is no longer good',
    html`<p>${to.name} is no longer on the register of people, so notice ${number} is confirmed by others. Nothing was recorded.</p>`,
  )

const usedBefore = ({ number, answeredAt }: Notice) =>
  page(
    409,
    'This link was used before',
    html`<p>Notice ${number} is confirmed as read already${answeredAt === undefined ? '' : html`, since <time datetime="${answeredAt}">${answeredAt.slice(0, 16).replace('T', ' ')} UTC</time>`}. Nothing more is needed.</p>`,
  )

async function page(status: number, title: string, main: Markup): Promise<Response> {
  const body = html`<main><h1>${title}</h1>
${main}</main>
<footer><p>${safetyWords}</p></footer>`
  return webPage(webDocument(title, stylesheet, body), status, behindASecret)
}

const stylesheet = `
body { margin: 0 auto; padding: 1.5rem; max-width: 36rem; font: 17px/1.5 system-ui, "Liberation Sans", sans-serif }
button { font: inherit; font-weight: 600; padding: .7rem 1.2rem; min-height: 3rem }
footer { opacity: .8; font-size: .9rem }
`
