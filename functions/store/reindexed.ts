/** Marks that say how far a depot's lists have been rewritten since the rules last changed. */
import type { StandingGroup } from '../../shared-domain/listing.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import type { OrganisationTable } from './keys.ts'
import { readerOf } from './reading.ts'

export interface ReindexProgress {
  readonly rules: string
  /** the place to go on from; null when all is done */
  readonly next: { readonly group: StandingGroup; readonly after: string } | null
  /** some of the sticks stand otherwise by these rules, and that is still to be told */
  readonly untold: boolean
}

const kept = readerOf<Partial<ReindexProgress> & Pick<ReindexProgress, 'next'>>('reindexed', {
  rules: ['text', 'absent'],
  next: ['map', 'null'],
  untold: ['flag', 'absent'],
})

/**
 * Earlier builds kept the edition of the policy alone, which says nothing of the packs. Such a mark reads as by none of
 * the rules that are in force now.
 */
function asMark(item: unknown): ReindexProgress {
  const { rules = '', next, untold = false } = kept(item)
  return { rules, next, untold }
}

export async function reindexProgressOf(
  { table, keys }: OrganisationTable,
  depotId: string | null,
): Promise<ReindexProgress | undefined> {
  const item = await table.get(keys.reindexed(depotId))
  return item === undefined ? undefined : asMark(item)
}

/** Marks by depot; a depot that has none is left out. */
export async function marksOfDepots({ table, keys }: OrganisationTable): Promise<ReadonlyMap<string, ReindexProgress>> {
  const { pk } = keys.reindexed(null)
  const items = await table.all({ partition: ['pk', pk], consistent: true })
  return new Map(items.map((item) => [item.sk, asMark(item)]))
}

export async function setMark(
  { table, keys }: OrganisationTable,
  depotId: string | null,
  mark: ReindexProgress,
): Promise<void> {
  await table.transact([table.put({ ...keys.reindexed(depotId), entity: 'reindexed', ...mark })])
}

/** Answers whether every stick of the depot is known to lie in the lists by this edition of the rules. */
export function isWritten(mark: ReindexProgress | undefined, { edition, id }: Rules): boolean {
  return edition !== undefined && mark?.rules === id && mark.next === null
}

/**
 * Answers whether the lists can be read by dates. Until the first rules came in force, every stick lay without a date
 * among those on hold, and there it is looked for.
 */
export function isCurrent(mark: ReindexProgress | undefined, rules: Rules): boolean {
  // recalls hold sticks that lie by a date
  if (rules.recalls.length > 0) return isWritten(mark, rules)
  const first = rules.edition === undefined || rules.edition.endsWith('#0001')
  return first ? mark === undefined || mark.rules === rules.id : isWritten(mark, rules)
}
