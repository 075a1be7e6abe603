/** An edition of somebody's entry that gives them more: word of what they may do is owed with it. */
import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { invitationOwed } from '../../shared-domain/notices/invitation.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { hasBegun } from '../../shared-domain/people.ts'
import type { Person } from '../../shared-domain/registers.ts'
import type { Organisation } from '../store/organisation.ts'
import type { NewEdition } from '../store/registers.ts'
import type { Write } from '../store/table.ts'

/** An edition that is to be added to the entry of somebody, who has so many editions by now. */
interface Adding extends Pick<NewEdition<'person'>, 'body' | 'effectiveFrom' | 'recordedAt' | 'recordedBy'> {
  readonly id: string
  readonly editions: number
}

/** An edition that begins later owes nothing yet: the sweep finds it on its first day. */
export async function invitationWrites(organisation: Organisation, adding: Adding): Promise<Write[]> {
  const { id, body, effectiveFrom, recordedAt, recordedBy, editions } = adding
  if (effectiveFrom > localDateAt(recordedAt, 'UTC')) return []
  const known = await organisation.registers.inForce('person', id, effectiveFrom)
  const before = known !== undefined && hasBegun(known, effectiveFrom) ? known.body : undefined
  const edition = { number: editions + 1, recordedBy }
  const owed = await invitationFor({ organisation, now: recordedAt }, { id, before, after: body, edition })
  return owed.map((one) => organisation.notices.owedWrite(one, recordedAt))
}

interface Invited {
  readonly id: string
  readonly before: Person | undefined
  readonly after: Person
  readonly edition: { readonly number: number; readonly recordedBy: string }
}

/** The names that the word holds are looked up. */
export async function invitationFor(
  { organisation, now }: { readonly organisation: Organisation; readonly now: Instant },
  { id, before, after, edition }: Invited,
): Promise<OwedNotice[]> {
  const { registers, name } = organisation
  const today = localDateAt(now, 'UTC')
  const [people, entry, crew, depots] = await Promise.all([
    organisation.entriesOfPeople(now),
    registers.inForce('organisation', name, today),
    after.crewId === undefined ? undefined : organisation.crewNow(after.crewId, now),
    Promise.all(after.depots.map(async (one) => (one === '*' ? one : await depotName(one)))),
  ])
  const others = people.filter((one) => one.id !== id)
  const entered = {
    personId: id,
    edition: edition.number,
    before,
    after,
    organisation: entry?.body.name ?? name,
    by: others.find((one) => one.id === edition.recordedBy)?.body,
    owner: others.find(({ body }) => body.role === 'owner')?.body,
    crew: crew?.body.name,
    depots,
  }
  return invitationOwed(entered, today)

  async function depotName(depotId: string): Promise<string> {
    return (await registers.depotNow(depotId, now))?.body.name ?? depotId
  }
}
