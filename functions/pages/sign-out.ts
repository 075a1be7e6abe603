/** The way out: of this browser, or everywhere. Looking at the page ends nothing; its buttons do. */
import type { Context, Hono } from 'hono'
import { webPage } from '../web/web-page.ts'
import { endSession } from './session.ts'
import { pagesOfSignIn, type Ways } from './ways.ts'

export function addSignOut(app: Hono, ways: Ways): void {
  const { visits, times } = ways
  app.get('/sign-out', async (context) => {
    const visit = await visits.of(context)
    if (visit === null) return context.redirect('/signed-out', 303)
    const page = (await pagesOfSignIn()).signOutPage(visit.who, visit.wording)
    return webPage(page, { who: visit.who, leadsTo: await originOfProvider(ways) })
  })
  app.post('/sign-out', (context) => leave(context, ways))
  app.post('/sign-out/everywhere', async (context) => {
    const visit = await visits.of(context)
    if (visit === null) return context.redirect('/sign-out', 303)
    await ways.endAllSessions(visit.session, times(context).issuedAt)
    return leave(context, ways)
  })
  app.get('/signed-out', async (context) =>
    webPage((await pagesOfSignIn()).signedOutPage(await visits.wordingOf(context))),
  )
}

/** The session at the provider ends too: whoever comes to this browser next would else be let in without a password. */
async function leave(context: Context, { provider }: Ways): Promise<Response> {
  endSession(context)
  const url = await (await provider()).signOutUrl()
  return context.redirect(url?.href ?? '/signed-out', 303)
}

/** The form of this page leads there in the end, and the browser has to be told. */
export async function originOfProvider({ provider }: Ways): Promise<string[]> {
  const url = await (await provider()).signOutUrl()
  return url === null ? [] : [url.origin]
}
