/** Where the table fails while a roster is read, its reader is told, and nothing goes on failing behind. */
import { afterEach, beforeEach, expect, test } from 'vitest'
import { rosterAndCountsFor } from '../../functions/questions/roster.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import type { Table } from '../../functions/store/table.ts'
import { demo, furnish, openHouse } from './house.ts'

const unheard: unknown[] = []
const hear = (error: unknown) => unheard.push(error)
beforeEach(() => process.on('unhandledRejection', hear))
afterEach(() => process.off('unhandledRejection', hear))

/** A process of a function ends with a rejection that nobody waits for by then, in the middle of all that it does. */
test('a count that fails while sticks are still looked through is heard', async () => {
  const house = openHouse()
  await furnish(house)
  const slow = () => new Promise((resolve) => setTimeout(resolve, 5))
  const table: Table = {
    ...house.table,
    count: async () => {
      throw new Error('throttled')
    },
    page: async (range) => {
      await slow()
      return house.table.page(range)
    },
  }
  const asker = { ...house.asker(), organisation: openOrganisation(table, demo) }
  await expect(rosterAndCountsFor(asker, { after: '', limit: 10 })).rejects.toThrow('throttled')
  await slow()
  expect(unheard).toEqual([])
})
