/**
 * Addresses that nothing is sent to: marked by what the mail service said, cleared by a manager. Both steps are kept.
 */
import type { Instant } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import type { UndeliveredWhy } from '../../shared-domain/notices/notice.ts'
import { is, onlyIf } from './change.ts'
import { type OrganisationTable, organisationTable } from './keys.ts'
import type { Notice } from './notices.ts'
import { readEach, readerOf } from './reading.ts'
import type { Table, Write } from './table.ts'

export interface AddressMark {
  readonly email: string
  readonly since: Instant
  readonly why: UndeliveredWhy
  readonly trouble: string
  /** the notice that did not arrive */
  readonly notice: string
  readonly clearedAt: Instant | null
  readonly clearedBy: string | null
  readonly clearedFor: string | null
}

const asMark = readerOf<AddressMark>('marked address', {
  email: 'text',
  since: 'text',
  why: 'text',
  trouble: 'text',
  notice: 'text',
  clearedAt: ['text', 'null'],
  clearedBy: ['text', 'null'],
  clearedFor: ['text', 'null'],
})

export async function addressMarkOf(
  { table, keys }: OrganisationTable,
  email: string,
): Promise<AddressMark | undefined> {
  const item = await table.get(keys.mark(email))
  const mark = item === undefined ? undefined : asMark(item)
  return mark?.clearedAt === null ? mark : undefined
}

export async function isMarked(table: Table, { organisation, to }: Notice): Promise<boolean> {
  return (await addressMarkOf(organisationTable(table, organisation), to.email)) !== undefined
}

/** Answers the marks that stand, in the order of their addresses. */
export async function marksOf({ table, keys }: OrganisationTable): Promise<AddressMark[]> {
  const marks = readEach(await table.all({ partition: ['pk', keys.marks()] }), asMark)
  return marks.filter(({ clearedAt }) => clearedAt === null)
}

/** Writes that mark the address; none where it is marked already, for the first reason stays. */
export async function markWrites(
  table: Table,
  { organisation, number, to }: Notice,
  cause: Pick<AddressMark, 'why' | 'trouble' | 'since'>,
): Promise<Write[]> {
  const place = organisationTable(table, organisation)
  const { keys } = place
  if ((await addressMarkOf(place, to.email)) !== undefined) return []
  const email = sameMailbox(to.email)
  const open = { clearedAt: null, clearedBy: null, clearedFor: null }
  const mark: AddressMark = { email, ...cause, notice: number, ...open }
  return [
    table.put({ ...keys.mark(email), entity: 'marked address', ...mark }),
    table.putNew({ ...keys.markHistory(email, cause.since, `MARKED#${number}`), entity: 'mark', ...mark }),
  ]
}

/** Clears the mark; `lost` where the address was marked or cleared anew meanwhile. */
export async function clearMark(
  { table, keys }: OrganisationTable,
  mark: AddressMark,
  by: { readonly personId: string; readonly now: Instant; readonly reason: string },
): Promise<AddressMark | 'lost'> {
  const cleared = { ...mark, clearedAt: by.now, clearedBy: by.personId, clearedFor: by.reason }
  const { done } = await table.transact([
    table.put({ ...cleared, ...keys.mark(mark.email), entity: 'marked address' }, onlyIf(is('since', mark.since))),
    table.putNew({ ...cleared, ...keys.markHistory(mark.email, by.now, 'CLEARED'), entity: 'mark cleared' }),
  ])
  return done ? cleared : 'lost'
}
