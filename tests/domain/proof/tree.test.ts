/** The tree of facts: the published figures, and the definition of RFC 9162 worked out in another way. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Digest, leafHash } from '../../../shared-domain/proof/digest.ts'
import {
  bare,
  consistencyOf,
  type Grown,
  inclusionOf,
  type Leaves,
  lastLeafOf,
  rootAbove,
  rootOf,
  type Subtree,
  withLeaf,
} from '../../../shared-domain/proof/tree.ts'
import { isConsistent, isIncluded } from '../../../shared-domain/proof/verifying.ts'
import { tries } from '../../support/tier.ts'
import { sha256 } from './sha256.ts'

/** A tree with all that is kept of it. */
interface Kept {
  readonly tree: Grown
  readonly root: Digest
  readonly ends: readonly (readonly Digest[])[]
}

function grow(leaves: readonly Digest[]): Kept {
  let tree = bare
  const all: Digest[][] = []
  for (const leaf of leaves) {
    const { tree: next, ends } = withLeaf(sha256, tree, leaf)
    tree = next
    all.push(ends)
  }
  return { tree, root: rootOf(sha256, tree.peaks), ends: all }
}

const pathIn = ({ ends }: Kept, parts: readonly Leaves[]) => {
  const rootAt = (one: Subtree) => ends[lastLeafOf(one)]?.[one.level] ?? 'none'
  return parts.map((part) => rootAbove(sha256, rootAt, part))
}
const inclusionIn = (kept: Kept, index: number, size: number) => pathIn(kept, inclusionOf(index, { from: 0, to: size }))
const consistencyIn = (kept: Kept, first: number, size: number) => pathIn(kept, consistencyOf(first, size))

describe('the published figures of the reference implementations of RFC 6962', () => {
  // leaves and roots: github.com/transparency-dev/merkle, testonly/constants.go; proofs: there, proof/verify_test.go
  const inputs = ['', '00', '10', '2021', '3031', '40414243', '5051525354555657', '606162636465666768696a6b6c6d6e6f']
  const roots = [
    'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855',
    '6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d',
    'fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125',
    'aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77',
    'd37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7',
    '4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4',
    '76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef',
    'ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c',
    '5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328',
  ]
  const leaf1 = '6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d'
  const leaf2 = '96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7'
  const leaf5 = 'bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b'
  const leaf7 = 'b08693ec2e721597130641e8211e7eedccb4c26413963eee6c1e2ed16ffb1a5f'
  const leaves1To2 = 'fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125'
  const leaves3To4 = '5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e'
  const leaves5To6 = '0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a'
  const leaves7To8 = 'ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0'
  const leaves1To4 = 'd37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7'
  const leaves5To8 = '6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4'
  const leaves = inputs.map((input) => leafHash(sha256, Buffer.from(input, 'hex')))

  test.each(roots.map((root, size) => [size, root] as const))('the root of %i leaves', (size, root) => {
    expect(grow(leaves.slice(0, size)).root).toBe(root)
  })

  test.each([
    [0, 1, []],
    [0, 8, [leaf2, leaves3To4, leaves5To8]],
    [5, 8, [leaf5, leaves7To8, leaves1To4]],
    [2, 3, [leaves1To2]],
    [1, 5, [leaf1, leaves3To4, leaf5]],
  ])('leaf %i of %i is in it', (index, size, path) => {
    expect(inclusionIn(grow(leaves), index, size)).toEqual(path)
    const shown = { leaf: leaves[index] ?? '', index, size, root: roots[size] ?? '', path }
    expect(isIncluded(sha256, shown)).toBe(true)
  })

  test.each([
    [1, 1, []],
    [1, 8, [leaf2, leaves3To4, leaves5To8]],
    [6, 8, [leaves5To6, leaves7To8, leaves1To4]],
    [2, 5, [leaves3To4, leaf5]],
    [6, 7, [leaves5To6, leaf7, leaves1To4]],
  ])('a tree of %i leaves goes on as one of %i', (first, size, path) => {
    expect(consistencyIn(grow(leaves), first, size)).toEqual(path)
    const ends = { first: { size: first, root: roots[first] ?? '' }, second: { size, root: roots[size] ?? '' } }
    expect(isConsistent(sha256, { ...ends, path })).toBe(true)
  })
})

/** The definition in section 2.1.1 of RFC 9162, leaf by leaf: slow, and made of nothing that the product has. */
function rootByDefinition(leaves: readonly Digest[]): Digest {
  const [only, ...others] = leaves
  if (only === undefined) return sha256(new Uint8Array())
  if (others.length === 0) return only
  let half = 1
  while (half * 2 < leaves.length) half *= 2
  const both = rootByDefinition(leaves.slice(0, half)) + rootByDefinition(leaves.slice(half))
  return sha256(Buffer.from(`01${both}`, 'hex'))
}

/** A proof by definition: the roots of all that is left aside on the way down to the leaf. */
function inclusionByDefinition(index: number, leaves: readonly Digest[]): Digest[] {
  if (leaves.length < 2) return []
  let half = 1
  while (half * 2 < leaves.length) half *= 2
  const [left, right] = [leaves.slice(0, half), leaves.slice(half)]
  return index < half
    ? [...inclusionByDefinition(index, left), rootByDefinition(right)]
    : [...inclusionByDefinition(index - half, right), rootByDefinition(left)]
}

function consistencyByDefinition(first: number, leaves: readonly Digest[], isWhole = true): Digest[] {
  if (first === leaves.length) return isWhole ? [] : [rootByDefinition(leaves)]
  let half = 1
  while (half * 2 < leaves.length) half *= 2
  const [left, right] = [leaves.slice(0, half), leaves.slice(half)]
  return first <= half
    ? [...consistencyByDefinition(first, left, isWhole), rootByDefinition(right)]
    : [...consistencyByDefinition(first - half, right, false), rootByDefinition(left)]
}

const runs = { numRuns: tries(400, 100) }
const someLeaves = (least: number) =>
  fc
    .integer({ min: least, max: 140 })
    .map((size) => Array.from({ length: size }, (_, i) => leafHash(sha256, Buffer.from(String(i)))))
const treeAndTwo = someLeaves(1).chain((leaves) =>
  fc.tuple(fc.constant(leaves), fc.nat(leaves.length - 1), fc.integer({ min: 1, max: leaves.length })),
)

describe('any tree', () => {
  test('has the root and the proofs of the definition', () => {
    fc.assert(
      fc.property(treeAndTwo, ([leaves, index, first]) => {
        const kept = grow(leaves)
        expect(kept.root).toBe(rootByDefinition(leaves))
        expect(inclusionIn(kept, index, leaves.length)).toEqual(inclusionByDefinition(index, leaves))
        expect(consistencyIn(kept, first, leaves.length)).toEqual(consistencyByDefinition(first, leaves))
      }),
      runs,
    )
  })

  test('proves of an earlier size, too, by what is kept of it later', () => {
    fc.assert(
      fc.property(treeAndTwo, ([leaves, index, size]) => {
        if (index >= size) return
        expect(inclusionIn(grow(leaves), index, size)).toEqual(inclusionByDefinition(index, leaves.slice(0, size)))
      }),
      runs,
    )
  })

  test('shows each of its leaves where it stands, and no other leaf, and nowhere else', () => {
    fc.assert(
      fc.property(treeAndTwo, ([leaves, index, other]) => {
        const kept = grow(leaves)
        const size = leaves.length
        const shown = { leaf: leaves[index] ?? '', index, size, root: kept.root, path: inclusionIn(kept, index, size) }
        expect(isIncluded(sha256, shown)).toBe(true)
        const elsewhere = (index + other) % (size + 1)
        if (elsewhere !== index) expect(isIncluded(sha256, { ...shown, index: elsewhere })).toBe(false)
        expect(isIncluded(sha256, { ...shown, leaf: sha256(Buffer.from('another')) })).toBe(false)
        expect(isIncluded(sha256, { ...shown, root: sha256(Buffer.from('another')) })).toBe(false)
        expect(isIncluded(sha256, { ...shown, path: [...shown.path, kept.root] })).toBe(false)
        if (size > 1) expect(isIncluded(sha256, { ...shown, path: shown.path.slice(1) })).toBe(false)
      }),
      runs,
    )
  })

  test('shows that it went on from each earlier one, and from no other', () => {
    fc.assert(
      fc.property(treeAndTwo, ([leaves, index, size]) => {
        const kept = grow(leaves)
        const first = { size, root: rootByDefinition(leaves.slice(0, size)) }
        const second = { size: leaves.length, root: kept.root }
        const path = consistencyIn(kept, size, leaves.length)
        expect(isConsistent(sha256, { first, second, path })).toBe(true)
        const forged = leaves.with(index, sha256(Buffer.from('another')))
        const another = { size: forged.length, root: rootByDefinition(forged) }
        const ofAnother = consistencyIn(grow(forged), size, forged.length)
        const isTouched = index < size
        expect(isConsistent(sha256, { first, second: another, path: ofAnother })).toBe(!isTouched)
        expect(isConsistent(sha256, { first, second: another, path })).toBe(false)
        expect(isConsistent(sha256, { first, second, path: [...path, first.root] })).toBe(false)
        if (path.length > 0) expect(isConsistent(sha256, { first, second, path: path.slice(1) })).toBe(false)
      }),
      runs,
    )
  })
})

test('any tree goes on from the one without leaves, and none goes back', () => {
  const nothing = { size: 0, root: rootByDefinition([]) }
  const one = { size: 1, root: leafHash(sha256, Buffer.from('a')) }
  expect(isConsistent(sha256, { first: nothing, second: one, path: [] })).toBe(true)
  expect(isConsistent(sha256, { first: nothing, second: one, path: [one.root] })).toBe(false)
  expect(isConsistent(sha256, { first: one, second: nothing, path: [] })).toBe(false)
  expect(isConsistent(sha256, { first: one, second: { ...one, root: nothing.root }, path: [] })).toBe(false)
})
