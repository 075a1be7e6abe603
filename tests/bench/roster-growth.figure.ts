/**
 * A hundred times the fleet with as many sticks to see to: the manager's first page must not notice those in order.
 */
import { openOrganisation } from '../../functions/store/organisation.ts'
import { demo, openHouse } from '../functions/house.ts'
import { pagesOf } from '../support/pages.ts'
import type { Figure } from './figure.ts'
import { metered } from './meter.ts'
import { fleetOf, morning } from './sweep.ts'

export const figure: Figure = {
  unit: 'ratio to the capacity units of the roster for 1,000 sticks, as many of them overdue and on hold',
  better: 'lower',
  goal: 1.2,
  floorIn: 'units',
  measure: async () => {
    const small = await unitsFor(1_000)
    return { value: (await unitsFor(100_000)) / small, floor: small }
  },
}

async function unitsFor(sticks: number): Promise<number> {
  const { table, clock, session } = openHouse(await fleetOf({ sticks, due: 40, held: 40 }), morning)
  const meter = metered(table)
  const organisation = (name: string = demo) => openOrganisation(meter.table, name)
  const answer = await pagesOf({ organisation, clock, session }).request('/roster')
  const rows = (await answer.text()).match(/<th scope="row">/g)?.length
  if (rows !== 25) throw new Error(`the roster shows ${rows} rows: ${answer.status}`)
  return meter.units()
}
