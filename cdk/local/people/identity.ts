/**
 * An OpenID provider in the place of the user pool. Its tokens have the pool's shape, and its sign-in page a button for
 * each person of the pool, and no password.
 */
import type { webcrypto } from 'node:crypto'
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import { text } from 'node:stream/consumers'
import { createLocalJWKSet, exportJWK, generateKeyPair, type JWTPayload, jwtVerify, SignJWT } from 'jose'
import Provider, { type Adapter, type AdapterPayload } from 'oidc-provider'
import { close, listen, loopback } from '../free-port.ts'
import type { LocalPool, PoolUser } from './pool.ts'

export interface IdentityProvider {
  readonly issuer: string
  readonly clientId: string
  readonly keys: Parameters<typeof createLocalJWKSet>[0]
  readonly accessToken: (email: string) => Promise<string>
  /** the token about the person that a sign-in hands to the client; it opens no door of the API */
  readonly identityToken: (email: string) => Promise<string>
  /** a token with claims of one's own, signed by the provider's key: for proving what is refused */
  readonly sign: (claims: JWTPayload, change?: TokenChange) => Promise<string>
  /** the subject of a good access token of ours */
  readonly subjectOf: (accessToken: string) => Promise<string | undefined>
  readonly stop: () => Promise<void>
}

export interface TokenChange {
  readonly issuer?: string
  readonly issuedSecondsAgo?: number
  readonly notBeforeSeconds?: number
  /** the seconds until its end; null for a token without an end */
  readonly lifetimeSeconds?: number | null
}

export interface IdentityParts {
  readonly pool: LocalPool
  /** the port of the start before: subjects are bound with the issuer's address */
  readonly port?: number | undefined
  /** the address of the pages, to which people come back */
  readonly pages: string
}

const clientId = '6quarterturnlocalclient0001'
const keyId = 'local'
const hour = 3600
const thirtyDays = 30 * 24 * hour

/** The scopes of the pool's client in the template. The last but one lets somebody set up an authenticator. */
const apiScope = 'quarterturn/api'
const scopes = ['openid', 'email', 'aws.cognito.signin.user.admin', apiScope]
/** The audience that the library asks for; the pool's tokens have none. */
const api = 'urn:quarterturn:api'

const paths = { authorization: '/oauth2/authorize', token: '/oauth2/token', userinfo: '/oauth2/userInfo' }
const choosing = '/choose/'

export async function identityProvider({ pool, port, pages }: IdentityParts): Promise<IdentityProvider> {
  const server = createServer()
  const issuer = `http://${loopback}:${await listenAt(server, port)}`
  const { privateKey } = await generateKeyPair('RS256', { extractable: true })
  const provider = new Provider(issuer, await configuration(privateKey, { pool, pages }))
  const answer = provider.callback()
  const own = ownPages(provider, { pool, pages })
  server.on('request', (request: IncomingMessage, response: ServerResponse) => {
    if (own(request, response)) return
    forgetWhoWasHere(request, response)
    void answer(request, response)
  })

  const { d: _, dp: __, dq: ___, p: ____, q: _____, qi: ______, ...publicKey } = await exportJWK(privateKey)
  const keys = { keys: [{ ...publicKey, kid: keyId, alg: 'RS256', use: 'sig' }] }

  const sign = (payload: JWTPayload, change: TokenChange = {}): Promise<string> => {
    const { lifetimeSeconds = hour, notBeforeSeconds, issuedSecondsAgo = 0 } = change
    const now = Math.floor(Date.now() / 1000)
    const token = new SignJWT(payload).setProtectedHeader({ alg: 'RS256', kid: keyId })
    token.setIssuedAt(now - issuedSecondsAgo).setIssuer(change.issuer ?? issuer)
    if (lifetimeSeconds !== null) token.setExpirationTime(now + lifetimeSeconds)
    if (notBeforeSeconds !== undefined) token.setNotBefore(now + notBeforeSeconds)
    return token.sign(privateKey)
  }

  async function subjectOf(accessToken: string): Promise<string | undefined> {
    try {
      const { payload } = await jwtVerify(accessToken, createLocalJWKSet(keys), { issuer })
      return payload.token_use === 'access' ? payload.sub : undefined
    } catch {
      return undefined
    }
  }

  return {
    issuer,
    clientId,
    keys,
    sign,
    subjectOf,
    accessToken: (email) => sign(accessClaims(known(pool, email).sub), { lifetimeSeconds: thirtyDays }),
    identityToken: (email) => sign({ ...identityClaims(known(pool, email)), aud: clientId }),
    stop: () => close(server),
  }
}

async function listenAt(server: Parameters<typeof listen>[0], port: number | undefined): Promise<number> {
  try {
    return await listen(server, port)
  } catch (error) {
    if (port === undefined) throw error
    return listen(server)
  }
}

function known(pool: LocalPool, email: string): PoolUser {
  const user = pool.userOf(email)
  if (user === undefined) throw new Error(`nobody is in the pool as ${email}`)
  return user
}

/** As the pool makes them: the client stands in a claim of its own, and nothing says of whom else the token is. */
const accessClaims = (sub: string) => ({
  sub,
  token_use: 'access',
  client_id: clientId,
  username: sub,
  scope: scopes.join(' '),
})

const identityClaims = ({ sub, email }: PoolUser) => ({
  sub,
  token_use: 'id',
  'cognito:username': sub,
  email,
  email_verified: true,
})

async function configuration(
  privateKey: webcrypto.CryptoKey,
  { pool, pages }: Pick<IdentityParts, 'pool' | 'pages'>,
): Promise<object> {
  return {
    adapter: inMemory(),
    clients: [
      {
        client_id: clientId,
        token_endpoint_auth_method: 'none',
        grant_types: ['authorization_code'],
        response_types: ['code'],
        redirect_uris: [`${pages}/signed-in`],
        post_logout_redirect_uris: [`${pages}/signed-out`],
        id_token_signed_response_alg: 'RS256',
      },
    ],
    cookies: { keys: [crypto.randomUUID()], names: cookieNames },
    jwks: { keys: [{ ...(await exportJWK(privateKey)), alg: 'RS256', use: 'sig', kid: keyId }] },
    routes: { ...paths, jwks: '/.well-known/jwks.json', end_session: '/logout' },
    scopes,
    claims: { openid: ['sub', 'token_use', 'cognito:username'], email: ['email', 'email_verified'] },
    conformIdTokenClaims: false,
    pkce: { required: () => true },
    features: {
      devInteractions: { enabled: false },
      rpInitiatedLogout: { enabled: true },
      resourceIndicators: {
        enabled: true,
        defaultResource: () => api,
        useGrantedResource: () => true,
        getResourceServerInfo: () => ({
          scope: scopes.join(' '),
          accessTokenFormat: 'jwt',
          jwt: { sign: { alg: 'RS256' } },
        }),
      },
    },
    interactions: { url: (_: unknown, { uid }: { uid: string }) => `${choosing}${uid}` },
    loadExistingGrant: granted,
    findAccount: (_: unknown, sub: string) => {
      const user = pool.users().find((one) => one.sub === sub && one.enabled)
      return user && { accountId: sub, claims: () => identityClaims(user) }
    },
    formats: { customizers: { jwt: asThePoolMakesIt } },
    ttl: { AccessToken: hour, IdToken: hour, Interaction: hour, Session: hour, Grant: hour, AuthorizationCode: 60 },
  }
}

const cookieNames = { session: 'provider-session', interaction: 'provider-choice', resume: 'provider-resume' }

interface Granting {
  readonly oidc: {
    readonly provider: Provider
    readonly client: { readonly clientId: string }
    readonly session: { readonly accountId: string }
  }
}

/** The pool asks nobody whether the pages may know who they are. */
async function granted({ oidc: { provider, client, session } }: Granting) {
  const grant = new provider.Grant({ clientId: client.clientId, accountId: session.accountId })
  grant.addOIDCScope(scopes.join(' '))
  grant.addResourceScope(api, scopes.join(' '))
  await grant.save()
  return grant
}

interface MadeToken {
  header?: object
  readonly payload: Record<string, unknown>
}

function asThePoolMakesIt(_: unknown, { accountId }: { readonly accountId: string }, token: MadeToken): void {
  token.header = { typ: undefined }
  Object.assign(token.payload, accessClaims(accountId))
  // a token for nobody is refused by the library, and what cannot be listed is not signed
  Object.defineProperty(token.payload, 'aud', { value: api, enumerable: false, writable: true })
}

/** Each sign-in asks who it is. Whoever signs out of the pages is not signed in again by a look at them. */
function forgetWhoWasHere(request: IncomingMessage, response: ServerResponse): void {
  if (request.url?.split('?')[0] !== paths.authorization) return
  const cookies = (request.headers.cookie ?? '').split('; ').filter((one) => !one.startsWith(cookieNames.session))
  request.headers.cookie = cookies.join('; ')
  response.setHeader('set-cookie', gone([cookieNames.session]))
}

/** Each has a signature beside it. */
const gone = (names: readonly string[]) =>
  names.flatMap((name) => [name, `${name}.sig`]).map((name) => `${name}=; Path=/; Max-Age=0`)

/** Answers whether the request was for one of our own pages: who somebody is, and the end of a sign-in. */
function ownPages(provider: Provider, { pool, pages }: Pick<IdentityParts, 'pool' | 'pages'>) {
  return (request: IncomingMessage, response: ServerResponse): boolean => {
    const url = new URL(request.url ?? '/', 'http://provider')
    if (url.pathname === '/logout') signOut(url, response, pages)
    else if (!url.pathname.startsWith(choosing)) return false
    else if (request.method === 'POST') void chosen(request, response)
    else response.writeHead(200, { 'content-type': 'text/html; charset=utf-8' }).end(choice(pool))
    return true
  }

  async function chosen(request: IncomingMessage, response: ServerResponse): Promise<void> {
    try {
      const person = new URLSearchParams(await text(request)).get('person')
      const user = pool.users().find((one) => one.button === person && one.enabled)
      if (user !== undefined) pool.signedIn(user)
      const result = user === undefined ? { error: 'access_denied' } : { login: { accountId: user.sub } }
      await provider.interactionFinished(request, response, result)
    } catch {
      response.writeHead(400, { 'content-type': 'text/plain' }).end('This sign-in is over: begin again on the page.')
    }
  }
}

/** The pool's own way: it asks nothing, and goes back only to an address it knows. */
function signOut(url: URL, response: ServerResponse, pages: string): void {
  const back = url.searchParams.get('logout_uri')
  if (url.searchParams.get('client_id') !== clientId || back !== `${pages}/signed-out`) {
    response.writeHead(400, { 'content-type': 'text/plain' }).end('The pool knows no such client or address.')
    return
  }
  response.writeHead(302, { location: back, 'set-cookie': gone(Object.values(cookieNames)) }).end()
}

const escaped = (of: string) => of.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;')

const choice = (pool: LocalPool) => `<!doctype html>
<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Sign in</title>
<style>body { font: 1rem/1.5 system-ui; max-width: 30rem; margin: 3rem auto; padding: 0 1rem }
button { display: block; width: 100%; margin: .5rem 0; padding: .75rem; font: inherit; text-align: left }</style>
<h1>Who are you?</h1>
<p>On this machine nobody needs a password.</p>
<form method="post">
${pool
  .users()
  .filter(({ enabled }) => enabled)
  .map(({ button, email }) => `<button name="person" value="${escaped(button)}">${escaped(email)}</button>`)
  .join('\n')}
</form>
</html>`

/** The memory of the provider, kept as long as it runs. */
function inMemory(): (name: string) => Adapter {
  const kept = new Map<string, AdapterPayload>()
  return (name) => {
    const key = (id: string) => `${name}:${id}`
    const find = async (id: string) => kept.get(key(id))
    const findBy = (field: 'uid' | 'userCode') => async (value: string) =>
      [...kept].find(([place, payload]) => place.startsWith(`${name}:`) && payload[field] === value)?.[1]
    return {
      upsert: async (id, payload) => void kept.set(key(id), payload),
      find,
      findByUid: findBy('uid'),
      findByUserCode: findBy('userCode'),
      consume: async (id) => {
        const found = kept.get(key(id))
        if (found !== undefined) found.consumed = Math.floor(Date.now() / 1000)
      },
      destroy: async (id) => void kept.delete(key(id)),
      revokeByGrantId: async (grantId) => {
        for (const [place, payload] of kept) if (payload.grantId === grantId) kept.delete(place)
      },
    }
  }
}
