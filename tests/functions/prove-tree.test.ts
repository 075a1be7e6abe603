/** Whatever is altered of the records is found, and named. */
import { randomUUID } from 'node:crypto'
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { eraseName } from '../../functions/erase-name/erase-name.ts'
import { hashing } from '../../functions/ground/hashing.ts'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import { proveTree } from '../../functions/prove-states/prove-tree.ts'
import { seeToTrees } from '../../functions/sequence/by-the-clock.ts'
import type { Item } from '../../functions/store/table.ts'
import { bare, rootOf, withLeaf } from '../../shared-domain/proof/tree.ts'
import { aStick, aTest } from '../support/trade.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

let proved: readonly Item[]
beforeAll(async () => {
  silence()
  const house = openHouse()
  await furnish(house)
  for (const id of ['S-2', 'S-3']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
  for (const id of ['S-1', 'S-2']) await house.done('POST', `/v1/sticks/${id}/bench-tests`, aTest(), 'bench')
  await seeTo(house, '2026-03-03T00:15:00.000Z')
  await tingle(house, 'S-1')
  await seeTo(house, '2026-03-04T00:15:00.000Z')
  await tingle(house, 'S-3')
  await tingle(house, 'S-3')
  await seeTo(house, '2026-03-05T00:15:00.000Z')
  proved = house.table.items()
})
beforeEach(silence)
afterEach(() => vi.restoreAllMocks())

function silence(): void {
  for (const way of ['info', 'error'] as const) vi.spyOn(console, way).mockImplementation(() => undefined)
}

async function seeTo(house: House, instant: string): Promise<void> {
  house.at(instant)
  await seeToTrees(house)
}

const tingle = ({ done }: House, id: string) =>
  done('POST', `/v1/sticks/${id}/defects`, { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }, 'crew')

const stickIds = ['S-1', 'S-2', 'S-3']
const faultsIn = async (items: readonly Item[]) =>
  (await proveTree(openHouse(items).organisation(), { stickIds })).faults

const ours = (entity: string) => proved.filter((item) => item.entity === entity && item.pk.startsWith(`ORG#${demo}#`))
const without = (item: Item) => proved.filter((one) => one !== item)
const instead = (item: Item, other: Item) => proved.map((one) => (one === item ? other : one))
const factOf = (item: Item) => item.fact as { factId: string; seq: number } & Record<string, unknown>
const stickOf = ({ pk }: Item) => pk.split('#')[3]
const named = (item: Item) => `fact ${factOf(item).factId}, number ${factOf(item).seq} of stick ${stickOf(item)},`

/** The same value with one letter of one text, or one figure, another. */
function withOneByteChanged(value: unknown, at: readonly string[]): unknown {
  const [step, ...rest] = at
  if (step !== undefined) {
    if (Array.isArray(value)) return value.map((one, i) => (String(i) === step ? withOneByteChanged(one, rest) : one))
    const given = value as Record<string, unknown>
    return { ...given, [step]: withOneByteChanged(given[step], rest) }
  }
  if (typeof value === 'number') return value + 1
  if (typeof value === 'boolean') return !value
  if (value === null) return 0
  const text = String(value)
  return `${text.slice(0, -1)}${text.endsWith('0') ? '1' : '0'}`
}

/** Paths to every text and figure of a value. */
function leavesOf(value: unknown, at: readonly string[] = []): (readonly string[])[] {
  if (value === null || typeof value !== 'object') return [at]
  return Object.entries(value).flatMap(([name, inner]) => leavesOf(inner, [...at, name]))
}

test('of what is as it was recorded nothing is said', async () => {
  expect(ours('fact').length).toBeGreaterThan(7)
  expect(ours('day head')).toHaveLength(3)
  const proof = await proveTree(openHouse(proved).organisation(), { stickIds })
  expect(proof).toEqual({ leaves: ours('fact').length, notYet: 0, leavesOfAsked: undefined, faults: [] })
})

describe('a fact', () => {
  test('of which one byte is another is named, whichever byte it is', async () => {
    let tried = 0
    for (const item of ours('fact')) {
      // of the readings of a test, those of its first turn are enough
      const places = leavesOf(item.fact).filter((at) => !at.includes('readings') || at[at.length - 2] === '0')
      for (const at of places) {
        const changed = { ...item, fact: withOneByteChanged(item.fact, at) } as Item
        const faults = await faultsIn(instead(item, changed))
        expect([at, faults.filter((fault) => fault.startsWith(named(item)))]).toEqual([at, [expect.any(String)]])
        tried += 1
      }
    }
    expect(tried).toBeGreaterThan(150)
  })

  test('of which the salts are others is named', async () => {
    const [item] = ours('fact')
    const leaf = item?.leaf as { salts: Record<string, string> }
    const salts = Object.fromEntries(Object.keys(leaf.salts).map((pointer) => [pointer, '0'.repeat(64)]))
    expect(await faultsIn(instead(item as Item, { ...(item as Item), leaf: { ...leaf, salts } }))).toEqual([
      `${named(item as Item)} is not what was recorded`,
    ])
  })

  test('that is deleted is named, each', async () => {
    for (const item of ours('fact')) expect(await faultsIn(without(item))).toEqual([`${named(item)} is gone`])
  })

  test.each([
    ['of one stick', 'S-3', 'S-3'],
    ['of two', 'S-1', 'S-2'],
  ])('swapped with another is named, and so is the other: %s', async (_, first, second) => {
    const a = ours('fact').find((item) => stickOf(item) === first) as Item
    const b = ours('fact').findLast((item) => stickOf(item) === second) as Item
    const { pk, sk, ...ofA } = a
    const { pk: pkB, sk: skB, ...ofB } = b
    const swapped = proved.map((item) =>
      item === a ? { pk, sk, ...ofB } : item === b ? { pk: pkB, sk: skB, ...ofA } : item,
    )
    expect((await faultsIn(swapped as Item[])).toSorted()).toEqual(
      [
        `${named(a)} is gone, and fact ${factOf(b).factId} lies in its place`,
        `${named(b)} is gone, and fact ${factOf(a).factId} lies in its place`,
      ].toSorted(),
    )
  })

  test('that was slipped in is told as not in the tree, and named where it says that it has a place', async () => {
    const [item] = ours('fact').filter((one) => stickOf(one) === 'S-2')
    const slipped = { ...(item as Item), sk: 'FACT#00000099', fact: { ...factOf(item as Item), seq: 99 } } as Item
    const { leaf, ...without } = slipped
    expect(await proveTree(openHouse([...proved, without as Item]).organisation(), { stickIds })).toMatchObject({
      notYet: 1,
      faults: [],
    })
    expect(await faultsIn([...proved, slipped])).toEqual([
      `${named(slipped)} is not leaf ${(leaf as { index: number }).index}`,
    ])
  })
})

describe('an edition by which a test was judged', () => {
  test('is proved with the test', async () => {
    const edition = ours('edition').find(({ kind }) => kind === 'procedure') as Item
    const limits = withOneByteChanged(edition.body, ['limits', '0', 'microamps'])
    const faults = await faultsIn(instead(edition, { ...edition, body: limits } as Item))
    const tests = ours('fact').filter((item) => factOf(item).kind === 'tested')
    expect(faults).toEqual(expect.arrayContaining(tests.map((item) => `${named(item)} is not what was recorded`)))
    expect(faults).toHaveLength(tests.length)
  })
})

describe('the tree', () => {
  test('rewritten at one head is named by its day, and so are the others by theirs', async () => {
    for (const item of ours('day head')) {
      const other = { ...item, root: hashing.sha256(Buffer.from('another')) }
      expect(await faultsIn(instead(item, other))).toContain(
        `the head of ${item.day} is not that of the first ${item.size} leaves`,
      )
      const smaller = { ...item, size: Number(item.size) - 1 }
      expect(await faultsIn(instead(item, smaller))).not.toEqual([])
    }
    const [head] = ours('tree head')
    expect(await faultsIn(instead(head as Item, { ...(head as Item), root: '0'.repeat(64) }))).toEqual([
      'the head of the tree is not that of its leaves',
    ])
    expect(await faultsIn(without(head as Item))).toEqual(['the head of the tree is missing'])
  })

  test('of which a leaf is gone, or what is kept with one is another, is named', async () => {
    for (const item of ours('tree leaf')) {
      expect((await faultsIn(without(item))).join('\n')).toMatch(/leaf \d+|not that of its leaves/)
      const ends = (item.ends as string[]).with(-1, '0'.repeat(64))
      expect(await faultsIn(instead(item, { ...item, ends }))).not.toEqual([])
    }
  })

  test('rewritten as a whole for an altered fact betrays itself by the fingerprint that was mailed', async () => {
    const [first] = ours('day head').toSorted((a, b) => (a.sk < b.sk ? -1 : 1))
    const root = String(first?.root)
    const ofProved = await proveTree(openHouse(proved).organisation(), { stickIds, root })
    expect(ofProved.leavesOfAsked).toBe(first?.size)
    const forged = regrownWithAnother(proved)
    const ofForged = await proveTree(openHouse(forged).organisation(), { stickIds, root })
    expect(ofForged.leavesOfAsked).toBeUndefined()
  })
})

describe('a name', () => {
  test('that is erased is nowhere in the facts any more, and all still proves', async () => {
    const house = openHouse(proved)
    const organisation = house.organisation()
    const textOf = () =>
      JSON.stringify(house.table.items().filter(({ entity }) => entity === 'fact' || entity === 'stick'))
    expect(textOf()).toContain('Ines Roth')
    const erased = await Promise.all(
      stickIds.map((id) => eraseName(house.organisation(), id, { name: 'Ines Roth', personId: 'bench' })),
    )
    // both tests name her as who tested, and as who recorded
    expect(erased).toEqual([
      { texts: 2, left: 0 },
      { texts: 2, left: 0 },
      { texts: 0, left: 0 },
    ])
    expect(textOf()).not.toContain('Ines Roth')
    expect(textOf()).not.toContain('"recordedBy":"bench"')
    expect(await faultsIn(house.table.items())).toEqual([])
    for (const id of stickIds) expect((await proveStick(organisation, id)).faults).toEqual([])
  })

  test('that is put back as another is found', async () => {
    const house = openHouse(proved)
    await eraseName(house.organisation(), 'S-1', { name: 'Ines Roth' })
    const items = house.table.items()
    const item = items.find(({ entity, pk, fact }) => {
      const { kind } = (fact ?? {}) as { kind?: string }
      return entity === 'fact' && kind === 'tested' && pk.includes('S-1')
    }) as Item
    const leaf = item.leaf as { salts: object; erased: Record<string, string> }
    expect(Object.keys(leaf.erased)).toEqual(['/fact/test/testedBy'])
    const { erased, ...others } = leaf
    const salts = { ...leaf.salts, '/fact/test/testedBy': '0'.repeat(64) }
    const forged = items.map((one) => (one === item ? { ...one, leaf: { ...others, salts } } : one))
    expect(await faultsIn(forged as Item[])).toEqual([`${named(item)} is not what was recorded`])
  })

  test('in a fact that has no place yet is left for another run', async () => {
    const house = openHouse(proved, '2026-03-05T01:00:00.000Z')
    await house.done('POST', '/v1/sticks/S-2/corrective-steps', {
      factId: randomUUID(),
      occurredOn: '2026-03-04',
      kind: 'cleaned',
      by: 'Ines Roth',
    })
    const erase = () => eraseName(house.organisation(), 'S-2', { name: 'Ines Roth' })
    expect(await erase()).toEqual({ texts: 1, left: 1 })
    await seeTo(house, '2026-03-05T02:00:00.000Z')
    expect(await erase()).toEqual({ texts: 1, left: 0 })
    expect(await erase()).toEqual({ texts: 0, left: 0 })
    expect(await faultsIn(house.table.items())).toEqual([])
  })
})

/** Somebody who knows how it works has the first leaf another, and all roots to fit. */
function regrownWithAnother(items: readonly Item[]): Item[] {
  let tree = bare
  const roots = new Map<number, string>()
  const leaves = new Map<Item, readonly string[]>()
  for (const item of ours('tree leaf').toSorted((a, b) => (a.sk < b.sk ? -1 : 1))) {
    const leaf = tree.size === 0 ? hashing.sha256(Buffer.from('another')) : String((item.ends as string[])[0])
    const { tree: next, ends } = withLeaf(hashing.sha256, tree, leaf)
    tree = next
    leaves.set(item, ends)
    roots.set(tree.size, rootOf(hashing.sha256, tree.peaks))
  }
  return items.map((item) => {
    if (leaves.has(item)) return { ...item, ends: leaves.get(item) }
    const isHead = item.entity === 'day head' || item.entity === 'tree head'
    return isHead && item.pk.startsWith(`ORG#${demo}#`) ? { ...item, root: roots.get(Number(item.size)) } : item
  }) as Item[]
}
