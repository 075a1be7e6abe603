/**
 * The caller. A token or a session, verified at its door, says as whom somebody signed in; what was bound at the first
 * sign-in says which person of which organisation that is. The register of people says what that person may do, so that
 * a change binds at once.
 */
import { type CalendarDate, type Instant, instantOf } from '../../shared-domain/calendar.ts'
import { hasBegun, hasEnded, rightsOf } from '../../shared-domain/people.ts'
import type { RightsHolder } from '../../shared-domain/rights.ts'
import { notAllowed, notSignedIn } from '../ground/errors.ts'
import type { Organisation } from '../store/organisation.ts'
import { type Bound, isSignedOut, type ProviderSubject, signInOf } from '../store/sign-ins.ts'

export interface Caller extends RightsHolder {
  readonly personId: string
}

/** How the tokens of a provider say for what they are, for whom, and for which door. */
export interface TokenRules {
  readonly clients: readonly string[]
  readonly scope: string
  readonly claims: {
    /** the claim of a token's use, and what it says in one for an API; null where the provider has none */
    readonly use: readonly [claim: string, value: string] | null
    readonly client: string
    readonly scope: string
  }
}

/** Whoever comes, and since when they are signed in. */
export interface SignedIn extends ProviderSubject {
  readonly issuedAt: Instant
}

/** The subject of a verified token, where the token is for this API. */
export function readToken(raw: unknown, { clients, scope, claims }: TokenRules): SignedIn {
  const given = (raw ?? {}) as Readonly<Record<string, unknown>>
  const { iss: issuer, sub, iat } = given
  const issuedAt = momentOf(iat)
  const isFor =
    (claims.use === null || given[claims.use[0]] === claims.use[1]) &&
    wordsOf(given[claims.client]).some((client) => clients.includes(client)) &&
    wordsOf(given[claims.scope]).includes(scope)
  if (!isFor || !isText(issuer) || !isText(sub) || issuedAt === undefined) throw notForThisApi()
  return { issuer, sub, issuedAt }
}

/** In seconds, as a number or as the gateway's text of one. */
function momentOf(claim: unknown): Instant | undefined {
  const seconds = Number(claim)
  return seconds > 0 && seconds < yearTenThousand ? instantOf(Math.floor(seconds * 1000)) : undefined
}

const yearTenThousand = Date.UTC(10_000, 0) / 1000

/** The gateway before the API hands lists on in square brackets. */
const wordsOf = (claim: unknown) => (isText(claim) ? claim.replace(/^\[(.*)\]$/s, '$1').split(/[ ,]+/) : [])

const isText = (value: unknown): value is string => typeof value === 'string' && value !== ''

const notForThisApi = () => notSignedIn({ is: 'not signed in: other token' })

export const notBound = () => notAllowed({ is: 'not allowed: not bound' })

/** Somebody whom a subject points to, and since when they are signed in. */
interface Known extends Bound {
  readonly issuedAt: Instant
}

/** Answers the caller, by the register's own day, which is that of UTC. Both items are read in one call. */
export async function callerOf(
  organisation: Pick<Organisation, 'table' | 'keys' | 'name' | 'registers'>,
  { personId, subject, issuedAt }: Known,
  today: CalendarDate,
): Promise<Caller> {
  const [entry, signIn] = await Promise.all([
    organisation.registers.inForce('person', personId, today),
    signInOf(organisation, personId),
  ])
  if (signIn?.subject !== subject) throw notBound()
  if (isSignedOut(signIn, issuedAt)) throw notSignedIn({ is: 'not signed in: signed out' })
  if (entry === undefined || !hasBegun(entry, today)) throw notAllowed({ is: 'not allowed: no entry' })
  if (hasEnded(entry.body, today)) throw notSignedIn({ is: 'not signed in: ended', until: entry.body.until })
  return { personId, ...rightsOf(entry.body) }
}
