/**
 * What one morning's round reads and writes of the table, in capacity units, for a fleet of any size with so many due.
 */
import type { Item } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { furnish, type House, openHouse } from '../functions/house.ts'
import { fakeTable, sizeOf } from '../support/fake-table.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { metered, total, transactionUnits } from './meter.ts'

export const morning = '2026-03-02T15:00:00.000Z'

/**
 * Of the fleet so many have run out; one stick in ten of the others is on hold, some of them never tested; the rest are
 * sound.
 */
export interface Fleet {
  readonly sticks: number
  readonly due: number
  /** so many on hold, and all others sound, whatever the fleet */
  readonly held?: number
}

export interface Units {
  readonly spent: number
  /** what cannot be done without: each due stick read and moved on with what was told of it, and each digest written */
  readonly needed: number
}

export async function unitsOf({ sticks, due }: Fleet): Promise<Units> {
  const kept = await fleetOf({ sticks, due })
  const table = fakeTable(kept)
  const meter = metered(table)
  const { failed } = await sweep(meter.table, () => morning as never)
  if (failed > 0) throw new Error('a round of the sweep failed')
  const after = table.items()
  const told = after.filter((item) => item.entity === 'told')
  if (told.length !== due) throw new Error(`${told.length} sticks were told of, not ${due}`)
  const named = new Set(told.map((item) => String(item.noticeStickKey)))
  const moved = after.filter(({ entity, told: through }) => entity === 'stick' && through !== null)
  if (moved.length !== named.size) throw new Error('not every stick that was told of has moved on')
  const digests = after.filter((item) => item.entity === 'notice' && item.kind === 'digest')
  const before = new Map(kept.map((item) => [`${item.pk} ${item.sk}`, item]))
  const was = (item: Item) => before.get(`${item.pk} ${item.sk}`)
  const read = total(moved.map((item) => sizeOf(was(item)))) / 4096 / 2
  const written = [
    ...moved.map((item) => transactionUnits(was(item), item)),
    ...[...told, ...digests].map((item) => transactionUnits(undefined, item)),
  ]
  return { spent: meter.units(), needed: read + total(written) }
}

export async function fleetOf({ sticks, due, held }: Fleet): Promise<readonly Item[]> {
  const house = openHouse([], morning)
  await furnish(house)
  const models = [
    await modelOf(house, 'M-due', '2024-03-04'),
    await modelOf(house, 'M-sound', '2026-01-10'),
    await modelOf(house, 'M-held', '2026-01-10', { kind: 'tingle' }),
    await modelOf(house, 'M-never', null, { kind: 'drop' }),
  ]
  const registers = house.table.items().filter((item) => !item.pk.includes('#STICK#'))
  const outOfOrder = (i: number) => (i % 20 === 0 ? 2 : i % 20 === 1 ? 3 : 1)
  const model = (i: number) => {
    if (i < due) return 0
    if (held === undefined) return outOfOrder(i)
    return i < due + held ? 2 : 1
  }
  const copies = Array.from({ length: sticks }, (_, i) => {
    const { text, id } = models[model(i)] ?? { text: '', id: '' }
    return JSON.parse(text.replaceAll(id, `N-${String(i).padStart(6, '0')}`)) as Item
  })
  return [...registers, ...copies]
}

async function modelOf(house: House, id: string, testedOn: string | null, defect?: object) {
  await house.done('PUT', `/v1/sticks/${id}`, aStick)
  if (testedOn !== null) {
    await house.done('POST', `/v1/sticks/${id}/bench-tests`, aTest({ testedOn: day(testedOn) }))
  }
  if (defect !== undefined) {
    const fact = { factId: crypto.randomUUID(), occurredOn: '2026-03-01', ...defect }
    await house.done('POST', `/v1/sticks/${id}/defects`, fact)
  }
  const state = house.table.items().find((item) => item.stickId === id && item.sk === 'STATE')
  return { id, text: JSON.stringify(state) }
}
