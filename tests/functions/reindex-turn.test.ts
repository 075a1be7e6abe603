/**
 * No organisation keeps another waiting for its lists, however great it is; and a great many sticks are told of in
 * lots.
 */
import { expect, test } from 'vitest'
import { inTurn } from '../../functions/ground/turn.ts'
import { reindex } from '../../functions/reindex/reindex.ts'
import type { Table } from '../../functions/store/table.ts'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { aDepot } from '../support/trade.ts'
import { demo, furnish, openHouse } from './house.ts'

const minutes = (count: number) => count * 60_000

test('another is first with each run, and each of them before any is first again', () => {
  const all = ['a', 'b', 'c']
  const firstOf = (i: number) => inTurn(all, addSeconds('2026-03-02T15:00:00.000Z' as Instant, 300 * i), minutes(5))[0]
  expect(new Set([0, 1, 2].map(firstOf)).size).toBe(3)
  expect(firstOf(3)).toBe(firstOf(0))
  expect(inTurn([], '2026-03-02T15:00:00.000Z' as Instant, minutes(5))).toEqual([])
  expect(inTurn(all, '2026-03-02T15:00:00.000Z' as Instant, minutes(5)).toSorted()).toEqual(all)
})

test('with time for one page a run, the lists of both organisations are begun within two runs', async () => {
  const house = openHouse()
  await furnish(house)
  await house.done('PUT', '/v1/depots/DEP-1', aDepot, 'other owner')
  house.table.settled()
  const begun = new Set<string>()
  const table: Table = {
    ...house.table,
    page: (range) => {
      const [organisation] = /ORG#[^#]+/.exec(range.partition[1]) ?? []
      if (range.index === 'by-depot-standing') begun.add(organisation ?? '')
      return house.table.page(range)
    },
  }
  for (const at of [house.clock(), addSeconds(house.clock(), 300)]) {
    let pages = 1
    const outcome = await reindex(table, at, () => pages-- > 0)
    expect(outcome.finished).toBe(false)
  }
  expect([...begun].sort()).toEqual([`ORG#${demo}`, 'ORG#other-utility'])
})
