/**
 * A table that keeps what is written to it in memory, so that a check does all that recording does, by the same rules,
 * and changes nothing. Whoever reads finds what was written before. Of conditions only one can fail here: that a key
 * was never used. Everything else was read a moment ago, and the recording itself asks again.
 */
import type { Item, Key, Range, Table, Write } from '../store/table.ts'

export interface SupposedTable extends Table {
  /** items of these keys, read in one call, or known to be none */
  readonly readFirst: (keys: readonly Key[]) => Promise<void>
  /** forgets what was written and read: the next rows are about other things */
  readonly forget: () => void
}

const nameOf = ({ pk, sk }: Key) => `${pk}\u0000${sk}`
const keyOf = ({ pk, sk }: Key): Key => ({ pk, sk })

export function supposing(table: Table): SupposedTable {
  const written = new Map<string, Item>()
  const read = new Map<string, Item | undefined>()
  const onlyNew = table.putNew({ pk: '', sk: '' } as Item).Put?.ConditionExpression // asked of the table itself

  async function get(key: Key): Promise<Item | undefined> {
    const name = nameOf(key)
    return written.get(name) ?? (read.has(name) ? read.get(name) : table.get(key))
  }

  async function all(range: Range): Promise<Item[]> {
    const stored = await table.all(range)
    if (range.index !== undefined) return stored
    const found = new Map(stored.map((item) => [nameOf(item), item]))
    for (const [name, item] of written) if (isIn(item, range)) found.set(name, item)
    return [...found.values()].sort((a, b) => (a.sk < b.sk ? -1 : 1))
  }

  async function transact(writes: readonly Write[]) {
    const used = await Promise.all(
      writes.map(
        async ({ Put }) =>
          Put !== undefined &&
          Put.ConditionExpression === onlyNew &&
          (await get(keyOf(Put.Item as Item))) !== undefined,
      ),
    )
    const failed = used.flatMap((isUsed, i) => (isUsed ? [i] : []))
    if (failed.length > 0) return { done: false as const, failed }
    for (const { Put } of writes) if (Put !== undefined) written.set(nameOf(Put.Item as Item), asKept(Put.Item as Item))
    return { done: true as const }
  }

  return {
    ...table,
    get,
    getAll: async (keys) => (await Promise.all(keys.map(get))).filter((item) => item !== undefined),
    all,
    transact,
    update: async () => true,
    readFirst: async (keys) => {
      const items = new Map((await table.getAll(keys)).map((item) => [nameOf(item), item]))
      for (const key of keys) read.set(nameOf(key), items.get(nameOf(key)))
    },
    forget: () => {
      written.clear()
      read.clear()
    },
  }
}

/** The client leaves out what is undefined, and what is read is checked by its kinds. */
const asKept = (item: Item): Item => JSON.parse(JSON.stringify(item)) as Item

function isIn(item: Item, { partition: [, value], between }: Range): boolean {
  if (item.pk !== value) return false
  const [, from, to] = between ?? []
  return from === undefined || to === undefined || (item.sk >= from && item.sk <= to)
}
