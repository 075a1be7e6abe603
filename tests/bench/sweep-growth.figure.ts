/** Ten times the fleet with as many sticks due: a morning's round must not notice. */
import type { Figure } from './figure.ts'
import { unitsOf } from './sweep.ts'

export const figure: Figure = {
  unit: 'ratio to the capacity units of a round with 100 due sticks in a tenth of the fleet',
  better: 'lower',
  goal: 1.05,
  floorIn: 'units',
  measure: async () => {
    const small = await unitsOf({ sticks: 1_000, due: 100 })
    const large = await unitsOf({ sticks: 10_000, due: 100 })
    return { value: large.spent / small.spent, floor: small.spent }
  },
}
