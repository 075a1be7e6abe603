/** Notices about which something is to be done by now, of every organisation. */
import type { Instant } from '../../shared-domain/calendar.ts'
import { isUrgent, type Queue } from '../../shared-domain/notices/life.ts'
import { changeIf, eitherOf, isAbsent, isLessThan } from './change.ts'
import { mailTaken, queueKey } from './keys.ts'
import { asNotice, type Notice } from './notices.ts'
import { readEach, readerOf } from './reading.ts'
import type { Item, Range, Table } from './table.ts'
import { queueShards } from './table-shape.ts'

/** Notices of a queue whose hour has come: not confirmed in time, or not arrived and nobody was told of it yet. */
export async function dueIn(
  table: Table,
  queue: Extract<Queue, 'unanswered' | 'undelivered'>,
  now: Instant,
): Promise<Notice[]> {
  const shards = queueShards.map((shard) => table.all(dueBy(queue, shard, now)))
  return noticesAt(table, (await Promise.all(shards)).flat())
}

/**
 * Notices that have lain unsent since `before`: of each shard and queue at most `mostOfAShard`, the longest owed first.
 * They are sorted by these, one after the other:
 * - the fewest tries, so that no notice that fails each time keeps another waiting;
 * - urgent before the rest;
 * - the fewest refusals by the mail service;
 * - the longest owed.
 */
export async function unsentSince(table: Table, before: Instant, mostOfAShard: number): Promise<Notice[]> {
  const ranges = queueShards.flatMap((shard) => [dueBy('urgent', shard, before), dueBy('unsent', shard, before)])
  const pages = await Promise.all(ranges.map((range) => table.page({ ...range, limit: mostOfAShard })))
  const found = await noticesAt(
    table,
    pages.flatMap(({ items }) => items),
  )
  const ranks = ({ attempts = 0, refusals = 0, kind }: Notice) => [attempts, isUrgent(kind) ? 0 : 1, refusals]
  return found.sort((a, b) => byRank(ranks(a), ranks(b)) || (a.owedAt < b.owedAt ? -1 : 1))
}

/**
 * The index keeps keys alone, so that no lease and no try is written twice. Notices are read as they are by now. A
 * notice that has left the queue is left out, though the index may still show it.
 */
async function noticesAt(table: Table, places: readonly Item[]): Promise<Notice[]> {
  const queueOf = new Map(places.map(({ pk, queue }) => [pk, queue]))
  const items = await table.getAll(places)
  return readEach(
    items.filter(({ pk, queue }) => queue === queueOf.get(pk)),
    asNotice,
  )
}

const dueBy = (queue: Queue, shard: string, now: Instant): Range => ({
  index: 'notices-by-queue',
  partition: ['queue', queueKey(queue, shard)],
  between: ['queueAt', '0', now],
})

function byRank(a: readonly number[], b: readonly number[]): number {
  const at = a.findIndex((rank, i) => rank !== b[i])
  return at < 0 ? 0 : (a[at] ?? 0) - (b[at] ?? 0)
}

/** Notes when the mail service took a mail, once a run: for runs that see no other notice than one that is refused. */
export async function noteTaken(table: Table, takenAt: Instant): Promise<void> {
  const isLater = eitherOf(isAbsent('takenAt'), isLessThan('takenAt', takenAt))
  await table.update(mailTaken, changeIf({ set: { entity: 'mail taken', takenAt } }, isLater))
}

export async function wasTakenSince(table: Table, since: Instant): Promise<boolean> {
  const item = await table.get(mailTaken)
  return item !== undefined && asTaken(item).takenAt > since
}

const asTaken = readerOf<{ readonly takenAt: Instant }>('mail taken', { takenAt: 'text' }, { mayBeUnnamed: true })
