/** The web: read only, server-rendered. Served by the local stack only, until people can sign in. */
import { type Context, Hono } from 'hono'
import { html } from 'hono/html'
import { calendarDate } from '../../shared-domain/calendar.ts'
import { mailAddress } from '../../shared-domain/mail-address.ts'
import { registerId } from '../../shared-domain/registers.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import type { Clock } from '../platform/clock.ts'
import { Refused } from '../platform/errors.ts'
import type { Caller } from '../platform/identity.ts'
import { describe, log } from '../platform/log.ts'
import type { Organisation } from '../platform/organisation.ts'
import { isPlaceIn } from '../platform/roster.ts'
import { webPage } from '../platform/web-page.ts'
import { documentOf } from './layout.ts'
import { noticesPage } from './notices-page.ts'
import { rosterPage } from './roster-page.ts'
import { stickPage } from './stick-page.ts'
import { testPage } from './test-page.ts'

/** Nobody signs in yet; whoever reaches the pages reads as a manager of every depot does. */
const reader: Caller = { personId: 'pages', role: 'manager', depots: ['*'], crewId: null }

export interface PagesParts {
  /** opened anew for each page */
  readonly open: () => Organisation
  readonly clock: Clock
}

export function buildPages({ open, clock }: PagesParts): Hono {
  const app = new Hono()
  app.get('/', (context) => context.redirect('/roster'))
  app.get('/roster', async (context) => webPage(await rosterPage(open(), reader, clock(), choiceFrom(context))))
  app.get('/notices', async (context) => webPage(await noticesPage(open(), reader, clock(), logChoiceFrom(context))))
  app.get('/sticks/:id', async (context) => {
    const found = await stickPage(open(), clock(), context.req.param('id'))
    return found === undefined ? webPage(missing(), 404) : webPage(found)
  })
  app.get('/sticks/:id/bench-tests/:factId', async (context) => {
    const found = await testPage(open(), clock(), context.req.param('id'), context.req.param('factId'))
    return found === undefined ? webPage(missing(), 404) : webPage(found)
  })
  app.notFound(() => webPage(missing(), 404))
  app.onError((error) => {
    if (error instanceof Refused) return webPage(missing(), 404)
    log('error', 'page failed', { trouble: describe(error) })
    return webPage(failed(), 500)
  })
  return app
}

function choiceFrom(context: Context) {
  const status = statuses.find((one): one is Status => one === context.req.query('status'))
  // of the list as a link of ours wrote it; anything else begins at the beginning
  const after = context.req.query('after')
  return {
    status,
    depotId: idFrom(context, 'depot'),
    crewId: idFrom(context, 'crew'),
    after: after !== undefined && isPlaceIn(after, { status }) ? after : undefined,
  }
}

function logChoiceFrom(context: Context) {
  const to = mailAddress.safeParse(context.req.query('to')).data
  const since = calendarDate.safeParse(context.req.query('since')).data
  const [stick, crew, person] = ['stick', 'crew', 'person'].map((name) => idFrom(context, name))
  return { stick, crew, person, to, since }
}

function idFrom(context: Context, name: string): string | undefined {
  return registerId.safeParse(context.req.query(name)).data
}

const missing = () =>
  documentOf(
    'Not found',
    html`<h1>Nothing of this name exists</h1><p class="empty">Look for it on <a href="/roster">the roster</a>.</p>`,
  )
const failed = () =>
  documentOf(
    'Failed',
    html`<h1>Something failed on our side</h1><p class="empty">Nothing was changed. Please try again.</p>`,
  )
