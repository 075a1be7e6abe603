/**
 * The first owner of an organisation. Everybody else is entered by somebody who may; the first cannot be, so a command
 * of whoever runs the service enters them, once.
 */
import * as z from 'zod'
import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { refusing } from '../../shared-domain/catalogue/en/refusals.ts'
import { expectedBy } from '../../shared-domain/fault.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import { mailAddress } from '../../shared-domain/mail-address.ts'
import { line } from '../../shared-domain/text.ts'
import { faultIn, wordingIn } from '../../shared-domain/wording.ts'
import { addressWrites } from '../store/addresses.ts'
import { openOrganisation } from '../store/organisation.ts'
import { firstOwnersWrite } from '../store/owners.ts'
import type { Table } from '../store/table.ts'

export interface FirstOwner {
  readonly organisation: string
  readonly name: string
  readonly email: string
}

export type NotEntered = 'there are people already' | 'the address is another organisation’s'
export type EnteredOwner = 'entered' | NotEntered

/** The id under which the first owner is entered. */
const firstOwnerId = 'owner'

/** Whoever signs the entry: no person does. */
const recordedBy = 'first-owner'

const named = z.object({ organisation: registerId, name: line(120), email: mailAddress })

/** What does not fit of the names, all of it. */
export function flagFaults(asked: Partial<FirstOwner>): string[] {
  const wording = wordingIn<typeof refusing>(english, 'metric', refusing)
  const missing = (['organisation', 'name', 'email'] as const).filter((flag) => asked[flag] === undefined)
  const issues = named.partial().safeParse(asked).error?.issues ?? []
  return [
    ...missing.map((flag) => `--${flag} is missing`),
    ...issues.map(
      ({ path, message }) => `--${String(path[0])}: ${faultIn(wording, { expected: expectedBy(message) })}`,
    ),
  ]
}

/** Enters the owner, of every depot. Of two who do so at one moment one is first. */
export async function enterFirstOwner(table: Table, one: FirstOwner, now: Instant): Promise<EnteredOwner> {
  const prepared = await prepare(table, one, now)
  if (typeof prepared === 'string') return prepared
  const added = await openOrganisation(table, one.organisation).registers.add('person', firstOwnerId, {
    body: { name: one.name, email: one.email, role: 'owner', depots: ['*'] },
    effectiveFrom: localDateAt(now, 'UTC'),
    recordedAt: now,
    recordedBy,
    onlyWith: 0,
    also: prepared,
  })
  return added === 'lost' ? 'there are people already' : 'entered'
}

/** Why the owner cannot be entered, looked up and nothing written; undefined where they can. */
export async function whyNoOwner(table: Table, one: FirstOwner, now: Instant): Promise<NotEntered | undefined> {
  const prepared = await prepare(table, one, now)
  return typeof prepared === 'string' ? prepared : undefined
}

async function prepare(table: Table, { organisation: name, email }: FirstOwner, now: Instant) {
  const organisation = openOrganisation(table, name)
  const people = await organisation.registers.allInForce('person', localDateAt(now, 'UTC'))
  if (people.length > 0) return 'there are people already'
  const address = await addressWrites(organisation, { id: firstOwnerId, email, now })
  return address === undefined ? 'the address is another organisation’s' : [firstOwnersWrite(organisation), ...address]
}
