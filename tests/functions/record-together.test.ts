/** Several facts about one stick that enter together: all of them in one transaction, or none. */
import { randomUUID } from 'node:crypto'
import { beforeEach, expect, test } from 'vitest'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import type { FactEntry } from '../../functions/recording/entry.ts'
import { factDoors } from '../../functions/recording/fact-kinds.ts'
import { record } from '../../functions/recording/record.ts'
import { aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

let house: House
beforeEach(async () => {
  house = openHouse()
  await furnish(house)
})

type Door = 'corrective-steps' | 'moves' | 'defects' | 'bench-tests'
const entry = (door: Door, body: object): Promise<FactEntry> =>
  factDoors[door].entry({ ...house.asker(), body: body as never })
const fact = (more: object) => ({ factId: randomUUID(), occurredOn: '2026-03-02', ...more })
const facts = async () =>
  (await house.call('GET', '/v1/sticks/S-1/facts')).json.items as { kind: string; seq: number }[]

const tingle = () => fact({ kind: 'tingle', at: '06:00' })
const repaired = () => fact({ kind: 'repaired', by: 'Ines Roth', at: '07:00' })
const passes = () => aTest({ testedOn: day('2026-03-02'), at: '08:00' })

test('each builds on the one before it: stopped, mended and fit again at one stroke', async () => {
  const entries = [
    await entry('defects', tingle()),
    await entry('corrective-steps', repaired()),
    await entry('bench-tests', passes()),
  ]
  const outcomes = await record(house.asker(), 'S-1', ...entries)
  expect(outcomes.map(({ standing, fact: { seq } }) => [standing.status, seq])).toEqual([
    ['on hold', 2],
    ['on hold', 3],
    ['in service', 4],
  ])
  expect((await facts()).map(({ kind }) => kind)).toEqual([
    'registered',
    'defect reported',
    'corrective step',
    'tested',
  ])
  expect((await house.call('GET', '/v1/sticks/S-1')).json.status).toBe('in service')
  expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
})

test('what one of them owes is owed, though the next takes its cause away', async () => {
  const entries = [await entry('defects', tingle()), await entry('bench-tests', passes())]
  await record(house.asker(), 'S-1', ...entries)
  const kinds = house.table
    .items()
    .filter((item) => item.entity === 'notice')
    .map(({ kind }) => kind)
  expect([...new Set(kinds)].sort()).toEqual(['hold', 'return'])
})

test('where one is refused none is kept', async () => {
  const entries = [
    await entry('defects', tingle()),
    await entry('moves', fact({ to: { crewId: 'CR-2' }, at: '07:30' })),
  ]
  await expect(record(house.asker(), 'S-1', ...entries)).rejects.toMatchObject({ refusal: { kind: 'refused' } })
  expect((await facts()).map(({ kind }) => kind)).toEqual(['registered'])
  expect(house.table.items().filter((item) => item.entity === 'notice')).toEqual([])
})

test('sent again they are answered by what stands, and nothing is written', async () => {
  const entries = [await entry('defects', tingle()), await entry('corrective-steps', repaired())]
  await record(house.asker(), 'S-1', ...entries)
  const before = house.table.items()
  const again = await record(house.asker(), 'S-1', ...entries)
  expect(again.map(({ news, fact: { seq } }) => [news, seq])).toEqual([
    [false, 2],
    [false, 3],
  ])
  expect(house.table.items()).toEqual(before)
})

test('what is new among them is recorded beside what stands already', async () => {
  const [report, mended] = [await entry('defects', tingle()), await entry('corrective-steps', repaired())]
  await record(house.asker(), 'S-1', report)
  const outcomes = await record(house.asker(), 'S-1', report, mended)
  expect(outcomes.map(({ news }) => news)).toEqual([false, true])
  expect((await facts()).map(({ seq }) => seq)).toEqual([1, 2, 3])
})

test('quietly: what is carried over from before stops the stick, and nobody is written to', async () => {
  const known = await entry('defects', tingle())
  const [outcome] = await record(house.asker(), 'S-1', { ...known, quiet: true })
  expect(outcome?.standing.status).toBe('on hold')
  expect(house.table.items().filter((item) => item.entity === 'notice')).toEqual([])
})
