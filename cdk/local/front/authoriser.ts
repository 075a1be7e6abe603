/** Access tokens, checked as the JWT authoriser of an HTTP API does: issuer, audience, times, and RS256 only. */
import { createLocalJWKSet, type JWTPayload, jwtVerify } from 'jose'
import type { Properties } from '../template/template.ts'

/** The claims of a good token; undefined for any other. */
export type Authoriser = (authorization: string | undefined) => Promise<JWTPayload | undefined>

export async function jwtAuthoriser({
  JwtConfiguration,
  AuthorizerType,
  IdentitySource,
}: Properties): Promise<Authoriser> {
  if (AuthorizerType !== 'JWT' || IdentitySource?.[0] !== '$request.header.Authorization') {
    throw new Error('the local stack knows JWT authorisers that read the Authorization header only')
  }
  const { Issuer: issuer, Audience: audience } = JwtConfiguration
  const keys = createLocalJWKSet(await fetchKeys(issuer))
  /** claims of good tokens: few people ask often, and a signature is slow to check */
  const good = new Map<string, JWTPayload>()
  return async (authorization) => {
    const token = authorization?.replace(/^bearer\s+/i, '').trim()
    if (!token) return undefined
    const known = good.get(token)
    if (known?.exp !== undefined && known.exp > Date.now() / 1000) return known
    try {
      const options = { issuer, audience, algorithms: ['RS256'], requiredClaims: ['exp', 'iat'] }
      const { payload } = await jwtVerify(token, keys, options)
      good.set(token, payload)
      return payload
    } catch {
      return undefined
    }
  }
}

async function fetchKeys(issuer: string) {
  const discovery = await (await fetch(`${issuer}/.well-known/openid-configuration`)).json()
  return (await (await fetch((discovery as { jwks_uri: string }).jwks_uri)).json()) as Parameters<
    typeof createLocalJWKSet
  >[0]
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
