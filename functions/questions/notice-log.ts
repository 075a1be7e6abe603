/** What was told to whom, read for the API and the pages: of a stick, a crew, a person or a mailbox, or of everything. */
import { sameMailbox } from '../../shared-domain/mail-address.ts'
import { notAllowed, notFound } from '../ground/errors.ts'
import { type Notice, newestFirst, noticesOfCrew, noticesOfStick, noticesTo } from '../store/notices.ts'
import type { Organisation } from '../store/organisation.ts'
import { type ToldInPerson, toldInPerson } from '../store/told-in-person.ts'
import { type Caller, maySee } from './identity.ts'

export interface LogQuery {
  readonly stick?: string | undefined
  readonly crew?: string | undefined
  /** somebody on the register of people */
  readonly person?: string | undefined
  /** an address, for those who are on no register but their crew's */
  readonly to?: string | undefined
  readonly since?: string | undefined
  readonly state?: string | undefined
}

export interface LogEntry {
  readonly notice: Notice
  /** beside each of `notice.to.tellInPerson`: who told them, or null */
  readonly inPerson: readonly (ToldInPerson | null)[]
}

/** The newest first. */
export async function readNoticeLog(
  organisation: Organisation,
  caller: Caller,
  query: LogQuery,
): Promise<readonly LogEntry[]> {
  const seen = await mayReadOf(organisation, caller)
  const found = (await candidates(organisation, caller, query)).filter(
    (notice) =>
      seen(notice) &&
      (query.state === undefined || notice.state === query.state) &&
      (query.crew === undefined || notice.lines.some((line) => line.crewId === query.crew)),
  )
  return withTellings(organisation, found)
}

export async function withTellings(
  { table, keys }: Organisation,
  notices: readonly Notice[],
): Promise<readonly LogEntry[]> {
  const tellings = await toldInPerson(table, keys, notices)
  return notices.map((notice) => ({ notice, inPerson: tellings.get(notice.number) ?? [] }))
}

/** A notice is read by whoever may see one of its sticks' crews, and by whom it went to. */
export async function mayReadOf({ registers }: Organisation, caller: Caller): Promise<(notice: Notice) => boolean> {
  const [crews, me] = await Promise.all([registers.heads('crew'), registers.head('person', caller.personId)])
  const ids = new Set(
    crews
      .filter((crew) => maySee(caller, { crewId: crew.id, depotId: crew.newest.body.depotId }))
      .map((crew) => crew.id),
  )
  const mine = me === undefined ? null : sameMailbox(me.newest.body.email)
  return ({ lines, to }) =>
    sameMailbox(to.email) === mine ||
    lines.some(({ crewId }) => (crewId === null ? caller.role !== 'crew' : ids.has(crewId)))
}

async function candidates(organisation: Organisation, caller: Caller, query: LogQuery): Promise<Notice[]> {
  const { table, keys, registers } = organisation
  const since = query.since ?? '0'
  if (query.stick !== undefined) {
    await mustSeeStick(organisation, caller, query.stick)
    return noticesOfStick(table, keys, query.stick, since)
  }
  if (query.person !== undefined) {
    const person = await registers.head('person', query.person)
    if (person === undefined) throw notFound()
    return noticesTo(table, keys, person.newest.body.email, since)
  }
  if (query.to !== undefined) return noticesTo(table, keys, query.to, since)
  if (query.crew !== undefined) {
    const crew = await registers.head('crew', query.crew)
    if (crew === undefined) throw notFound()
    if (!maySee(caller, { crewId: crew.id, depotId: crew.newest.body.depotId }))
      throw notAllowed('This crew is not yours.')
    return noticesOfCrew(table, keys, crew.id, since)
  }
  const crews = (await registers.heads('crew')).filter((crew) =>
    maySee(caller, { crewId: crew.id, depotId: crew.newest.body.depotId }),
  )
  const ids = caller.role === 'crew' ? crews.map((crew) => crew.id) : [...crews.map((crew) => crew.id), null]
  const all = await Promise.all(ids.map((id) => noticesOfCrew(table, keys, id, since)))
  return newestFirst(all.flat())
}

async function mustSeeStick({ sticks }: Organisation, caller: Caller, stickId: string): Promise<void> {
  const known = await sticks.stored(stickId)
  if (known === undefined) throw notFound()
  if (maySee(caller, { crewId: known.state.crewId, depotId: known.depotId })) return
  throw notAllowed('This stick belongs to another crew or depot.')
}
