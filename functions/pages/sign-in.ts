/** The way in: to the provider and back. */
import type { Context, Hono } from 'hono'
import { type LetIn, needsAuthenticator } from '../questions/signed-in.ts'
import { webPage } from '../web/web-page.ts'
import { addAuthenticator, keepSettingUp } from './authenticator.ts'
import { cookieOf, cookiesNamed, forget, keep, withCookies } from './cookies.ts'
import type { Begun, SignedInThere } from './provider.ts'
import { returnAddress } from './return-address.ts'
import { beginSession } from './session.ts'
import { addSignOut, originOfProvider } from './sign-out.ts'
import { pagesOfSignIn, type Ways } from './ways.ts'

interface Kept extends Begun {
  readonly to: string
}

const tenMinutes = 600

/** Many tabs may be signing in at once; all that a browser sends in its headers has a limit at the gateway. */
const mostAtOnce = 6

/** A sign-in has a cookie of its own, so that two tabs do not meet. */
const cookieFor = (state: string) => `sign-in-${state.replaceAll(/[^\w-]/g, '').slice(0, 8)}`

export function addSignIn(app: Hono, ways: Ways): void {
  app.get('/sign-in', (context) => toProvider(context, ways))
  app.get('/signed-in', (context) => fromProvider(context, ways))
  addAuthenticator(app, ways)
  addSignOut(app, ways)
}

async function toProvider(context: Context, { visits, provider, seals, times }: Ways): Promise<Response> {
  const to = returnAddress(context.req.query('to'))
  if (context.req.query('lost') !== undefined)
    return webPage((await pagesOfSignIn()).typedIsLost(to, await visits.wordingOf(context)))
  const { begun, url } = await (await provider()).begin()
  for (const old of cookiesNamed(context, 'sign-in-').slice(0, 1 - mostAtOnce)) forget(context, old)
  const kept: Kept = { ...begun, to }
  const value = await seals.seal('sign-in', kept, { from: times(context).issuedAt, seconds: tenMinutes })
  keep(context, cookieFor(begun.state), { value, seconds: tenMinutes })
  return context.redirect(url.href, 303)
}

async function fromProvider(context: Context, ways: Ways): Promise<Response> {
  const { seals, provider, visits } = ways
  const times = ways.times(context)
  const name = cookieFor(context.req.query('state') ?? '')
  const kept = (await seals.open('sign-in', cookieOf(context, name), times.issuedAt)) as Kept | null // sealed as such
  forget(context, name)
  const { search } = new URL(context.req.url)
  const there = kept === null ? null : await (await provider()).finish(search, kept, times.issuedAt)
  if (kept === null || there === null) {
    const page = (await pagesOfSignIn()).noGood(kept?.to ?? '/', await visits.wordingOf(context))
    return withCookies(context, await webPage(page, { status: 400 }))
  }
  const whether = await ways.whoSignsIn(there, times)
  if (whether.is === 'let in') return begin(context, { whether, there, to: kept.to }, ways)
  const page = (await pagesOfSignIn()).notLetIn(whether, await visits.wordingOf(context))
  return withCookies(context, await webPage(page, { status: 403, leadsTo: await originOfProvider(ways) }))
}

interface Arrived {
  readonly whether: LetIn
  readonly there: SignedInThere
  readonly to: string
}

/** A session begins, or what has to come before it. */
async function begin(context: Context, { whether, there, to }: Arrived, ways: Ways): Promise<Response> {
  const { bound, role } = whether
  const isAsked = ways.authenticator !== null && needsAuthenticator(role)
  const isMissing = isAsked && !(await (await ways.authenticator?.())?.isSetUp(there.accessToken))
  // of whom nobody asks one it is not known, unless the provider answers for all
  const hasAuthenticator = isAsked ? !isMissing : ways.authenticator === null
  const session = { ...bound, hasAuthenticator, issuedAt: ways.times(context).issuedAt }
  if (isMissing) {
    const { accessToken, email } = there
    await keepSettingUp(context, ways, { session, accessToken, account: email ?? bound.personId, to, secret: null })
    return context.redirect('/sign-in/authenticator', 303)
  }
  await beginSession(context, ways.seals, session)
  return context.redirect(to, 303)
}
