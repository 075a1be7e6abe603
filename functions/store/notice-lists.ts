/**
 * The lists in which notices lie, read from the newest on and no further than is asked for. A digest of several crews
 * lies in the list of one. Pointers in the lists of its sticks and of the other crews lead to it.
 */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import type { Keys, OrganisationTable } from './keys.ts'
import { asNotice, type Notice, ownIn, pointedIn } from './notices.ts'
import { readEach } from './reading.ts'
import type { Item } from './table.ts'
import type { IndexName } from './table-shape.ts'

interface NoticeList {
  readonly index: IndexName
  readonly partition: readonly [name: string, value: string]
}

/** The stick's own notices, and the digests that name it. */
export function listOfStick(keys: Keys, stickId: string): NoticeList {
  return { index: 'notices-by-stick', partition: ['noticeStickKey', keys.noticesOfStick(stickId)] }
}

/** Notices about a crew's sticks; for null, about sticks that no crew has. */
export function listOfCrew(keys: Keys, crewId: string | null): NoticeList {
  return { index: 'notices-by-crew', partition: ['noticeCrewKey', keys.noticesOfCrew(crewId)] }
}

/** Notices that went, or are to go, to one mailbox. */
export function listTo(keys: Keys, email: string): NoticeList {
  return { index: 'notices-by-mailbox', partition: ['noticeMailboxKey', keys.noticesTo(email)] }
}

/** A place in the order of the log: the newest first, and by number what was owed at one instant. */
export interface NoticePlace {
  readonly owedAt: string
  readonly number: string
}

function comesBefore(a: NoticePlace, b: NoticePlace): boolean {
  return a.owedAt === b.owedAt ? a.number < b.number : a.owedAt > b.owedAt
}

export interface NoticeQuery {
  readonly lists: readonly NoticeList[]
  readonly since: string
  /** the last that was seen */
  readonly after: NoticePlace | null
  readonly limit: number
  readonly isAskedFor: (notice: Notice) => boolean
}

/** A query that is answered by whole instants, as many as it takes until there is enough. */
export interface InstantsQuery extends NoticeQuery {
  readonly isEnough: (found: readonly Notice[]) => boolean
}

export interface NoticePage {
  readonly notices: readonly Notice[]
  /** the place to go on from; null when there is no more */
  readonly next: NoticePlace | null
}

/** A list, and how far it is read: everything in it that is newer than `down` was seen. */
interface Reading {
  readonly list: NoticeList
  down: string
  after: Record<string, unknown> | undefined
  ended: boolean
}

/**
 * The most items that one answer looks through. Beyond them it would be late, so it tells what it found and where to go
 * on.
 */
const mostRead = 3000

/** A round that broke off points to its digests when it runs again, which is before the next morning's round. */
const pointersComeWithinSeconds = 48 * 3600

export async function newestNotices(place: OrganisationTable, query: NoticeQuery): Promise<NoticePage> {
  const isEnough = (found: readonly Notice[]) => found.length > query.limit
  const { notices, next, isCutShort } = await newestInstants(place, { ...query, isEnough })
  return isCutShort ? { notices, next } : pageOf(notices, query.limit)
}

interface Instants extends NoticePage {
  /** so much was looked through that the answer ends before there was enough, at `next` */
  readonly isCutShort: boolean
}

/** Notices of whole instants, the newest first. An answer that was cut short goes on with the instant at `next`. */
export async function newestInstants(place: OrganisationTable, query: InstantsQuery): Promise<Instants> {
  const readings = query.lists.map((list): Reading => ({ list, down: '~', after: undefined, ended: false }))
  const waiting = new Map<string, Notice>()
  const found: Notice[] = []
  const told = new Set<string>()
  for (let read = 0; ; ) {
    const down = furthestUp(readings)
    for (const notice of inOrder(waiting).filter(({ owedAt }) => owedAt > down)) {
      waiting.delete(notice.number)
      told.add(notice.number)
      const isNew = query.after === null || comesBefore(query.after, notice)
      if (isNew && query.isAskedFor(notice)) found.push(notice)
    }
    if (query.isEnough(found) || down === '') return { notices: found, next: null, isCutShort: false }
    // an answer ends early only once it has come past what was seen: else nobody would ever get further
    const isFurther = query.after === null || down < query.after.owedAt
    if (read > mostRead && isFurther) return { notices: found, next: { owedAt: down, number: '' }, isCutShort: true }
    // the lists that are furthest behind go on
    const behind = readings.filter((one) => !one.ended && one.down === down)
    const items = (await Promise.all(behind.map((one) => readOn(place, query, one)))).flat()
    read += items.length
    for (const notice of await pointedTo(place, items)) if (!told.has(notice.number)) waiting.set(notice.number, notice)
  }
}

function pageOf(found: readonly Notice[], limit: number): NoticePage {
  const notices = found.slice(0, limit)
  const last = notices.at(-1)
  if (found.length <= limit || last === undefined) return { notices, next: null }
  return { notices, next: { owedAt: last.owedAt, number: last.number } }
}

/** Answers the instant after which everything was seen in every list; empty when all lists are at their end. */
function furthestUp(readings: readonly Reading[]): string {
  return readings.reduce((up, { down, ended }) => (!ended && down > up ? down : up), '')
}

function inOrder(waiting: ReadonlyMap<string, Notice>): Notice[] {
  return [...waiting.values()].sort((a, b) => (comesBefore(a, b) ? -1 : 1))
}

async function readOn({ table }: OrganisationTable, query: NoticeQuery, reading: Reading): Promise<Item[]> {
  const { items, next } = await table.page({
    ...reading.list,
    between: ['owedAt', query.since, upTo(query.after)],
    descending: true,
    limit: Math.max(10, Math.ceil((2 * query.limit) / query.lists.length)),
    after: reading.after,
  })
  reading.after = next
  reading.ended = next === undefined
  reading.down = String(items.at(-1)?.owedAt ?? reading.down)
  return items
}

function upTo(after: NoticePlace | null): string {
  return after === null ? '~' : addSeconds(after.owedAt as Instant, pointersComeWithinSeconds)
}

async function pointedTo({ table, keys }: OrganisationTable, items: readonly Item[]): Promise<Notice[]> {
  const own = ownIn(items)
  const known = new Set(own.map(({ number }) => number))
  const others = pointedIn(items).filter((number) => !known.has(number))
  return [...own, ...readEach(await table.getAll(others.map((number) => keys.notice(number))), asNotice)]
}
