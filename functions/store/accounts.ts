/**
 * Accounts at the user pool: what editions of people's entries ask of it, and what was done there, an item an address.
 */
import type { Instant } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { addressHash } from './accounts-owed.ts'
import { changeIf, is, isAbsent, isThere } from './change.ts'
import { accountKey, type OrganisationTable } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import type { Key, Table, Write } from './table.ts'
import { accountsQueue } from './table-shape.ts'

export interface AccountsOwed {
  readonly organisation: string
  readonly personId: string
  /** the number of the edition that asked last */
  readonly edition: number
  /** the number of the edition that was seen to last */
  readonly seenTo?: number
  /** when somebody asked that the first password be sent again */
  readonly again?: Instant
  /** absent where nothing is to be done, on no day to come either */
  readonly queueAt?: Instant
}

export type AccountStanding = 'made' | 'ended'

/** What we did last at the pool under an address, and for whom. */
export interface Account {
  readonly standing: AccountStanding
  readonly organisation: string
  readonly personId: string
  readonly since: Instant
}

const asOwed = readerOf<AccountsOwed>('accounts owed', {
  organisation: 'text',
  personId: 'text',
  edition: 'number',
  seenTo: ['number', 'absent'],
  again: ['text', 'absent'],
  queueAt: ['text', 'absent'],
})
const asAccount = readerOf<Account>('account', {
  standing: new Set(['made', 'ended'] as const),
  organisation: 'text',
  personId: 'text',
  since: 'text',
})

/** What is to be done for a person, where anything is by now. The clocks of two functions may differ a little. */
export async function accountsOwedTo(table: Table, key: Key, now: Instant): Promise<AccountsOwed | undefined> {
  const item = await table.get(key)
  const owed = item === undefined ? undefined : asOwed(item)
  return owed !== undefined && isDue(owed, now) ? owed : undefined
}

const isDue = ({ edition, seenTo, again, queueAt }: AccountsOwed, now: Instant) =>
  queueAt !== undefined && (seenTo !== edition || again !== undefined || queueAt <= now)

/** All that is to be done by now, of every organisation. */
export async function accountsDue(table: Table, now: Instant): Promise<AccountsOwed[]> {
  const places = await table.all({
    index: 'notices-by-queue',
    partition: ['queue', accountsQueue],
    between: ['queueAt', '0', now],
  })
  // the index may still show what was done since
  return readEach(await table.getAll(places), asOwed).filter((owed) => isDue(owed, now))
}

/** Done until a day to come, or for good. Whoever asked anew meanwhile keeps their place. */
export async function setAccountsSeenTo(
  { table, keys }: OrganisationTable,
  { personId, edition, again }: AccountsOwed,
  next: Instant | null,
): Promise<void> {
  const seen = { seenTo: edition }
  const change =
    next === null
      ? { set: seen, remove: ['queue', 'queueAt', 'again'] }
      : { set: { ...seen, queueAt: next }, remove: ['again'] }
  const isAsRead = again === undefined ? isAbsent('again') : is('again', again)
  await table.update(keys.accountsOwed(personId), changeIf(change, is('edition', edition), isAsRead))
}

/** The writes that ask for a first password anew; none for whoever was entered before accounts followed entries. */
export async function askedAgainWrites(
  { table, keys }: OrganisationTable,
  personId: string,
  now: Instant,
): Promise<Write[]> {
  const key = keys.accountsOwed(personId)
  if ((await table.get(key)) === undefined) return []
  return [table.change(key, changeIf({ set: { again: now, queue: accountsQueue, queueAt: now } }, isThere('edition')))]
}

/** Undefined where we have made and ended none under the address. */
export async function accountOf(table: Table, email: string): Promise<Account | undefined> {
  const item = await table.get(accountKey(addressHash(email)))
  return item === undefined ? undefined : asAccount(item)
}

export async function noteAccount(table: Table, email: string, account: Account): Promise<void> {
  const key = accountKey(addressHash(email))
  await table.transact([table.put({ ...key, entity: 'account', email: sameMailbox(email), ...account })])
}
