/**
 * A provider of sign-ins that holds a client to all it should do, and can be told to lie: on loopback, without pages.
 */
import { createHash, randomUUID } from 'node:crypto'
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import { text } from 'node:stream/consumers'
import { exportJWK, generateKeyPair, type JWTPayload, SignJWT } from 'jose'
import { close, listen } from '../../cdk/local/free-port.ts'

export const clientId = 'pages'

/** Whoever sits at the provider's own page. */
export interface Account {
  readonly sub: string
  readonly email?: string
  readonly email_verified?: boolean
}

/** What the provider does otherwise than it should. */
export interface Lie {
  readonly claims?: JWTPayload
  /** signs with a key that is not the provider's */
  readonly foreignKey?: boolean
}

interface Granted {
  readonly query: URLSearchParams
  readonly account: Account
  readonly lie: Lie
}

export async function startProvider(seconds: () => number) {
  const server = createServer((message, response) => void answer(message, response))
  const issuer = `http://127.0.0.1:${await listen(server)}`
  const [own, foreign] = await Promise.all([generateKeyPair('RS256'), generateKeyPair('RS256')])
  const codes = new Map<string, Granted>()

  async function answer(message: IncomingMessage, response: ServerResponse): Promise<void> {
    const send = (status: number, body: object) =>
      response.writeHead(status, { 'content-type': 'application/json' }).end(JSON.stringify(body))
    if (message.url === '/.well-known/openid-configuration') return void send(200, discovery)
    if (message.url === '/keys')
      return void send(200, { keys: [{ ...(await exportJWK(own.publicKey)), kid: 'own', alg: 'RS256' }] })
    const form = new URLSearchParams(await text(message))
    const tokens = message.url === '/token' ? await exchanged(form) : undefined
    send(tokens === undefined ? 400 : 200, tokens ?? { error: 'invalid_grant' })
  }

  const discovery = {
    issuer,
    authorization_endpoint: `${issuer}/authorize`,
    token_endpoint: `${issuer}/token`,
    jwks_uri: `${issuer}/keys`,
    end_session_endpoint: `${issuer}/logout`,
    response_types_supported: ['code'],
    code_challenge_methods_supported: ['S256'],
    id_token_signing_alg_values_supported: ['RS256'],
  }

  /** A code is good once, for the client, the address and the secret that it was asked for with. */
  async function exchanged(form: URLSearchParams): Promise<object | undefined> {
    const granted = codes.get(form.get('code') ?? '')
    codes.delete(form.get('code') ?? '')
    if (granted === undefined) return undefined
    const { query, account, lie } = granted
    const challenge = createHash('sha256')
      .update(form.get('code_verifier') ?? '')
      .digest('base64url')
    const isSame = ['client_id', 'redirect_uri'].every((name) => form.get(name) === query.get(name))
    if (!isSame || challenge !== query.get('code_challenge')) return undefined
    const claims = { ...account, nonce: query.get('nonce'), ...lie.claims } as JWTPayload
    return { access_token: `for ${account.sub}`, token_type: 'Bearer', id_token: await signed(claims, lie) }
  }

  function signed(claims: JWTPayload, { foreignKey }: Lie): Promise<string> {
    const { privateKey } = foreignKey ? foreign : own
    const now = Math.floor(seconds())
    return new SignJWT({ iss: issuer, aud: clientId, iat: now, exp: now + 3600, ...claims })
      .setProtectedHeader({ alg: 'RS256', kid: 'own' })
      .sign(privateKey)
  }

  return {
    issuer,
    /** Answers where the browser is sent back to, once somebody has signed in on the provider's own page. */
    signIn(address: string, account: Account, lie: Lie = {}): URL {
      const { origin, pathname, searchParams: query } = new URL(address)
      const isRight =
        origin + pathname === discovery.authorization_endpoint &&
        query.get('response_type') === 'code' &&
        query.get('client_id') === clientId &&
        query.get('code_challenge_method') === 'S256' &&
        (query.get('scope') ?? '').split(' ').includes('openid')
      if (!isRight) throw new Error(`no sign-in is asked for at ${address}`)
      const code = randomUUID()
      codes.set(code, { query, account, lie })
      const back = new URL(query.get('redirect_uri') ?? '')
      back.search = new URLSearchParams({ code, state: query.get('state') ?? '' }).toString()
      return back
    },
    stop: () => close(server),
  }
}
