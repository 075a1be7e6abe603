/** What settling a recall of a lot of 10,000 keeps in memory at its end, beyond what it kept at its first page. */
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'
import { openedWrites } from '../../functions/store/recalls.ts'
import { recallsBinding } from '../../functions/store/recalls-binding.ts'
import type { Range, Table } from '../../functions/store/table.ts'
import { settle } from '../../functions/telling/recalls.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { demo, openHouse } from '../functions/house.ts'
import { fakeTable } from '../support/fake-table.ts'
import { aStick } from '../support/trade.ts'
import type { Figure } from './figure.ts'
import { fleetOf, morning } from './sweep.ts'

const sticks = 10_000

export const figure: Figure = {
  unit: 'megabytes in use at the most, beyond the first page, while a lot of 10,000 is settled',
  better: 'lower',
  goal: 10,
  floorIn: 'megabytes in use at the first page, those of the table in memory among them',
  async measure() {
    const now = morning as Instant
    const recall = { organisation: demo, id: crypto.randomUUID(), cause: { lot: aStick.lot ?? '' }, reason: 'cracks' }
    const table = fakeTable(await fleetOf({ sticks, due: 0, held: 0 }), 1)
    const organisation = openHouse(table.items(), morning).organisation()
    const opened = { ...recall, by: 'manager', at: now }
    await table.transact(openedWrites({ ...organisation, table }, opened, await recallsBinding(organisation)) ?? [])
    table.settled()
    // the table keeps a copy of each item that it hands out, which is none of the service's memory
    await settle(keepsNothing(table), { recall: opened, now }, () => true)
    const megabytes: number[] = []
    const page = (range: Range) => {
      megabytes.push(inUse())
      return table.page(range)
    }
    const looked = { ...keepsNothing(table), page }
    const outcome = await settle(looked, { recall: opened, now }, () => true)
    if (!outcome.finished || outcome.sticks !== sticks) throw new Error(`${outcome.sticks} sticks were written`)
    const [first = Number.NaN] = megabytes
    return { value: Math.max(...megabytes) - first, floor: first }
  },
}

/** What a table in memory keeps of what is written would be taken for the service's. */
const keepsNothing = (table: Table): Table => ({ ...table, transact: async () => ({ done: true }) })

setFlagsFromString('--expose-gc')
const collect = runInNewContext('gc') as () => void // of V8 itself

function inUse(): number {
  collect()
  return process.memoryUsage().heapUsed / 1e6
}
