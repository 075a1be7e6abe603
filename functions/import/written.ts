/**
 * Writes of requests, counted for whoever sent them: new entries and facts, notices that people get, and sticks of
 * which the digest of the import is to tell.
 */
import { AsyncLocalStorage } from 'node:async_hooks'
import { importUntold } from '../../shared-domain/notices/change.ts'
import type { Item, Table, Write } from '../store/table.ts'

export interface Written {
  readonly entries: number
  readonly notices: number
  readonly untold: number
}

/** Several requests are under way at once, and each is told what itself has written. */
export interface Watch {
  readonly during: <T>(work: () => Promise<T>) => Promise<Written & { readonly done: T }>
}

interface Counting {
  entries: number
  notices: number
  readonly untold: Set<string>
}

export function watched<Watched extends Table>(table: Watched): { readonly table: Watched; readonly watch: Watch } {
  const counting = new AsyncLocalStorage<Counting>()
  async function transact(writes: readonly Write[]) {
    const outcome = await table.transact(writes)
    if (outcome.done) for (const write of writes) count(write.Put?.Item as Item | undefined)
    return outcome
  }
  function count(item: Item | undefined): void {
    const counts = counting.getStore()
    if (counts === undefined || item === undefined) return
    const { entity, stickId } = item
    if (entity === 'edition' || entity === 'fact') counts.entries++
    if (entity === 'notice') counts.notices++
    // a later row of the same stick may have it fit again
    if (entity === 'stick' && importUntold(item as { untold?: string }) === undefined)
      counts.untold.delete(String(stickId))
    else if (entity === 'stick') counts.untold.add(String(stickId))
  }
  async function during<T>(work: () => Promise<T>) {
    const counts: Counting = { entries: 0, notices: 0, untold: new Set() }
    const done = await counting.run(counts, work)
    return { ...counts, untold: counts.untold.size, done }
  }
  return { table: { ...table, transact }, watch: { during } }
}
