/**
 * The authenticator that managers and owners set up before any page opens to them, at the provider. Until then there is
 * no session: what is needed for one waits in a sealed cookie.
 */
import type { Context, Hono } from 'hono'
import type { Session } from '../questions/signed-in.ts'
import { webPage } from '../web/web-page.ts'
import { cookieOf, forget, keep, withCookies } from './cookies.ts'
import { beginSession } from './session.ts'
import { type Authenticator, pagesOfSignIn, type Ways } from './ways.ts'

/** What waits until the authenticator is set up. */
interface SettingUp {
  /** the session that begins then */
  readonly session: Session
  /** the provider's token of whoever is signing in: it sets up their own authenticator and no other */
  readonly accessToken: string
  /** the account as the app is to name it */
  readonly account: string
  readonly to: string
  /** null until the page is looked at */
  readonly secret: string | null
}

const name = 'authenticator'
const path = '/sign-in/authenticator'
const seconds = 600

export async function keepSettingUp(context: Context, { seals, times }: Ways, setting: SettingUp): Promise<void> {
  const value = await seals.seal('authenticator', setting, { from: times(context).issuedAt, seconds })
  keep(context, name, { value, seconds })
}

export function addAuthenticator(app: Hono, ways: Ways): void {
  app.get(path, async (context) => {
    const setting = await settingUpOf(context, ways)
    return setting === null ? begunTooLongAgo(context) : show(context, ways, { setting, isWrong: false })
  })
  app.post(path, async (context) => {
    const setting = await settingUpOf(context, ways)
    return setting === null ? begunTooLongAgo(context) : finish(context, ways, setting)
  })
}

async function settingUpOf(context: Context, { seals, times }: Ways): Promise<SettingUp | null> {
  const held = await seals.open('authenticator', cookieOf(context, name), times(context).issuedAt)
  return held as SettingUp | null // sealed as such, and for nothing else
}

const begunTooLongAgo = (context: Context) => context.redirect('/sign-in', 303)

async function show(
  context: Context,
  ways: Ways,
  { setting, isWrong }: { readonly setting: SettingUp; readonly isWrong: boolean },
): Promise<Response> {
  const secret = setting.secret ?? (await (await authenticatorOf(ways)).begin(setting.accessToken))
  // looked at again, the page shows the same secret
  if (setting.secret === null) await keepSettingUp(context, ways, { ...setting, secret })
  const { authenticatorPage } = await pagesOfSignIn()
  const wording = await ways.visits.wordingOf(context)
  const page = authenticatorPage({ secret, account: setting.account, isWrong }, wording)
  return withCookies(context, await webPage(page, { status: isWrong ? 422 : 200 }))
}

async function finish(context: Context, ways: Ways, setting: SettingUp): Promise<Response> {
  const code = ((await context.req.parseBody()).code ?? '').toString().replaceAll(/\s/g, '')
  const isRight =
    setting.secret !== null &&
    /^\d{6}$/.test(code) &&
    (await (await authenticatorOf(ways)).finish(setting.accessToken, code))
  if (!isRight) return show(context, ways, { setting, isWrong: true })
  forget(context, name)
  await beginSession(context, ways.seals, {
    ...setting.session,
    hasAuthenticator: true,
    issuedAt: ways.times(context).issuedAt,
  })
  return context.redirect(setting.to, 303)
}

async function authenticatorOf({ authenticator }: Ways): Promise<Authenticator> {
  if (authenticator === null) throw new Error('this provider answers for a second factor by itself')
  return authenticator()
}
