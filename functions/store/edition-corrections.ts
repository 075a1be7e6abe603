/**
 * Corrections of a register entry's edition that was a slip: what each corrects, and whether its tests are judged anew.
 */
import type { Instant } from '../../shared-domain/calendar.ts'
import type { EditionCorrection as Body } from '../../shared-domain/fact-bodies.ts'
import { isThere, onlyIf } from './change.ts'
import type { OrganisationTable } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import type { Table, Write } from './table.ts'
import { toJudgeAnewQueue } from './table-shape.ts'

export interface KeptEditionCorrection {
  readonly organisation: string
  readonly factId: string
  /** made by us at random: ids of judgements are made of it, so that nobody can have used them before */
  readonly secret: string
  readonly corrects: Body['corrects']
  readonly reason: string
  readonly by: string
  /** the second person, where the correction loosened */
  readonly approvedBy?: string
  readonly at: Instant
}

const asCorrection = readerOf<KeptEditionCorrection>('edition correction', {
  organisation: 'text',
  factId: 'text',
  secret: 'text',
  corrects: 'map',
  reason: 'text',
  by: 'text',
  approvedBy: ['text', 'absent'],
  at: 'text',
})

/** The correction without its key and its place in the queue. */
function correctionIn(item: unknown): KeptEditionCorrection {
  const { organisation, factId, secret, corrects, reason, by, approvedBy, at } = asCorrection(item)
  return { organisation, factId, secret, corrects, reason, by, ...(approvedBy === undefined ? {} : { approvedBy }), at }
}

export async function editionCorrection(
  { table, keys }: OrganisationTable,
  factId: string,
): Promise<KeptEditionCorrection | undefined> {
  const item = await table.get(keys.editionCorrection(factId))
  return item === undefined ? undefined : correctionIn(item)
}

export function editionCorrectedWrite({ table, keys }: OrganisationTable, one: KeptEditionCorrection): Write {
  const waits = { queue: toJudgeAnewQueue, queueAt: one.at }
  return table.putNew({ ...keys.editionCorrection(one.factId), entity: 'edition correction', ...one, ...waits })
}

/** Takes the correction off the queue: all its tests are judged anew, and their people told. */
export async function setJudgedAnew({ table, keys }: OrganisationTable, one: KeptEditionCorrection): Promise<void> {
  const item = { ...keys.editionCorrection(one.factId), entity: 'edition correction' as const, ...one }
  await table.transact([table.put(item, onlyIf(isThere('queue')))])
}

/** Corrections of every organisation whose tests are not all judged anew. */
export async function toJudgeAnew(table: Table, now: Instant): Promise<KeptEditionCorrection[]> {
  const places = await table.all({
    index: 'notices-by-queue',
    partition: ['queue', toJudgeAnewQueue],
    between: ['queueAt', '0', now],
  })
  const items = await table.getAll(places)
  return readEach(
    items.filter(({ queue }) => queue === toJudgeAnewQueue),
    correctionIn,
  )
}
