/**
 * Access tokens, checked as the JWT authoriser of an HTTP API does: issuer, client, times, and RS256 only. The scope is
 * the route's.
 */
import { createLocalJWKSet, type JWTPayload, jwtVerify } from 'jose'
import type { Properties } from '../template/template.ts'

/** The claims of a good token; undefined for any other. */
export type Authoriser = (authorization: string | undefined) => Promise<JWTPayload | undefined>

export type KeySet = Parameters<typeof createLocalJWKSet>[0]

/** `keysOf`: the keys of an issuer, as they stand in its discovery document. */
export function jwtAuthoriser(
  { JwtConfiguration, AuthorizerType, IdentitySource }: Properties,
  keysOf: (issuer: string) => KeySet,
): Authoriser {
  if (AuthorizerType !== 'JWT' || IdentitySource?.[0] !== '$request.header.Authorization') {
    throw new Error('the local stack knows JWT authorisers that read the Authorization header only')
  }
  const { Issuer: issuer, Audience: clients } = JwtConfiguration
  const keys = createLocalJWKSet(keysOf(issuer))
  /** claims of good tokens: few people ask often, and a signature is slow to check */
  const good = new Map<string, JWTPayload>()
  return async (authorization) => {
    const token = authorization?.replace(/^bearer\s+/i, '').trim()
    if (!token) return undefined
    const known = good.get(token)
    if (known?.exp !== undefined && known.exp > Date.now() / 1000) return known
    try {
      const options = { issuer, algorithms: ['RS256'], requiredClaims: ['exp', 'iat'] }
      const { payload } = await jwtVerify(token, keys, options)
      if (!isFor(clients, payload)) return undefined
      good.set(token, payload)
      return payload
    } catch {
      return undefined
    }
  }
}

/**
 * `client_id` is looked at where there is no `aud` (API Gateway guide, "Control access to HTTP APIs with JWT
 * authorizers").
 */
function isFor(clients: readonly string[], { aud, client_id }: JWTPayload): boolean {
  return [aud ?? client_id].flat().some((one) => clients.includes(String(one)))
}

/** Answers whether the token has one of the scopes that a route asks for. */
export function hasScope(wanted: readonly string[], { scope, scp }: JWTPayload): boolean {
  const given = String(scope ?? [scp].flat().join(' ')).split(' ')
  return wanted.length === 0 || wanted.some((one) => given.includes(one))
}

/** API Gateway hands every claim on as text, lists in square brackets. */
export function claimsAsText(claims: JWTPayload): Record<string, string> {
  return Object.fromEntries(
    Object.entries(claims).map(([name, value]) => [
      name,
      Array.isArray(value) ? `[${value.join(' ')}]` : textOf(value),
    ]),
  )
}

const textOf = (value: unknown) => (typeof value === 'object' ? JSON.stringify(value) : String(value))
