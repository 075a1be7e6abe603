/** People whose entry was made before its first day: they hear of it on that day, once. */
import { addDays, type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { notTakenBack } from '../../shared-domain/in-force.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import type { Person } from '../../shared-domain/registers.ts'
import { invitationFor } from '../recording/inviting.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Edition, RegisterEntry } from '../store/registers.ts'
import { writeInPages } from '../telling/in-pages.ts'

/** Mornings that were missed heal themselves for so long; whoever began earlier has found the way in. */
const mostDaysLate = 28

/** Answers how many notices were written. The day is the register's own, which is that of UTC. */
export async function tellOfBeginnings(organisation: Organisation, now: Instant): Promise<number> {
  const { notices, table } = organisation
  const today = localDateAt(now, 'UTC')
  const owed: OwedNotice[] = []
  for (const entry of await organisation.entriesOfPeople(now)) {
    if (mayHaveBegun(entry, today)) owed.push(...(await owedTo(organisation, entry, now)))
  }
  const fresh = await notices.notYetWritten(owed)
  const groups = fresh.map((one) => ({ stickId: null, writes: [notices.owedWrite(one, now)] }))
  return (await writeInPages(table, groups)).notices
}

/** Of most people nothing more is read: their day had come when they were entered, or is long past. */
function mayHaveBegun(entry: RegisterEntry<Person>, today: CalendarDate): boolean {
  const { effectiveFrom, number } = entry
  if (effectiveFrom > today || effectiveFrom < addDays(today, -mostDaysLate)) return false
  return isMadeBefore(entry) || number > 1
}

const isMadeBefore = ({ effectiveFrom, recordedAt }: Pick<Edition<Person>, 'effectiveFrom' | 'recordedAt'>) =>
  localDateAt(recordedAt, 'UTC') < effectiveFrom

/** An edition of the day itself may stand in place of the one that was made before: what binds now is told. */
async function owedTo(
  organisation: Organisation,
  { id, effectiveFrom, body }: RegisterEntry<Person>,
  now: Instant,
): Promise<OwedNotice[]> {
  const all = notTakenBack(await organisation.registers.editions('person', id))
  const edition = all.findLast((one) => one.effectiveFrom === effectiveFrom && isMadeBefore(one))
  if (edition === undefined) return []
  const before = all.findLast((one) => one.effectiveFrom < effectiveFrom)?.body
  return invitationFor({ organisation, now }, { id, before, after: body, edition })
}
