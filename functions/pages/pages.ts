/** The web: read only, server-rendered. Served by the local stack only, until people can sign in. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Hono } from 'hono/tiny'
import { isCalendarDate } from '../../shared-domain/calendar.ts'
import { registerIdPattern } from '../../shared-domain/identifier-pattern.ts'
import type { Reader } from '../../shared-domain/wording.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import type { WallClock } from '../ground/clock.ts'
import { invalid, notFound, type Refusal, Refused } from '../ground/errors.ts'
import { describe, log } from '../ground/log.ts'
import type { Asker } from '../questions/asker.ts'
import { exactlyOne, isPlaceIn } from '../questions/roster.ts'
import { pageReaderOf } from '../web/reader.ts'
import { type WebDocument, webPage } from '../web/web-page.ts'
import { type Acting, sendAct, showAct } from './acts/act.ts'
import { acts } from './acts/acts.ts'
import { documentOf } from './layout.ts'
import type { RosterChoice } from './roster-choice.ts'
import { rosterPage } from './roster-page.ts'
import { stickPage } from './stick-page.ts'
import { testPage } from './test-page.ts'
import { trailFrom } from './trail.ts'
import { type PageWording, pageWordingFor } from './wording.ts'

/** Nobody signs in yet; whoever reaches the pages reads as a manager of every depot does. */
const reader: Asker['caller'] = { personId: 'pages', role: 'manager', depots: ['*'], crewId: null }

export interface PagesParts {
  /** opened anew for each page */
  readonly open: () => Asker['organisation']
  readonly clock: WallClock
  /** address at which calendars fetch feeds; empty where no page tells of one */
  readonly feedsUrl?: string
  /** passed in, so that a test may speak otherwise */
  readonly wordingFor?: (reader: Reader) => Promise<PageWording>
}

type Page = (asker: Asker, context: Context, wording: PageWording) => Promise<WebDocument>

export function buildPages({ open, clock, feedsUrl = '', wordingFor = pageWordingFor }: PagesParts): Hono {
  const app = new Hono()
  const asker = (): Asker => ({ organisation: open(), caller: reader, now: clock() })
  const wordingOf = (context: Context) => wordingFor(pageReaderOf(context.req.raw))
  const page = (path: string, of: Page) =>
    app.get(path, async (context) => webPage(await of(asker(), context, await wordingOf(context))))
  app.get('/', (context) => context.redirect('/roster'))
  app.get('/roster', async (context) => {
    const [by, choice] = [asker(), choiceFrom(context)]
    const stickId = await exactlyOne(by, choice.filter)
    if (stickId !== undefined) return context.redirect(`/sticks/${encodeURIComponent(stickId)}`, 303)
    return webPage(await rosterPage(by, choice, await wordingOf(context)))
  })
  app.get('/roster.csv', async (context) => {
    const { rosterFile } = await import('./roster-file.ts')
    return rosterFile(asker(), choiceFrom(context), await wordingOf(context))
  })
  // pages that are seldom the first, and the sentences of proposals, are loaded with the first that asks for them
  page('/notices', async (by, context, wording) => {
    const { noticesPage } = await import('./notices-page.ts')
    return noticesPage(by, await logChoiceFrom(context), wording)
  })
  pagesOfLists(page)
  page('/proposals', async (by, _, wording) => (await import('./proposals-page.ts')).proposalsPage(by, wording))
  page('/registers', async (by, _, wording) => (await registerPages()).registersPage(by, wording))
  app.get('/registers/sticks', async (context, next) => {
    const id = asked(context, 'id', isName)
    return id === undefined ? next() : context.redirect(`/registers/sticks/${id}`)
  })
  page('/registers/:register', async (by, context, wording) => {
    const at = { path: nameFrom(context, 'register'), after: placeFrom(context) }
    return (await registerPages()).registerPage(by, at, wording)
  })
  page('/registers/:register/:id', async (by, context, wording) => {
    const at = { path: nameFrom(context, 'register'), id: nameFrom(context, 'id') }
    return (await registerPages()).entryPage(by, at, wording)
  })
  page('/sticks/:id', (by, context, wording) =>
    stickPage(by, { stickId: nameFrom(context, 'id'), past: historyFrom(context) }, wording),
  )
  page('/sticks/:id/bench-tests/:factId', (by, context, wording) =>
    testPage(by, { stickId: nameFrom(context, 'id'), factId: nameFrom(context, 'factId') }, wording),
  )
  for (const [path, load] of Object.entries(acts)) {
    const acting = async (context: Context): Promise<Acting> => ({
      by: { ...asker(), feedsUrl },
      params: namesFrom(context),
      query: context.req.query(),
      queries: context.req.queries(),
      wording: await wordingOf(context),
    })
    app.get(path, async (context) => webPage(await showAct(await load(), await acting(context))))
    app.post(path, async (context) => {
      const shown = await sendAct(await load(), await acting(context), context)
      return 'goTo' in shown ? context.redirect(shown.goTo, 303) : webPage(shown.document, shown.status)
    })
  }
  app.notFound(async (context) => webPage(missing('no such thing', await wordingOf(context)), 404))
  app.onError(async (error, context) => {
    const wording = await wordingOf(context)
    if (error instanceof Refused) return refusal(error.refusal, wording)
    log('error', 'page failed', { trouble: describe(error) })
    return webPage(failed(wording), 500)
  })
  return app
}

/** Lists that are read from a place on. */
function pagesOfLists(page: (path: string, of: Page) => void): void {
  page('/outlook', async (by, context, wording) => {
    const { outlookPage } = await import('./outlook-page.ts')
    const { isPlaceInOutlook } = await import('../questions/outlook.ts')
    const choice = { depotId: asked(context, 'depot', isName), trail: trailOf(context, isPlaceInOutlook) }
    return outlookPage(by, choice, wording)
  })
  page('/instruments', async (by, context, wording) =>
    (await import('./instruments-page.ts')).instrumentsPage(by, trailOf(context, isName), wording),
  )
  page('/instruments/:id', async (by, context, wording) => {
    const { instrumentPage } = await import('./instruments-page.ts')
    const { isPlaceOfTest } = await import('../questions/instruments.ts')
    return instrumentPage(by, { id: nameFrom(context, 'id'), trail: trailOf(context, isPlaceOfTest) }, wording)
  })
}

const registerPages = () => import('./registers/pages.ts')

/** The place to go on after, as a link of ours wrote it; anything else begins at the beginning. */
function placeFrom(context: Context): string {
  const after = context.req.query('after') ?? ''
  return isName(after) || isPlaceIn(after, {}) ? after : ''
}

function choiceFrom(context: Context): RosterChoice {
  const [depotId, crewId, store] = ['depot', 'crew', 'store'].map((name) => asked(context, name, isName))
  const filter = {
    status: asked(context, 'status', isStatus),
    ...{ depotId, crewId, store },
    lot: asked(context, 'lot', isShort),
    part: asked(context, 'q', isShort),
    due: dueFrom(context),
    lent: asked(context, 'lent', (text): text is 'true' => text === 'true') !== undefined,
  }
  const byCrew = asked(context, 'group', (text): text is 'crew' => text === 'crew') !== undefined
  // of the list as a link of ours wrote it; anything else begins at the beginning
  const place = (name: string) => [context.req.query(name) ?? ''].find((one) => isPlaceIn(one, filter))
  const [after, before] = [place('after'), place('before')]
  const edge = before === undefined ? { after: after ?? '' } : { before }
  return { filter, edge, byCrew, from: numberFrom(context, 'from') }
}

/** Both ends of the days in which sticks are due, or neither. */
function dueFrom(context: Context) {
  const [from, to] = [asked(context, 'dueFrom', isCalendarDate), asked(context, 'dueTo', isCalendarDate)]
  return from === undefined || to === undefined ? undefined : { from, to }
}

const trailOf = (context: Context, isPlace: (place: string) => boolean) =>
  trailFrom((name) => context.req.query(name), isPlace)

/**
 * A number is looked for as it was typed. What else has not the form of a choice is named by the page, which keeps the
 * form.
 */
async function logChoiceFrom(context: Context) {
  const { isPlaceInLog } = await import('../questions/notices.ts')
  const typed = (name: string) => (context.req.query(name) ?? '').trim() || undefined
  const [stick, crew, person, to, since] = ['stick', 'crew', 'person', 'to', 'since'].map(typed)
  const isUnknown = [
    [crew === undefined || isName(crew), 'no such crew'],
    [person === undefined || isName(person), 'no such person'],
    [to === undefined || (await isAddress(to)), 'no such address'],
    [since === undefined || isCalendarDate(since), 'no such date'],
  ] as const
  return {
    ...{ stick, crew, person, to },
    since: since !== undefined && isCalendarDate(since) ? since : undefined,
    trail: trailOf(context, isPlaceInLog),
    unknown: isUnknown.flatMap(([isRight, what]) => (isRight ? [] : [what])),
  }
}

const isName = (text: string): text is string => registerIdPattern.test(text)
const isShort = (text: string): text is string => text.length <= 64
const isStatus = (text: string): text is Status => (statuses as readonly string[]).includes(text)

/** What makes schemas is as long as all pages, and is loaded when somebody first asks by an address. */
async function isAddress(text: string): Promise<boolean> {
  const { mailAddress } = await import('../../shared-domain/mail-address.ts')
  return mailAddress.safeParse(text).success
}

/** How many of the newest facts were seen already. */
const historyFrom = (context: Context) => numberFrom(context, 'past')

function numberFrom(context: Context, name: string): number {
  const number = Number(context.req.query(name) ?? '0')
  return Number.isSafeInteger(number) && number > 0 ? number : 0
}

/**
 * What was not asked for, or left empty in a form, is no choice. What has not the form of one is not passed over: to show
 * everything would answer another question.
 */
function asked<T extends string>(context: Context, name: string, isOne: (text: string) => text is T): T | undefined {
  const text = context.req.query(name)?.trim()
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
  if (!isName(name)) throw notFound({ is: 'none: entry', entry: parameter, id: name })
  return name
}

/** What is said where what was asked for has not the form of such a thing. */
const unknown = {
  '/crew': 'no such crew',
  '/dueFrom': 'no such date',
  '/dueTo': 'no such date',
  '/status': 'no such status',
  '/depot': 'no such depot',
  '/id': 'no such stick',
  '/store': 'no such depot',
  '/lot': 'no such lot',
  '/q': 'no such stick',
} as const
type Unknown = (typeof unknown)[keyof typeof unknown] | 'no such thing'

function refusal(why: Refusal, wording: PageWording): Promise<Response> {
  if (why.kind === 'not allowed') return webPage(notForYou(wording), 403)
  const [fault] = why.kind === 'invalid' ? why.faults : []
  const what = unknown[(fault?.pointer ?? '') as keyof typeof unknown] ?? 'no such thing'
  return webPage(missing(what, wording), 404)
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
