/** The provider of sign-ins, by OpenID Connect: the code flow with PKCE. It is loaded with the first sign-in. */
import * as oidc from 'openid-client'
import type { Instant } from '../../shared-domain/calendar.ts'

export interface ProviderSettings {
  readonly issuer: string
  readonly clientId: string
  /** what is asked for, beside what the address needs */
  readonly scope: string
  /** the pages' own address, without a slash at its end */
  readonly origin: string
  /** the provider's names for what we read of a person */
  readonly claims: { readonly email: string; readonly emailVerified: string }
}

/** What one sign-in keeps until the provider sends the browser back. */
export interface Begun {
  readonly state: string
  readonly nonce: string
  readonly verifier: string
}

export interface SignedInThere {
  readonly issuer: string
  readonly subject: string
  readonly email: string | null
  readonly emailVerified: boolean
  readonly accessToken: string
}

export type SignInProvider = ReturnType<typeof openProvider>

export function openProvider(settings: ProviderSettings) {
  const { clientId, origin } = settings
  const configurations = new Map<number, Promise<oidc.Configuration>>()

  /** `skew`: the seconds by which the gateway's clock is ahead of the one here. */
  function configuration(skew: number): Promise<oidc.Configuration> {
    const known = configurations.get(skew) ?? discovered(settings, skew)
    configurations.set(skew, known)
    // a provider that is away once is asked again
    known.catch(() => configurations.delete(skew))
    return known
  }

  return {
    async begin(): Promise<{ readonly begun: Begun; readonly url: URL }> {
      const begun: Begun = {
        state: oidc.randomState(),
        nonce: oidc.randomNonce(),
        verifier: oidc.randomPKCECodeVerifier(),
      }
      const url = oidc.buildAuthorizationUrl(await configuration(0), {
        redirect_uri: callback(origin),
        scope: settings.scope,
        state: begun.state,
        nonce: begun.nonce,
        code_challenge: await oidc.calculatePKCECodeChallenge(begun.verifier),
        code_challenge_method: 'S256',
      })
      return { begun, url }
    },

    /** Null where what came back is not good: forged, used, too old, or refused by the provider. */
    async finish(search: string, { state, nonce, verifier }: Begun, now: Instant): Promise<SignedInThere | null> {
      const here = new URL(callback(origin))
      here.search = search
      const config = await configuration(skewAt(now))
      try {
        const tokens = await oidc.authorizationCodeGrant(config, here, {
          expectedState: state,
          expectedNonce: nonce,
          pkceCodeVerifier: verifier,
          idTokenExpected: true,
        })
        return readTokens(tokens, settings.claims)
      } catch (error) {
        if (isNoGood(error)) return null
        throw error
      }
    },

    /** Where the provider itself is signed out of; null where it has no such place. */
    async signOutUrl(): Promise<URL | null> {
      const config = await configuration(0)
      if (config.serverMetadata().end_session_endpoint === undefined) return null
      const back = `${origin}/signed-out`
      // the last is the name that user pools have for it
      return oidc.buildEndSessionUrl(config, { client_id: clientId, post_logout_redirect_uri: back, logout_uri: back })
    },
  }
}

/**
 * Times in tokens are judged by the gateway's clock, as sessions are. The two clocks are told apart by half minutes.
 */
const skewAt = (now: Instant) => Math.round((Date.parse(now) - Date.now()) / 30_000) * 30

type Tokens = Awaited<ReturnType<typeof oidc.authorizationCodeGrant>>

function readTokens(tokens: Tokens, { email, emailVerified }: ProviderSettings['claims']): SignedInThere | null {
  const claims = tokens.claims()
  if (claims === undefined) return null
  const address = claims[email]
  return {
    issuer: claims.iss,
    subject: claims.sub,
    email: typeof address === 'string' ? address : null,
    // some providers write it as text
    emailVerified: claims[emailVerified] === true || claims[emailVerified] === 'true',
    accessToken: tokens.access_token,
  }
}

const callback = (origin: string) => `${origin}/signed-in`

async function discovered({ issuer, clientId }: ProviderSettings, skew: number): Promise<oidc.Configuration> {
  // only this machine is spoken to in the clear
  const execute = new URL(issuer).hostname === '127.0.0.1' ? [oidc.allowInsecureRequests] : []
  return oidc.discovery(new URL(issuer), clientId, { [oidc.clockSkew]: skew }, oidc.None(), {
    execute: [...execute, oidc.enableNonRepudiationChecks],
  })
}

/** What came back is at fault, and not the provider or the way to it. */
function isNoGood(error: unknown): boolean {
  if (error instanceof oidc.AuthorizationResponseError) return true
  if (error instanceof oidc.ResponseBodyError) return error.status < 500
  return error instanceof oidc.ClientError && faults.has(error.code ?? '')
}

const faults: ReadonlySet<string> = new Set([
  'OAUTH_INVALID_RESPONSE',
  'OAUTH_JWT_CLAIM_COMPARISON_FAILED',
  'OAUTH_JWT_TIMESTAMP_CHECK_FAILED',
  'OAUTH_KEY_SELECTION_FAILED',
  'OAUTH_DECRYPTION_FAILED',
])
