/** What the first page of the roster reads: the same for a small fleet and for a large one. */
import { expect, test } from 'vitest'
import { rosterPage } from '../../functions/pages/roster-page.ts'
import type { RosterFilter } from '../../functions/questions/roster.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import type { Item, Table } from '../../functions/store/table.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { nothingOf } from '../../shared-domain/decide.ts'
import { listingOf } from '../../shared-domain/listing.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { fakeTable } from '../support/fake-table.ts'
import { bodyOf, inEnglish } from '../support/pages.ts'
import { day, happened, history, usPolicy } from '../support/trade.ts'
import { demo, furnish, openHouse } from './house.ts'

const now = '2026-03-02T15:00:00.000Z' as Instant
const manager = { personId: 'manager', role: 'manager', depots: ['*'], crewId: null } as const

/** Every eighth stick overdue, every eighth on hold, every eighth due soon; the others in service. */
const testedOn = [
  '2024-02-20',
  '2025-06-01',
  '2024-04-01',
  '2025-01-10',
  '2025-03-10',
  '2025-05-10',
  '2025-07-10',
  '2025-09-10',
]

/** One stick of each life is recorded; the others are its copies under numbers of their own. */
async function fleetOf(sticks: number): Promise<Table> {
  const house = openHouse()
  await furnish(house)
  const { sticks: store } = openOrganisation(house.table, demo)
  for (const [i, on] of testedOn.entries()) {
    const held = i === 1 ? ([['2026-02-01', happened.defect()]] as const) : []
    const facts = history([on, happened.registered()], [on, happened.tested('pass')], ...held)
    const [fact, state] = [facts.at(-1), replay(facts)]
    if (fact === undefined) throw new Error('a life without facts')
    const standing = standingOn(state, day('2026-03-02'), usPolicy)
    const next = { ...nothingOf(numbered(i)), state, depotId: `DEP-${1 + (i % 2)}`, shownDueOn: standing.dueOn }
    const factId = `00000000-0000-4000-8000-${String(900 + i).padStart(12, '0')}`
    const recorded = {
      before: undefined,
      next,
      listing: listingOf(next, standing, { day: day('2026-03-02'), rules: usPolicy }),
      facts: [{ fact: { ...fact, factId }, bodyHash: 'none' }],
      rules: usPolicy,
      notices: [],
    }
    await store.record(recorded, now)
  }
  const all = house.table.items()
  const lives = testedOn.map((_, i) =>
    JSON.stringify(all.find((item) => item.stickId === numbered(i) && item.sk === 'STATE')),
  )
  const copies = Array.from({ length: sticks - lives.length }, (_, k) => {
    const i = k + lives.length
    const life = i % lives.length
    return JSON.parse((lives[life] ?? '').replaceAll(numbered(life), numbered(i))) as Item
  })
  return fakeTable([...all, ...copies])
}

const numbered = (i: number) => `F-${String(i).padStart(6, '0')}`

/** Read units as the table counts them: half a unit for each 4 KB begun of a query, a whole one for a strong read. */
function metered(table: Table) {
  let units = 0
  const count = (items: readonly Item[], each: number) => {
    units += Math.max(1, Math.ceil(JSON.stringify(items).length / 4096)) * each
  }
  const read: Table = {
    ...table,
    get: async (key) => {
      const item = await table.get(key)
      count(item === undefined ? [] : [item], 1)
      return item
    },
    page: async (range) => {
      const page = await table.page(range)
      count(page.items, 0.5)
      return page
    },
    all: async (range) => {
      const items = await table.all(range)
      count(items, range.consistent ? 1 : 0.5)
      return items
    },
  }
  return { read, units: () => units }
}

async function costOfFirstPage(sticks: number, filter: RosterFilter = {}) {
  const { read, units } = metered(await fleetOf(sticks))
  const choice = { filter, edge: { after: '' }, byCrew: false, isAllTicked: false, from: 0 }
  const page = await bodyOf(
    rosterPage({ organisation: openOrganisation(read, demo), caller: manager, now }, choice, inEnglish),
  )
  return {
    units: units(),
    rows: page.match(/<th scope="row">/g)?.length,
    overdue: page.match(/>overdue</g)?.length,
  }
}

test('its first page takes the same read units for 240 sticks and for 20,000', async () => {
  const small = await costOfFirstPage(240)
  expect(small).toMatchObject({ rows: 25 })
  expect(await costOfFirstPage(20_000)).toEqual(small)
})

test('what lies at the bench is looked for among so many at most, however large the fleet', async () => {
  const cost = await costOfFirstPage(40_000, { atBench: true })
  expect(cost).toEqual(await costOfFirstPage(20_000, { atBench: true }))
  expect(cost.rows).toBeUndefined()
})
