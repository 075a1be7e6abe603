/** What stands before every page: who may send a form, and what every answer tells the browser. */
import type { Context, Hono } from 'hono'
import { csrf } from 'hono/csrf'
import { HTTPException } from 'hono/http-exception'
import { hostAsked } from '../web/gateway.ts'
import { secureHeaders, webPage } from '../web/web-page.ts'
import { asksAsDevice, notTaken } from './device-doors.ts'
import type { Visits } from './visit.ts'

const formType = /^application\/x-www-form-urlencoded\s*(;|$)/i

/** Where a form was sent from is told by the browser itself; another site can change none of it. */
export function addGuards(app: Hono, origin: string, visits: Visits): void {
  const fromOurForm = csrf({ origin })
  const { host } = new URL(origin)
  // sessions are of one host, and confirmations and feeds may have others, from which a link leads here
  app.get('*', async (context, next) => {
    const asked = hostAsked(context)
    if (asked === undefined || asked === host || context.req.path === '/healthz') return next()
    const { pathname, search } = new URL(context.req.url)
    return context.redirect(`${origin}${pathname}${search}`, 308)
  })
  app.use('*', async (context, next) => {
    await next()
    for (const [name, value] of Object.entries(secureHeaders))
      if (!context.res.headers.has(name)) context.res.headers.set(name, value)
  })
  app.post('*', async (context, next) => {
    const type = context.req.header('content-type') ?? ''
    // what checks the origin lets other types pass, and a form has no other
    if (!formType.test(type)) return refuse(context, visits, 415)
    try {
      return await fromOurForm(context, next)
    } catch (error) {
      if (error instanceof HTTPException && error.status === 403) return refuse(context, visits, 403)
      throw error
    }
  })
}

async function refuse(context: Context, visits: Visits, status: number): Promise<Response> {
  const { notFromHere } = await import('./sign-in-pages.ts')
  const page = notFromHere(await visits.wordingOf(context))
  if (asksAsDevice(context)) return notTaken(status, [page.title])
  return webPage(page, { status, who: (await visits.of(context))?.who })
}

/** What was sent without a session is performed at no time: nobody knows yet who sent it. */
export function toSignIn(context: Context): Response {
  const { pathname, search } = new URL(context.req.url)
  const query = new URLSearchParams({ to: pathname + search })
  if (context.req.method === 'POST') query.set('lost', '')
  return context.redirect(`/sign-in?${query}`, 303)
}
