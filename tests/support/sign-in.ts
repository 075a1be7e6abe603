/**
 * Sign-ins for tests in one process: the claims of a person's access token, as the pool makes them, and their binding.
 */
import { enterFirstOwner, type FirstOwner } from '../../functions/first-owner/first-owner.ts'
import type { TokenRules } from '../../functions/questions/identity.ts'
import { bindingWrites, hashOf } from '../../functions/store/sign-ins.ts'
import type { Table } from '../../functions/store/table.ts'
import { type Instant, millisOf } from '../../shared-domain/calendar.ts'

export type Person = readonly [organisation: string, personId: string]

const issuer = 'https://pool.example/us-east-1_Tests'
const client = 'pages'
const scope = 'quarterturn/api'

export const tokenRules: TokenRules = {
  clients: [client],
  scope,
  claims: { use: ['token_use', 'access'], client: 'client_id', scope: 'scope' },
}

/** A subject is any text, so here it has what other providers put into theirs. */
export const subjectFor = ([organisation, personId]: Person) => ({ issuer, sub: `auth|${organisation}|${personId}_` })

/** As the gateway hands them on: all as text. */
export function claimsOf(person: Person, issuedAt: Instant) {
  const { sub } = subjectFor(person)
  const iat = String(Math.floor(millisOf(issuedAt) / 1000))
  return { iss: issuer, sub, iat, client_id: client, token_use: 'access', scope: `openid email ${scope}` }
}

/** An organisation as it is before anything else: its first owner entered, and the sign-ins of these people bound. */
export async function found(
  table: Table,
  { personIds, at, ...owner }: FirstOwner & { readonly personIds: readonly string[]; readonly at: Instant },
): Promise<void> {
  const entered = await enterFirstOwner(table, owner, at)
  if (entered !== 'entered') throw new Error(`nobody owns ${owner.organisation}: ${entered}`)
  for (const personId of personIds) await bindWithoutEntry(table, [owner.organisation, personId], at)
}

/** Binds somebody whether they have an entry or not, so that a test decides by entries alone what they may do. */
async function bindWithoutEntry(table: Table, person: Person, now: Instant): Promise<void> {
  const [organisation, personId] = person
  const bound = { organisation, personId, subject: hashOf(subjectFor(person)) }
  const { done } = await table.transact(bindingWrites(table, bound, { now }))
  if (!done) throw new Error(`${personId} of ${organisation} is bound already`)
}
