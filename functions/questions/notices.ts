/** What was told to whom, the newest first: of a stick, a crew, a person or a mailbox, or of everything. */
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { shownState } from '../../shared-domain/notices/life.ts'
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
import type { Notice } from '../store/notices.ts'
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

export interface LogEntry {
  readonly notice: Notice
  /** beside each of `notice.to.tellInPerson`: who told them, or null */
  readonly inPerson: readonly (ToldInPerson | null)[]
}

export interface LogPage {
  readonly entries: readonly LogEntry[]
  /** where to go on; null when there is no more */
  readonly next: string | null
}

export async function noticesFor(asker: Asker, query: LogQuery): Promise<LogPage> {
  const { organisation } = asker
  const [mayRead, lists] = await Promise.all([mayReadOf(asker), listsFor(asker, query)])
  const { notices, next } = await newestNotices(organisation, {
    lists,
    since: query.since ?? '0',
    after: placeIn(query.after),
    limit: query.limit,
    isAskedFor: (notice) => mayRead(notice) && isAskedFor(notice, query),
  })
  return {
    entries: await withTellings(organisation, notices),
    next: next === null ? null : `${next.owedAt}#${next.number}`,
  }
}

/** A digest is pointed to from beside a stick before it leaves, and may leave without the stick. */
function isAskedFor({ state, lines }: Notice, query: LogQuery): boolean {
  return (
    (query.state === undefined || shownState[state] === query.state) &&
    (query.stick === undefined || lines.some(({ stickId }) => stickId === query.stick)) &&
    (query.crew === undefined || lines.some(({ crewId }) => crewId === query.crew))
  )
}

export const isPlaceInLog = (place: string) => /^\d{4}-\d\d-\d\dT[\d:.]{8,12}Z#[\w-]{0,20}$/.test(place)

function placeIn(after: string): NoticePlace | null {
  const [owedAt = '', number = ''] = after.split('#')
  return after === '' ? null : { owedAt, number }
}

/** One notice with who was told face to face. */
export async function noticeFor(asker: Asker, number: string): Promise<Notice> {
  const [notice, mayRead] = await Promise.all([asker.organisation.notices.one(number), mayReadOf(asker)])
  if (notice === undefined) throw notFound()
  if (!mayRead(notice)) throw notYours('notice')
  return notice
}

export async function withTellings(
  organisation: Organisation,
  notices: readonly Notice[],
): Promise<readonly LogEntry[]> {
  const tellings = await organisation.notices.toldInPerson(notices)
  return notices.map((notice) => ({ notice, inPerson: tellings.get(notice.number) ?? [] }))
}

/** A notice is read by whoever may read of one of its sticks' crews, and by whom it went to. */
async function mayReadOf(asker: Asker): Promise<(notice: Notice) => boolean> {
  const { caller } = asker
  const [ids, me] = await Promise.all([crewsOf(asker), personNow(asker, caller.personId)])
  const known = new Set(ids)
  const mine = me === undefined ? null : sameMailbox(me.body.email)
  return ({ lines, to }) => sameMailbox(to.email) === mine || lines.some(({ crewId }) => known.has(crewId))
}

/** By the register's own day. */
async function personNow(asker: Asker, id: string) {
  const { today } = await todayAt(asker, null)
  return asker.organisation.registers.inForce('person', id, today)
}

/** Of which crews the caller may read; with null also of sticks that no crew has. */
async function crewsOf({ organisation, caller, now }: Asker): Promise<(string | null)[]> {
  const crews = (await organisation.crewsNow(now)).map(({ id, body }) => ({
    crewId: id,
    depotId: body.depotId,
  }))
  return [...crews, { crewId: null, depotId: null }]
    .filter((crew) => may(caller, 'read notices', crew))
    .map(({ crewId }) => crewId)
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
    if (known === undefined) throw notFound()
    return [listTo(keys, known.body.email)]
  }
  if (to !== undefined) return [listTo(keys, to)]
  if (crew !== undefined) {
    const known = await organisation.crewNow(crew, asker.now)
    if (known === undefined) throw notFound()
    checkMayCrew(caller, 'read notices', { crewId: crew, depotId: known.body.depotId })
    return [listOfCrew(keys, crew)]
  }
  return (await crewsOf(asker)).map((id) => listOfCrew(keys, id))
}
