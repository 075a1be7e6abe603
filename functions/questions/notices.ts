/** The log of what was told to whom, the newest first: of a stick, a crew, a person or a mailbox, or of everything. */
import { isInstant } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { shownState } from '../../shared-domain/notices/life.ts'
import type { Recipient } from '../../shared-domain/registers.ts'
import { may } from '../../shared-domain/rights.ts'
import { notFound } from '../ground/errors.ts'
import {
  listOfCrew,
  listOfStick,
  listTo,
  type NoticePlace,
  type NoticeQuery,
  newestNotices,
} from '../store/notice-lists.ts'
import { factIn, type Notice } from '../store/notices.ts'
import type { Organisation } from '../store/organisation.ts'
import type { ToldInPerson } from '../store/told-in-person.ts'
import type { Asker } from './asker.ts'
import { checkMayCrew, notYours } from './rights.ts'
import { seenStick } from './sticks.ts'
import { todayAt } from './today.ts'

export interface LogQuery {
  readonly stick?: string | undefined
  readonly crew?: string | undefined
  /** somebody on the register of people */
  readonly person?: string | undefined
  /** an address, for those who are on no register but their crew's */
  readonly to?: string | undefined
  readonly since?: string | undefined
  readonly state?: string | undefined
  /** the place of the last that was seen, empty to begin */
  readonly after: string
  readonly limit: number
}

/** An address that the reader is not to have is null. */
export interface SeenNotice extends Omit<Notice, 'to' | 'missed'> {
  readonly to: WithoutAddress<Notice['to']>
  readonly missed?: WithoutAddress<NonNullable<Notice['missed']>>
}
type WithoutAddress<T extends { readonly email: string }> = Omit<T, 'email'> & { readonly email: string | null }

export interface LogEntry {
  readonly notice: SeenNotice
  /** records for `notice.to.tellInPerson`, person by person: who told them, or null */
  readonly inPerson: readonly (ToldInPerson | null)[]
  /** the fact that the notice tells of was a slip, and is put right by now */
  readonly isOfSlip: boolean
}

/** An entry of the log before it is known what of it the caller may see. */
interface Kept {
  readonly notice: Notice
  readonly inPerson: LogEntry['inPerson']
  readonly isOfSlip: boolean
}

export interface LogPage {
  readonly entries: readonly LogEntry[]
  /** the place to go on from; null when there is no more */
  readonly next: string | null
}

export async function noticesFor(asker: Asker, query: LogQuery): Promise<LogPage> {
  const asked = await askedOf(asker, query)
  if (asked === null) return { entries: [], next: null }
  const { notices, next } = await newestNotices(asker.organisation, asked.of)
  return { entries: await asked.shown(notices), next: next && placeInLog(next) }
}

/** What is read of the log, and as what the caller sees it; null where it tells the caller nothing. */
export async function askedOf(asker: Asker, query: LogQuery) {
  const { organisation } = asker
  const [view, lists] = await Promise.all([viewOf(asker), listsFor(asker, query)])
  // the log does not tell either whether anything went to somebody
  if (!view.mayAskOf(query)) return null
  const of: NoticeQuery = {
    lists,
    since: query.since ?? '0',
    after: placeIn(query.after),
    limit: query.limit,
    isAskedFor: (notice) => view.mayRead(notice) && isAskedFor(notice, query),
  }
  const shown = async (notices: readonly Notice[]) => (await withTellings(organisation, notices)).map(view.shown)
  return { of, shown }
}

export const placeInLog = ({ owedAt, number }: NoticePlace) => `${owedAt}#${number}`

/** A digest is pointed to from beside a stick before it leaves, and may leave without the stick. */
function isAskedFor({ state, lines }: Notice, query: LogQuery): boolean {
  return (
    (query.state === undefined || shownState[state] === query.state) &&
    (query.stick === undefined || lines.some(({ stickId }) => stickId === query.stick)) &&
    (query.crew === undefined || lines.some(({ crewId }) => crewId === query.crew))
  )
}

export function isPlaceInLog(place: string): boolean {
  const [owedAt = '', ...number] = place.split('#')
  return isInstant(owedAt) && number.length === 1 && /^[\w-]{0,20}$/.test(number[0] ?? '')
}

function placeIn(after: string): NoticePlace | null {
  const [owedAt = '', number = ''] = after.split('#')
  return after === '' ? null : { owedAt, number }
}

export async function noticeFor(asker: Asker, number: string): Promise<Notice> {
  const [notice, { mayRead }] = await Promise.all([asker.organisation.notices.one(number), viewOf(asker)])
  if (notice === undefined) throw notFound({ is: 'none: notice', notice: number })
  if (!mayRead(notice)) throw notYours('notice')
  return notice
}

/** The notice with the people who were told face to face, as the caller may see it. */
export async function entryOf(asker: Asker, notice: Notice): Promise<LogEntry> {
  const [[entry], { shown }] = await Promise.all([withTellings(asker.organisation, [notice]), viewOf(asker)])
  if (entry === undefined) throw notFound({ is: 'none: notice', notice: notice.number })
  return shown(entry)
}

async function withTellings(organisation: Organisation, notices: readonly Notice[]): Promise<readonly Kept[]> {
  const [tellings, slips] = await Promise.all([
    organisation.notices.toldInPerson(notices),
    organisation.sticks.slipsAmong(notices.flatMap((notice) => factIn(notice) ?? [])),
  ])
  return notices.map((notice) => ({
    notice,
    inPerson: tellings.get(notice.number) ?? [],
    isOfSlip: slips.has(factIn(notice) ?? ''),
  }))
}

interface View {
  readonly mayRead: (notice: Notice) => boolean
  readonly mayAskOf: (query: Pick<LogQuery, 'person' | 'to'>) => boolean
  readonly shown: (kept: Kept) => LogEntry
}

/**
 * A notice is read by whoever may read of one of its sticks' crews, and by whom it went to. A caller who reads of one
 * crew alone sees that crew's sticks in it, and no address or telephone but those of the crew and their own.
 */
async function viewOf(asker: Asker): Promise<View> {
  const { caller } = asker
  const [crews, me] = await Promise.all([crewsOf(asker), personNow(asker, caller.personId)])
  const known = new Set(crews.map(({ id }) => id))
  const mine = me === undefined ? null : sameMailbox(me.body.email)
  const isMine = ({ to }: Pick<Notice, 'to'>) => sameMailbox(to.email) === mine
  const mayRead = (notice: Notice) => isMine(notice) || notice.lines.some(({ crewId }) => known.has(crewId))
  if (may(caller, 'read contacts', { crewId: null, depotId: null }))
    return { mayRead, mayAskOf: () => true, shown: (entry) => entry }
  const contacts = contactsOf(crews.flatMap(({ recipients }) => recipients))
  const reaches = (email: string) => sameMailbox(email) === mine || contacts.has(sameMailbox(email))
  return {
    mayRead,
    mayAskOf: ({ person, to }) => (person ?? caller.personId) === caller.personId && (to === undefined || reaches(to)),
    shown: (entry) => (isMine(entry.notice) ? entry : forCrew(entry, { known, contacts, reaches })),
  }
}

/** Mailboxes and telephones of recipients. */
function contactsOf(recipients: readonly Recipient[]): ReadonlySet<string> {
  return new Set(
    recipients.flatMap(({ email, phone }) => [email && sameMailbox(email), phone].filter((one) => one !== undefined)),
  )
}

interface Within {
  readonly known: ReadonlySet<string | null>
  readonly contacts: ReadonlySet<string>
  readonly reaches: (email: string) => boolean
}

function forCrew({ notice, inPerson, isOfSlip }: Kept, { known, contacts, reaches }: Within): LogEntry {
  const { to, lines, trouble: _, missed, ...rest } = notice
  const errand = to.tellInPerson.map((who, place) => ({ who, told: inPerson[place] ?? null }))
  const own = errand.filter(({ who }) => contacts.has(who.phone))
  return {
    notice: {
      ...rest,
      to: { ...to, email: reaches(to.email) ? to.email : null, tellInPerson: own.map(({ who }) => who) },
      lines: lines.filter(({ crewId }) => known.has(crewId)),
      ...(missed === undefined ? {} : { missed: { ...missed, email: reaches(missed.email) ? missed.email : null } }),
    },
    inPerson: own.map(({ told }) => told),
    isOfSlip,
  }
}

/** The person's entry, by the register's own day. */
async function personNow(asker: Asker, id: string) {
  const { today } = await todayAt(asker, null)
  return asker.organisation.registers.inForce('person', id, today)
}

interface CrewRead {
  readonly id: string | null
  readonly depotId: string | null
  readonly recipients: readonly Recipient[]
}

/** Crews of which the caller may read. One without an id stands for sticks that no crew has. */
async function crewsOf({ organisation, caller, now }: Asker): Promise<CrewRead[]> {
  const crews: CrewRead[] = (await organisation.crewsNow(now)).map(({ id, body }) => ({ id, ...body }))
  return [...crews, { id: null, depotId: null, recipients: [] }].filter(({ id, depotId }) =>
    may(caller, 'read notices', { crewId: id, depotId }),
  )
}

async function listsFor(asker: Asker, { stick, person, to, crew }: LogQuery): Promise<NoticeQuery['lists']> {
  const { organisation, caller } = asker
  const { keys } = organisation
  if (stick !== undefined) {
    await seenStick(asker, stick)
    return [listOfStick(keys, stick)]
  }
  if (person !== undefined) {
    const known = await personNow(asker, person)
    if (known === undefined) throw notFound({ is: 'none: entry', entry: 'person', id: person })
    return [listTo(keys, known.body.email)]
  }
  if (to !== undefined) return [listTo(keys, to)]
  if (crew !== undefined) {
    const known = await organisation.crewNow(crew, asker.now)
    if (known === undefined) throw notFound({ is: 'none: entry', entry: 'crew', id: crew })
    checkMayCrew(caller, 'read notices', { crewId: crew, depotId: known.body.depotId })
    return [listOfCrew(keys, crew)]
  }
  return (await crewsOf(asker)).map(({ id }) => listOfCrew(keys, id))
}
