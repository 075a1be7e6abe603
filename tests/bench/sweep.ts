/** What one morning's round reads and writes of the table, in capacity units, for a fleet of any size with so many due. */
import type { Notice } from '../../functions/store/notices.ts'
import type { Item, Range, Table } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { furnish, type House, openHouse } from '../functions/house.ts'
import { fakeTable } from '../support/fake-table.ts'
import { aStick, aTest, day } from '../support/trade.ts'

const morning = '2026-03-02T15:00:00.000Z'

/** Of the fleet so many have run out; one stick in ten of the others is on hold, some of them never tested; the rest are sound. */
export interface Fleet {
  readonly sticks: number
  readonly due: number
}

export interface Units {
  readonly spent: number
  /** what cannot be done without: each due stick read and moved on with what was told of it, and each digest written */
  readonly needed: number
}

export async function unitsOf({ sticks, due }: Fleet): Promise<Units> {
  const kept = await fleetOf(sticks, due)
  const meter = metered(fakeTable(kept))
  const { failed } = await sweep(meter.table, () => morning as never)
  if (failed > 0) throw new Error('a round of the sweep failed')
  const after = meter.inner.items()
  const told = after.filter((item) => item.entity === 'told')
  if (told.length !== due) throw new Error(`${told.length} sticks were told of, not ${due}`)
  const named = new Set(told.map((item) => String(item.noticeStickKey)))
  const moved = after.filter(({ entity, told: through }) => entity === 'stick' && through !== null)
  if (moved.length !== named.size) throw new Error('not every stick that was told of has moved on')
  const digests = after.filter((item) => item.entity === 'notice' && item.kind === 'digest') as unknown as (Item &
    Notice)[]
  const before = new Map(kept.map((item) => [`${item.pk} ${item.sk}`, item]))
  const read = sum(moved.map((item) => bytesOf(before.get(`${item.pk} ${item.sk}`)))) / 4096 / 2
  return { spent: meter.units(), needed: read + sum([...moved, ...told, ...digests].map(written)) }
}

async function fleetOf(sticks: number, due: number): Promise<readonly Item[]> {
  const house = openHouse([], morning)
  await furnish(house)
  const models = [
    await modelOf(house, 'M-due', '2024-03-04'),
    await modelOf(house, 'M-sound', '2026-01-10'),
    await modelOf(house, 'M-held', '2026-01-10', { kind: 'tingle' }),
    await modelOf(house, 'M-never', null, { kind: 'drop' }),
  ]
  const registers = house.table.items().filter((item) => !item.pk.includes('#STICK#'))
  const model = (i: number) => (i < due ? 0 : i % 20 === 0 ? 2 : i % 20 === 1 ? 3 : 1)
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

/**
 * Counts as the service does (Amazon DynamoDB Developer Guide, "Read and write operations"): 4 KB a read unit, of a query
 * by what all its items take together, half as much where it need not be consistent; 1 KB a write unit, twice as much in a
 * transaction.
 */
function metered(inner: ReturnType<typeof fakeTable>) {
  let units = 0
  const oneByOne = (items: readonly (Item | undefined)[]) =>
    sum(items.map((item) => Math.ceil(bytesOf(item) / 4096) || 1))
  const table: Table = {
    ...inner,
    async get(key) {
      const item = await inner.get(key)
      units += oneByOne([item])
      return item
    },
    async getAll(keys) {
      const items = await inner.getAll(keys)
      units += oneByOne(items) + (keys.length - items.length)
      return items
    },
    async page(range) {
      const page = await inner.page(range)
      units += queried(range, page.items)
      return page
    },
    async all(range) {
      const items = await inner.all(range)
      units += queried(range, items)
      return items
    },
    async transact(writes) {
      units += sum(writes.map(({ Put }) => written(Put?.Item as Item | undefined)))
      return inner.transact(writes)
    },
  }
  return { inner, table, units: () => units }
}

const queried = ({ consistent }: Range, items: readonly Item[]) =>
  Math.max(1, Math.ceil(sum(items.map(bytesOf)) / 4096)) * (consistent ? 1 : 0.5)
const written = (item: Item | undefined) => 2 * Math.max(1, Math.ceil(bytesOf(item) / 1024))
const bytesOf = (item: unknown) => (item === undefined ? 0 : Buffer.byteLength(JSON.stringify(item)))
const sum = (all: readonly number[]) => all.reduce((total, one) => total + one, 0)
