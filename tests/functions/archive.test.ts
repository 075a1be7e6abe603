/** Everything of an organisation as one file, and back into one that has nothing. */
import { randomUUID } from 'node:crypto'
import { Readable } from 'node:stream'
import { gzipSync } from 'node:zlib'
import { beforeAll, describe, expect, test } from 'vitest'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import { archiveOf, checkArchive, isOf } from '../../functions/restore/archive.ts'
import { fillFrom } from '../../functions/restore/fill-archive.ts'
import { unpackedLines } from '../../functions/restore/packed.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import type { Item, Table } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { canonical } from '../../shared-domain/canonical.ts'
import { fakeTable } from '../support/fake-table.ts'
import { aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

const takenAt = '2026-03-06T20:00:00.000Z' as Instant
const now = '2026-03-06T21:00:00.000Z' as Instant

let items: readonly Item[]
let whole: string[]
let seal: string
beforeAll(async () => {
  const house = openHouse([], '2026-03-05T20:00:00.000Z')
  await furnish(house)
  for (const id of ['S-2', 'S-3', 'S-4', 'S-5']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
  await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2024-03-20') }), 'bench')
  await house.done('POST', '/v1/sticks/S-2/bench-tests', aTest(), 'bench')
  await house.done('POST', '/v1/sticks/S-3/bench-tests', overTheLimit(), 'bench')
  const before = { factId: randomUUID(), testedOn: '2025-05-14', passed: true }
  await house.done('POST', '/v1/sticks/S-4/past-tests', before, 'bench')
  const used = { factId: randomUUID(), occurredOn: '2026-03-03', days: 2 }
  await house.done('POST', '/v1/sticks/S-2/uses', used, 'bench')
  const slip = { factId: randomUUID(), corrects: used.factId, reason: 'another stick', replacement: null }
  await house.done('POST', '/v1/corrections', slip, 'manager')
  const cause = { lot: 'L-NONE' }
  await house.done('POST', '/v1/recalls', { factId: randomUUID(), cause, reason: 'cracks' }, 'manager')
  await house.done('POST', '/v1/crews/CR-1/feeds')
  house.at('2026-03-06T20:00:00.000Z')
  await sweep(house.table, house.clock)
  items = house.table.items()
  whole = await linesFrom(items)
  seal = sealOf(whole)
})

async function* each<T>(all: readonly T[]): AsyncGenerator<T> {
  yield* all
}

async function linesFrom(all: readonly Item[], organisation = demo): Promise<string[]> {
  const lines: string[] = []
  for await (const line of archiveOf(organisation, each(all), takenAt)) lines.push(line.trimEnd())
  return lines
}

const sealOf = (lines: readonly string[]) => (JSON.parse(lines.at(-1) ?? '{}') as { seal: string }).seal
const ofOthers = () => items.filter((item) => !isOf(item, demo))

const filling = (table: Table & { items: () => readonly Item[] }, lines = whole, named = sealOf(lines)) =>
  fillFrom({
    table,
    organisation: demo,
    seal: named,
    lines: () => each(lines),
    scan: () => each(table.items()),
    now,
  })

/** Who signs in as whom belongs to a deployment: the people of the test are bound as they were. */
const houseOf = (kept: readonly Item[]) =>
  openHouse([...kept, ...items.filter(({ entity }) => entity === 'subject' || entity === 'sign-in')], now)

async function toldBy(house: House) {
  const [roster, policies, people] = await Promise.all(
    ['/v1/roster?limit=100', '/v1/policies', '/v1/people'].map(async (path) => (await house.call('GET', path)).json),
  )
  const stickIds = roster.items.map(({ stickId }: { stickId: string }) => stickId)
  const sticks = await Promise.all(
    stickIds.map(async (id: string) => [
      (await house.call('GET', `/v1/sticks/${id}`)).json,
      (await house.call('GET', `/v1/sticks/${id}/facts`)).json,
    ]),
  )
  return { roster, policies, people, sticks }
}

describe('taken out, wiped and filled in', () => {
  test('roster, sticks and facts read as they did, and every state is the replay of its facts', async () => {
    const table = fakeTable(ofOthers())
    const done = await filling(table)
    expect(done).toMatchObject({ sticks: 5, taken: 0 })
    expect(await toldBy(houseOf(table.items()))).toEqual(await toldBy(openHouse(items, now)))
    const organisation = openOrganisation(table, demo)
    const before = openOrganisation(fakeTable(items), demo)
    for (const id of ['S-1', 'S-2', 'S-3', 'S-4', 'S-5']) {
      const [is, was] = [await proveStick(organisation, id), await proveStick(before, id)]
      expect([is.faults, is.facts]).toEqual([[], was.facts])
      expect((await organisation.sticks.stored(id))?.state).toEqual((await before.sticks.stored(id))?.state)
    }
  })

  test('what may have been sent is in no queue, and nobody sends it by itself', async () => {
    const table = fakeTable(ofOthers())
    const owed = items.filter(({ entity, state }) => entity === 'notice' && state === 'owed')
    expect(owed.length).toBeGreaterThan(0)
    expect(await filling(table)).toMatchObject({ unknown: owed.length })
    const notices = table.items().filter(({ entity }) => entity === 'notice')
    expect(notices.filter(({ state }) => state === 'owed')).toEqual([])
    expect(notices.filter(({ state }) => state === 'unknown whether sent')).toHaveLength(owed.length)
  })

  test('cut off at any write, it is begun again and ends the same', async () => {
    const good = fakeTable(ofOthers())
    let all = 0
    const counting: typeof good = {
      ...good,
      transact: async (writes) => {
        all += 1
        return good.transact(writes)
      },
    }
    await filling(counting)
    const plain = (table: { items: () => readonly Item[] }) =>
      table
        .items()
        // the name of the rules tells recalls by the order of their words, which the fake shuffles
        .map(({ version: _, writtenUnder: __, ...item }) => canonical(item))
        .sort()
    for (const part of [0, 0.02, 0.3, 0.6, 0.9, 0.99]) {
      const most = Math.floor(part * all)
      const table = fakeTable(ofOthers())
      let writes = 0
      const cut: typeof table = {
        ...table,
        transact: async (all) => {
          if (writes++ >= most) throw new Error('away')
          return table.transact(all)
        },
      }
      await expect(filling(cut)).rejects.toThrow('away')
      expect(await filling(table)).toMatchObject({ sticks: 5 })
      expect(plain(table)).toEqual(plain(good))
      expect(await filling(table)).toBe('filled before')
    }
  })
})

describe('is not filled in', () => {
  test('where the organisation has something', async () => {
    const table = fakeTable(items)
    expect(await filling(table)).toBe('not empty')
    expect(table.items()).toEqual(fakeTable(items).items())
    const one = items.find(({ entity }) => entity === 'depot pointer') as Item
    expect(await filling(fakeTable([one]))).toBe('not empty')
  })

  test('where another archive was begun with', async () => {
    const table = fakeTable(ofOthers())
    await filling(table)
    const other = await linesFrom(items.filter(({ entity }) => entity !== 'feed'))
    expect(await filling(table, other)).toBe('not empty')
  })

  const again = async (lines: readonly string[]) => {
    // sealed anew, as somebody would who has altered it
    const { createHash } = await import('node:crypto')
    const hash = createHash('sha256')
    for (const line of lines) hash.update(`${line}\n`)
    return [...lines, JSON.stringify({ seal: hash.digest('hex'), lines: lines.length })]
  }
  const withItem = (over: object) => (lines: readonly string[]) =>
    lines.toSpliced(3, 0, JSON.stringify({ ...JSON.parse(lines[3] ?? ''), ...over }))
  const pk = `ORG#${demo}#X`

  test.each<[string, (lines: readonly string[]) => readonly string[], RegExp]>([
    ['a line left out', (lines) => lines.toSpliced(5, 1), /not those that were sealed/],
    ['a line altered', (lines) => lines.with(5, (lines[5] ?? '').replace('2026', '2027')), /not those that were/],
    ['the end cut off', (lines) => lines.slice(0, -1), /not whole/],
    ['something behind the seal', (lines) => [...lines, lines[4] ?? ''], /behind the seal/],
    ['a line that does not read', (lines) => lines.with(4, '{'), /line 5: it does not read/],
    ['no head', (lines) => lines.slice(1), /no archive/],
    [
      'a head of a newer format',
      (lines) => lines.with(0, (lines[0] ?? '').replace('"format":1', '"format":2')),
      /newer/,
    ],
    ['another organisation’s item', withItem({ item: { pk: 'ORG#other-utility#X', sk: 'X' } }), /in no archive|other/],
    [
      'a key that begins alike',
      withItem({ entity: 'guard', item: { pk: `ORG#${demo}-2#X`, sk: 'X', entity: 'guard' } }),
      /another/,
    ],
    ['a sign-in', withItem({ entity: 'subject', item: { pk, sk: 'X', entity: 'subject' } }), /in no archive/],
    ['a kind that is unknown', withItem({ entity: 'new', item: { pk, sk: 'X', entity: 'new' } }), /in no archive/],
    [
      'an address of others',
      withItem({
        entity: 'address',
        item: { pk: 'SYSTEM#ADDRESS#a', sk: 'ADDRESS', entity: 'address', organisation: 'other-utility' },
      }),
      /another organisation/,
    ],
    [
      'a mark of the system',
      withItem({ entity: 'tree', item: { pk: 'SYSTEM#RESTORED', sk: `ORG#${demo}`, entity: 'tree' } }),
      /another organisation/,
    ],
    ['a line without a key', withItem({ entity: 'guard', item: { pk: '', sk: 1, entity: 'guard' } }), /no key/],
    ['a line that is too long', (lines) => lines.with(4, `"${'x'.repeat(1_000_001)}"`), /longer than any item/],
  ])('%s', async (_, alter, says) => {
    const table = fakeTable(ofOthers())
    await expect(filling(table, [...alter(whole)], seal)).rejects.toThrow(says)
    expect(table.items()).toEqual(fakeTable(ofOthers()).items())
  })

  test('what somebody altered and sealed anew: its seal is not the one that was named', async () => {
    const forged = await again(whole.slice(0, -1).with(5, (whole[5] ?? '').replace('2026', '2027')))
    await expect(filling(fakeTable(ofOthers()), forged, seal)).rejects.toThrow(/its seal is/)
  })

  test('the archive of another organisation', async () => {
    const other = await linesFrom(items, 'other-utility')
    await expect(checkArchive(each(other), { organisation: demo, seal: sealOf(other) })).rejects.toThrow(/another/)
  })
})

describe('the packed file', () => {
  const unpacked = async (bytes: Uint8Array) => {
    const lines: string[] = []
    for await (const line of unpackedLines(Readable.from([bytes]))) lines.push(line)
    return lines
  }

  test('is read line by line', async () => {
    expect(await unpacked(gzipSync(`${whole.join('\n')}\n`))).toEqual(whole)
  })

  test.each([
    ['plain text', Buffer.from('{}\n'), /not packed/],
    ['a file that is cut off', gzipSync(`${'abc\n'.repeat(10_000)}`).subarray(0, 40), /not packed|cut off/],
    ['a line without end', gzipSync('x'.repeat(1_100_000)), /longer than any item/],
    ['no line end', gzipSync('{"a":1}'), /not whole/],
    ['bytes that are no text', gzipSync(Buffer.from([0xff, 0xfe, 0x0a])), /no text/],
  ])('%s is refused', async (_, bytes, says) => {
    await expect(unpacked(bytes)).rejects.toThrow(says)
  })

  test('a bomb of one letter is refused before it is unpacked', async () => {
    const bomb = gzipSync(Buffer.alloc(200_000_000, 0x61))
    const before = process.memoryUsage().rss
    await expect(unpacked(bomb)).rejects.toThrow(/longer than any item/)
    expect(process.memoryUsage().rss - before).toBeLessThan(64_000_000)
  })
})
