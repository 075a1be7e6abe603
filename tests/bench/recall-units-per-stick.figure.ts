/** What a recall of a lot of 10,000 spends on the table beside what it takes to read and rewrite each stick once. */
import { openedWrites } from '../../functions/store/recalls.ts'
import { recallsBinding } from '../../functions/store/recalls-binding.ts'
import type { Item } from '../../functions/store/table.ts'
import { settle } from '../../functions/telling/recalls.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { demo, openHouse } from '../functions/house.ts'
import { fakeTable, sizeOf } from '../support/fake-table.ts'
import { aStick } from '../support/trade.ts'
import type { Figure } from './figure.ts'
import { metered, total, transactionUnits } from './meter.ts'
import { fleetOf, morning } from './sweep.ts'

const sticks = 10_000

export const figure: Figure = {
  unit: 'ratio to the capacity units that reading and rewriting 10,000 sticks once takes',
  better: 'lower',
  goal: 1.5,
  floorIn: 'units',
  async measure() {
    const kept = await fleetOf({ sticks, due: 0, held: 0 })
    const now = morning as Instant
    const recall = { organisation: demo, id: crypto.randomUUID(), cause: { lot: aStick.lot ?? '' }, reason: 'cracks' }
    const table = fakeTable(kept)
    const organisation = openHouse(table.items(), morning).organisation()
    const opened = { ...recall, by: 'manager', at: now }
    await table.transact(openedWrites({ ...organisation, table }, opened, await recallsBinding(organisation)) ?? [])
    table.settled()
    const meter = metered(table)
    const outcome = await settle(meter.table, { recall: opened, now }, () => true)
    if (!outcome.finished || outcome.sticks !== sticks) throw new Error(`${outcome.sticks} sticks were written`)
    const before = new Map(kept.map((item) => [item.pk, item]))
    const moved = table.items().filter(({ entity }) => entity === 'stick')
    const was = ({ pk }: Item) => before.get(pk)
    const read = total(moved.map((item) => Math.ceil(sizeOf(was(item)) / 4096)))
    const needed = read + total(moved.map((item) => transactionUnits(was(item), item)))
    return { value: meter.units() / needed, floor: needed }
  },
}
