/** The web, server-rendered: who is signed in sees what the register lets them see, and the API's acts as forms. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Hono } from 'hono/tiny'
import { isCalendarDate } from '../../shared-domain/calendar.ts'
import { registerIdPattern } from '../../shared-domain/identifier-pattern.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { invalid, notFound, type Refusal, Refused } from '../ground/errors.ts'
import { describe, log } from '../ground/log.ts'
import type { Asker } from '../questions/asker.ts'
import { isPlaceIn } from '../questions/roster.ts'
import { arrivedAt } from '../web/gateway.ts'
import { type WebDocument, webPage } from '../web/web-page.ts'
import type { Acting } from './acts/act.ts'
import { acts } from './acts/acts.ts'
import { addGuards, toSignIn } from './guards.ts'
import { documentOf } from './layout.ts'
import { rosterPage } from './roster-page.ts'
import { addSignIn } from './sign-in.ts'
import { startOf } from './start.ts'
import { type Visit, type VisitParts, visitsOf } from './visit.ts'
import type { SignInParts } from './ways.ts'
import type { PageWording } from './wording.ts'

export interface PagesParts extends VisitParts {
  /** the pages' own address: forms of another are refused */
  readonly origin: string
  /** address at which calendars fetch feeds; empty where no page tells of one */
  readonly feedsUrl?: string
  /** left out in tests that sign nobody in */
  readonly signIn?: SignInParts
}

type Page = (asker: Asker, context: Context, wording: PageWording) => Promise<WebDocument>

export function buildPages(parts: PagesParts): Hono {
  const { clock, feedsUrl = '', signIn } = parts
  const app = new Hono()
  const visits = visitsOf(parts)
  addGuards(app, parts.origin, visits)
  app.get('/healthz', (context) => context.text('ok'))
  const times = (context: Context) => ({ now: clock(), issuedAt: arrivedAt(context, clock) })
  if (signIn !== undefined) addSignIn(app, { ...signIn, visits, times })
  type Answered = (visit: Visit) => Promise<Response>
  const signedIn = async (context: Context, then: Answered) => {
    const visit = await visits.of(context)
    return visit === null ? toSignIn(context) : then(visit)
  }
  const page = (path: string, of: Page) =>
    app.get(path, (context) =>
      signedIn(context, async ({ asker, who, wording }) => webPage(await of(asker, context, wording), { who })),
    )
  app.get('/', (context) => signedIn(context, async ({ asker }) => context.redirect(startOf(asker.caller), 303)))
  page('/roster', (by, context, wording) => rosterPage(by, choiceFrom(context), wording))
  // each page but the start is loaded with the first that asks for it, the sentences of proposals with theirs
  page('/notices', async (by, context, wording) => {
    const { noticesPage } = await import('./notices-page.ts')
    return noticesPage(by, await logChoiceFrom(context), wording)
  })
  page('/proposals', async (by, _, wording) => (await import('./proposals-page.ts')).proposalsPage(by, wording))
  page('/sticks/:id', async (by, context, wording) => {
    const asked = { stickId: nameFrom(context, 'id'), past: historyFrom(context) }
    return (await import('./stick-page.ts')).stickPage(by, asked, wording)
  })
  page('/sticks/:id/bench-tests/:factId', async (by, context, wording) => {
    const asked = { stickId: nameFrom(context, 'id'), factId: nameFrom(context, 'factId') }
    return (await import('./test-page.ts')).testPage(by, asked, wording)
  })
  for (const [path, load] of Object.entries(acts)) {
    const acting = (context: Context, { asker, wording }: Visit): Acting => ({
      by: { ...asker, feedsUrl },
      params: namesFrom(context),
      query: context.req.query(),
      wording,
    })
    app.get(path, (context) =>
      signedIn(context, async (visit) =>
        webPage(await (await performer()).showAct((await load()).act, acting(context, visit)), { who: visit.who }),
      ),
    )
    app.post(path, (context) =>
      signedIn(context, async (visit) => {
        const shown = await (await performer()).sendAct((await load()).act, acting(context, visit), context)
        const { who } = visit
        if ('goTo' in shown) return context.redirect(shown.goTo, 303)
        return webPage(shown.document, { status: shown.status, who })
      }),
    )
  }
  // of what is not built yet nobody is told more than of what will never be
  for (const path of toCome) page(path, () => Promise.reject(notFound('page')))
  const answered = async (context: Context, of: (wording: PageWording) => [WebDocument, number]) => {
    const [document, status] = of(await visits.wordingOf(context))
    return webPage(document, { status, who: (await visits.of(context))?.who })
  }
  app.notFound((context) => answered(context, (wording) => [missing('no such thing', wording), 404]))
  app.onError(async (error, context) => {
    if (error instanceof Refused) return answered(context, (wording) => refusal(error.refusal, wording))
    log('error', 'page failed', { trouble: describe(error) })
    return webPage(failed(await visits.wordingAsked(context)), { status: 500 })
  })
  return app
}

/** What shows and performs acts, loaded with the first. */
const performer = () => import('./acts/act.ts')

/** Pages of the contract that are not there yet: they are pages all the same, and ask who it is first. */
const toCome = ['/crew', '/bench', '/imports', '/recalls', '/instruments', '/outlook', '/plan']

function choiceFrom(context: Context) {
  const status = asked(context, 'status', isStatus)
  const [depotId, crewId] = [asked(context, 'depot', isName), asked(context, 'crew', isName)]
  // of the list as a link of ours wrote it; anything else begins at the beginning
  const after = context.req.query('after')
  return { status, depotId, crewId, after: after !== undefined && isPlaceIn(after, { status }) ? after : undefined }
}

async function logChoiceFrom(context: Context) {
  const { isPlaceInLog } = await import('../questions/notices.ts')
  const [stick, crew, person] = ['stick', 'crew', 'person'].map((name) => asked(context, name, isName))
  const after = context.req.query('after')
  return {
    ...{ stick, crew, person },
    to: await addressAsked(context),
    since: asked(context, 'since', isCalendarDate),
    after: after !== undefined && isPlaceInLog(after) ? after : undefined,
  }
}

const isName = (text: string): text is string => registerIdPattern.test(text)
const isStatus = (text: string): text is Status => (statuses as readonly string[]).includes(text)

/** What makes schemas is as long as all pages, and is loaded when somebody first asks by an address. */
async function addressAsked(context: Context): Promise<string | undefined> {
  if ((context.req.query('to') ?? '') === '') return undefined
  const { mailAddress } = await import('../../shared-domain/mail-address.ts')
  return asked(context, 'to', (text): text is string => mailAddress.safeParse(text).success)
}

/** How many of the newest facts were seen already. */
function historyFrom(context: Context): number {
  const past = Number(context.req.query('past') ?? '0')
  return Number.isSafeInteger(past) && past > 0 ? past : 0
}

/**
 * What was not asked for, or left empty in a form, is no choice. What has not the form of one is not passed over: to show
 * everything would answer another question.
 */
function asked<T extends string>(context: Context, name: string, isOne: (text: string) => text is T): T | undefined {
  const text = context.req.query(name)
  if (text === undefined || text === '') return undefined
  if (isOne(text)) return text
  throw invalid({ pointer: `/${name}`, came: text, expected: name })
}

function namesFrom(context: Context): Record<string, string> {
  const params = context.req.param() as Record<string, string> // a router of paths in text knows no names of parameters
  return Object.fromEntries(Object.keys(params).map((name) => [name, nameFrom(context, name)]))
}

/** Of what is no name nothing is looked up. */
function nameFrom(context: Context, parameter: string): string {
  const name = context.req.param(parameter) ?? ''
  if (!isName(name)) throw notFound(parameter)
  return name
}

/** What is said where what was asked for has not the form of such a thing. */
const unknown = {
  '/stick': 'no such stick',
  '/crew': 'no such crew',
  '/person': 'no such person',
  '/to': 'no such address',
  '/since': 'no such date',
  '/status': 'no such status',
  '/depot': 'no such depot',
} as const
type Unknown = (typeof unknown)[keyof typeof unknown] | 'no such thing'

function refusal(why: Refusal, wording: PageWording): [document: WebDocument, status: number] {
  if (why.kind === 'not allowed') return [notForYou(wording), 403]
  const [fault] = why.kind === 'invalid' ? why.faults : []
  const what = unknown[(fault?.pointer ?? '') as keyof typeof unknown] ?? 'no such thing'
  return [missing(what, wording), 404]
}

function notForYou(wording: PageWording): WebDocument {
  const { say } = wording
  const title = say('not for you')
  return documentOf({ title, main: html`<h1>${title}</h1><p class="empty">${say('ask a manager')}</p>` }, wording)
}

function missing(what: Unknown, wording: PageWording): WebDocument {
  const { say } = wording
  const main = html`<h1>${say(what)}</h1>
<ul class="empty"><li><a href="/roster">${say('look on the roster')}</a></li>
<li><a href="/notices">${say('look among the notices')}</a></li></ul>`
  return documentOf({ title: say('not found'), main }, wording)
}

function failed(wording: PageWording): WebDocument {
  const { say } = wording
  const title = say('failed')
  return documentOf({ title, main: html`<h1>${title}</h1><p class="empty">${say('try again')}</p>` }, wording)
}
