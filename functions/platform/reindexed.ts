/** How far a depot's lists have been rewritten since the rules last changed. */
import type { Policy } from '../../shared-domain/policy/policy.ts'
import type { Keys } from './keys.ts'
import type { StandingGroup } from './sticks.ts'
import type { Table } from './table.ts'

export interface Mark {
  readonly edition: string
  /** where to go on; null when all is done */
  readonly next: { readonly group: StandingGroup; readonly after: string } | null
}

export async function markOf(table: Table, keys: Keys, depotId: string | null): Promise<Mark | undefined> {
  return (await table.get(keys.reindexed(depotId))) as Mark | undefined
}

export async function setMark(table: Table, keys: Keys, depotId: string | null, mark: Mark): Promise<void> {
  await table.transact([table.put({ ...keys.reindexed(depotId), entity: 'reindexed', ...mark })])
}

/** The lists follow the first edition from the start, since every stick was written under it. */
export function isCurrent(mark: Mark | undefined, { edition }: Policy): boolean {
  if (edition === undefined || edition.endsWith('#0001')) return mark === undefined || mark.edition === edition
  return mark?.edition === edition && mark.next === null
}
