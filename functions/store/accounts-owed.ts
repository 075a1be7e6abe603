/**
 * An edition of a person's entry owes a look at their account at the user pool, and says so in its own transaction.
 * Where people sign in at another provider nobody takes the work up.
 */
import { createHash } from 'node:crypto'
import type { Instant } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { changeIf, eitherOf, isAbsent, isLessThan } from './change.ts'
import type { OrganisationTable } from './keys.ts'
import type { Write } from './table.ts'
import { accountsQueue } from './table-shape.ts'

export const addressHash = (email: string) => createHash('sha256').update(sameMailbox(email)).digest('hex')

/** The work that an edition of the person's entry asks for, written with the edition. */
export function accountsOwedWrite(
  { table, keys, name }: OrganisationTable,
  personId: string,
  { number, recordedAt }: { readonly number: number; readonly recordedAt: Instant },
): Write {
  const set = { entity: 'accounts owed', organisation: name, personId, edition: number }
  return table.change(
    keys.accountsOwed(personId),
    changeIf(
      { set: { ...set, queue: accountsQueue, queueAt: recordedAt } },
      eitherOf(isAbsent('edition'), isLessThan('edition', number)),
    ),
  )
}
