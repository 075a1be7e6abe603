/**
 * The head of the tree as a day begins, by the clock of UTC: kept once, and owed to the owners with it, so that it lies
 * where nobody who can write to the table can reach it. A day on which nothing came has none: the last one says it all.
 */
import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { owedForFingerprint } from '../../shared-domain/notices/owed-for-fingerprint.ts'
import type { Organisation } from '../store/organisation.ts'
import { owing, writeLeft } from '../store/still-owed.ts'
import { dayHeads, dayHeadWrite, treeHead } from '../store/tree.ts'

export async function closeDay(organisation: Organisation, now: Instant): Promise<void> {
  const day = localDateAt(now, 'UTC')
  const [head, [last]] = await Promise.all([treeHead(organisation), dayHeads(organisation, 1)])
  if (head === undefined || last?.size === head.size || (last !== undefined && last.day >= day)) return
  const { registers, table, name } = organisation
  const [people, entry] = await Promise.all([organisation.peopleNow(now), registers.inForce('organisation', name, day)])
  const { size, root } = head
  const fingerprint = { organisation: entry?.body.name ?? name, records: size, root }
  const notices = owedForFingerprint(fingerprint, day, people)
  const always = [dayHeadWrite(organisation, { day, size, root, at: now })]
  const { writes, left } = owing(organisation, { always, notices, cause: `fingerprint ${day}`, now })
  // the first of two has kept it, and owes the same
  if ((await table.transact(writes)).done) await writeLeft(organisation, left)
}
