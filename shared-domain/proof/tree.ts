/**
 * A tree that only grows (RFC 9162, section 2.1, which is section 2.1 of RFC 6962). What is kept of it are the roots of
 * its complete subtrees; they never change once they are there, and every root and every proof is put together of them.
 */
import { type Digest, nodeHash, type Sha256 } from './digest.ts'

/** A tree of so many leaves, as whoever adds to it has to know it. */
export interface Grown {
  readonly size: number
  /** the roots of the complete subtrees that the tree is made of, the greatest first */
  readonly peaks: readonly Digest[]
}

export const bare: Grown = { size: 0, peaks: [] }

/** A complete subtree of two to the power of `level` leaves, counted from the left among those of its size. */
export interface Subtree {
  readonly level: number
  readonly index: number
}

/** Neighbouring leaves, the last one not among them. */
export interface Leaves {
  readonly from: number
  readonly to: number
}

/** Adds a leaf. `ends`: the roots of the subtrees that are complete with it, the leaf itself first. */
export function withLeaf(hash: Sha256, { size, peaks }: Grown, leaf: Digest): { tree: Grown; ends: Digest[] } {
  const rest = [...peaks]
  const ends = [leaf]
  let root = leaf
  for (let complete = size; complete % 2 === 1; complete = (complete - 1) / 2) {
    root = nodeHash(hash, rest.pop() ?? '', root)
    ends.push(root)
  }
  return { tree: { size: size + 1, peaks: [...rest, root] }, ends }
}

/** The root of a tree that is made of these complete subtrees; that of no leaves is the hash of nothing. */
export function rootOf(hash: Sha256, peaks: readonly Digest[]): Digest {
  return (
    peaks.reduceRight<Digest | undefined>(
      (right, left) => (right === undefined ? left : nodeHash(hash, left, right)),
      undefined,
    ) ?? hash(new Uint8Array())
  )
}

/** The root above some leaves, by the roots of the complete subtrees. */
export function rootAbove(hash: Sha256, rootAt: (subtree: Subtree) => Digest, leaves: Leaves): Digest {
  return rootOf(hash, subtreesOf(leaves).map(rootAt))
}

/** The complete subtrees that leaves are made of, where these stand as a proof names them. */
export function subtreesOf({ from, to }: Leaves): Subtree[] {
  if (from === to) return []
  const level = Math.floor(Math.log2(to - from))
  return [{ level, index: from / 2 ** level }, ...subtreesOf({ from: from + 2 ** level, to })]
}

/** The leaf with which a subtree is complete: its root lies with that leaf. */
export const lastLeafOf = ({ level, index }: Subtree): number => (index + 1) * 2 ** level - 1

/** An inclusion proof, as the leaves under each of its hashes (RFC 9162, section 2.1.3.1). */
export function inclusionOf(index: number, { from, to }: Leaves): Leaves[] {
  if (to - from <= 1) return []
  const middle = from + halfOf(to - from)
  return index < middle
    ? [...inclusionOf(index, { from, to: middle }), { from: middle, to }]
    : [...inclusionOf(index, { from: middle, to }), { from, to: middle }]
}

/**
 * A proof that a tree of `first` leaves is the beginning of a greater one, as the leaves under each of its hashes
 * (RFC 9162, section 2.1.4.1). There is none of a tree without leaves, and none of a tree with itself.
 */
export function consistencyOf(first: number, size: number): Leaves[] {
  return first === 0 ? [] : consistencyWithin(first, { from: 0, to: size })
}

function consistencyWithin(first: number, { from, to }: Leaves): Leaves[] {
  if (first === to) return from === 0 ? [] : [{ from, to }]
  const middle = from + halfOf(to - from)
  return first <= middle
    ? [...consistencyWithin(first, { from, to: middle }), { from: middle, to }]
    : [...consistencyWithin(first, { from: middle, to }), { from, to: middle }]
}

/** The greatest power of two below. */
function halfOf(leaves: number): number {
  const power = 2 ** Math.floor(Math.log2(leaves))
  return power === leaves ? power / 2 : power
}
