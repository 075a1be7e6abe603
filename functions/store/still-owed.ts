/**
 * Notices that find no room in the transaction of what owes them. Markers in that transaction hold them all, each
 * notice once with its readers beside what they all read. From the markers the notices are written in pages, by whoever
 * recorded or by the next round of following up, until the last is there.
 */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { describe, log } from '../ground/log.ts'
import { changeIf, isThere } from './change.ts'
import type { OrganisationTable } from './keys.ts'
import { noticesIn, noticeWrite } from './notices.ts'
import { readEach, readerOf } from './reading.ts'
import { mostInOneTransaction, type Table, type Write } from './table.ts'
import { stillOwedQueue } from './table-shape.ts'

/** A notice that several readers are told alike. */
interface Told {
  readonly notice: Omit<OwedNotice, 'to' | 'key'>
  /** the notices' keys without the mailbox in which each ends */
  readonly key: string
  readonly to: readonly OwedNotice['to'][]
}

export interface StillOwed {
  readonly organisation: string
  readonly cause: string
  readonly part: number
  readonly owedAt: Instant
  readonly told: readonly Told[]
}

const asStillOwed = readerOf<StillOwed>('still owed', {
  organisation: 'text',
  cause: 'text',
  part: 'number',
  owedAt: 'text',
  told: 'list',
})

interface Owing {
  /** writes that go into the transaction whatever is owed */
  readonly always: readonly Write[]
  readonly notices: readonly OwedNotice[]
  /** the fact that owes them */
  readonly cause: string
  readonly now: Instant
}

/** The table keeps 400 KB an item. */
const mostBytesInOneMarker = 300_000
/** The room for markers in a transaction that does not take all notices. It takes 4 MB and 100 items at the most. */
const roomForMarkers = 10
const mostBytesOfAll = 3_000_000
const mostBytesBesideMarkers = 500_000

/** Answers the writes of the transaction, and the markers from which the rest is to be written after it. */
export function owing(
  place: OrganisationTable,
  { always, notices, cause, now }: Owing,
): { writes: Write[]; left: StillOwed[] } {
  const room = mostInOneTransaction - always.length
  const first =
    countFitting(notices, { most: room, mostBytes: mostBytesOfAll }) === notices.length
      ? notices
      : notices.slice(0, countFitting(notices, { most: room - roomForMarkers, mostBytes: mostBytesBesideMarkers }))
  const left = inMarkers(toldAlike(notices.slice(first.length))).map(
    (told, part): StillOwed => ({ organisation: place.name, cause, part, owedAt: now, told }),
  )
  const writes = [
    ...always,
    ...first.map((one) => noticeWrite(place, one, now)),
    ...left.map((one) => markerWrite(place, one)),
  ]
  return { writes, left }
}

interface Fitting {
  readonly most: number
  readonly mostBytes: number
}

/** Counts how many of the first there is room for, by their number and by their length; one always. */
function countFitting(all: readonly unknown[], { most, mostBytes }: Fitting): number {
  let bytes = 0
  const over = all.findIndex((one, i) => {
    bytes += Buffer.byteLength(JSON.stringify(one))
    return i > 0 && (i >= most || bytes > mostBytes)
  })
  return over < 0 ? all.length : over
}

/** The time for which a marker is left to whoever recorded, who goes first. */
const othersAfterSeconds = 60

function markerWrite({ table, keys }: OrganisationTable, marker: StillOwed): Write {
  const queueAt = addSeconds(marker.owedAt, othersAfterSeconds)
  const key = keys.stillOwed(marker.cause, marker.part)
  return table.putNew({ ...key, entity: 'still owed', ...marker, queue: stillOwedQueue, queueAt })
}

function toldAlike(notices: readonly OwedNotice[]): Told[] {
  const groups = Map.groupBy(notices, ({ key, to }) => key.slice(0, -sameMailbox(to.email).length))
  return [...groups].flatMap(([key, [first, ...others]]) => {
    if (first === undefined) return []
    const { to, key: _, ...notice } = first
    return [{ notice, key, to: [to, ...others.map((one) => one.to)] }]
  })
}

function inMarkers(told: readonly Told[]): Told[][] {
  const markers: Told[][] = []
  let bytes = Number.POSITIVE_INFINITY
  for (const one of told) {
    const more = Buffer.byteLength(JSON.stringify(one))
    if (bytes + more > mostBytesInOneMarker) {
      markers.push([])
      bytes = 0
    }
    markers.at(-1)?.push(one)
    bytes += more
  }
  return markers
}

/**
 * Writes what is left, and never fails: the facts are recorded, and the next round of following up finds what remains.
 */
export async function writeLeft(place: OrganisationTable, left: readonly StillOwed[]): Promise<void> {
  for (const marker of left) {
    try {
      await writeOf(place, marker)
    } catch (error) {
      log('error', 'notices are still to be written', { cause: marker.cause, trouble: describe(error) })
    }
  }
}

/** Writes the notices of a marker. This may run again at any time; `false` where somebody else is at it. */
export async function writeOf(place: OrganisationTable, marker: StillOwed): Promise<boolean> {
  const { table, keys } = place
  const all = marker.told.flatMap(({ notice, key, to }) =>
    to.map((one) => ({ ...notice, to: one, key: `${key}${sameMailbox(one.email)}` })),
  )
  const writes = (await noticesIn(place).notYetWritten(all)).map((one) => noticeWrite(place, one, marker.owedAt))
  const over = changeIf({ remove: ['queue', 'queueAt'] }, isThere('queue'))
  let left = writes
  for (;;) {
    const page = left.slice(0, countFitting(left, { most: mostInOneTransaction - 1, mostBytes: mostBytesOfAll }))
    left = left.slice(page.length)
    const isLast = left.length === 0
    const last = isLast ? [table.change(keys.stillOwed(marker.cause, marker.part), over)] : []
    if (!(await table.transact([...page, ...last])).done) return false
    if (isLast) return true
  }
}

/** Markers of every organisation whose recorder has not come to the end. */
export async function stillOwedBy(table: Table, now: Instant): Promise<StillOwed[]> {
  const places = await table.all({
    index: 'notices-by-queue',
    partition: ['queue', stillOwedQueue],
    between: ['queueAt', '0', now],
  })
  const items = await table.getAll(places)
  return readEach(
    items.filter(({ queue }) => queue === stillOwedQueue),
    asStillOwed,
  )
}
