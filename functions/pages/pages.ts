/** The web, server-rendered: who is signed in sees what the register lets them see, and the API's acts as forms. */
import type { Context } from 'hono'
import { compress } from 'hono/compress'
import { html } from 'hono/html'
import { Hono } from 'hono/tiny'
import { type Instant, isCalendarDate } from '../../shared-domain/calendar.ts'
import { registerIdPattern } from '../../shared-domain/identifier-pattern.ts'
import { type LabelSheetName, labelSheets } from '../../shared-domain/label-sheets.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { invalid, isOutOfReach, notFound, type Refusal, Refused } from '../ground/errors.ts'
import { describe, log } from '../ground/log.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import type { PaperToDraw } from '../questions/papers.ts'
import type { CertificateLook, LabelLook } from '../questions/public-looks.ts'
import { exactlyOne, isPlaceIn } from '../questions/roster.ts'
import type { Shares } from '../requests/fair-shares.ts'
import type { Recorder } from '../requests/request.ts'
import { arrivedAt, sourceOf } from '../web/gateway.ts'
import { pageReaderOf } from '../web/reader.ts'
import { behindASecret, type WebDocument, webPage } from '../web/web-page.ts'
import type { Act, Acting } from './acts/act.ts'
import { acts } from './acts/acts.ts'
import { addDevice, answerToDevice, asksAsDevice, notTaken, toldToSignIn } from './device-doors.ts'
import type { FirstWording } from './first-wording.ts'
import { addGuards, toSignIn } from './guards.ts'
import { documentOf } from './layout.ts'
import type { RosterChoice } from './roster-choice.ts'
import { rosterPage } from './roster-page.ts'
import { addSignIn } from './sign-in.ts'
import { startOf } from './start.ts'
import { trailFrom } from './trail.ts'
import { type Visit, type VisitParts, type Visits, visitsOf } from './visit.ts'
import type { SignInParts } from './ways.ts'
import type { PageWording } from './wording.ts'

export interface PagesParts extends VisitParts {
  /** the pages' own address: forms of another are refused */
  readonly origin: string
  /** address at which calendars fetch feeds; empty where no page tells of one */
  readonly feedsUrl?: string
  /** loaded with the first act; left out in tests that ask more than anybody does */
  readonly shares?: () => Promise<Shares>
  /** answers on printed codes, for anybody; left out in tests that scan none */
  readonly looks?: (() => Promise<Looks>) | undefined
  /** where files come to; left out in tests that send none */
  readonly uploads?: Recorder['uploads']
  /** left out in tests that sign nobody in */
  readonly signIn?: SignInParts
}

interface CodeAsked {
  readonly code: string
  readonly now: Instant
}

export interface Looks {
  readonly label: (asked: CodeAsked) => Promise<LabelLook | undefined>
  readonly certificate: (asked: CodeAsked) => Promise<CertificateLook | undefined>
}

export function buildPages(parts: PagesParts): Hono {
  const { clock, feedsUrl = '', shares, uploads, signIn } = parts
  const app = new Hono()
  // a page is read at a truck too, and the gateway sends it as it comes from here
  app.use('*', compress({ encoding: 'gzip' }))
  const visits = visitsOf(parts)
  addGuards(app, parts.origin, visits)
  app.get('/healthz', (context) => context.text('ok'))
  const times = (context: Context) => ({ now: clock(), issuedAt: arrivedAt(context, clock) })
  if (signIn !== undefined) addSignIn(app, { ...signIn, visits, times })
  const site: Site = { app, visits }
  addLists(site)
  addBrowsedLists(site)
  addRegisters(site)
  addCrew(site)
  addSticks(site)
  addPapers(site, parts)
  addBench(site, parts)
  addLooks(site, parts)
  addRecalls(site)
  addDevice(app, visits, times)
  addImports(site, parts)
  addPlan(site, parts)
  for (const [path, load] of Object.entries(acts)) addAct(site, path, { load, feedsUrl, clock, shares, uploads })
  // of what is not built yet nobody is told more than of what will never be
  addFailures(site)
  return app
}

/** What all pages are added to. */
interface Site {
  readonly app: Hono
  readonly visits: Visits
}

type Page = (asker: Asker, context: Context, wording: PageWording) => Promise<WebDocument>

async function signedIn<T>({ visits }: Site, context: Context, then: (visit: Visit) => Promise<T>) {
  const visit = await visits.of(context)
  if (visit !== null) return then(visit)
  return asksAsDevice(context) ? toldToSignIn() : toSignIn(context)
}

function addPage(site: Site, path: string, of: Page): void {
  site.app.get(path, (context) =>
    signedIn(site, context, async ({ asker, who, wholly }) =>
      webPage(await of(asker, context, await wholly()), { who }),
    ),
  )
}

function addLists(site: Site): void {
  const { app } = site
  app.get('/', (context) => signedIn(site, context, async ({ asker }) => context.redirect(startOf(asker.caller), 303)))
  app.get('/roster', (context) =>
    signedIn(site, context, async ({ asker, who, wording }) => {
      const choice = choiceFrom(context)
      const stickId = await exactlyOne(asker, choice.filter)
      if (stickId !== undefined) return context.redirect(`/sticks/${encodeURIComponent(stickId)}`, 303)
      return webPage(await rosterPage(asker, choice, wording), { who })
    }),
  )
  app.get('/roster.csv', (context) =>
    signedIn(site, context, async ({ asker, wording }) => {
      const { rosterFile } = await import('./roster-file.ts')
      return rosterFile(asker, choiceFrom(context), wording)
    }),
  )
  // each page but the start is loaded with the first that asks for it, the sentences of proposals with theirs
  addPage(site, '/notices', async (by, context, wording) => {
    const { noticesPage } = await import('./notices-page.ts')
    return noticesPage(by, await logChoiceFrom(context), wording)
  })
  addPage(site, '/proposals', async (by, _, wording) =>
    (await import('./proposals-page.ts')).proposalsPage(by, wording),
  )
}

/** Lists that are read from a place on. */
function addBrowsedLists(site: Site): void {
  addPage(site, '/outlook', async (by, context, wording) => {
    const { outlookPage } = await import('./outlook-page.ts')
    const { isPlaceInOutlook } = await import('../questions/outlook.ts')
    const choice = { depotId: asked(context, 'depot', isName), trail: trailOf(context, isPlaceInOutlook) }
    return outlookPage(by, choice, wording)
  })
  addPage(site, '/outlook/year', async (by, context, wording) =>
    (await import('./year-page.ts')).yearPage(by, yearAsked(context), wording),
  )
  site.app.get('/outlook/year.csv', (context) =>
    signedIn(site, context, async ({ asker, wholly }) =>
      (await import('./year-file.ts')).yearFile(asker, yearAsked(context), await wholly()),
    ),
  )
  addPage(site, '/instruments', async (by, context, wording) =>
    (await import('./instruments-page.ts')).instrumentsPage(by, trailOf(context, isName), wording),
  )
  addPage(site, '/instruments/:id', async (by, context, wording) => {
    const { instrumentPage } = await import('./instruments-page.ts')
    const { isPlaceOfTest } = await import('../questions/instruments.ts')
    return instrumentPage(by, { id: nameFrom(context, 'id'), trail: trailOf(context, isPlaceOfTest) }, wording)
  })
}

function addRegisters(site: Site): void {
  addPage(site, '/registers', async (by, _, wording) => (await registerPages()).registersPage(by, wording))
  site.app.get('/registers/sticks', (context, next) =>
    signedIn(site, context, async () => {
      const id = asked(context, 'id', isName)
      return id === undefined ? next() : context.redirect(`/registers/sticks/${id}`)
    }),
  )
  addPage(site, '/registers/:register', async (by, context, wording) => {
    const at = { path: nameFrom(context, 'register'), after: placeFrom(context) }
    return (await registerPages()).registerPage(by, at, wording)
  })
  addPage(site, '/registers/:register/:id', async (by, context, wording) => {
    const at = { path: nameFrom(context, 'register'), id: nameFrom(context, 'id') }
    return (await registerPages()).entryPage(by, at, wording)
  })
}

function addCrew(site: Site): void {
  addPage(site, '/crew', async (by, context, wording) => {
    const choice = { crewId: asked(context, 'crew', isName), isTold: context.req.query('done') === 'recorded' }
    return (await import('./crew-page.ts')).crewPage(by, choice, wording)
  })
  site.app.get('/say', (context) =>
    signedIn(site, context, async ({ asker, who, wholly }) => {
      const typed = (context.req.query('stick') ?? '').trim()
      const { numberAsKnown } = await import('../questions/told-of.ts')
      const number = isName(typed) ? await numberAsKnown(asker, typed) : undefined
      if (number === undefined)
        return webPage(await (await import('./say-page.ts')).whichStickPage(typed, await wholly()), { who })
      const what = context.req.query('what') === 'report' ? 'report' : 'say'
      return context.redirect(`/sticks/${encodeURIComponent(number)}/${what}`, 303)
    }),
  )
}

const registerPages = () => import('./registers/pages.ts')

function addSticks(site: Site): void {
  addPage(site, '/sticks/:id', async (by, context, wording) => {
    const at = { stickId: nameFrom(context, 'id'), past: historyFrom(context) }
    return (await import('./stick-page.ts')).stickPage(by, at, wording)
  })
  site.app.get('/sticks/:id/proof', (context) =>
    signedIn(site, context, async ({ asker, wholly }) => {
      const { proofDownload } = await import('./proof-file.ts')
      const [on, asKnownOn] = ['on', 'asKnownOn'].map((name) => asked(context, name, isCalendarDate))
      return proofDownload(asker, { stickId: nameFrom(context, 'id'), on, asKnownOn }, await wholly())
    }),
  )
  addPage(site, '/sticks/:id/say', async (by, context, wording) =>
    (await import('./say-page.ts')).sayPage(by, nameFrom(context, 'id'), wording),
  )
  addPage(site, '/sticks/:id/bench-tests/:factId', async (by, context, wording) => {
    const at = { stickId: nameFrom(context, 'id'), factId: nameFrom(context, 'factId') }
    return (await import('./test-page.ts')).testPage(by, at, wording)
  })
}

/** Tests are taken down on a device, and recorded by the request that records them. */
function addBench(site: Site, parts: PagesParts): void {
  const pages = () => import('./bench-page.ts')
  site.app.get('/bench', (context) =>
    signedIn(site, context, async ({ asker, who, wholly }) => {
      const { benchPathOf, benchQueuePage, typedAtBench } = await pages()
      const typed = (context.req.query('stick') ?? '').trim()
      const number = isName(typed) ? await typedAtBench(asker, typed) : null
      if (number !== null) return context.redirect(benchPathOf(number), 303)
      return webPage(await benchQueuePage(asker, typed, await wholly()), { who })
    }),
  )
  site.app.get('/bench/:id', (context) =>
    signedIn(site, context, async ({ asker, who, wholly }) => {
      const asked = { stickId: nameFrom(context, 'id'), name: who.name }
      return webPage(await (await pages()).benchEntryPage(asker, asked, await wholly()), { who })
    }),
  )
  const acting = actingBy(parts)
  site.app.post('/bench/:id', (context) =>
    signedIn(site, context, async (visit) =>
      (await import('./bench-acts.ts')).recordFromBench(await acting(context, visit), context),
    ),
  )
}

/** Papers: all that makes them is loaded with the first. */
function addPapers(site: Site, { origin }: PagesParts): void {
  const add = (path: string, of: (by: Asker, context: Context) => Promise<PaperToDraw>) =>
    site.app.get(path, (context) =>
      signedIn(site, context, async ({ asker, wholly }) => {
        const { codePathFor } = await import('../requests/paper-codes.ts')
        const paper = await of(asker, context)
        const [directory, codePath] = await Promise.all([directoryFor(asker), codePathFor(asker, paper)])
        const { paperShown } = await import('./papers/paper-file.ts')
        return paperShown(asker, { paper, directory, codePath }, { wording: await wholly(), origin })
      }),
    )
  const questions = () => import('../questions/papers.ts')
  add('/sticks/:id/certificate', async (by, context) => {
    const known = await (await questions()).certificateFor(by, nameFrom(context, 'id'), asked(context, 'test', isName))
    return { kind: 'certificate', known }
  })
  add('/sticks/:id/tag', async (by, context) => {
    const { sheetFor } = await import('../questions/sticks.ts')
    return { kind: 'tag', known: await sheetFor(by, nameFrom(context, 'id')) }
  })
  add('/sticks/:id/label', async (by, context) => {
    const known = await (await questions()).labelFor(by, nameFrom(context, 'id'))
    const sheet = asked(context, 'sheet', isLabelSheet) ?? 'a4-24'
    return { kind: 'label', known, asked: { sheet, place: Math.max(1, numberFrom(context, 'place')) } }
  })
  add('/sticks/:id/worksheet', async (by, context) => {
    const [procedureId, instrumentId] = ['procedure', 'instrument'].map((name) => asked(context, name, isName))
    const known = await (await questions()).worksheetFor(by, nameFrom(context, 'id'), { procedureId, instrumentId })
    return { kind: 'worksheet', known }
  })
  add('/depots/:id/bench-list', async (by, context) => {
    return { kind: 'bench list', known: await (await questions()).benchListFor(by, nameFrom(context, 'id')) }
  })
}

/** A printed code is looked at without signing in. Each network has a share of its own. */
function addLooks({ app }: Site, { looks, clock, shares }: PagesParts): void {
  const add = (path: string, of: (by: Looks, code: string, context: Context) => Promise<WebDocument | undefined>) =>
    app.get(path, async (context) => {
      if (looks === undefined) return context.notFound()
      const { noLookPage } = await import('./look-pages.ts')
      try {
        ;(await shares?.())?.admit({ organisation: `scans from ${sourceOf(context)}`, personId: '' }, {}, null)
      } catch (error) {
        if (!(error instanceof Refused) || error.refusal.kind !== 'too many') throw error
        const headers = { ...behindASecret, 'retry-after': `${error.refusal.seconds}` }
        return webPage(noLookPage('look busy', await wordingAskedOf(context)), { status: 429, headers })
      }
      const shown = await of(await looks(), context.req.param('code') ?? '', context)
      const page = shown ?? noLookPage('look nothing', await wordingAskedOf(context))
      return webPage(page, { status: shown === undefined ? 404 : 200, headers: behindASecret })
    })
  add('/s/:code', async ({ label }, code, context) => {
    const look = await label({ code, now: clock() })
    return look && (await import('./look-pages.ts')).labelLookPage(look, await wordingAskedOf(context))
  })
  add('/c/:code', async ({ certificate }, code, context) => {
    const look = await certificate({ code, now: clock() })
    return look && (await import('./look-pages.ts')).certificateLookPage(look, await wordingAskedOf(context))
  })
}

const wordingAskedOf = async (context: Context) =>
  (await import('./wording.ts')).pageWordingFor(pageReaderOf(context.req.raw))

const isLabelSheet = (text: string): text is LabelSheetName => text in labelSheets

function addRecalls(site: Site): void {
  addPage(site, '/recalls', async (by, _, wording) => (await import('./recalls-page.ts')).recallsPage(by, wording))
  addPage(site, '/recalls/:id', async (by, context, wording) =>
    (await import('./recalls-page.ts')).recallPage(by, nameFrom(context, 'id'), wording),
  )
  site.app.get('/recalls/:id/report.csv', (context) =>
    signedIn(site, context, async ({ asker, wholly }) =>
      (await import('./recall-file.ts')).recallFile(asker, nameFrom(context, 'id'), await wholly()),
    ),
  )
}

/** What shows and performs acts, loaded with the first. */
const performer = () => import('./acts/act.ts')

type Optional = 'feedsUrl' | 'shares' | 'uploads'
type ActingParts = Pick<PagesParts, 'clock'> & { readonly [name in Optional]?: PagesParts[name] | undefined }

type ActParts = ActingParts & { readonly load: () => Promise<Act> }

const actingBy =
  ({ feedsUrl = '', clock, shares, uploads }: ActingParts) =>
  async (context: Context, { asker, wholly }: Visit): Promise<Acting> => ({
    by: { ...asker, feedsUrl, uploads, arrivedAt: arrivedAt(context, clock), shares: await shares?.() },
    params: namesFrom(context),
    query: context.req.query(),
    queries: context.req.queries(),
    wording: await wholly(),
  })

/** Spreadsheets that somebody sends or takes out: all of it is loaded with the first. */
function addImports(site: Site, parts: PagesParts): void {
  const acting = actingBy(parts)
  const pages = () => import('./imports-acts.ts')
  addPage(site, '/imports', async (by, _, wording) => (await import('./imports-page.ts')).importsPage(by, wording))
  site.app.get('/imports/templates/:kind', (context) =>
    signedIn(site, context, async (visit) => (await pages()).templateOf(await acting(context, visit))),
  )
  site.app.get('/exports/:kind', (context) =>
    signedIn(site, context, async (visit) => (await pages()).takenOut(await acting(context, visit))),
  )
  site.app.get('/imports/:id', (context) =>
    signedIn(site, context, async (visit) => {
      const { document, leadsTo } = await (await pages()).importShown(await acting(context, visit), parts.origin)
      return webPage(document, { who: visit.who, leadsTo })
    }),
  )
  for (const [path, act] of [
    ['/imports', 'beginImport'],
    ['/imports/:id/reading', 'sayReading'],
    ['/imports/:id/apply', 'applyImport'],
  ] as const)
    site.app.post(path, (context) =>
      signedIn(site, context, async (visit) =>
        context.redirect(await (await pages())[act](await acting(context, visit), context), 303),
      ),
    )
}

/** The plan of a bench: what it does is loaded with whoever first does it. */
function addPlan(site: Site, parts: PagesParts): void {
  const acting = actingBy(parts)
  addPage(site, '/plan', async (by, context, wording) =>
    (await import('./plan-page.ts')).planPage(by, { depotId: asked(context, 'depot', isName) }, wording),
  )
  addPage(site, '/plan/try', async (by, context, wording) =>
    (await import('./plan-try.ts')).tryPage(by, context.req.query(), wording),
  )
  site.app.get('/plan/week.csv', (context) =>
    signedIn(site, context, async ({ asker, wholly }) => {
      const [depotId = '', day] = [asked(context, 'depot', isName), asked(context, 'week', isCalendarDate)]
      return (await import('./plan-file.ts')).pickList(asker, { depotId, day }, await wholly())
    }),
  )
  site.app.post('/plan', (context) =>
    signedIn(site, context, async (visit) => {
      const changed = await (await import('./plan-acts.ts')).changePlan(await acting(context, visit), context)
      if ('goTo' in changed) return context.redirect(changed.goTo, 303)
      return webPage(changed.document, { status: 422, who: visit.who })
    }),
  )
}

function addAct(site: Site, path: string, { load, ...parts }: ActParts): void {
  const acting = actingBy(parts)
  site.app.get(path, (context) =>
    signedIn(site, context, async (visit) =>
      webPage(await (await performer()).showAct(await load(), await acting(context, visit)), { who: visit.who }),
    ),
  )
  site.app.post(path, (context) =>
    signedIn(site, context, async (visit) => {
      const shown = await (await performer()).sendAct(await load(), await acting(context, visit), context)
      if (asksAsDevice(context)) return answerToDevice(shown)
      if ('goTo' in shown) return context.redirect(shown.goTo, 303)
      return webPage(shown.document, { status: shown.status, who: visit.who })
    }),
  )
}

function addFailures({ app, visits }: Site): void {
  const answered = async (context: Context, of: (wording: FirstWording) => [WebDocument, number]) => {
    const [document, status] = of(await visits.wordingOf(context))
    if (asksAsDevice(context)) return notTaken(status, [document.title])
    return webPage(document, { status, who: (await visits.of(context))?.who })
  }
  app.notFound((context) => answered(context, (wording) => [missing('no such thing', wording), 404]))
  app.onError(async (error, context) => {
    if (error instanceof Refused) return answered(context, (wording) => refusal(error.refusal, wording))
    log('error', 'page failed', { trouble: describe(error) })
    return webPage(failed(await visits.wordingAsked(context)), { status: isOutOfReach(error) ? 503 : 500 })
  })
}

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
    lent: isAsked(context, 'lent', 'true'),
    atBench: isAsked(context, 'bench', 'true'),
  }
  const byCrew = isAsked(context, 'group', 'crew')
  const isAllTicked = isAsked(context, 'tick', 'all')
  // of the list as a link of ours wrote it; anything else begins at the beginning
  const place = (name: string) => [context.req.query(name) ?? ''].find((one) => isPlaceIn(one, filter))
  const [after, before] = [place('after'), place('before')]
  const edge = before === undefined ? { after: after ?? '' } : { before }
  return { filter, edge, byCrew, isAllTicked, from: numberFrom(context, 'from') }
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

function yearAsked(context: Context) {
  const year = asked(context, 'year', (text): text is string => /^(19[89]\d|20\d\d)$/.test(text))
  return { depotId: asked(context, 'depot', isName), year: year === undefined ? undefined : Number(year) }
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
 * What was not asked for, or left empty in a form, is no choice. What has not the form of one is not passed over: to
 * show everything would answer another question.
 */
function asked<T extends string>(context: Context, name: string, isOne: (text: string) => text is T): T | undefined {
  const text = context.req.query(name)?.trim()
  if (text === undefined || text === '') return undefined
  if (isOne(text)) return text
  throw invalid({ pointer: `/${name}`, came: text, expected: name })
}

/** A choice that has one value alone. */
function isAsked(context: Context, name: string, value: string): boolean {
  return asked(context, name, (text): text is string => text === value) !== undefined
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
  '/on': 'no such date',
  '/asKnownOn': 'no such date',
  '/year': 'no such date',
  '/status': 'no such status',
  '/depot': 'no such depot',
  '/id': 'no such stick',
  '/store': 'no such depot',
  '/lot': 'no such lot',
  '/q': 'no such stick',
} as const
type Unknown = (typeof unknown)[keyof typeof unknown] | 'no such thing'

function refusal(why: Refusal, wording: FirstWording): [document: WebDocument, status: number] {
  if (why.kind === 'not allowed') return [notForYou(wording), 403]
  const [fault] = why.kind === 'invalid' ? why.faults : []
  const what = unknown[(fault?.pointer ?? '') as keyof typeof unknown] ?? 'no such thing'
  return [missing(what, wording), 404]
}

function notForYou(wording: FirstWording): WebDocument {
  const { say } = wording
  const title = say('not for you')
  return documentOf({ title, main: html`<h1>${title}</h1><p class="empty">${say('ask a manager')}</p>` }, wording)
}

function missing(what: Unknown, wording: FirstWording): WebDocument {
  const { say } = wording
  const main = html`<h1>${say(what)}</h1>
<ul class="empty"><li><a href="/roster">${say('look on the roster')}</a></li>
<li><a href="/notices">${say('look among the notices')}</a></li></ul>`
  return documentOf({ title: say('not found'), main }, wording)
}

function failed(wording: FirstWording): WebDocument {
  const { say } = wording
  const title = say('failed')
  return documentOf({ title, main: html`<h1>${title}</h1><p class="empty">${say('try again')}</p>` }, wording)
}
