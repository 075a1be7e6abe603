/** What recording one fact spends on the table, all that its request reads included. */
import type { Figure } from './figure.ts'
import { floorOf, recorded } from './units.ts'

export const figure: Figure = {
  unit: 'capacity units for a fact without readings about a stick of which only the registration is known',
  better: 'lower',
  goal: 12,
  floorIn: 'units',
  async measure() {
    const { meter, written } = await recorded('corrective-steps', { kind: 'cleaned', by: 'Ines Roth', at: '09:30' })
    if (written.length !== 3) throw new Error(`a fact, its guard and the state are three items, not ${written.length}`)
    return { value: meter.units(), floor: floorOf(written) }
  },
}
