/**
 * Which organisation an address belongs to. Whoever signs in for the first time is found by their address alone, so no
 * two organisations may have it.
 */
import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { hasEnded } from '../../shared-domain/people.ts'
import type { Person } from '../../shared-domain/registers.ts'
import { addressHash } from './accounts-owed.ts'
import { is, isNew, onlyIf } from './change.ts'
import { addressPointer } from './keys.ts'
import { type Organisation, openOrganisation } from './organisation.ts'
import { readerOf } from './reading.ts'
import type { Edition } from './registers.ts'
import type { Table, Write } from './table.ts'

interface Holder {
  readonly organisation: string
  /** changes with each entry that comes to name the address */
  readonly version: number
}

const asHolder = readerOf<Holder>('address', { organisation: 'text', version: 'number' })

const keyOf = (email: string) => addressPointer(addressHash(email))

export async function organisationOfAddress(table: Table, email: string): Promise<string | undefined> {
  return (await holderOf(table, email))?.organisation
}

async function holderOf(table: Table, email: string): Promise<Holder | undefined> {
  const item = await table.get(keyOf(email))
  return item === undefined ? undefined : asHolder(item)
}

/** An edition of a person's entry that names an address. */
export interface Naming {
  readonly id: string
  readonly email: string
  readonly now: Instant
}

/**
 * The writes by which the organisation has the address, with an edition that names it; undefined where the address is
 * another's. The pointer changes with every entry that comes to name the address, so that of two organisations at one
 * moment one is first.
 */
export async function addressWrites(
  organisation: Organisation,
  { id, email, now }: Naming,
): Promise<readonly Write[] | undefined> {
  const { table, name } = organisation
  const today = localDateAt(now, 'UTC')
  const holder = await holderOf(table, email)
  if (holder?.organisation === name) {
    // nobody takes an address over from an entry that names it already
    if ((await organisation.registers.inForceFrom('person', id, today)).some(names(email, today))) return []
  } else if (holder !== undefined && (await isNamed(openOrganisation(table, holder.organisation), email, today))) {
    return undefined
  }
  return [
    table.put(
      { ...keyOf(email), entity: 'address', organisation: name, version: (holder?.version ?? 0) + 1 },
      onlyIf(holder === undefined ? isNew : is('version', holder.version)),
    ),
  ]
}

/** Answers whether somebody of the organisation has the address, today or on a day to come. */
async function isNamed(organisation: Organisation, email: string, today: CalendarDate): Promise<boolean> {
  return (await namedBy(organisation, email, today)).length > 0
}

async function everybodyFrom({ table, keys, registers }: Organisation, today: CalendarDate) {
  // a list that is behind would leave out whoever was entered just now
  const heads = await table.all({ partition: ['pk', keys.registerHeads('person')], consistent: true })
  return Promise.all(
    heads.map(async ({ sk: id }) => ({ id, editions: await registers.inForceFrom('person', id, today) })),
  )
}

/** Those of the organisation who have the address, today or on a day to come. */
export async function namedBy(organisation: Organisation, email: string, today: CalendarDate): Promise<string[]> {
  const all = await everybodyFrom(organisation, today)
  return all.filter(({ editions }) => editions.some(names(email, today))).map(({ id }) => id)
}

const names =
  (email: string, today: CalendarDate) =>
  ({ body }: Edition<Person>): boolean =>
    sameMailbox(body.email) === sameMailbox(email) && !hasEnded(body, today)
