/** Each fact gets its place in its organisation's tree once, whatever becomes of the messages that say so. */
import { randomUUID } from 'node:crypto'
import type { SQSRecord } from 'aws-lambda'
import fc from 'fast-check'
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { messageOf } from '../../functions/deliver-notices/message.ts'
import { mailWordingFor } from '../../functions/deliver-notices/wording.ts'
import { hashing } from '../../functions/ground/hashing.ts'
import { factRecord } from '../../functions/questions/fact-records.ts'
import { seeToTrees } from '../../functions/sequence/by-the-clock.ts'
import { sequenceThose } from '../../functions/sequence/sequence.ts'
import { handedOn } from '../../functions/store/handed-on.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item, Key } from '../../functions/store/table.ts'
import { toSequencePrefix } from '../../functions/store/table-shape.ts'
import { allLeaves, dayHeads, factsAt, treeHead } from '../../functions/store/tree.ts'
import { chanceOf } from '../../seed/chance.ts'
import { leafOf } from '../../shared-domain/proof/record.ts'
import { bare, rootOf, withLeaf } from '../../shared-domain/proof/tree.ts'
import { tries } from '../support/tier.ts'
import { aStick, aTest } from '../support/trade.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

const other = 'other-utility'

let furnished: readonly Item[]
beforeAll(async () => {
  const house = openHouse()
  await furnish(house)
  for (const id of ['S-2', 'S-3']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
  for (const id of ['S-1', 'S-2']) await house.done('POST', `/v1/sticks/${id}/bench-tests`, aTest(), 'bench')
  for (const id of ['S-1', 'S-3']) await tingle(house, id)
  await house.done(
    'PUT',
    '/v1/depots/DEP-1',
    { name: 'Far yard', timeZone: 'America/Chicago', sweepHour: 6 },
    'other owner',
  )
  await house.done('PUT', '/v1/sticks/S-1', { ...aStick, crewId: undefined }, 'other owner')
  furnished = house.table.items()
})

let house: House
beforeEach(() => {
  for (const way of ['info', 'error'] as const) vi.spyOn(console, way).mockImplementation(() => undefined)
  house = openHouse(furnished, '2026-03-03T15:00:00.000Z')
})
afterEach(() => vi.restoreAllMocks())

const tingle = ({ done }: House, id: string) =>
  done('POST', `/v1/sticks/${id}/defects`, { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }, 'crew')
const keyOf = ({ pk, sk }: Key): Key => ({ pk, sk })
const factsIn = ({ table }: House) => table.items().filter(({ entity }) => entity === 'fact')
const waitingIn = (one: House) => factsIn(one).filter(({ queue }) => String(queue).startsWith(toSequencePrefix))
const message = (...keys: Key[]) => ({ messageId: 'm', body: handedOn(keys) }) as SQSRecord
const handed = async (...keys: Key[]) => (await sequenceThose(house, [message(...keys)])).batchItemFailures.length
const said = () => vi.mocked(console.error).mock.calls.flat().join('\n')
function byTheClock() {
  house.table.settled()
  return seeToTrees(house)
}

/** The tree as it has to be of what lies in the table: worked out from the facts, with the salts beside them. */
async function expectTreeOf(one: House, organisation: string): Promise<void> {
  const place = one.organisation(organisation)
  const leaves = await allLeaves(place)
  expect(leaves.map(({ index }) => index)).toEqual(leaves.map((_, i) => i))
  let tree = bare
  for (const leaf of leaves) {
    const [placed] = await factsAt(one.table, [place.keys.fact(leaf.stickId, leaf.seq)])
    if (placed?.inTree === undefined) throw new Error(`leaf ${leaf.index} is of no fact`)
    expect(placed.inTree.index).toBe(leaf.index)
    expect(placed.fact.factId).toBe(leaf.factId)
    const hash = leafOf(hashing, await factRecord(place, leaf.stickId, placed.fact), placed.inTree)
    const grown = withLeaf(hashing.sha256, tree, hash)
    expect(leaf.ends).toEqual(grown.ends)
    tree = grown.tree
  }
  const head = await treeHead(place)
  // a tree that nothing came to has no head
  if (head !== undefined || tree.size > 0)
    expect(head).toMatchObject({ ...tree, root: rootOf(hashing.sha256, tree.peaks) })
  const own = factsIn(one).filter(({ pk }) => pk.startsWith(`ORG#${organisation}#`))
  expect(leaves).toHaveLength(own.filter(({ leaf }) => leaf !== undefined).length)
}

const inTree = (one: House) => factsIn(one).filter(({ leaf }) => leaf !== undefined).length

describe('a fact', () => {
  test('waits for its place from when it is written, and its transaction gives it none', () => {
    expect(waitingIn(house)).toHaveLength(factsIn(house).length)
    expect(inTree(house)).toBe(0)
  })

  test('gets its place as its message comes, in the tree of its own organisation, and waits no more', async () => {
    const all = waitingIn(house).map(keyOf)
    expect(all.length).toBeGreaterThan(6)
    expect(await handed(...all)).toBe(0)
    expect(waitingIn(house)).toEqual([])
    await expectTreeOf(house, demo)
    await expectTreeOf(house, other)
    expect((await treeHead(house.organisation(other)))?.size).toBe(1)
  })

  test('names nobody in its leaf, and the salts of its names lie beside it', async () => {
    await handed(...waitingIn(house).map(keyOf))
    const saltsOf = ({ leaf }: Item) => (leaf as { salts: object }).salts
    const tests = factsIn(house).filter(({ fact }) => (fact as { kind: string }).kind === 'tested')
    expect(tests.map((item) => Object.keys(saltsOf(item)).sort())[0]).toEqual([
      '/editions/procedure/body/approvedBy',
      '/fact/recordedBy',
      '/fact/test/testedBy',
    ])
    const salts = factsIn(house).flatMap((item) => Object.values(saltsOf(item)))
    expect(new Set(salts).size).toBe(salts.length)
  })

  test('handed over again changes nothing, and so does a key at which nothing lies', async () => {
    const all = waitingIn(house).map(keyOf)
    await handed(...all)
    const before = house.table.items()
    expect(await handed(...all, ...all, house.organisation().keys.fact('NONE', 1))).toBe(0)
    expect(house.table.items()).toEqual(before)
  })
})

describe('messages', () => {
  const runs = { numRuns: tries(60, 12) }

  test('doubled, out of order, side by side and broken off: each fact is in the tree once', async () => {
    const keys = openHouse(furnished)
      .table.items()
      .filter(({ entity }) => entity === 'fact')
      .map(keyOf)
    const deliveries = fc.array(fc.array(fc.nat(keys.length - 1), { minLength: 1, maxLength: 6 }), { maxLength: 12 })
    const troubles = fc.record({
      lose: fc.array(fc.integer({ min: 1, max: 8 }), { maxLength: 4 }),
      crash: fc.option(fc.record({ at: fc.integer({ min: 1, max: 6 }), isAfter: fc.boolean() }), { nil: undefined }),
    })
    await fc.assert(
      fc.asyncProperty(deliveries, troubles, fc.string(), async (lots, { lose, crash }, seed) => {
        house = openHouse(furnished, '2026-03-03T15:00:00.000Z')
        const chance = chanceOf(seed)
        const crashing = crash === undefined ? {} : crash.isAfter ? { crashAfter: crash.at } : { crashBefore: crash.at }
        house.table.trouble({ lose, ...crashing })
        const some = lots.map((lot) => lot.flatMap((i) => keys[i] ?? []))
        const half = Math.floor(some.length / 2)
        await Promise.all(some.slice(0, half).map((lot) => handed(...lot)))
        for (const lot of some.slice(half)) await handed(...lot)
        house.table.trouble({})
        await expectTreeOf(house, demo)
        for (const key of keys.toSorted(() => chance() - 0.5)) await handed(key, key)
        await expectTreeOf(house, demo)
        await expectTreeOf(house, other)
        expect(inTree(house)).toBe(keys.length)
      }),
      runs,
    )
  })
})

describe('by the clock', () => {
  test('what no message came for is taken up, and what was only just written is left to its message', async () => {
    house.at('2026-03-02T15:01:00.000Z')
    expect(await byTheClock()).toEqual({ facts: 0, failed: 0 })
    house.at('2026-03-02T15:20:00.000Z')
    expect(await byTheClock()).toEqual({ facts: factsIn(house).length, failed: 0 })
    await expectTreeOf(house, demo)
    await expectTreeOf(house, other)
    expect(said()).toBe('')
  })

  test('what there is no time for waits for the next run', async () => {
    house.table.settled()
    expect(await seeToTrees(house, () => false)).toEqual({ facts: 0, failed: 0 })
    expect(await byTheClock()).toEqual({ facts: factsIn(house).length, failed: 0 })
  })

  test('facts of a build that had no tree are found and get their place, once', async () => {
    const bareItems = furnished.map((item) => {
      const { queue, queueAt, ...rest } = item
      return item.entity === 'fact' ? (rest as Item) : item
    })
    house = openHouse(bareItems, '2026-03-03T15:00:00.000Z')
    expect(waitingIn(house)).toEqual([])
    let found = 0
    // one page a run, as if each run's time were over with it
    for (let runs = 0; runs < 60; runs++) {
      let pages = 0
      house.table.settled()
      found += (await seeToTrees(house, () => pages++ < 1)).facts
    }
    expect(found).toBe(factsIn(house).length)
    await expectTreeOf(house, demo)
    await expectTreeOf(house, other)
    const before = house.table.written()
    expect(await byTheClock()).toEqual({ facts: 0, failed: 0 })
    expect(house.table.written()).toBe(before)
  })

  test('facts of an older build that was put back for a while are found a week later', async () => {
    await byTheClock()
    const all = inTree(house)
    await tingle(house, 'S-2')
    const [late] = waitingIn(house)
    if (late === undefined) throw new Error('none waits')
    const { queue, queueAt, ...rest } = late
    const items = house.table.items().map((item) => (item === late ? (rest as Item) : item))
    house = openHouse(items, '2026-03-09T15:00:00.000Z')
    expect((await byTheClock()).facts).toBe(0)
    house.at('2026-03-10T15:00:01.000Z')
    expect((await byTheClock()).facts).toBe(1)
    expect(inTree(house)).toBe(all + 1)
    await expectTreeOf(house, demo)
  })

  test('a fact that gets no place keeps none from the others, and rings after an hour', async () => {
    const { keys } = house.organisation()
    const { pk, sk } = keys.fact('S-1', 1)
    const items = house.table.items()
    const sound = items.find((item) => item.pk === pk && item.sk === sk)
    // half a letter cannot be written as canonical JSON
    const broken = { ...sound, fact: { ...(sound?.fact as object), stick: { lot: '\ud800' } } } as Item
    const all = items.map((item) => (item === sound ? broken : item))
    house = openHouse(all, '2026-03-02T15:20:00.000Z')
    expect(await byTheClock()).toEqual({ facts: factsIn(house).length - 1, failed: 1 })
    expect(said()).toContain(`${pk} ${sk}`)
    expect(said()).not.toContain('facts are not in the tree after an hour')
    house.at('2026-03-02T16:20:00.000Z')
    expect(await byTheClock()).toEqual({ facts: 0, failed: 1 })
    expect(said()).toContain('facts are not in the tree after an hour')
    await expectTreeOf(house, demo)
  })
})

describe('the head of a day', () => {
  const mailsIn = (one: House) =>
    one.table.items().filter(({ kind }) => kind === 'fingerprint') as unknown as readonly Notice[]

  test('is kept once a day and goes to every owner, with what it is of', async () => {
    await byTheClock()
    await byTheClock()
    const [head, ...others] = await dayHeads(house.organisation())
    expect(others).toEqual([])
    const tree = await treeHead(house.organisation())
    expect(head).toEqual({ ...head, day: '2026-03-03', size: tree?.size, root: tree?.root })
    const ours = mailsIn(house).filter(({ organisation }) => organisation === demo)
    expect(ours.map(({ to }) => to.email)).toEqual([`owner@${demo}.example`])
    expect(ours[0]).toMatchObject({
      day: '2026-03-03',
      fingerprint: { organisation: demo, records: tree?.size, root: tree?.root },
      queue: expect.stringMatching(/^SYSTEM#UNSENT#/),
    })
    expect(mailsIn(house).filter(({ organisation }) => organisation === other)).toHaveLength(1)
  })

  test('is told in words to keep, and as a number that can be compared', async () => {
    await byTheClock()
    const notice = mailsIn(house).find(({ organisation }) => organisation === demo) as Notice
    const root = notice.fingerprint?.root ?? ''
    for (const [language, words] of [
      ['en', 'Keep this mail'],
      ['es', 'Guarde este correo'],
    ] as const) {
      const links = { pagesUrl: 'https://pages.example', answersUrl: 'https://answers.example' }
      const { subject, text } = messageOf(notice, await mailWordingFor({ language }), links)
      expect(subject).toContain(demo)
      expect(text.replaceAll(/\s+/g, ' ')).toContain(words)
      expect(text.replaceAll(/\s+/g, '')).toContain(root)
    }
  })

  test('is not kept of a day on which nothing came, and is of the next on which something did', async () => {
    await byTheClock()
    house.at('2026-03-04T15:00:00.000Z')
    await byTheClock()
    expect(await dayHeads(house.organisation())).toHaveLength(1)
    await tingle(house, 'S-2')
    house.at('2026-03-05T00:15:00.000Z')
    await byTheClock()
    const heads = await dayHeads(house.organisation())
    expect(heads.map(({ day }) => day)).toEqual(['2026-03-05', '2026-03-03'])
    expect(mailsIn(house).filter(({ organisation }) => organisation === demo)).toHaveLength(2)
  })

  test('is kept once by two who come at the same time', async () => {
    await byTheClock()
    await tingle(house, 'S-2')
    house.at('2026-03-05T00:15:00.000Z')
    await Promise.all([seeToTrees(house), seeToTrees(house)])
    expect(await dayHeads(house.organisation())).toHaveLength(2)
    expect(mailsIn(house).filter(({ organisation }) => organisation === demo)).toHaveLength(2)
  })
})
