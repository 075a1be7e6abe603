/**
 * Proves that an organisation's tree holds every fact as it was recorded, and that every head that was kept of it is
 * the head of its first leaves.
 */
import { isDeepStrictEqual } from 'node:util'
import type { Digest } from '../../shared-domain/proof/digest.ts'
import { leafOf } from '../../shared-domain/proof/record.ts'
import {
  bare,
  consistencyOf,
  lastLeafOf,
  rootAbove,
  rootOf,
  type Subtree,
  withLeaf,
} from '../../shared-domain/proof/tree.ts'
import { isConsistent } from '../../shared-domain/proof/verifying.ts'
import { hashing } from '../ground/hashing.ts'
import { factRecord } from '../questions/fact-records.ts'
import type { Organisation } from '../store/organisation.ts'
import {
  allLeaves,
  type DayHead,
  dayHeads,
  factsAt,
  type PlacedFact,
  placedFactsOf,
  type TreeHead,
  type TreeLeaf,
  treeHead,
} from '../store/tree.ts'

export interface TreeProof {
  readonly leaves: number
  /** facts that have no place in the tree yet */
  readonly notYet: number
  /** the number of leaves that had the root that was asked for */
  readonly leavesOfAsked: number | undefined
  /** faults in words; empty when all holds */
  readonly faults: readonly string[]
}

interface Asked {
  readonly stickIds: readonly string[]
  /** a root that the tree is to have had once */
  readonly root?: Digest | undefined
}

export async function proveTree(organisation: Organisation, { stickIds, root }: Asked): Promise<TreeProof> {
  const [leaves, head, days] = await Promise.all([
    allLeaves(organisation),
    treeHead(organisation),
    dayHeads(organisation),
  ])
  const { roots, faults } = regrown(leaves, (size) => root !== undefined || days.some((day) => day.size === size))
  const ofSticks = await factsOfSticks(organisation, { stickIds, leaves })
  return {
    leaves: leaves.length,
    notYet: ofSticks.notYet,
    leavesOfAsked: root === undefined ? undefined : [...roots].find(([, one]) => one === root)?.[0],
    faults: [
      ...faults,
      ...proveHead(leaves, head),
      ...proveDays(leaves, days.toReversed(), roots),
      ...(await proveFacts(organisation, leaves)),
      ...ofSticks.faults,
    ],
  }
}

/** Grows the tree anew of its leaves. Answers the root of each size that is asked for. */
function regrown(leaves: readonly TreeLeaf[], isAskedFor: (size: number) => boolean) {
  const faults: string[] = []
  const roots = new Map<number, Digest>()
  let tree = bare
  for (const { index, ends } of leaves) {
    if (index !== tree.size) {
      faults.push(`leaf ${tree.size} of the tree is missing`)
      break
    }
    const { tree: next, ends: made } = withLeaf(hashing.sha256, tree, ends[0] ?? '')
    if (!isDeepStrictEqual(ends, made)) faults.push(`leaf ${index}: the roots kept with it are not those of its leaves`)
    tree = next
    if (isAskedFor(tree.size)) roots.set(tree.size, rootOf(hashing.sha256, tree.peaks))
  }
  return { roots, faults }
}

function proveHead(leaves: readonly TreeLeaf[], head: TreeHead | undefined): string[] {
  if (head === undefined) return leaves.length === 0 ? [] : ['the head of the tree is missing']
  const tree = leaves.reduce((so, { ends }) => withLeaf(hashing.sha256, so, ends[0] ?? '').tree, bare)
  const made = { ...tree, root: rootOf(hashing.sha256, tree.peaks) }
  const { size, peaks, root } = head
  return isDeepStrictEqual({ size, peaks, root }, made) ? [] : ['the head of the tree is not that of its leaves']
}

/** Heads of days are those of the first leaves, and each goes on from the one before it. */
function proveDays(
  leaves: readonly TreeLeaf[],
  days: readonly DayHead[],
  roots: ReadonlyMap<number, Digest>,
): string[] {
  const rootAt = (one: Subtree) => leaves[lastLeafOf(one)]?.ends[one.level] ?? ''
  return days.flatMap((head, i) => {
    const { day, size, root } = head
    const name = `the head of ${day}`
    if (roots.get(size) !== root) return [`${name} is not that of the first ${size} leaves`]
    const before = days[i - 1] ?? { size: 0, root: '' }
    const path = consistencyOf(before.size, size).map((some) => rootAbove(hashing.sha256, rootAt, some))
    const goesOn = isConsistent(hashing.sha256, { first: before, second: head, path })
    return goesOn ? [] : [`${name} does not go on from the one before it`]
  })
}

const factsAtOnce = 100

async function proveFacts(organisation: Organisation, leaves: readonly TreeLeaf[]): Promise<string[]> {
  const faults: string[] = []
  for (let i = 0; i < leaves.length; i += factsAtOnce) {
    const some = leaves.slice(i, i + factsAtOnce)
    const places = some.map(({ stickId, seq }) => organisation.keys.fact(stickId, seq))
    const found = new Map((await factsAt(organisation.table, places)).map((one) => [`${one.stickId} ${one.seq}`, one]))
    for (const leaf of some) {
      const fault = await faultOf(organisation, leaf, found.get(`${leaf.stickId} ${leaf.seq}`))
      if (fault !== undefined) faults.push(`${nameOf(leaf)} ${fault}`)
    }
  }
  return faults
}

const nameOf = ({ factId, stickId, seq }: Pick<TreeLeaf, 'factId' | 'stickId' | 'seq'>) =>
  `fact ${factId}, number ${seq} of stick ${stickId},`

async function faultOf(
  organisation: Organisation,
  { index, stickId, factId, ends }: TreeLeaf,
  placed: PlacedFact | undefined,
): Promise<string | undefined> {
  if (placed === undefined) return 'is gone'
  const { fact, inTree } = placed
  if (fact.factId !== factId) return `is gone, and fact ${fact.factId} lies in its place`
  if (inTree?.index !== index)
    return `is said to be ${inTree === undefined ? 'in no tree' : `leaf ${inTree.index}`}, not ${index}`
  const leaf = leafOf(hashing, await factRecord(organisation, stickId, fact), inTree)
  return leaf === ends[0] ? undefined : 'is not what was recorded'
}

/** Facts that the tree does not name: some wait for their place, and one that says it has a place has none. */
async function factsOfSticks(
  organisation: Organisation,
  { stickIds, leaves }: { readonly stickIds: readonly string[]; readonly leaves: readonly TreeLeaf[] },
) {
  const named = new Set(leaves.map(({ stickId, seq }) => `${stickId} ${seq}`))
  const faults: string[] = []
  let notYet = 0
  for (const stickId of stickIds) {
    for (const { seq, fact, inTree } of await placedFactsOf(organisation, stickId)) {
      if (named.has(`${stickId} ${seq}`)) continue
      if (inTree === undefined) notYet += 1
      else faults.push(`${nameOf({ factId: fact.factId, stickId, seq })} is not leaf ${inTree.index}`)
    }
  }
  return { notYet, faults }
}
