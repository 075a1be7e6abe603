/**
 * Tests that are being taken down, one a stick, and the sheet of each, in a base of their own: reports of crews lie in
 * another, and neither has to wait for the other's next version.
 */
import { type BenchDraft, isBenchDraft } from '../../../shared-domain/bench-entry/draft.ts'
import type { BenchSheet } from '../../../shared-domain/bench-entry/sheet.ts'
import { type KeepingTrouble, keepingTrouble } from './store.ts'

const drafts = 'drafts'
const sheets = 'sheets'

export interface BenchStore {
  readonly drafts: () => Promise<readonly BenchDraft[]>
  readonly draft: (stickId: string) => Promise<BenchDraft | null>
  readonly sheet: (stickId: string) => Promise<BenchSheet | null>
  readonly keep: (draft: BenchDraft) => Promise<void>
  readonly keepSheet: (sheet: BenchSheet) => Promise<void>
  readonly drop: (stickId: string) => Promise<void>
}

/** @throws what `keepingTrouble` names */
export async function openBenchStore(): Promise<BenchStore> {
  const base = await opened()

  function run<T>(names: string[], mode: IDBTransactionMode, work: (all: IDBTransaction) => IDBRequest<T>): Promise<T> {
    return new Promise((resolve, reject) => {
      const transaction = base.transaction(names, mode, { durability: 'strict' })
      const request = work(transaction)
      transaction.oncomplete = () => resolve(request.result)
      transaction.onabort = () => reject(transaction.error ?? request.error)
    })
  }

  const all = async () => {
    const kept: unknown[] = await run([drafts], 'readonly', (one) => one.objectStore(drafts).getAll())
    return kept.filter(isBenchDraft)
  }
  return {
    drafts: all,
    draft: async (stickId) => (await all()).find((one) => one.stickId === stickId) ?? null,
    sheet: async (stickId) => {
      const kept: BenchSheet | undefined = await run([sheets], 'readonly', (one) =>
        one.objectStore(sheets).get(stickId),
      )
      return kept?.shape === 1 ? kept : null
    },
    keep: async (draft) => {
      await run([drafts], 'readwrite', (one) => one.objectStore(drafts).put(draft, draft.stickId))
    },
    keepSheet: async (sheet) => {
      await run([sheets], 'readwrite', (one) => one.objectStore(sheets).put(sheet, sheet.stickId))
    },
    drop: async (stickId) => {
      await run([drafts, sheets], 'readwrite', (one) => {
        one.objectStore(sheets).delete(stickId)
        return one.objectStore(drafts).delete(stickId)
      })
    },
  }
}

function opened(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open('quarterturn bench', 1)
    request.onupgradeneeded = () => {
      for (const name of [drafts, sheets]) request.result.createObjectStore(name)
    }
    request.onerror = () => reject(request.error)
    request.onsuccess = () => {
      // a later build that is opened beside us may change what is kept
      request.result.onversionchange = () => request.result.close()
      resolve(request.result)
    }
  })
}

export interface Keeper {
  /** Keeps the draft as it is now; of several that come quickly only the last is written. */
  readonly keep: (draft: BenchDraft) => void
  /** Ends once all that came is on the disk. */
  readonly settled: () => Promise<void>
}

export function keeperIn(store: BenchStore | null, told: (trouble: KeepingTrouble | null) => void): Keeper {
  let next: BenchDraft | null = null
  let running: Promise<void> | null = null

  async function work(): Promise<void> {
    while (next !== null) {
      const draft = next
      next = null
      try {
        await store?.keep(draft)
        told(store === null ? 'keeps nothing' : null)
      } catch (error) {
        told(keepingTrouble(error))
      }
    }
    running = null
  }

  return {
    keep: (draft) => {
      next = draft
      running ??= work()
    },
    settled: async () => {
      while (running !== null) await running
    },
  }
}
