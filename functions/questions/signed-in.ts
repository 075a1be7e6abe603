/**
 * Whoever is signed in to the pages. The session says who it is and since when; the register says at each page what
 * they may do, so that whatever ends there ends here at once.
 */
import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import type { Reader } from '../../shared-domain/wording.ts'
import type { Role } from '../../shared-domain/words.ts'
import { Refused } from '../ground/errors.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { type Bound, bind, type NotBound, signOutEverywhere } from '../store/sign-ins.ts'
import type { Table } from '../store/table.ts'
import { type Caller, callerOf } from './identity.ts'

export interface Session extends Bound {
  /** whether the provider asks this person for the code of an authenticator */
  readonly hasAuthenticator: boolean
  /** the moment of the sign-in, by the gateway's clock */
  readonly issuedAt: Instant
}

export interface SignedInPerson {
  readonly caller: Caller
  readonly name: string
  /** what the organisation calls itself */
  readonly organisation: string
  readonly reader: Reader
  readonly lastDay: CalendarDate | null
}

/** Those who decide about others' sticks show the code of an authenticator besides. */
export const needsAuthenticator = (role: Role): boolean => role === 'manager' || role === 'owner'

/** Null where the session is over: signed out elsewhere, unbound, not on the register any more. */
export async function signedIn(
  session: Session,
  organisation: Organisation,
  now: Instant,
): Promise<SignedInPerson | null> {
  const { registers, name: id } = organisation
  const today = localDateAt(now, 'UTC')
  // asked for at the same moment, all of them are one read
  const [caller, entry, called] = await Promise.all([
    callerIn(session, organisation, now),
    registers.inForce('person', session.personId, today),
    registers.inForce('organisation', id, today),
  ])
  if (caller === null || entry === undefined) return null
  if (needsAuthenticator(caller.role) && !session.hasAuthenticator) return null
  const { name, language, units, until } = entry.body
  return { caller, name, organisation: called?.body.name ?? id, reader: { language, units }, lastDay: until ?? null }
}

async function callerIn(bound: Bound & { issuedAt: Instant }, organisation: Organisation, now: Instant) {
  try {
    return await callerOf(organisation, bound, localDateAt(now, 'UTC'))
  } catch (error) {
    if (error instanceof Refused) return null
    throw error
  }
}

/** What a provider tells of whoever signed in there. */
export interface Told {
  readonly issuer: string
  readonly subject: string
  readonly email: string | null
  readonly emailVerified: boolean
}

export interface LetIn {
  readonly is: 'let in'
  readonly bound: Bound
  readonly role: Role
}

export interface NotLetIn {
  readonly is: 'not let in'
  readonly why: NotBound
  /** null where the provider tells none */
  readonly email: string | null
}

/** When it is by the calendar of the house, and by the gateway's clock. */
export interface Times {
  readonly now: Instant
  readonly issuedAt: Instant
}

/** Answers who it is that signed in; at the first time their address finds them. */
export async function whoSignsIn(table: Table, told: Told, { now, issuedAt }: Times): Promise<LetIn | NotLetIn> {
  const { issuer, subject: sub, email, emailVerified } = told
  const binding = await bind(table, { subject: { issuer, sub }, email: emailVerified ? email : null, now })
  if (binding.outcome === 'refused') return { is: 'not let in', why: binding.why, email }
  const { organisation, personId, subject } = binding
  const bound = { organisation, personId, subject }
  const caller = await callerIn({ ...bound, issuedAt }, openOrganisation(table, organisation), now)
  return caller === null ? { is: 'not let in', why: 'ended', email } : { is: 'let in', bound, role: caller.role }
}

/** Ends every session and token of the person from before this moment. */
export function endAllSessions(table: Table, { organisation, personId }: Bound, at: Instant): Promise<void> {
  return signOutEverywhere(openOrganisation(table, organisation), personId, at)
}
