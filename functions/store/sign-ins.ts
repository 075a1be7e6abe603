/**
 * Sign-ins: which person a provider's subject is, and since when their sessions count. A subject is any text, and one
 * of another provider may read the same, so a hash of both is the key. What is bound stands on two sides, and counts
 * only where both agree.
 */
import { createHash } from 'node:crypto'
import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { hasBegun, hasEnded, isOn } from '../../shared-domain/people.ts'
import { Refused } from '../ground/errors.ts'
import { organisationOfAddress } from './addresses.ts'
import { changeIf, eitherOf, is, isAbsent, isLessThan, isNew, isThere, onlyIf } from './change.ts'
import { type OrganisationTable, organisationTable, subjectPointer } from './keys.ts'
import { openOrganisation } from './organisation.ts'
import { readerOf } from './reading.ts'
import type { Table, Write } from './table.ts'

/** Whoever a provider says that somebody is. */
export interface ProviderSubject {
  readonly issuer: string
  readonly sub: string
}

export interface Bound {
  readonly organisation: string
  readonly personId: string
  /** the hash of the subject */
  readonly subject: string
}

export interface Pointer {
  readonly organisation: string
  readonly personId: string
  readonly boundAt: Instant
}

export interface SignIn {
  readonly personId: string
  /** the hash of the subject; absent where none is bound */
  readonly subject?: string
  readonly boundAt?: Instant
  /** sessions and tokens from before this count no more */
  readonly sessionsSince?: Instant
}

const asPointer = readerOf<Pointer>('subject', { organisation: 'text', personId: 'text', boundAt: 'text' })
const asSignIn = readerOf<SignIn>('sign-in', {
  personId: 'text',
  subject: ['text', 'absent'],
  boundAt: ['text', 'absent'],
  sessionsSince: ['text', 'absent'],
})

/** An issuer is a URL and holds no space, so no two subjects make the same text. @lintignore tests bind by it too */
export const hashOf = ({ issuer, sub }: ProviderSubject) =>
  createHash('sha256').update(`${issuer} ${sub}`).digest('hex')

/** The person to whom the subject points. Whether that person is bound to it still, their own side says: `signInOf`. */
export async function whoIs(table: Table, subject: ProviderSubject): Promise<(Bound & Pointer) | undefined> {
  const hash = hashOf(subject)
  const pointer = await pointerOf(table, hash)
  if (pointer === undefined) return undefined
  const { organisation, personId, boundAt } = pointer
  return { organisation, personId, boundAt, subject: hash }
}

async function pointerOf(table: Table, hash: string): Promise<Pointer | undefined> {
  const item = await table.get(subjectPointer(hash))
  return item === undefined ? undefined : asPointer(item)
}

export async function signInOf({ table, keys }: OrganisationTable, personId: string): Promise<SignIn | undefined> {
  const item = await table.get(keys.signIn(personId))
  return item === undefined ? undefined : asSignIn(item)
}

/** Answers whether a session or token of this age was ended when its person signed out everywhere. */
export function isSignedOut(signIn: SignIn | undefined, issuedAt: Instant): boolean {
  return signIn?.sessionsSince !== undefined && issuedAt < signIn.sessionsSince
}

/** A moment earlier than one that was kept before changes nothing. @lintignore the pages sign people out by it */
export async function signOutEverywhere(
  { table, keys }: OrganisationTable,
  personId: string,
  now: Instant,
): Promise<void> {
  const set = { entity: 'sign-in', personId, sessionsSince: now }
  await table.update(
    keys.signIn(personId),
    changeIf({ set }, eitherOf(isAbsent('sessionsSince'), isLessThan('sessionsSince', now))),
  )
}

/** Nobody signs in as this person, until somebody is bound to them anew. */
export async function setFree({ table, keys }: OrganisationTable, personId: string): Promise<void> {
  await table.update(keys.signIn(personId), changeIf({ remove: ['subject', 'boundAt'] }, isThere('subject')))
}

/** A sign-in on a page. The address is null where the provider does not say that it is verified. */
export interface Arrival {
  readonly subject: ProviderSubject
  readonly email: string | null
  readonly now: Instant
}

export type NotBound =
  | 'address not verified'
  | 'nobody has the address'
  | 'several have the address'
  | 'not begun'
  | 'ended'
  | 'bound to another sign-in'

export type Binding = ({ readonly outcome: 'bound' } & Bound) | { readonly outcome: 'refused'; readonly why: NotBound }

const refuse = (why: NotBound): Binding => ({ outcome: 'refused', why })
const mostTries = 5

/** Answers the person whose subject this is. At their first sign-in the address finds them, and binds the subject. */
export async function bind(table: Table, arrival: Arrival): Promise<Binding> {
  for (let tries = 0; tries < mostTries; tries++) {
    const binding = await tryToBind(table, arrival)
    if (binding !== 'lost') return binding
  }
  throw new Refused({ kind: 'try again' })
}

async function tryToBind(table: Table, { subject, email, now }: Arrival): Promise<Binding | 'lost'> {
  const hash = hashOf(subject)
  const pointer = await pointerOf(table, hash)
  if (pointer !== undefined && (await isBound(table, pointer, hash))) {
    const { organisation, personId } = pointer
    return { outcome: 'bound', organisation, personId, subject: hash }
  }
  const found = await personBehind(table, email, now)
  if (typeof found === 'string') return refuse(found)
  const known = await signInOf(organisationTable(table, found.organisation), found.personId)
  if (known?.subject !== undefined) return refuse('bound to another sign-in')
  const one = { ...found, subject: hash }
  const { done } = await table.transact(bindingWrites(table, one, { now, pointer }))
  return done ? { outcome: 'bound', ...one } : 'lost'
}

async function isBound(table: Table, { organisation, personId }: Pointer, hash: string): Promise<boolean> {
  return (await signInOf(organisationTable(table, organisation), personId))?.subject === hash
}

/**
 * Both sides of a binding: of one subject, or one person, that two bind at one moment, one is first.
 * @lintignore tests bind by it whoever has no entry
 */
export function bindingWrites(
  table: Table,
  { organisation, personId, subject }: Bound,
  { now, pointer }: { readonly now: Instant; readonly pointer?: Pointer | undefined },
): Write[] {
  const { keys } = organisationTable(table, organisation)
  return [
    table.put(
      { ...subjectPointer(subject), entity: 'subject', organisation, personId, boundAt: now },
      // the pointer of a subject that was set free stays where it is, and is written over
      onlyIf(pointer === undefined ? isNew : is('boundAt', pointer.boundAt)),
    ),
    table.change(
      keys.signIn(personId),
      changeIf({ set: { entity: 'sign-in', personId, subject, boundAt: now } }, isAbsent('subject')),
    ),
  ]
}

/** The one person in force who has the address, or why there is none. */
async function personBehind(
  table: Table,
  email: string | null,
  now: Instant,
): Promise<Omit<Bound, 'subject'> | NotBound> {
  if (email === null) return 'address not verified'
  const name = await organisationOfAddress(table, email)
  if (name === undefined) return 'nobody has the address'
  const today = localDateAt(now, 'UTC')
  const all = await openOrganisation(table, name).registers.allInForce('person', today)
  const entries = all.filter(({ body }) => sameMailbox(body.email) === sameMailbox(email))
  const [only, ...others] = entries.filter((entry) => isOn(entry, today))
  if (only !== undefined)
    return others.length > 0 ? 'several have the address' : { organisation: name, personId: only.id }
  if (entries.some((entry) => !hasBegun(entry, today))) return 'not begun'
  return entries.some(({ body }) => hasEnded(body, today)) ? 'ended' : 'nobody has the address'
}
