/**
 * Sticks looked for by number, lot, store or loan, and pages of a list there and back: what is listed, and what it
 * reads.
 */
import { randomUUID } from 'node:crypto'
import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { exactlyOne, type RosterFilter, rosterFor } from '../../functions/questions/roster.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import type { Item, Table } from '../../functions/store/table.ts'
import { statuses } from '../../shared-domain/words.ts'
import { fakeTable } from '../support/fake-table.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

const now = '2026-03-02T16:00:00.000Z'

/** Numbers in capitals and not, of two lots and none, at two depots, of every status. */
const fleet = [
  ['AB-1', 'CR-1', 'L-1', '2024-02-20', 'overdue'],
  ['ab-10', 'CR-2', 'L-2', '2024-02-10', 'overdue'],
  ['AB-11', 'CR-1', undefined, '2024-01-25', 'overdue'],
  ['B1', 'CR-1', 'L-1', '2024-03-20', 'due soon'],
  ['b.2', 'CR-2', 'L-1', '2024-04-02', 'due soon'],
  ['C-1', 'CR-1', 'L-2', '2026-02-20', 'in service'],
  ['C-2', 'CR-2', undefined, '2026-02-21', 'in service'],
  ['c-12', undefined, 'L-1', '2026-02-22', 'in service'],
  ['D-1', 'CR-1', 'L-1', undefined, 'awaiting first test'],
  ['D-2', undefined, 'L-2', undefined, 'awaiting first test'],
  ['E-1', 'CR-1', 'L-1', '2026-02-20', 'on hold'],
  ['E-2', 'CR-2', 'L-2', '2026-02-20', 'on hold'],
  ['F-1', 'CR-1', 'L-1', '2026-02-20', 'removed from service'],
  ['G-1', 'CR-2', 'L-2', '2026-02-20', 'scrapped'],
] as const

/** Where some of them are by now; the others are with their crews. */
const moved = {
  'C-1': { store: 'DEP-1' },
  'c-12': { store: 'DEP-1' },
  B1: { store: 'DEP-1' },
  'AB-11': { store: 'DEP-1' },
  'C-2': { store: 'DEP-2' },
  'ab-10': { lentTo: 'Neighbours', returnBy: '2026-03-20' },
  'b.2': { lentTo: 'Neighbours', returnBy: '2026-03-10' },
  'E-2': { lentTo: 'Others', returnBy: '2026-03-15' },
} as const

let filled: readonly Item[]
beforeAll(async () => {
  const house = openHouse([], now)
  await furnish(house)
  const fact = (over: object) => ({ factId: randomUUID(), occurredOn: '2026-03-01', ...over })
  for (const [stickId, crewId, lot, testedOn, status] of fleet) {
    // an overdue stick is lent to nobody: it was lent before
    house.at(status === 'overdue' ? '2026-01-15T16:00:00.000Z' : now)
    const post = (door: string, body: object) => house.done('POST', `/v1/sticks/${stickId}/${door}`, body)
    await house.done('PUT', `/v1/sticks/${stickId}`, { ...aStick, crewId, lot })
    if (testedOn !== undefined) await post('bench-tests', aTest({ testedOn: day(testedOn) }))
    const to = moved[stickId as keyof typeof moved]
    if (to !== undefined) await post('moves', fact({ to, occurredOn: house.clock().slice(0, 10) }))
    if (status === 'on hold') await post('defects', fact({ kind: 'tingle' }))
    if (status === 'removed from service') await post('removals', fact({ reason: 'worn' }))
    if (status === 'scrapped') await post('moves', fact({ to: 'scrapped' }))
  }
  filled = house.table.items().filter((item) => !item.pk.includes('STICK#S-1'))
})

const open = () => openHouse(filled, now)

interface Row {
  readonly stickId: string
  readonly status: string
  readonly lot: string | null
  readonly crewId: string | null
  readonly depotId: string | null
  readonly custody: { readonly store?: string; readonly lentTo?: string } | null
}

async function listed(house: House, query: Record<string, string>, limit = 200): Promise<Row[]> {
  const rows: Row[] = []
  for (let cursor: string | null = ''; cursor !== null; ) {
    const more: Record<string, string> = cursor === '' ? {} : { cursor }
    const { json } = await house.done(
      'GET',
      `/v1/roster?${new URLSearchParams({ ...query, ...more, limit: `${limit}` })}`,
    )
    rows.push(...json.items)
    cursor = json.next
  }
  return rows
}
const idsOf = (rows: readonly { readonly stickId: string }[]) => rows.map(({ stickId }) => stickId)

describe('by the API', () => {
  test.each([
    [{ q: 'ab' }, ['AB-11', 'ab-10', 'AB-1']],
    [{ q: 'AB-1' }, ['AB-11', 'ab-10', 'AB-1']],
    [{ q: '-12' }, ['c-12']],
    [{ q: '.' }, ['b.2']],
    [{ q: 'F' }, []],
    [{ q: 'f', status: 'removed from service' }, ['F-1']],
    [{ q: '1', depot: 'DEP-2' }, ['ab-10']],
    [{ q: '1', crew: 'CR-2' }, ['ab-10']],
    [{ q: 'nothing so' }, []],
    [{ lot: 'L-2' }, ['ab-10', 'E-2', 'D-2', 'C-1']],
    [{ lot: 'L-2', status: 'scrapped' }, ['G-1']],
    [{ lot: 'L-1', q: '1', status: 'overdue' }, ['AB-1']],
    [{ lot: 'l-1' }, []],
    [{ store: 'DEP-1' }, ['B1', 'C-1', 'c-12']],
    [{ store: 'DEP-2' }, ['C-2']],
    [{ store: 'DEP-1', status: 'in service' }, ['C-1', 'c-12']],
    [{ store: 'DEP-1', status: 'overdue' }, []],
    [{ store: 'DEP-1', lent: 'true' }, []],
    [{ store: 'DEP-1', depot: 'DEP-2' }, []],
    // what is put into store is of no crew any more
    [{ store: 'DEP-1', crew: 'CR-1' }, []],
    [{ store: 'DEP-1', lot: 'L-1' }, ['B1', 'c-12']],
    [{ lent: 'true' }, ['b.2', 'E-2', 'ab-10']],
    [{ lent: 'true', lot: 'L-2' }, ['E-2', 'ab-10']],
    [{ lent: 'true', q: 'B', status: 'due soon' }, ['b.2']],
  ] as const)('%j lists %j', async (query, expected) => {
    for (const limit of [200, 1]) expect(idsOf(await listed(open(), query, limit))).toEqual(expected)
  })

  test('counts what was found, whatever status was asked for, and says how far was looked', async () => {
    const { json } = await open().done('GET', '/v1/roster?lot=L-2&status=overdue')
    expect(json.counts).toMatchObject({ overdue: 1, 'on hold': 1, scrapped: 1, 'in service': 1, 'due soon': 0 })
    expect(json.searched).toEqual({ sticks: 5, all: true })
    expect((await open().done('GET', '/v1/roster?q=b')).json.searched).toEqual({ sticks: fleet.length, all: true })
    expect((await open().done('GET', '/v1/roster?status=overdue')).json).not.toHaveProperty('searched')
  })

  test('finds nothing of depots that are not the reader’s, nor of other crews', async () => {
    const found = async (who: 'south manager' | 'crew', query: string) =>
      idsOf((await open().done('GET', `/v1/roster?${query}`, undefined, who)).json.items)
    expect(await found('south manager', 'q=1')).toEqual(['ab-10'])
    expect(await found('south manager', 'lot=L-1')).toEqual(['b.2'])
    expect(await found('crew', 'lot=L-1')).toEqual(['AB-1', 'E-1', 'D-1'])
    expect((await open().call('GET', '/v1/roster?store=DEP-1', undefined, 'south manager')).status).toBe(404)
    expect((await open().call('GET', '/v1/roster?store=DEP-9')).status).toBe(404)
  })
})

const choice = <T>(...values: readonly T[]) =>
  fc.constantFrom<T | undefined>(...Array.from({ length: 5 }, () => undefined), ...values)
const anyFilter: fc.Arbitrary<RosterFilter> = fc.record({
  status: choice(...statuses),
  depotId: choice('DEP-1', 'DEP-2'),
  crewId: choice('CR-1', 'CR-2'),
  part: choice('1', 'b', 'C-', '2', 'zz'),
  lot: choice('L-1', 'L-2', 'L-3'),
  store: choice('DEP-1', 'DEP-2'),
  lent: choice(true),
})

test('whatever is asked for, exactly what fits is listed, in the order of the whole, page by page', async () => {
  const house = open()
  const whole: Row[] = []
  for (const status of ['', 'removed from service', 'scrapped'])
    whole.push(...(await listed(house, status === '' ? {} : { status })))
  expect(whole).toHaveLength(fleet.length)
  const byReturn = ['b.2', 'E-2', 'ab-10']
  const fits = (filter: RosterFilter) => (row: Row) => {
    const { status, depotId, crewId, part, lot, store, lent } = filter
    const isGone = row.status === 'removed from service' || row.status === 'scrapped'
    const isFit = row.status === 'due soon' || row.status === 'in service'
    return (
      (status === undefined ? lent || !isGone : row.status === status) &&
      (depotId === undefined || row.depotId === depotId) &&
      (crewId === undefined || row.crewId === crewId) &&
      (part === undefined || row.stickId.toLowerCase().includes(part.toLowerCase())) &&
      (lot === undefined || row.lot === lot) &&
      (store === undefined || (isFit && row.custody?.store === store)) &&
      (!lent || byReturn.includes(row.stickId))
    )
  }
  let pages = 0
  await fc.assert(
    fc.asyncProperty(anyFilter, fc.integer({ min: 1, max: 4 }), async (filter, limit) => {
      const { depotId, crewId } = filter
      // a crew's list is that of its own depot
      fc.pre(crewId === undefined || depotId === undefined || (crewId === 'CR-1') === (depotId === 'DEP-1'))
      fc.pre(filter.store === undefined || crewId === undefined || (crewId === 'CR-1') === (filter.store === 'DEP-1'))
      const right = idsOf(whole.filter(fits(filter)))
      const expected = filter.lent ? byReturn.filter((id) => right.includes(id)) : right

      const there: string[][] = []
      let last = null
      for (let after: string | null = ''; after !== null; ) {
        last = await rosterFor(house.asker(), { ...filter, after, limit })
        expect(last.previous === null).toBe(after === '')
        there.push(idsOf(last.rows.map(({ stored }) => stored)))
        after = last.next
      }
      expect(there.flat()).toEqual(expected)
      for (const page of there.slice(0, -1)) expect(page).toHaveLength(limit)

      const back: string[][] = [there.at(-1) ?? []]
      while (last !== null && last.previous !== null) {
        last = await rosterFor(house.asker(), { ...filter, before: last.previous, limit })
        expect(last.next).not.toBeNull()
        back.unshift(idsOf(last.rows.map(({ stored }) => stored)))
      }
      expect(back).toEqual(there)
      pages += there.length
    }),
    { numRuns: 150, seed: 20260302 },
  )
  expect(pages).toBeGreaterThan(200)
})

/** Many sticks are copies of one that was recorded, under numbers of their own. */
async function copiesOf(stickId: string, copies: number, numbered: (i: number) => string): Promise<Item[]> {
  const one = filled.find((item) => item.stickId === stickId && item.sk === 'STATE')
  if (one === undefined) throw new Error(`no ${stickId}`)
  const text = JSON.stringify(one)
  return Array.from({ length: copies }, (_, i) => JSON.parse(text.replaceAll(stickId, numbered(i))) as Item)
}

/** Counts whole items that are read, and keys. */
function metered(table: Table) {
  const read = { items: 0, keys: 0 }
  const metering: Table = {
    ...table,
    getAll: async (keys) => {
      const items = await table.getAll(keys)
      read.items += items.length
      return items
    },
    page: async (range) => {
      const page = await table.page(range)
      if (range.index === 'by-depot-next-tell' || range.index === 'by-lot') read.keys += page.items.length
      else read.items += page.items.length
      return page
    },
  }
  return { table: metering, read }
}

const padded = (i: number) => `Q-${String(i).padStart(6, '0')}`

describe('a great fleet', () => {
  test('is looked through by keys as far as a search may go, and it is said where it stopped', async () => {
    const many = await copiesOf('C-1', 21_000, padded)
    const { table, read } = metered(fakeTable([...filled, ...many]))
    const caller = { personId: 'm', role: 'manager', depots: ['*'], crewId: null } as const
    const asker = () => ({ organisation: openOrganisation(table, demo), caller, now: open().clock() })
    const find = (filter: RosterFilter) => rosterFor(asker(), { ...filter, after: '', limit: 25 })

    const cut = await find({ part: '0999' })
    expect(cut.searched?.isAll).toBe(false)
    expect(cut.searched?.looked).toBeGreaterThanOrEqual(20_000)
    expect(cut.searched?.looked).toBeLessThan(20_100)
    expect(read.keys).toBeLessThan(20_100)
    // the few that are without a date, and those that match
    expect(read.items).toBeLessThan(60)

    expect((await find({ part: '0999', depotId: 'DEP-2' })).searched).toEqual({ looked: 5, isAll: true })
    // a number that is known whole is read by itself
    read.items = 0
    expect(await exactlyOne(asker(), { part: 'q-020999' })).toBe('Q-020999')
    expect(read.items).toBe(1)
  })

  test('of which more matches than anybody reads is listed so far, and it is said so', async () => {
    const table = fakeTable([...filled, ...(await copiesOf('C-1', 600, padded))])
    const caller = { personId: 'm', role: 'manager', depots: ['*'], crewId: null } as const
    const asker = { organisation: openOrganisation(table, demo), caller, now: open().clock() }
    const { searched, rows } = await rosterFor(asker, { part: 'Q', after: '', limit: 1000 })
    expect([searched?.isAll, rows.length]).toEqual([false, 500])
  })

  test('of which few are in store is looked through a part at a time, and none is left out', async () => {
    // fit sticks of crews that lie at the same depot
    const out = (await copiesOf('C-1', 4500, padded)).map((item) => {
      const state = item.state as { custody: object }
      return { ...item, state: { ...state, custody: { crewId: 'CR-1' } } }
    })
    const house = openHouse([...filled, ...out], now)
    const pages: { ids: string[]; looked: number }[] = []
    for (let after: string | null = ''; after !== null; ) {
      const { table, read } = metered(house.table)
      const organisation = openOrganisation(table, demo)
      const query = { store: 'DEP-1', status: 'in service', after, limit: 25 } as const
      const { rows, next } = await rosterFor({ ...house.asker(), organisation }, query)
      pages.push({ ids: idsOf(rows.map(({ stored }) => stored)), looked: read.items })
      after = next
    }
    expect(pages.flatMap(({ ids }) => ids).sort()).toEqual(['C-1', 'c-12'])
    expect(pages.length).toBeGreaterThan(2)
    for (const { looked } of pages) expect(looked).toBeLessThan(2400)
  })
})

describe('a whole number', () => {
  const askedBy = (depots: string[], filter: RosterFilter) =>
    exactlyOne({ ...open().asker(), caller: { personId: 'm', role: 'manager', depots, crewId: null } }, filter)

  test.each([
    ['AB-1', 'AB-1'],
    ['ab-1', 'AB-1'],
    ['AB-10', 'ab-10'],
    ['F-1', 'F-1'],
    ['AB', undefined],
    ['../x', undefined],
    ['', undefined],
  ])('%j leads to %j', async (part, stickId) => {
    expect(await askedBy(['*'], { part })).toBe(stickId)
  })

  test('leads nowhere where more was asked for, or where it is not the reader’s', async () => {
    expect(await askedBy(['*'], { part: 'AB-1', status: 'overdue' })).toBeUndefined()
    expect(await askedBy(['*'], { status: 'overdue' })).toBeUndefined()
    expect(await askedBy(['DEP-2'], { part: 'AB-1' })).toBeUndefined()
  })
})
