/** Recalls in the table: who opened each and why, how far its sticks are written, and how it was closed. */
import type { Instant } from '../../shared-domain/calendar.ts'
import type { RecallCause } from '../../shared-domain/recall/recall.ts'
import { changeIf, is, isAbsent, isNew, isThere, onlyIf } from './change.ts'
import type { OrganisationTable } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import type { AllBinding } from './recalls-binding.ts'
import type { Table, Write } from './table.ts'
import { toSettleQueue } from './table-shape.ts'

export interface Closing {
  readonly by: string
  readonly at: Instant
  /** sticks that nobody found, by number */
  readonly notFound: readonly string[]
  readonly note?: string
}

export interface KeptRecall {
  readonly organisation: string
  readonly id: string
  readonly cause: RecallCause
  readonly reason: string
  readonly by: string
  readonly at: Instant
  /** the last of its sticks that was written; absent before the first, null once all are, and their people are told */
  readonly settledThrough?: string | null
  readonly closed?: Closing
}

const asRecall = readerOf<KeptRecall>('recall', {
  organisation: 'text',
  id: 'text',
  cause: 'map',
  reason: 'text',
  by: 'text',
  at: 'text',
  settledThrough: ['text', 'null', 'absent'],
  closed: ['map', 'absent'],
})

function recallIn(item: unknown): KeptRecall {
  const { organisation, id, cause, reason, by, at, settledThrough, closed } = asRecall(item)
  return {
    ...{ organisation, id, cause, reason, by, at },
    ...(settledThrough === undefined ? {} : { settledThrough }),
    ...(closed === undefined ? {} : { closed }),
  }
}

/** The item that holds all recalls may not outgrow the table's 400 KB. */
const mostBytesBinding = 350_000

/** Answers the writes that open a recall; null where there is no room for it beside the others. */
export function openedWrites(
  place: OrganisationTable,
  recall: KeptRecall,
  { version, recalls }: AllBinding,
): Write[] | null {
  const { table, keys } = place
  const { id, cause, at } = recall
  const all = [...recalls, { id, cause, at }]
  if (Buffer.byteLength(JSON.stringify(all)) > mostBytesBinding) return null
  const waits = { queue: toSettleQueue, queueAt: at }
  return [
    table.putNew({ ...keys.recall(id), entity: 'recall', ...recall, ...waits }),
    table.put(
      { ...keys.recallsBinding(), entity: 'recalls binding', version: version + 1, recalls: all },
      onlyIf(version === 0 ? isNew : is('version', version)),
    ),
  ]
}

export async function recallOf({ table, keys }: OrganisationTable, id: string): Promise<KeptRecall | undefined> {
  const item = await table.get(keys.recall(id))
  return item === undefined ? undefined : recallIn(item)
}

/** All recalls, in no order. */
export async function allRecalls({ table, keys }: OrganisationTable): Promise<KeptRecall[]> {
  return readEach(await table.all({ partition: ['pk', keys.recalls()], consistent: true }), recallIn)
}

/** Notes that the recall's sticks are written through this one. */
export function settledThroughWrite({ table, keys }: OrganisationTable, { id }: KeptRecall, stickId: string): Write {
  return table.change(keys.recall(id), changeIf({ set: { settledThrough: stickId } }, isThere('queue')))
}

/** Takes the recall off the queue: all its sticks are written, and their people told. Fails where that was so. */
export function settledWrite({ table, keys }: OrganisationTable, { id }: KeptRecall): Write {
  return table.change(
    keys.recall(id),
    changeIf({ set: { settledThrough: null }, remove: ['queue', 'queueAt'] }, isThere('queue')),
  )
}

/** Closes the recall, once. */
export function closedWrite({ table, keys }: OrganisationTable, { id }: KeptRecall, closed: Closing): Write {
  return table.change(keys.recall(id), changeIf({ set: { closed } }, isThere('pk'), isAbsent('closed')))
}

/** Recalls of every organisation whose sticks are not all written, or whose people are not all told. */
export async function toSettle(table: Table, now: Instant): Promise<KeptRecall[]> {
  const places = await table.all({
    index: 'notices-by-queue',
    partition: ['queue', toSettleQueue],
    between: ['queueAt', '0', now],
  })
  const items = await table.getAll(places)
  return readEach(
    items.filter(({ queue }) => queue === toSettleQueue),
    recallIn,
  )
}
