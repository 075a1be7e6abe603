/**
 * A great many sticks overdue on one morning, as after a stricter rule or an import: every crew hears the same morning.
 */
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'
import { expect, test } from 'vitest'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item, Table } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { cases } from '../support/tier.ts'
import { aCrew, aDepot, anInstrument, aProcedure, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

const sticks = cases(100_000, 4_000)
const sticksOfACrew = 20
const sticksOfADepot = 500
const crews = sticks / sticksOfACrew
const depotOf = (ofCrew: number) => `DEP-${Math.floor((ofCrew * sticksOfACrew) / sticksOfADepot)}x`

/** One stick is recorded; the others are its copies under numbers and crews of their own. */
async function greatFleet(): Promise<House> {
  const house = openHouse([], '2026-02-01T15:00:00.000Z')
  await furnish(house)
  await house.done('PUT', '/v1/sticks/S-1', aStick)
  await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2024-02-04') }))
  for (const [path, body] of [
    ['depots/DEP-1', aDepot],
    ['crews/CR-1', aCrew],
    ['instruments/INS-1', anInstrument],
    ['procedures/PRC-1', aProcedure],
    ['sticks/S-theirs', aStick],
  ] as const)
    await house.done('PUT', `/v1/${path}`, body, 'other owner')
  const theirs = aTest({ testedOn: day('2024-02-04') })
  await house.done('POST', '/v1/sticks/S-theirs/bench-tests', theirs, 'other owner')
  const all = house.table.items()
  const [stick] = all.filter(({ pk, sk }) => pk === 'ORG#demo-utility#STICK#S-1' && sk === 'STATE')
  const ours = (item: Item) => item.pk.startsWith('ORG#demo-utility#')
  const crew = all.filter((item) => ours(item) && (item.sk === 'CR-1' || item.pk.endsWith('#CR-1')))
  const depot = all.filter(
    (item) =>
      (ours(item) && (item.sk === 'DEP-1' || item.pk.endsWith('#DEP-1'))) || item.sk === 'ORG#demo-utility#DEPOT#DEP-1',
  )
  if (stick === undefined || crew.length === 0 || depot.length < 3) throw new Error('nothing to copy')
  const kept = all.filter((item) => !item.pk.includes('STICK#S-1'))
  const copies = (items: readonly Item[], from: string, to: string, i = 0) =>
    items.map((item) => renumbered(item, from, to, i))
  for (let i = 0; i < sticks / sticksOfADepot; i++) kept.push(...copies(depot, 'DEP-1', `DEP-${i}x`))
  for (let i = 0; i < crews; i++) kept.push(...copies(copies(crew, 'CR-1', `CR-${i}x`, i), 'DEP-1', depotOf(i)))
  for (let i = 0; i < sticks; i++) {
    const ofCrew = Math.floor(i / sticksOfACrew)
    kept.push(...copies(copies(copies([stick], 'S-1', `S-${i}`), 'CR-1', `CR-${ofCrew}x`), 'DEP-1', depotOf(ofCrew)))
  }
  return openHouse(kept, '2026-03-02T15:00:00.000Z')
}

/** What there is in memory beside what there was before, at most, each time that something is written. */
function weighed(table: Table) {
  setFlagsFromString('--expose-gc')
  const collect = runInNewContext('gc') as () => void
  const held = () => {
    collect()
    return process.memoryUsage().heapUsed / 2 ** 20
  }
  const before = held()
  let most = 0
  let writes = 0
  const transact: Table['transact'] = async (all) => {
    writes += 1
    if (writes % 50 === 1) most = Math.max(most, held() - before)
    return table.transact(all)
  }
  return { table: { ...table, transact }, mostMegabytes: () => most }
}

const renumbered = (item: Item, from: string, to: string, i: number): Item =>
  JSON.parse(
    JSON.stringify(item)
      .replaceAll(new RegExp(`${from}(?=["#])`, 'g'), to)
      .replaceAll('@crew-one.example', `@crew-${i}.example`),
  )

test(`${sticks} sticks overdue in one organisation: all hear the first morning, another organisation too`, async () => {
  const house = await greatFleet()
  house.table.settled()
  const { table, mostMegabytes } = weighed(house.table)
  const outcome = await sweep(table, house.clock)
  expect(outcome).toMatchObject({ failed: 0, left: 0 })
  // the function has 1,024 MB, and the table that is in this process too has grown by its digests meanwhile
  expect(mostMegabytes()).toBeLessThan(900)
  const digests = house.table.items().filter(({ kind }) => kind === 'digest') as unknown as Notice[]
  expect(digests.some(({ organisation }) => organisation === 'other-utility')).toBe(true)
  const ours = digests.filter(({ organisation }) => organisation === 'demo-utility')
  const named = new Set(
    ours.flatMap(({ to, lines }) => (to.role === 'manager' ? [] : lines.map(({ stickId }) => stickId))),
  )
  expect(named.size).toBe(sticks)
  // the managers' mailboxes are full, and say how many more there are
  for (const { lines, more = 0 } of ours.filter(({ to }) => to.role === 'manager'))
    expect(lines.length + more).toBe(sticks)
  house.table.settled()
  expect(await sweep(house.table, house.clock)).toMatchObject({ digests: 0 })
})
