/** The web: read only, server-rendered. Served by the local stack only, until people can sign in. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Hono } from 'hono/tiny'
import * as z from 'zod'
import { calendarDate } from '../../shared-domain/date-fields.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import { mailAddress } from '../../shared-domain/mail-address.ts'
import { statuses } from '../../shared-domain/words.ts'
import type { WallClock } from '../ground/clock.ts'
import { invalid, notFound, type Refusal, Refused } from '../ground/errors.ts'
import { describe, log } from '../ground/log.ts'
import type { Asker } from '../questions/asker.ts'
import { isPlaceIn } from '../questions/roster.ts'
import { type Markup, webPage } from '../web/web-page.ts'
import { documentOf } from './layout.ts'
import { rosterPage } from './roster-page.ts'
import { stickPage } from './stick-page.ts'
import { testPage } from './test-page.ts'

/** Nobody signs in yet; whoever reaches the pages reads as a manager of every depot does. */
const reader: Asker['caller'] = { personId: 'pages', role: 'manager', depots: ['*'], crewId: null }

export interface PagesParts {
  /** opened anew for each page */
  readonly open: () => Asker['organisation']
  readonly clock: WallClock
}

export function buildPages({ open, clock }: PagesParts): Hono {
  const app = new Hono()
  const asker = (): Asker => ({ organisation: open(), caller: reader, now: clock() })
  const page = (path: string, of: (asker: Asker, context: Context) => Promise<Markup>) =>
    app.get(path, async (context) => webPage(await of(asker(), context)))
  app.get('/', (context) => context.redirect('/roster'))
  page('/roster', (by, context) => rosterPage(by, choiceFrom(context)))
  // pages that are seldom the first, and the sentences of proposals, are loaded with the first that asks for them
  page('/notices', async (by, context) => {
    const { noticesPage } = await import('./notices-page.ts')
    return noticesPage(by, await logChoiceFrom(context))
  })
  page('/proposals', async (by) => (await import('./proposals-page.ts')).proposalsPage(by))
  page('/sticks/:id', (by, context) => stickPage(by, nameFrom(context, 'id'), historyFrom(context)))
  page('/sticks/:id/bench-tests/:factId', (by, context) =>
    testPage(by, nameFrom(context, 'id'), nameFrom(context, 'factId')),
  )
  app.notFound(() => webPage(missing(), 404))
  app.onError((error) => {
    if (error instanceof Refused) return refusal(error.refusal)
    log('error', 'page failed', { trouble: describe(error) })
    return webPage(failed(), 500)
  })
  return app
}

function choiceFrom(context: Context) {
  const status = asked(context, 'status', z.enum(statuses))
  const [depotId, crewId] = [asked(context, 'depot', registerId), asked(context, 'crew', registerId)]
  // of the list as a link of ours wrote it; anything else begins at the beginning
  const after = context.req.query('after')
  return { status, depotId, crewId, after: after !== undefined && isPlaceIn(after, { status }) ? after : undefined }
}

async function logChoiceFrom(context: Context) {
  const { isPlaceInLog } = await import('../questions/notices.ts')
  const [stick, crew, person] = ['stick', 'crew', 'person'].map((name) => asked(context, name, registerId))
  const after = context.req.query('after')
  return {
    ...{ stick, crew, person },
    to: asked(context, 'to', mailAddress),
    since: asked(context, 'since', calendarDate),
    after: after !== undefined && isPlaceInLog(after) ? after : undefined,
  }
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
function asked<T>(context: Context, name: string, schema: z.ZodType<T>): T | undefined {
  const text = context.req.query(name)
  if (text === undefined || text === '') return undefined
  const choice = schema.safeParse(text)
  if (choice.success) return choice.data
  throw invalid({ pointer: `/${name}`, came: text, expected: choices[name] ?? name })
}

/** As people call what they choose by. */
const choices: { readonly [name: string]: string } = { to: 'address', since: 'date' }

/** Of what is no name nothing is looked up. */
function nameFrom(context: Context, parameter: string): string {
  const name = registerId.safeParse(context.req.param(parameter))
  if (!name.success) throw notFound(parameter)
  return name.data
}

function refusal(why: Refusal): Promise<Response> {
  if (why.kind === 'not allowed') return webPage(notForYou(why.detail), 403)
  const [fault] = why.kind === 'invalid' ? why.faults : []
  return webPage(missing(fault === undefined ? undefined : `No such ${fault.expected} is known`), 404)
}

const notForYou = (detail: string) =>
  documentOf('Not for you', html`<h1>You may not see this</h1><p class="empty">${detail}</p>`)
const missing = (what = 'Nothing of this name exists') =>
  documentOf(
    'Not found',
    html`<h1>${what}</h1><p class="empty">Look for it on <a href="/roster">the roster</a> or among <a href="/notices">the notices</a>.</p>`,
  )
const failed = () =>
  documentOf(
    'Failed',
    html`<h1>Something failed on our side</h1><p class="empty">Nothing was changed. Please try again.</p>`,
  )
