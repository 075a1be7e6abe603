/** An OpenID provider in the place of the user pool, and access tokens of the people of the local stack. */
import type { webcrypto } from 'node:crypto'
import { createServer } from 'node:http'
import { exportJWK, generateKeyPair, type JWTPayload, SignJWT } from 'jose'
import Provider, { type Adapter, type AdapterPayload } from 'oidc-provider'
import { close, listen, loopback } from '../free-port.ts'
import type { DemoPerson } from './people.ts'

export interface IdentityProvider {
  readonly issuer: string
  readonly audience: string
  readonly clientId: string
  readonly accessToken: (person: DemoPerson) => Promise<string>
  /** the token about the person that a sign-in hands to the client; it opens no door of the API */
  readonly identityToken: (person: DemoPerson) => Promise<string>
  /** a token with claims of one's own, signed by the provider's key: for proving what is refused */
  readonly sign: (claims: JWTPayload, change: TokenChange) => Promise<string>
  readonly stop: () => Promise<void>
}

export interface TokenChange {
  readonly issuer?: string
  readonly audience?: string
  readonly notBeforeSeconds?: number
  /** the seconds until its end; null for a token without an end */
  readonly lifetimeSeconds?: number | null
}

const audience = 'https://api.quarterturn.example'
const clientId = 'quarterturn-local'
const keyId = 'local'
const thirtyDays = 30 * 24 * 3600

export async function identityProvider(): Promise<IdentityProvider> {
  const server = createServer()
  const issuer = `http://${loopback}:${await listen(server)}`
  const claims = new WeakMap<object, object>()
  const { privateKey } = await generateKeyPair('RS256', { extractable: true })
  const provider = new Provider(issuer, await configuration(privateKey, (token) => claims.get(token)))
  const answer = provider.callback()
  server.on('request', (request, response) => void answer(request, response))
  const client = await provider.Client.find(clientId)
  if (client === undefined) throw new Error('the local OpenID provider does not know its own client')

  const accessToken = ({ id, organisation, role }: DemoPerson): Promise<string> => {
    const token = new provider.AccessToken({ accountId: id, client, scope: 'openid' })
    claims.set(token, { organisation, role, token_use: 'access' })
    token.resourceServer = new provider.ResourceServer(audience, apiTokens)
    return token.save()
  }

  const identityToken = ({ id, organisation, role }: DemoPerson): Promise<string> => {
    const token = new provider.IdToken({ sub: id, organisation, role }, { client })
    token.set('sub', id)
    return token.issue({ use: 'idtoken' })
  }

  const sign = (payload: JWTPayload, change: TokenChange): Promise<string> => {
    const { lifetimeSeconds = 3600, notBeforeSeconds } = change
    const now = Math.floor(Date.now() / 1000)
    const token = new SignJWT(payload).setProtectedHeader({ alg: 'RS256', typ: 'at+jwt', kid: keyId }).setIssuedAt(now)
    token.setIssuer(change.issuer ?? issuer).setAudience(change.audience ?? audience)
    if (lifetimeSeconds !== null) token.setExpirationTime(now + lifetimeSeconds)
    if (notBeforeSeconds !== undefined) token.setNotBefore(now + notBeforeSeconds)
    return token.sign(privateKey)
  }

  return { issuer, audience, clientId, sign, accessToken, identityToken, stop: () => close(server) }
}

const apiTokens = {
  audience,
  scope: 'openid',
  accessTokenFormat: 'jwt',
  accessTokenTTL: thirtyDays,
  jwt: { sign: { alg: 'RS256' } },
} as const

async function configuration(
  privateKey: webcrypto.CryptoKey,
  claimsOf: (token: object) => object | undefined,
): Promise<object> {
  return {
    adapter: inMemory(),
    extraTokenClaims: (_: unknown, token: object) => claimsOf(token),
    clients: [
      {
        client_id: clientId,
        token_endpoint_auth_method: 'none',
        redirect_uris: [`http://${loopback}/signed-in`],
        id_token_signed_response_alg: 'RS256',
      },
    ],
    cookies: { keys: [crypto.randomUUID()] },
    jwks: { keys: [{ ...(await exportJWK(privateKey)), alg: 'RS256', use: 'sig', kid: keyId }] },
    features: {
      devInteractions: { enabled: false },
      resourceIndicators: { enabled: true, getResourceServerInfo: () => apiTokens },
    },
    ttl: { AccessToken: thirtyDays, IdToken: thirtyDays },
  }
}

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
