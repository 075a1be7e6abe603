/**
 * The store on the device: reports that wait, in the order of entering, and one list of sticks. IndexedDB by hand: two
 * stores and six calls are less than any library for it, and a kept report has to be on the disk before we say so.
 */

import type { KeptList } from '../../../shared-domain/device/kept-list.ts'
import { isWaitingReport, type WaitingReport } from '../../../shared-domain/device/waiting-report.ts'

const reports = 'reports'
const lists = 'lists'
const onlyList = 'crew'
const version = 1

/** Reasons to keep nothing: there is no room, a later build has been here, or the browser keeps nothing for us. */
export type KeepingTrouble = 'full' | 'later build' | 'keeps nothing'

export interface DeviceStore {
  readonly reports: () => Promise<readonly WaitingReport[]>
  /** A report of the same id takes the place of the one before. */
  readonly keep: (report: WaitingReport) => Promise<void>
  readonly drop: (factId: string) => Promise<void>
  readonly list: () => Promise<KeptList | null>
  readonly keepList: (list: KeptList) => Promise<void>
  readonly dropList: () => Promise<void>
}

/** @throws what `keepingTrouble` names */
export async function openStore(): Promise<DeviceStore> {
  const base = await opened()

  function run<T>(store: string, mode: IDBTransactionMode, work: (store: IDBObjectStore) => IDBRequest<T>): Promise<T> {
    return new Promise((resolve, reject) => {
      const transaction = base.transaction(store, mode, { durability: 'strict' })
      const request = work(transaction.objectStore(store))
      transaction.oncomplete = () => resolve(request.result)
      transaction.onabort = () => reject(transaction.error ?? request.error)
    })
  }

  return {
    reports: async () => {
      const all: unknown[] = await run(reports, 'readonly', (store) => store.getAll())
      return all.filter(isWaitingReport)
    },
    keep: async (report) => {
      const number = await numberOf(report.factId)
      await run(reports, 'readwrite', (store) => store.put({ ...report, ...(number === undefined ? {} : { number }) }))
    },
    drop: async (factId) => {
      const number = await numberOf(factId)
      if (number !== undefined) await run(reports, 'readwrite', (store) => store.delete(number))
    },
    list: async () => {
      const kept: KeptList | undefined = await run(lists, 'readonly', (store) => store.get(onlyList))
      return kept?.shape === 1 ? kept : null
    },
    keepList: async (list) => {
      await run(lists, 'readwrite', (store) => store.put(list, onlyList))
    },
    dropList: async () => {
      await run(lists, 'readwrite', (store) => store.delete(onlyList))
    },
  }

  /** Reports are numbered as they come, so that they lie in the order of entering whatever the clock shows. */
  function numberOf(factId: string): Promise<IDBValidKey | undefined> {
    return run(reports, 'readonly', (store) => store.index('factId').getKey(factId))
  }
}

function opened(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open('quarterturn', version)
    request.onupgradeneeded = () => {
      const store = request.result.createObjectStore(reports, { keyPath: 'number', autoIncrement: true })
      store.createIndex('factId', 'factId', { unique: true })
      request.result.createObjectStore(lists)
    }
    request.onerror = () => reject(request.error)
    request.onsuccess = () => {
      // a later build that is opened beside us may change what is kept
      request.result.onversionchange = () => request.result.close()
      resolve(request.result)
    }
  })
}

export function keepingTrouble(error: unknown): KeepingTrouble {
  const name = error instanceof DOMException ? error.name : ''
  if (name === 'QuotaExceededError') return 'full'
  // the same from a page whose store was closed by a later one
  return name === 'VersionError' || name === 'InvalidStateError' ? 'later build' : 'keeps nothing'
}
