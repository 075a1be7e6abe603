/**
 * What recording one use spends on the table, of a stick that was tested and is used; of one that is used for a year it
 * is 15.
 */
import { aTest, day } from '../support/trade.ts'
import type { Figure } from './figure.ts'
import { floorOf, recorded } from './units.ts'

export const figure: Figure = {
  unit: 'capacity units for a use of a stick that was tested, and used on ten days since',
  better: 'lower',
  goal: 12,
  floorIn: 'units',
  async measure() {
    const { meter, written } = await recorded('uses', { at: '09:30' }, usedForTenDays)
    if (written.length !== 3) throw new Error(`a fact, its guard and the state are three items, not ${written.length}`)
    return { value: meter.units(), floor: floorOf(written) }
  },
}

const dayMillis = 86_400_000

async function usedForTenDays(record: (door: string, body: object) => Promise<unknown>): Promise<void> {
  await record('bench-tests', aTest({ factId: crypto.randomUUID(), testedOn: day('2025-03-01') }))
  const last = Date.parse('2026-03-01')
  for (let i = 10; i > 0; i--) {
    const occurredOn = new Date(last - i * dayMillis).toISOString().slice(0, 10)
    await record('uses', { factId: crypto.randomUUID(), occurredOn, at: '09:30' })
  }
}
