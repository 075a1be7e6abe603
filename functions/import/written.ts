/** Writes of requests, counted for whoever sent them: new entries and facts, and notices that people get. */
import { AsyncLocalStorage } from 'node:async_hooks'
import type { Item, Table, Write } from '../store/table.ts'

export interface Written {
  readonly entries: number
  readonly notices: number
}

/** Several requests are under way at once, and each is told what itself has written. */
export interface Watch {
  readonly during: <T>(work: () => Promise<T>) => Promise<Written & { readonly done: T }>
}

export function watched<Watched extends Table>(table: Watched): { readonly table: Watched; readonly watch: Watch } {
  const counting = new AsyncLocalStorage<{ entries: number; notices: number }>()
  async function transact(writes: readonly Write[]) {
    const outcome = await table.transact(writes)
    if (outcome.done) for (const write of writes) count((write.Put?.Item as Item | undefined)?.entity)
    return outcome
  }
  function count(entity: Item['entity']): void {
    const counts = counting.getStore()
    if (counts === undefined) return
    if (entity === 'edition' || entity === 'fact') counts.entries++
    if (entity === 'notice') counts.notices++
  }
  async function during<T>(work: () => Promise<T>) {
    const counts = { entries: 0, notices: 0 }
    const done = await counting.run(counts, work)
    return { ...counts, done }
  }
  return { table: { ...table, transact }, watch: { during } }
}
