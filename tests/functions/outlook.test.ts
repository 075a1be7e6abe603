/**
 * The weeks ahead: each stick that falls due is in one week of one depot, and what is counted is what the roster lists.
 */

import { randomUUID } from 'node:crypto'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { outlookFor } from '../../functions/questions/outlook.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import type { Item } from '../../functions/store/table.ts'
import { addDays, type CalendarDate, isoWeekOf, mondayOf } from '../../shared-domain/calendar.ts'
import { fakeTable } from '../support/fake-table.ts'
import { pagesOf } from '../support/pages.ts'
import { cases } from '../support/tier.ts'
import { aCrew, aDepot, aStick, aTest, day } from '../support/trade.ts'
import { demo, furnish, type House, openHouse, type Who } from './house.ts'

interface Week {
  readonly depotId: string | null
  readonly week: string
  readonly from: CalendarDate
  readonly to: CalendarDate
  readonly sticks: number | '1,000+'
  readonly minutes: null
}

/** A Wednesday, in the evening of which it is Thursday already in the east. */
const from = '2026-03-04T15:00:00.000Z'

async function tested(house: House, stickId: string, on: string, crewId: string | null = 'CR-1'): Promise<void> {
  const { crewId: _, ...ofNoCrew } = aStick
  await house.done('PUT', `/v1/sticks/${stickId}`, crewId === null ? ofNoCrew : { ...aStick, crewId })
  await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest({ testedOn: day(on) }))
}

async function allWeeks(house: House, limit: number, who: Who = 'manager', depot = ''): Promise<Week[]> {
  const weeks: Week[] = []
  for (let cursor: string | null = ''; cursor !== null; ) {
    const more = cursor === '' ? '' : `&cursor=${cursor}`
    const { json } = await house.done('GET', `/v1/outlook?limit=${limit}${depot}${more}`, undefined, who)
    expect(json.items.length).toBeLessThanOrEqual(limit)
    weeks.push(...json.items)
    cursor = json.next
  }
  return weeks
}

async function rowsDue(house: House, asked: string, who: Who = 'manager') {
  const rows: { stickId: string; status: string; dueOn: CalendarDate; depotId: string | null }[] = []
  for (let cursor: string | null = ''; cursor !== null; ) {
    const more = cursor === '' ? '' : `&cursor=${cursor}`
    const { json } = await house.done('GET', `/v1/roster?${asked}&limit=3${more}`, undefined, who)
    rows.push(...json.items)
    cursor = json.next
  }
  return rows
}

const sum = (weeks: readonly Week[]) => weeks.reduce((all, { sticks }) => all + Number(sticks), 0)

test('a stick is in the week of its due date; this week counts from today on, and the last is the 52nd', async () => {
  const house = openHouse([], from)
  await furnish(house)
  await tested(house, 'YESTERDAY', '2024-03-03')
  await tested(house, 'TODAY', '2024-03-04')
  await tested(house, 'SUNDAY', '2024-03-08')
  await tested(house, 'MONDAY', '2024-03-09')
  await tested(house, 'LAST', '2025-02-28')
  await tested(house, 'BEYOND', '2025-03-01')
  await tested(house, 'HELD', '2025-01-10')
  await house.done('POST', '/v1/sticks/HELD/defects', {
    factId: randomUUID(),
    occurredOn: '2026-03-03',
    kind: 'tingle',
  })
  house.table.settled()
  const { json } = await house.done('GET', '/v1/outlook?depot=DEP-1', undefined, 'manager')
  expect(json.items).toHaveLength(52)
  const first = { depotId: 'DEP-1', week: '2026-W10', from: '2026-03-04', to: '2026-03-08', sticks: 2, minutes: null }
  expect(json.items[0]).toEqual(first)
  expect(json.items[1]).toMatchObject({ week: '2026-W11', from: '2026-03-09', to: '2026-03-15', sticks: 1 })
  expect(json.items.at(-1)).toMatchObject({ week: '2027-W08', from: '2027-02-22', to: '2027-02-28', sticks: 1 })
  expect(sum(json.items)).toBe(4)
  expect(json.next).toBeNull()
  // S-1 was entered and never tested
  const now = { depotId: 'DEP-1', crewId: null, on: '2026-03-04', overdue: 1, onHold: 1, awaitingFirstTest: 1 }
  expect(json.now).toEqual([now])
  expect(json.minutesUnknown).toMatch(/how many minutes/)
})

test('days are those of each depot’s clock', async () => {
  const house = openHouse([], '2026-03-08T20:00:00.000Z')
  await furnish(house)
  await house.done('PUT', '/v1/depots/DEP-3', { ...aDepot, name: 'Far yard', timeZone: 'Pacific/Auckland' })
  await house.done('PUT', '/v1/crews/CR-3', { ...aCrew, name: 'Far crew', depotId: 'DEP-3' })
  await tested(house, 'HERE', '2024-03-08')
  await tested(house, 'THERE', '2024-03-08', 'CR-3')
  house.table.settled()
  const weeks = await allWeeks(house, 200)
  const of = (id: string) => weeks.filter(({ depotId }) => depotId === id)
  // it is Sunday here still, and Monday there
  expect(of('DEP-1')[0]).toMatchObject({ week: '2026-W10', from: '2026-03-08', sticks: 1 })
  expect(of('DEP-3')[0]).toMatchObject({ week: '2026-W11', from: '2026-03-09', sticks: 0 })
  expect(of('DEP-3')).toHaveLength(52)
  expect((await rowsDue(house, 'status=overdue')).map(({ stickId }) => stickId)).toEqual(['THERE'])
})

/** A stick that was tested, of which crew, and whether it was reported since. */
interface Tested {
  readonly daysAgo: number
  readonly crewId: string | null
  readonly isHeld: boolean
}

const fleets: fc.Arbitrary<Tested[]> = fc.array(
  fc.record({
    daysAgo: fc.integer({ min: 0, max: 760 }),
    crewId: fc.constantFrom('CR-1', 'CR-2', null),
    isHeld: fc.boolean(),
  }),
  { minLength: 1, maxLength: 14 },
)

let furnished: readonly Item[] | undefined

async function houseOf(fleet: readonly Tested[]): Promise<House> {
  if (furnished === undefined) {
    const empty = openHouse([], from)
    await furnish(empty)
    furnished = empty.table.items()
  }
  const house = openHouse(furnished, from)
  for (const [i, { daysAgo, crewId, isHeld }] of fleet.entries()) {
    await tested(house, `P-${i}`, addDays(day('2026-03-04'), -daysAgo), crewId)
    if (!isHeld) continue
    const report = { factId: randomUUID(), occurredOn: '2026-03-04', kind: 'drop' }
    await house.done('POST', `/v1/sticks/P-${i}/defects`, report)
  }
  house.table.settled()
  return house
}

test('each stick that falls due is in one week, as the roster has it, whatever the size of a page', async () => {
  await fc.assert(
    fc.asyncProperty(
      fleets,
      fc.integer({ min: 1, max: 200 }),
      fc.integer({ min: 1, max: 4 }),
      async (fleet, limit, pageOf) => {
        const house = await houseOf(fleet)
        const weeks = await allWeeks(house, 200)
        expect(new Set(weeks.map(({ week, depotId }) => `${week} ${depotId}`)).size).toBe(weeks.length)
        const end = addDays(mondayOf(day('2026-03-04')), 52 * 7 - 1)
        const rows = await rowsDue(house, `dueFrom=2026-03-04&dueTo=${end}`)
        expect(sum(weeks)).toBe(rows.length)
        for (const { depotId, from: first, to, week, sticks } of weeks) {
          const own = rows.filter((row) => row.depotId === depotId && first <= row.dueOn && row.dueOn <= to)
          expect(sticks, `${week} ${depotId}`).toBe(own.length)
          for (const { dueOn } of own) expect(isoWeekOf(dueOn)).toBe(week)
        }
        expect(await allWeeks(house, limit)).toEqual(weeks)
        house.table.trouble({ pageOf, indexLag: 0 })
        expect(await allWeeks(house, 200)).toEqual(weeks)
      },
    ),
    { numRuns: cases(60, 6) },
  )
})

test('a crew sees its own sticks, wherever they lie, as its roster has them', async () => {
  const house = openHouse([], from)
  await furnish(house)
  await tested(house, 'OWN', '2024-06-10')
  await tested(house, 'AWAY', '2024-06-11')
  await tested(house, 'OTHERS', '2024-06-10', 'CR-2')
  const moved = { factId: randomUUID(), occurredOn: '2026-03-04', at: '08:00', to: { bench: 'DEP-2' } }
  await house.done('POST', '/v1/sticks/AWAY/moves', moved)
  house.table.settled()
  const weeks = (await allWeeks(house, 200, 'crew')).filter(({ sticks }) => sticks !== 0)
  expect(weeks.map(({ depotId, week, sticks }) => [depotId, week, sticks])).toEqual([
    ['DEP-1', '2026-W24', 1],
    ['DEP-2', '2026-W24', 1],
  ])
  const { json } = await house.done('GET', '/v1/outlook', undefined, 'crew')
  expect(json.now).toEqual([
    { depotId: 'DEP-1', crewId: 'CR-1', on: '2026-03-04', overdue: 0, onHold: 0, awaitingFirstTest: 1 },
  ])
})

test('by rules that came into force since its lists were written, a depot is counted as it stands', async () => {
  const house = openHouse([], from)
  await furnish(house)
  await tested(house, 'SOONER', '2025-06-10')
  house.table.settled()
  const shorten = [{ requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 12 }, source: 'own rule' }]
  const rules = { packs: ['us-29-cfr-1910-269-j'], effectiveFrom: '2020-01-01' }
  await house.done('PUT', '/v1/policies/employer', { ...rules, shorten })
  house.table.settled()
  const weeks = (await allWeeks(house, 200)).filter(({ sticks }) => sticks !== 0)
  expect(weeks).toMatchObject([{ depotId: 'DEP-1', week: '2026-W24', sticks: 1 }])
  expect(await rowsDue(house, 'dueFrom=2026-06-08&dueTo=2026-06-14')).toHaveLength(1)
})

/** One stick is recorded; the others are its copies under numbers and due dates of their own. */
async function fleetDue(dates: readonly CalendarDate[]): Promise<House> {
  const house = openHouse([], from)
  await furnish(house)
  await tested(house, 'F-1', '2024-06-10')
  const all = house.table.items()
  const [stick] = all.filter(({ stickId, sk }) => stickId === 'F-1' && sk === 'STATE')
  const copies = dates.map((dueOn, i) => ({
    ...(JSON.parse(JSON.stringify(stick).replaceAll('F-1', `F-${i + 10}`)) as Item),
    standingSort: `${dueOn}#F-${i + 10}`,
  }))
  return openHouse([...all.filter((item) => item !== stick), ...copies], from)
}

test('reading ends where a great many are due, says so, and goes on from there to the same weeks', async () => {
  const weekly = Array.from({ length: 52 }, (_, i) => addDays(day('2026-03-09'), 7 * i))
  const dates = weekly.flatMap((monday) => Array.from({ length: 150 }, () => monday))
  const house = await fleetDue(dates)
  const { json } = await house.done('GET', '/v1/outlook?depot=DEP-1', undefined, 'manager')
  expect(json.items.length).toBeLessThan(52)
  expect(json.next).not.toBeNull()
  const weeks = await allWeeks(house, 200, 'manager', '&depot=DEP-1')
  expect(weeks.map(({ sticks }) => sticks)).toEqual([0, ...Array.from({ length: 51 }, () => 150)])
  const pages = pagesOf(house)
  const page = await (await pages.request('/outlook?depot=DEP-1')).text()
  expect(page).toContain('More sticks are due than one page counts.')
  const next = /<a href="([^"]*)" rel="next">Next weeks/.exec(page)?.[1]?.replaceAll('&amp;', '&') ?? ''
  const second = await (await pages.request(next)).text()
  expect(second).toContain('<a href="/outlook?depot=DEP-1" rel="prev">Previous weeks</a>')
  const weeksOn = (text: string) => [...text.matchAll(/20\d\d-W\d\d(?=<)/g)].map(([week]) => week)
  expect([...weeksOn(page), ...weeksOn(second)]).toEqual(weeks.map(({ week }) => week))
})

test('of a week in which over a thousand are due no more are read, and the next is counted all the same', async () => {
  const [monday, next] = [day('2026-03-09'), day('2026-03-17')]
  const house = await fleetDue([...Array.from({ length: 3000 }, () => monday), next])
  let read = 0
  const { table } = house
  const counting: typeof table = {
    ...table,
    page: async (range) => {
      const page = await table.page(range)
      read += page.items.length
      return page
    },
  }
  const organisation = openOrganisation(counting, demo)
  const outlook = await outlookFor({ ...house.asker(), organisation }, { depotId: 'DEP-1', after: '', limit: 200 })
  expect(outlook.weeks.slice(0, 3).map(({ sticks }) => sticks)).toEqual([0, '1,000+', 1])
  expect(outlook.next).toBeNull()
  expect(read).toBeLessThan(2000)
})

test('what is read grows with what is due and not with the fleet', async () => {
  const due = Array.from({ length: 20 }, (_, i) => addDays(day('2026-03-09'), i))
  const bytesOf = async (later: number) => {
    const house = await fleetDue([...due, ...Array.from({ length: later }, () => day('2027-12-01'))])
    let bytes = 0
    const { table } = house
    const weighing = fakeTable(table.items())
    const measured: typeof table = {
      ...weighing,
      page: async (range) => {
        const page = await weighing.page(range)
        bytes += JSON.stringify(page.items).length
        return page
      },
    }
    const organisation = openOrganisation(measured, demo)
    await outlookFor({ ...house.asker(), organisation }, { depotId: 'DEP-1', after: '', limit: 200 })
    return bytes
  }
  expect(await bytesOf(2000)).toBe(await bytesOf(0))
})

test('the page leads from each number to its rows on the roster', async () => {
  const house = openHouse([], from)
  await furnish(house)
  for (const [id, on] of [
    ['A', '2024-06-10'],
    ['B', '2024-06-12'],
    ['C', '2024-02-01'],
  ] as const)
    await tested(house, id, on)
  house.table.settled()
  const pages = pagesOf(house)
  const page = await (await pages.request('/outlook')).text()
  const link = '/roster?dueFrom=2026-06-08&amp;dueTo=2026-06-14&amp;depot=DEP-1'
  expect(page).toContain(`<a href="${link}">2</a>`)
  const roster = await (await pages.request(link.replaceAll('&amp;', '&'))).text()
  expect([...roster.matchAll(/<th scope="row"><a href="\/sticks\/(\w+)"/g)].map(([, id]) => id)).toEqual(['A', 'B'])
  expect(roster).toContain('due from 8 June 2026 to 14 June 2026 <')
  expect(page).toContain('<a href="/roster?status=overdue"><strong>1</strong> <span class="status late">')
  // the axis begins with nought, and no bar is drawn where none is due
  expect(page).toMatch(/text-anchor="end">0<\/text>/)
  expect(page.match(/class="bar"/g)).toHaveLength(1)
  expect(page).not.toMatch(/ style="/)
})
