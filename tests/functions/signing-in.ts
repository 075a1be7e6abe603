/** The pages with their whole sign-in, on a house of tests: a provider on loopback, browsers, and people to sign in. */

import { buildPages } from '../../functions/pages/pages.ts'
import { openProvider } from '../../functions/pages/provider.ts'
import { sealsOf } from '../../functions/pages/seals.ts'
import { sessionsIn } from '../../functions/pages/session.ts'
import type { Authenticator } from '../../functions/pages/ways.ts'
import { endAllSessions, whoSignsIn } from '../../functions/questions/signed-in.ts'
import { type Visitor, visitor } from '../support/browser.ts'
import { type Account, clientId, type Lie, startProvider } from '../support/provider.ts'
import type { House } from './house.ts'

export const origin = 'https://pages.example'
export const secrets = ['now '.repeat(16), 'before '.repeat(16)] as const

export const accountOf = (email: string): Account => ({ sub: `sub of ${email}`, email, email_verified: true })

interface Site {
  readonly issuer?: string
  readonly secrets?: readonly [now: string, before: string]
  readonly authenticator?: Authenticator | null
}

export async function signingIn(house: House) {
  const provider = await startProvider(() => Date.parse(house.clock()) / 1000)
  const settings = {
    origin,
    clientId,
    scope: 'openid email',
    claims: { email: 'email', emailVerified: 'email_verified' },
  }

  /** A site of its own: the same pages as they are deployed, perhaps with other secrets. */
  function site({ secrets: used = secrets, authenticator = null, issuer = provider.issuer }: Site = {}) {
    const seals = sealsOf(used)
    const client = openProvider({ ...settings, issuer })
    const pages = buildPages({
      open: (organisation) => house.organisation(organisation),
      clock: house.clock,
      origin,
      sessionOf: sessionsIn(seals, house.clock),
      signIn: {
        seals,
        provider: async () => client,
        authenticator: authenticator === null ? null : async () => authenticator,
        whoSignsIn: (told, times) => whoSignsIn(house.table, told, times),
        endAllSessions: (session, at) => endAllSessions(house.table, session, at),
      },
    })
    return { seals, pages, browser: () => visitor((path, init) => pages.request(path, init), origin) }
  }

  /** Goes to the provider from where the site sends the browser, and comes back with what the provider answers. */
  async function callbackFor(browser: Visitor, account: Account, { to = '/roster', lie = {} as Lie } = {}) {
    const sent = await browser.get(`/sign-in?to=${encodeURIComponent(to)}`)
    const { pathname, search } = provider.signIn(sent.headers.get('location') ?? '', account, lie)
    return pathname + search
  }

  const signIn = async (browser: Visitor, account: Account, more: { to?: string; lie?: Lie } = {}) =>
    browser.get(await callbackFor(browser, account, more))

  return { provider, site, callbackFor, signIn }
}

export const locationOf = (answer: Response) => answer.headers.get('location')
