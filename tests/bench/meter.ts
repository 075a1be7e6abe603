/**
 * What work reads and writes of the table, in capacity units as the service counts them (Amazon DynamoDB Developer
 * Guide, "Read and write operations" and "Using Global Secondary Indexes: provisioned throughput considerations"):
 * 4 KB a read unit, of a query by what all its items take together, half as much where it need not be consistent; 1 KB
 * a write unit of the larger of the item as it was and as it is, twice as much in a transaction; and what the indexes
 * are written.
 */
import { isDeepStrictEqual } from 'node:util'
import type { Item, Key, Range, Table } from '../../functions/store/table.ts'
import { indexes, tableKey } from '../../functions/store/table-shape.ts'
import { type FakeTable, sizeOf } from '../support/fake-table.ts'

export interface Meter {
  readonly table: Table
  readonly units: () => number
  /** those of writing items of this kind */
  readonly writtenOf: (entity: string) => number
}

export function metered(inner: FakeTable): Meter {
  let read = 0
  const written = new Map<unknown, number>()

  /** Of what was not written, since its condition failed, the item that stands is counted all the same. */
  async function writing<T>(keys: readonly Key[], units: typeof writeUnits, work: () => Promise<T>): Promise<T> {
    const before = found(inner, keys)
    const answer = await work()
    const after = found(inner, keys)
    for (const [i] of keys.entries()) {
      const entity = (after[i] ?? before[i])?.entity
      written.set(entity, (written.get(entity) ?? 0) + units(before[i], after[i]))
    }
    return answer
  }

  async function queried(range: Range, items: Promise<readonly Item[]>): Promise<void> {
    const kilobytes4 = Math.max(1, Math.ceil(total((await items).map(sizeOf)) / 4096))
    read += kilobytes4 * (range.consistent ? 1 : 0.5)
  }

  const table: Table = {
    ...inner,
    async get(key) {
      const item = await inner.get(key)
      read += readUnits(item)
      return item
    },
    async getAll(keys) {
      const items = await inner.getAll(keys)
      read += total(items.map(readUnits)) + (keys.length - items.length)
      return items
    },
    async page(range) {
      const page = inner.page(range)
      await queried(
        range,
        page.then(({ items }) => items),
      )
      return page
    },
    async all(range) {
      const items = inner.all(range)
      await queried(range, items)
      return items
    },
    async count(range) {
      await queried(range, inner.all(range))
      return inner.count(range)
    },
    transact: (writes) =>
      writing(
        writes.map(({ Put, Update }) => (Put?.Item ?? Update?.Key) as Key),
        transactionUnits,
        () => inner.transact(writes),
      ),
    update: (key, change) => writing([key], writeUnits, () => inner.update(key, change)),
  }
  return {
    table,
    units: () => read + total([...written.values()]),
    writtenOf: (entity) => written.get(entity) ?? 0,
  }
}

function found(table: FakeTable, keys: readonly Key[]): (Item | undefined)[] {
  const wanted = new Set(keys.map(({ pk }) => pk))
  const near = table.items().filter(({ pk }) => wanted.has(pk))
  return keys.map(({ pk, sk }) => near.find((item) => item.pk === pk && item.sk === sk))
}

type MaybeItem = Item | undefined

/** Of an item read by its key. */
const readUnits = (item: MaybeItem) => Math.max(1, Math.ceil(sizeOf(item ?? {}) / 4096))

const writeUnits = (before: MaybeItem, after: MaybeItem) => itemUnits(before, after) + indexUnits(before, after)

/** The two writes of a transaction are those of the item; its indexes follow later, once. */
export const transactionUnits = (before: MaybeItem, after: MaybeItem) =>
  itemUnits(before, after) * 2 + indexUnits(before, after)

/** Without its indexes. */
export const itemUnits = (...states: MaybeItem[]) =>
  Math.max(1, ...states.map((state) => Math.ceil(sizeOf(state ?? {}) / 1024)))

const indexUnits = (before: MaybeItem, after: MaybeItem) =>
  total(Object.values(indexes).map((index) => unitsOfIndex(projected(before, index), projected(after, index))))

type Index = (typeof indexes)[keyof typeof indexes]
interface Projected {
  readonly place: string
  readonly item: object
}

/** What an index holds of an item: nothing where one of its keys is absent. */
function projected(item: MaybeItem, { partition, sort, projection }: Index): Projected | undefined {
  if (item?.[partition] === undefined || item[sort] === undefined) return undefined
  const names = projection === 'ALL' ? Object.keys(item) : [...Object.values(tableKey), partition, sort]
  const held = Object.fromEntries(names.map((name) => [name, item[name]]))
  return { place: JSON.stringify([item[partition], item[sort]]), item: held }
}

/** Taken out and put in again where its place changes; written once where what lies there does. */
function unitsOfIndex(before: Projected | undefined, after: Projected | undefined): number {
  if (before === undefined && after === undefined) return 0
  if (before === undefined || after === undefined) return kilobytes(before ?? after)
  if (before.place !== after.place) return kilobytes(before) + kilobytes(after)
  return isDeepStrictEqual(before.item, after.item) ? 0 : Math.max(kilobytes(before), kilobytes(after))
}

const kilobytes = (one: Projected | undefined) => Math.ceil(sizeOf(one?.item) / 1024)

export const total = (all: readonly number[]) => all.reduce((sum, one) => sum + one, 0)
