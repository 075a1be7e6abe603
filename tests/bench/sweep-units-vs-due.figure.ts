/** What a morning's round spends on the table beside what the sticks that are due need: reads cost what is owed. */
import type { Figure } from './figure.ts'
import { unitsOf } from './sweep.ts'

export const figure: Figure = {
  unit: 'ratio to the capacity units that 200 due sticks of 2,000 need themselves',
  better: 'lower',
  goal: 1.2,
  floorIn: 'units',
  measure: async () => {
    const { spent, needed } = await unitsOf({ sticks: 2_000, due: 200 })
    return { value: spent / needed, floor: needed }
  },
}
