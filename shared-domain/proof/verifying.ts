/** The checks of a proof, by the steps of RFC 9162: nothing of the tree is asked. */
import { type Digest, nodeHash, type Sha256 } from './digest.ts'

export interface Inclusion {
  readonly leaf: Digest
  readonly index: number
  readonly size: number
  readonly root: Digest
  readonly path: readonly Digest[]
}

/** RFC 9162, section 2.1.3.2. @lintignore the paths that proofs are made of are held to it; strangers have their own */
export function isIncluded(hash: Sha256, { leaf, index, size, root, path }: Inclusion): boolean {
  if (index >= size) return false
  let at = climbFrom(index, size - 1)
  let reached = leaf
  for (const beside of path) {
    if (at.last === 0) return false
    if (isRight(at)) {
      reached = nodeHash(hash, beside, reached)
      at = upWhile(at, ({ node }) => node % 2 === 0 && node !== 0)
    } else reached = nodeHash(hash, reached, beside)
    at = up(at)
  }
  return at.last === 0 && reached === root
}

export interface Consistency {
  readonly first: { readonly size: number; readonly root: Digest }
  readonly second: { readonly size: number; readonly root: Digest }
  readonly path: readonly Digest[]
}

/** RFC 9162, section 2.1.4.2. Every tree goes on from the one without leaves. */
export function isConsistent(hash: Sha256, { first, second, path }: Consistency): boolean {
  if (first.size > second.size) return false
  if (first.size === second.size) return path.length === 0 && first.root === second.root
  if (first.size === 0) return path.length === 0
  const [begin, ...others] = isPowerOfTwo(first.size) ? [first.root, ...path] : path
  if (begin === undefined || path.length === 0) return false
  let at = upWhile(climbFrom(first.size - 1, second.size - 1), ({ node }) => node % 2 === 1)
  let before = begin
  let after = begin
  for (const beside of others) {
    if (at.last === 0) return false
    if (isRight(at)) {
      before = nodeHash(hash, beside, before)
      after = nodeHash(hash, beside, after)
      at = upWhile(at, ({ node }) => node % 2 === 0 && node !== 0)
    } else after = nodeHash(hash, after, beside)
    at = up(at)
  }
  return at.last === 0 && before === first.root && after === second.root
}

/** A node and the last one of its level, on the way up. */
interface Climb {
  readonly node: number
  readonly last: number
}

const climbFrom = (node: number, last: number): Climb => ({ node, last })
const up = ({ node, last }: Climb): Climb => ({ node: Math.floor(node / 2), last: Math.floor(last / 2) })
const isRight = ({ node, last }: Climb) => node % 2 === 1 || node === last

function upWhile(at: Climb, isSo: (at: Climb) => boolean): Climb {
  let reached = at
  while (isSo(reached)) reached = up(reached)
  return reached
}

const isPowerOfTwo = (size: number) => Number.isInteger(Math.log2(size))
