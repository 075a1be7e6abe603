/**
 * The tree of an organisation's facts as it lies in the table: its head, its leaves, and its head as it was at the
 * beginning of each day. A leaf keeps the roots of the subtrees that are complete with it. Beside a fact lie its place
 * in the tree, and the salts of the texts in it that name a person.
 */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { Digest } from '../../shared-domain/proof/digest.ts'
import type { KeptTexts } from '../../shared-domain/proof/record.ts'
import { bare, type Grown } from '../../shared-domain/proof/tree.ts'
import { changeIf, is, isAbsent, isNew, isThere, onlyIf } from './change.ts'
import { type OrganisationTable, systemTrees } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import type { Key, Table, Write } from './table.ts'
import { queueShards, toSequencePrefix } from './table-shape.ts'

/** The tree by now, and its root. */
export interface TreeHead extends Grown {
  readonly root: Digest
  readonly at: Instant
}

export interface TreeLeaf {
  readonly index: number
  readonly stickId: string
  /** the number of the fact on its stick */
  readonly seq: number
  readonly factId: string
  /** roots of the subtrees that are complete with the leaf, the leaf itself first */
  readonly ends: readonly Digest[]
}

export interface DayHead {
  readonly day: CalendarDate
  readonly size: number
  readonly root: Digest
  readonly at: Instant
}

/** The fact's place in the tree, and what lies beside the fact since then. */
export interface InTree extends KeptTexts {
  readonly index: number
}

/** A fact where it lies. */
export interface PlacedFact {
  readonly stickId: string
  readonly seq: number
  readonly fact: RecordedFact
  readonly inTree: InTree | undefined
  /** the fact waits for its place: an earlier build let none wait */
  readonly waits: boolean
}

/** A fact on its way into the tree. */
export interface NewLeaf extends Omit<TreeLeaf, 'factId'> {
  readonly fact: RecordedFact
  readonly salts: KeptTexts['salts']
}

/** The search for facts of other builds: how far it came, and when it goes on. */
export interface LookedFor {
  readonly notBefore: Instant
  readonly list: string
  readonly after: string
  /** some were found since the beginning of the lists */
  readonly foundAny: boolean
}

const asHead = readerOf<TreeHead>('tree head', { size: 'number', peaks: 'list', root: 'text', at: 'text' })
const asLeaf = readerOf<TreeLeaf>('tree leaf', {
  index: 'number',
  stickId: 'text',
  seq: 'number',
  factId: 'text',
  ends: 'list',
})
const asDayHead = readerOf<DayHead>('day head', { day: 'text', size: 'number', root: 'text', at: 'text' })
const asPlaced = readerOf<{ readonly fact: RecordedFact; readonly leaf?: InTree; readonly queue?: string } & Key>(
  'fact',
  { pk: 'text', sk: 'text', fact: 'map', leaf: ['map', 'absent'], queue: ['text', 'absent'] },
)
const asTree = readerOf<{ readonly organisation: string; readonly lookedFor: LookedFor }>('tree', {
  organisation: 'text',
  lookedFor: 'map',
})

/** The organisation and the stick in whose part of the table a fact lies. */
export function placeOfFact({ pk, sk }: Key): { organisation: string; stickId: string; seq: number } {
  const [, organisation = '', , stickId = ''] = pk.split('#')
  return { organisation, stickId, seq: Number(sk.slice('FACT#'.length)) }
}

function placedFact(item: unknown): PlacedFact {
  const { pk, sk, fact, leaf, queue } = asPlaced(item)
  const { stickId, seq } = placeOfFact({ pk, sk })
  return { stickId, seq, fact, inTree: leaf, waits: queue !== undefined }
}

/** Facts at these places, as far as any lie there. */
export async function factsAt(table: Table, places: readonly Key[]): Promise<PlacedFact[]> {
  const different = [...new Map(places.map(({ pk, sk }) => [`${pk} ${sk}`, { pk, sk }])).values()]
  return (await table.getAll(different)).map(placedFact)
}

export async function placedFactsOf({ table, keys }: OrganisationTable, stickId: string): Promise<PlacedFact[]> {
  const range = { between: ['sk', 'FACT#', 'FACT#~'] as const, consistent: true }
  return (await table.all({ partition: ['pk', keys.stick(stickId)], ...range })).map(placedFact)
}

export async function treeHead({ table, keys }: OrganisationTable): Promise<TreeHead | undefined> {
  const item = await table.get(keys.treeHead())
  return item === undefined ? undefined : asHead(item)
}

/** Adds leaves to the tree as it was read. False where somebody else came first, and nothing was written. */
export async function addLeaves(
  { table, keys, name }: OrganisationTable,
  before: TreeHead | undefined,
  { leaves, head }: { readonly leaves: readonly NewLeaf[]; readonly head: TreeHead },
): Promise<boolean> {
  const size = before?.size ?? bare.size
  const writes: Write[] = [
    table.put(
      { ...keys.treeHead(), entity: 'tree head', ...head },
      onlyIf(before === undefined ? isNew : is('size', size)),
    ),
    ...leaves.flatMap(({ index, stickId, seq, fact, salts, ends }) => [
      table.putNew({ ...keys.treeLeaf(index), entity: 'tree leaf', index, stickId, seq, factId: fact.factId, ends }),
      table.change(
        keys.fact(stickId, seq),
        changeIf({ set: { leaf: { index, salts } }, remove: ['queue', 'queueAt'] }, isThere('pk'), isAbsent('leaf')),
      ),
    ]),
    ...(before === undefined ? [treeWrite({ table, keys, name }, fromTheBeginning(head.at))] : []),
  ]
  return (await table.transact(writes)).done
}

export async function leavesAt({ table, keys }: OrganisationTable, indexes: readonly number[]): Promise<TreeLeaf[]> {
  return (await table.getAll([...new Set(indexes)].map((index) => keys.treeLeaf(index)))).map(asLeaf)
}

/** Every leaf, in the order of the tree. */
export async function allLeaves({ table, keys }: OrganisationTable): Promise<TreeLeaf[]> {
  const { pk } = keys.treeHead()
  return (await table.all({ partition: ['pk', pk], between: ['sk', 'LEAF#', 'LEAF#~'], consistent: true })).map(asLeaf)
}

/** A fact without a text of somebody's, and what is left beside it in the tree. The fact stays where it is. */
export function erasedWrite({ table, keys }: OrganisationTable, { stickId, seq, fact, inTree }: PlacedFact): Write {
  const change = { set: { fact, leaf: inTree } }
  return table.change(keys.fact(stickId, seq), changeIf(change, isThere('leaf')))
}

/** Heads of days, the newest first. */
export async function dayHeads({ table, keys }: OrganisationTable, limit?: number): Promise<DayHead[]> {
  const { pk } = keys.treeHead()
  const range = { partition: ['pk', pk], between: ['sk', 'DAY#', 'DAY#~'], descending: true, consistent: true } as const
  const items = limit === undefined ? await table.all(range) : (await table.page({ ...range, limit })).items
  return items.map(asDayHead)
}

/** The head of a day, once; it comes with word of it. */
export function dayHeadWrite({ table, keys }: OrganisationTable, head: DayHead): Write {
  return table.putNew({ ...keys.dayHead(head.day), entity: 'day head', ...head })
}

/** Facts of all organisations that wait for their place, by their keys, the longest waiting of each shard first. */
export async function waitingFacts(table: Table, through: Instant, mostOfAShard: number): Promise<Key[]> {
  const pages = await Promise.all(
    queueShards.map((shard) =>
      table.page({
        index: 'notices-by-queue',
        partition: ['queue', `${toSequencePrefix}${shard}`],
        between: ['queueAt', '0', through],
        limit: mostOfAShard,
      }),
    ),
  )
  return pages.flatMap(({ items }) => items.map(({ pk, sk }) => ({ pk, sk })))
}

/** Every organisation that has a tree. */
export async function organisationsWithTrees(table: Table): Promise<string[]> {
  const items = await table.all({ partition: ['pk', systemTrees] })
  return readEach(items, asTree).map(({ organisation }) => organisation)
}

/** The first list, before its first stick. */
export const fromTheBeginning = (notBefore: Instant): LookedFor => ({
  notBefore,
  list: '',
  after: '0',
  foundAny: false,
})

export async function lookedForOf({ table, keys }: OrganisationTable): Promise<LookedFor | undefined> {
  const item = await table.get(keys.treePointer())
  return item === undefined ? undefined : asTree(item).lookedFor
}

export async function setLookedFor(place: OrganisationTable, lookedFor: LookedFor): Promise<void> {
  await place.table.transact([treeWrite(place, lookedFor)])
}

function treeWrite({ table, keys, name }: OrganisationTable, lookedFor: LookedFor): Write {
  return table.put({ ...keys.treePointer(), entity: 'tree', organisation: name, lookedFor })
}
