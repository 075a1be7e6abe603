/**
 * The one writer of the trees: it gives each fact its place in the tree of its organisation, once. The tree's head is
 * written only where it is as it was read, so that of two who write at once one reads anew; a fact that has its place
 * already is passed over. So messages may come doubled, late and in any order.
 */
import type { SQSBatchResponse, SQSRecord } from 'aws-lambda'
import { leafOf, saltsOf } from '../../shared-domain/proof/record.ts'
import { bare, rootOf, withLeaf } from '../../shared-domain/proof/tree.ts'
import type { WallClock } from '../ground/clock.ts'
import { hashing, newSalt } from '../ground/hashing.ts'
import { sleep } from '../ground/sleep.ts'
import { factRecord } from '../questions/fact-records.ts'
import { takeTogether } from '../store/handed-on.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import type { Key, Table } from '../store/table.ts'
import {
  addLeaves,
  factsAt,
  type NewLeaf,
  type PlacedFact,
  placeOfFact,
  type TreeHead,
  treeHead,
} from '../store/tree.ts'

export interface SequenceParts {
  readonly table: Table
  readonly clock: WallClock
}

/** A transaction takes 4 MB, and a fact may have 390 KB. */
const mostTogether = 8

/** Two that meet wait by chance, so that they do not meet again. */
const mostTries = 20
const longestWaitMillis = 40

export const sequenceThose = (parts: SequenceParts, records: readonly SQSRecord[]): Promise<SQSBatchResponse> =>
  takeTogether(records, (keys) => sequenceFacts(parts, keys))

/** Answers how many facts got their place. */
export async function sequenceFacts(parts: SequenceParts, places: readonly Key[]): Promise<number> {
  let added = 0
  for (const lot of lotsOf(places)) added += await sequenceLot(parts, lot)
  return added
}

/** Facts that one transaction takes, each lot of one organisation. */
export function lotsOf(places: readonly Key[]): readonly (readonly Key[])[] {
  const ofEach = Map.groupBy(places, (key) => placeOfFact(key).organisation).values()
  return [...ofEach].flatMap((some) =>
    Array.from({ length: Math.ceil(some.length / mostTogether) }, (_, i) =>
      some.slice(i * mostTogether, (i + 1) * mostTogether),
    ),
  )
}

/** Gives all facts of a lot their place, or none. Answers how many got one. */
export async function sequenceLot(parts: SequenceParts, lot: readonly Key[]): Promise<number> {
  const [first] = lot
  if (first === undefined) return 0
  return sequenceTogether(parts, openOrganisation(parts.table, placeOfFact(first).organisation), lot)
}

async function sequenceTogether(
  { table, clock }: SequenceParts,
  organisation: Organisation,
  places: readonly Key[],
): Promise<number> {
  for (let tries = 1; tries <= mostTries; tries++) {
    const [before, found] = await Promise.all([treeHead(organisation), factsAt(table, places)])
    const fresh = found.filter(({ inTree }) => inTree === undefined).sort(byRecording)
    if (fresh.length === 0) return 0
    if (await addLeaves(organisation, before, await grown(organisation, before, { fresh, at: clock() })))
      return fresh.length
    await sleep(Math.random() * tries * longestWaitMillis)
  }
  throw new Error('others were adding to the tree all the while')
}

function byRecording(a: PlacedFact, b: PlacedFact): number {
  const [one, other] = [a, b].map(
    ({ fact, stickId, seq }) => `${fact.recordedAt} ${stickId} ${String(seq).padStart(8, '0')}`,
  )
  return (one ?? '') < (other ?? '') ? -1 : 1
}

interface Growing {
  readonly fresh: readonly PlacedFact[]
  readonly at: TreeHead['at']
}

async function grown(organisation: Organisation, before: TreeHead | undefined, { fresh, at }: Growing) {
  let tree = { size: before?.size ?? bare.size, peaks: before?.peaks ?? bare.peaks }
  const leaves: NewLeaf[] = []
  for (const { stickId, seq, fact } of fresh) {
    const record = await factRecord(organisation, stickId, fact)
    const salts = saltsOf(record, newSalt)
    const { tree: next, ends } = withLeaf(hashing.sha256, tree, leafOf(hashing, record, { salts }))
    leaves.push({ index: tree.size, stickId, seq, fact, salts, ends })
    tree = next
  }
  return { leaves, head: { ...tree, root: rootOf(hashing.sha256, tree.peaks), at } }
}
