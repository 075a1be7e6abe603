/**
 * The table in memory: it really stores, keeps its indexes sparse, refuses what the service refuses, hands out maps in
 * no order and lets its indexes lag. It can be told to lose a race and to break off before or after a transaction.
 */
import { marshall, unmarshall } from '@aws-sdk/util-dynamodb'
import type { Item, Key, Page, Range, Table, Write } from '../../functions/store/table.ts'
import { indexes, tableKey } from '../../functions/store/table-shape.ts'
import { type Chance, chanceOf } from '../../seed/chance.ts'
import { type Expression, holds, updated } from './expressions.ts'

/** Transactions are counted from 1, from the moment the trouble is ordered. */
export interface Trouble {
  /** transactions lost to another writer */
  readonly lose?: readonly number[]
  /** breaks off before this one is written, and at every later one */
  readonly crashBefore?: number
  /** breaks off after this one is written, before its answer comes, and at every later one */
  readonly crashAfter?: number
  /** work of somebody else just before this transaction is written */
  readonly meanwhile?: { readonly before: number; readonly what: () => Promise<unknown> }
  /** indexes answer as of so many written items ago; nought is for a test that needs them calm */
  readonly indexLag?: number
  /** a page holds at most so many items, whatever was asked for */
  readonly pageOf?: number
}

export interface FakeTable extends Table {
  trouble(what: Trouble): void
  /** transactions since trouble was last ordered, those that failed among them */
  transactions(): number
  /** indexes show all that was written until now, as they do after a while */
  settled(): void
  /** items written, changed and put aside since the table was made */
  written(): number
  /** items that a test has no use for are gone as if nobody had written them */
  forget(isOfNoUse: (item: Item) => boolean): void
  /** everything that lies in it, to be read only */
  items(): readonly Item[]
}

interface Change {
  readonly place: string
  readonly before: Item | undefined
  /** calls that the table had taken by then */
  readonly at: number
}

/** Writes show in the indexes after so many further calls, unless a test says when. */
const callsUntilSeen = 4

/** No index lags by so many written items. */
const mostRemembered = 10_000

type Step = { readonly at: Key; readonly condition: Expression; readonly after: (before: Item | undefined) => Item }

/**
 * Begins with what another one held, if anything. `copiesOfEach`: an item read again and again is handed out in no more
 * different orders than that, as copies that nobody can change.
 */
export function fakeTable(kept: readonly Item[] = [], copiesOfEach = 3): FakeTable {
  const store = new Map(kept.map((item) => [placeOf(item), frozen(item)]))
  const partitions = partitionsOf(store)
  const journal: Change[] = []
  const copies = new WeakMap<Item, readonly Item[]>()
  let trouble: Trouble = {}
  let transactions = 0
  let calls = 0
  let shown = 0
  let forgotten = 0
  const chance = chanceOf('in which order maps are read')

  /** A call under way; whoever else is goes first, as a network would have it. */
  function taken(): Promise<unknown> {
    calls++
    return soon()
  }

  function handedOut(item: Item): Item {
    const known = copies.get(item) ?? []
    const copy = known.length < copiesOfEach ? undefined : known[Math.floor(chance() * copiesOfEach)]
    if (copy !== undefined) return copy
    const next = frozen(shuffled(item, chance))
    copies.set(item, [...known, next])
    return next
  }

  /** Writes that are not in the indexes yet, oldest first. */
  function unseen(): readonly Change[] {
    if (trouble.indexLag !== undefined) return journal.slice(Math.max(0, journal.length - trouble.indexLag))
    while ((journal[shown]?.at ?? Number.POSITIVE_INFINITY) + callsUntilSeen <= calls) shown++
    return journal.slice(shown)
  }

  function write({ at, after }: Step): void {
    const place = placeOf(at)
    const before = store.get(place)
    const item = storable(after(before))
    journal.push({ place, before, at: calls })
    forgetWhatIsLongSeen()
    store.set(place, item)
    partitions.replace(place, before, item)
  }

  /** A run over years would otherwise keep every item as it ever was. */
  function forgetWhatIsLongSeen(): void {
    if (journal.length < 2 * mostRemembered) return
    journal.splice(0, mostRemembered)
    forgotten += mostRemembered
    shown = Math.max(0, shown - mostRemembered)
  }

  async function transact(writes: readonly Write[]) {
    await taken()
    const call = ++transactions
    if (trouble.meanwhile?.before === call) await trouble.meanwhile.what()
    if (call >= (trouble.crashBefore ?? Number.POSITIVE_INFINITY)) throw new Error('broken off before writing')
    const steps = checked(writes.map(stepOf), store)
    if (trouble.lose?.includes(call)) return { done: false, failed: [] } as const
    const failed = steps.flatMap((step, i) => (holds(step.condition, store.get(placeOf(step.at))) ? [] : [i]))
    if (failed.length > 0) return { done: false, failed } as const
    steps.forEach(write)
    if (call >= (trouble.crashAfter ?? Number.POSITIVE_INFINITY)) throw new Error('broken off after writing')
    return { done: true } as const
  }

  async function update(key: Key, change: Expression): Promise<boolean> {
    await taken()
    const step = stepOf({ Update: { ...change, TableName: 'fake', Key: { ...key } } } as Write)
    if (!holds(step.condition, store.get(placeOf(key)))) return false
    write(step)
    return true
  }

  async function page(range: Range): Promise<Page> {
    await taken()
    const names = namesOf(range)
    if (range.index !== undefined && range.consistent) throw refusal('an index cannot be read consistently')
    checkRange(range, names)
    const seen = range.index === undefined ? partitions.of(range) : asBefore(unseen(), partitions.of(range))
    const matching = [...seen.values()]
      .filter((item) => inRange(item, range, names))
      .sort((a, b) => comparePlaces(orderOf(a, names), orderOf(b, names)))
    if (range.descending) matching.reverse()
    const { items, next } = cut(matching, range, names, Math.min(range.limit ?? 1e9, trouble.pageOf ?? 1e9))
    return { items: items.map((item) => handedOut(item)), next }
  }

  async function count({ limit = 1e9, ...range }: Range): Promise<number> {
    return Math.min(limit, (await all(range)).length)
  }

  async function all(range: Range): Promise<Item[]> {
    const items: Item[] = []
    let after: Record<string, unknown> | undefined
    do {
      const answer = await page({ ...range, after })
      items.push(...answer.items)
      after = answer.next
    } while (after !== undefined)
    return items
  }

  async function get(key: Key): Promise<Item | undefined> {
    await taken()
    checkBareKey(key)
    const item = store.get(placeOf(key))
    return item && handedOut(item)
  }

  async function getAll(keys: readonly Key[]): Promise<Item[]> {
    await taken()
    keys.forEach(checkKey)
    for (let i = 0; i < keys.length; i += 100) checkDistinct(keys.slice(i, i + 100).map(placeOf))
    const found = keys.flatMap((key) => store.get(placeOf(key)) ?? [])
    return found.map((item) => handedOut(item))
  }

  return {
    name: undefined,
    get,
    getAll,
    page,
    count,
    all,
    transact,
    update,
    put: (item, condition) => ({ Put: { TableName: 'fake', Item: item, ...condition } }),
    putNew: (item) => ({ Put: { TableName: 'fake', Item: item, ConditionExpression: 'attribute_not_exists(pk)' } }),
    change: (key, change) => ({ Update: { ...change, TableName: 'fake', Key: key } }),
    trouble(what) {
      trouble = what
      transactions = 0
    },
    transactions: () => transactions,
    settled() {
      shown = journal.length
    },
    written: () => forgotten + journal.length,
    forget(isOfNoUse) {
      for (const [place, item] of store) {
        if (!isOfNoUse(item)) continue
        store.delete(place)
        partitions.replace(place, item, undefined)
      }
    },
    items: () => [...store.values()],
  }
}

const soon = () => new Promise((resolve) => setImmediate(resolve))

function stepOf({ Put, Update, ...others }: Write): Step {
  if (Object.values(others).some((other) => other !== undefined)) throw refusal('this fake only puts and updates')
  if (Put !== undefined) {
    const item = Put.Item as Item
    return { at: item, condition: Put, after: () => item }
  }
  if (Update === undefined) throw refusal('an empty write')
  const key = Update.Key as Key
  checkBareKey(key)
  return { at: key, condition: Update, after: (before) => updated(Update, before ?? { ...key }) as Item }
}

const mostItems = 100
const mostItemBytes = 400 * 1024
const mostTransactionBytes = 4 * 1024 * 1024
const mostPageBytes = 1024 * 1024

function checked(steps: readonly Step[], store: ReadonlyMap<string, Item>): readonly Step[] {
  if (steps.length === 0 || steps.length > mostItems) throw refusal(`a transaction of ${steps.length} items`)
  checkDistinct(steps.map(({ at }) => placeOf(at)))
  // An update makes something of an item only where its condition holds.
  const made = steps.flatMap(({ at, condition, after }) => {
    const before = store.get(placeOf(at))
    return holds(condition, before) ? [storable(after(before))] : []
  })
  const bytes = made.reduce((sum, item) => sum + sizeOf(item), 0)
  if (bytes > mostTransactionBytes) throw refusal(`a transaction of ${bytes} bytes`)
  return steps
}

/** The item as the service would keep it: without absent values, within limits, with keys that can be keys. */
function storable(item: Item): Item {
  checkKey(item)
  checkValues(item, 0)
  const copy = unmarshall(marshall(item, { removeUndefinedValues: true })) as Item
  for (const { partition, sort } of Object.values(indexes)) {
    if (partition in copy && !fits(copy[partition], mostPartitionBytes)) throw refusal(`index key ${partition}`)
    if (sort in copy && !fits(copy[sort], mostSortBytes)) throw refusal(`index key ${sort}`)
  }
  if (sizeOf(copy) > mostItemBytes) throw refusal(`an item of ${sizeOf(copy)} bytes`)
  return frozen(copy)
}

/** Frozen items can be handed from table to table without a copy. */
function frozen<T>(value: T): T {
  if (value === null || typeof value !== 'object' || Object.isFrozen(value)) return value
  Object.values(value).forEach(frozen)
  return Object.freeze(value)
}

/** A copy whose maps, at every depth, are in no order: the service promises none. */
function shuffled<T>(value: T, chance: Chance): T {
  if (value === null || typeof value !== 'object') return value
  if (Array.isArray(value)) return value.map((inner) => shuffled(inner, chance)) as T
  if (Object.getPrototypeOf(value) !== Object.prototype) return structuredClone(value)
  const names = Object.keys(value)
  for (let i = names.length - 1; i > 0; i--) {
    const other = Math.floor(chance() * (i + 1))
    ;[names[i], names[other]] = [names[other] as string, names[i] as string]
  }
  return Object.fromEntries(names.map((name) => [name, shuffled(value[name as keyof T], chance)])) as T
}

const mostPartitionBytes = 2048
const mostSortBytes = 1024

const fits = (text: unknown, most: number) => typeof text === 'string' && text !== '' && Buffer.byteLength(text) <= most

function checkKey({ pk, sk }: Key): void {
  if (!fits(pk, mostPartitionBytes) || !fits(sk, mostSortBytes)) throw refusal('a key that is empty or too long')
}

/** The client refuses what is larger than a whole number can be told apart; the service, what is nearer to nought. */
const finestNumber = 1e-130
const deepestLevel = 32

function checkValues(value: unknown, level: number): void {
  if (level > deepestLevel) throw refusal(`nesting of more than ${deepestLevel} levels`)
  if (typeof value === 'number' && value !== 0 && Math.abs(value) < finestNumber) throw refusal(`the number ${value}`)
  if (value === null || typeof value !== 'object') return
  for (const inner of Object.values(value)) checkValues(inner, level + 1)
}

/** An item in the place of its key is refused, not looked through for it. */
function checkBareKey(key: Key): void {
  checkKey(key)
  if (Object.keys(key).length !== 2) throw refusal(`a key of ${Object.keys(key)}`)
}

function checkDistinct(places: readonly string[]): void {
  if (new Set(places).size !== places.length) throw refusal('one item named twice')
}

/** The size is about what the service counts: names and texts in UTF-8, numbers by their digits. */
export function sizeOf(value: unknown): number {
  if (typeof value === 'string') return Buffer.byteLength(value)
  if (typeof value === 'number') return String(value).length
  if (value === null || typeof value !== 'object') return 1
  const entries = Object.entries(value)
  return entries.reduce((sum, [name, inner]) => sum + (Array.isArray(value) ? 1 : name.length + 1) + sizeOf(inner), 3)
}

/** Kept items never change, and neither does their size. */
function sizeKept(item: Item): number {
  const size = sizes.get(item) ?? sizeOf(item)
  sizes.set(item, size)
  return size
}

const sizes = new WeakMap<Item, number>()

type Names = readonly [partition: string, sort: string]

function namesOf({ index }: Range): Names {
  if (index !== undefined && !(index in indexes)) throw refusal(`no index ${index}`)
  const { partition, sort } = index === undefined ? tableKey : indexes[index]
  return [partition, sort]
}

/** An index that keeps keys only answers with those of the table and its own; so does any that is asked for no more. */
function projected(item: Item, { index, keysOnly }: Range, names: Names): Item {
  if (!keysOnly && (index === undefined || indexes[index].projection === 'ALL')) return item
  return Object.fromEntries([...keyNames, ...names].map((name) => [name, item[name]])) as Item
}

const keyNames = Object.values(tableKey)

function checkRange({ partition, between }: Range, [partitionName, sortName]: Names): void {
  if (partition[0] !== partitionName) throw refusal(`partition ${partition[0]} where ${partitionName} is`)
  if (!fits(partition[1], mostPartitionBytes)) throw refusal('a partition that is empty or too long')
  if (between === undefined) return
  const [sort, from, to] = between
  if (sort !== sortName) throw refusal(`sort key ${sort} where ${sortName} is`)
  if (!fits(from, mostSortBytes) || !fits(to, mostSortBytes)) throw refusal('a range that is empty or too long')
  if (compareBytes(from, to) > 0) throw refusal(`a range from ${from} back to ${to}`)
}

function inRange(item: Item, { partition, between }: Range, [partitionName, sortName]: Names): boolean {
  const sort = item[sortName]
  if (item[partitionName] !== partition[1] || typeof sort !== 'string') return false
  return between === undefined || (compareBytes(between[1], sort) <= 0 && compareBytes(sort, between[2]) <= 0)
}

function orderOf(item: Record<string, unknown>, [, sort]: Names): string[] {
  return [String(item[sort]), String(item.pk), String(item.sk)]
}

function comparePlaces(a: readonly string[], b: readonly string[]): number {
  const at = a.findIndex((part, i) => part !== b[i])
  return at < 0 ? 0 : compareBytes(a[at] ?? '', b[at] ?? '')
}

function compareBytes(a: string, b: string): number {
  if (a === b) return 0
  return Buffer.compare(Buffer.from(a), Buffer.from(b))
}

/** A page begins behind `after` and ends at the limit or at a megabyte. Its end leaves a key, even at the very end. */
function cut(matching: readonly Item[], range: Range, names: Names, limit: number): Page {
  const { after, descending } = range
  const beyond = (item: Item) =>
    after === undefined || comparePlaces(orderOf(item, names), orderOf(after, names)) * (descending ? -1 : 1) > 0
  const items: Item[] = []
  let bytes = 0
  for (const item of matching.filter(beyond)) {
    items.push(projected(item, range, names))
    bytes += sizeKept(item)
    if (items.length < limit && bytes < mostPageBytes) continue
    const key = Object.fromEntries([...keyNames, ...names].map((name) => [name, item[name]]))
    return { items, next: key }
  }
  return { items, next: undefined }
}

/** Every partition of the table and its indexes by itself, so that reading one does not look through all. */
function partitionsOf(store: ReadonlyMap<string, Item>) {
  const partitionNames = [tableKey.partition, ...new Set(Object.values(indexes).map(({ partition }) => partition))]
  const all = new Map<string, Map<string, Item>>()
  const nameOf = (attribute: string, value: unknown) => `${attribute} ${value}`

  function replace(place: string, before: Item | undefined, after: Item | undefined): void {
    for (const attribute of partitionNames) {
      if (before !== undefined) all.get(nameOf(attribute, before[attribute]))?.delete(place)
      if (after?.[attribute] === undefined) continue
      const name = nameOf(attribute, after[attribute])
      const known = all.get(name) ?? new Map<string, Item>()
      all.set(name, known.set(place, after))
    }
  }

  for (const [place, item] of store) replace(place, undefined, item)
  return {
    replace,
    of: ({ partition: [attribute, value] }: Range): ReadonlyMap<string, Item> =>
      all.get(nameOf(attribute, value)) ?? new Map(),
  }
}

/** A partition of an index as it was before these changes. */
function asBefore(changes: readonly Change[], now: ReadonlyMap<string, Item>): ReadonlyMap<string, Item> {
  if (changes.length === 0) return now
  const then = new Map(now)
  for (const { place, before } of changes.toReversed()) {
    if (before === undefined) then.delete(place)
    else then.set(place, before)
  }
  return then
}

function placeOf({ pk, sk }: Key): string {
  return JSON.stringify([pk, sk])
}

function refusal(what: string): Error {
  return Object.assign(new Error(`the service takes no such thing: ${what}`), { name: 'ValidationException' })
}
