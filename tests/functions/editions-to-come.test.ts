/** What is entered for a later day binds from that day on, wherever it is read. */
import { beforeEach, describe, expect, test } from 'vitest'
import { depotPointers } from '../../functions/store/registers.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { aCrew, aDepot, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

let house: House
/** 2 March, nine in the morning at the depot in Chicago; in Tokyo the third has begun. */
beforeEach(async () => {
  house = openHouse([], '2026-03-02T15:30:00.000Z')
  await furnish(house)
  await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest(), 'bench')
})

const get = async (path: string) => (await house.call('GET', `/v1/${path}`, undefined, 'manager')).json
const pointer = async (now: string) =>
  (await depotPointers(house.table, now as Instant)).find(({ depotId }) => depotId === 'DEP-1')

describe('a depot that is to have another zone and earlier mornings', () => {
  const moved = { ...aDepot, timeZone: 'Asia/Tokyo', sweepHour: 3, effectiveFrom: '2026-03-20' }
  beforeEach(() => house.done('PUT', '/v1/depots/DEP-1', moved))

  test('keeps its clock until then: a fact of tomorrow there is a fact of tomorrow', async () => {
    const use = { factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0001', occurredOn: '2026-03-03', days: 1, conditions: [] }
    expect((await house.call('POST', '/v1/sticks/S-1/uses', use, 'crew')).status).toBe(422)
    house.at('2026-03-20T01:00:00.000Z')
    const then = { ...use, occurredOn: '2026-03-20' }
    expect((await house.call('POST', '/v1/sticks/S-1/uses', then, 'crew')).status).toBe(201)
  })

  test('is listed and named as it is today', async () => {
    expect(await get('depots/DEP-1')).toMatchObject({ timeZone: 'America/Chicago' })
    expect((await get('depots')).items[0]).toMatchObject({ id: 'DEP-1', timeZone: 'America/Chicago' })
    house.at('2026-03-20T15:00:00.000Z')
    expect((await get('depots')).items[0]).toMatchObject({ id: 'DEP-1', timeZone: 'Asia/Tokyo', sweepHour: 3 })
  })

  test('has its mornings by the old clock until its day has come by the new one', async () => {
    expect(await pointer('2026-03-19T14:59:00.000Z')).toMatchObject({ timeZone: 'America/Chicago', sweepHour: 6 })
    expect(await pointer('2026-03-19T15:00:00.000Z')).toMatchObject({ timeZone: 'Asia/Tokyo', sweepHour: 3 })
  })

  test('is swept by the clock it has', async () => {
    house.at('2026-03-04T09:00:00.000Z')
    const rounds = async () => (await sweep(house.table, house.clock)).rounds
    const before = await rounds()
    house.at('2026-03-04T12:30:00.000Z')
    expect(await rounds()).toBe(before + 1)
  })

  test('may be put right twice over, and back again, before its day', async () => {
    await house.done('PUT', '/v1/depots/DEP-1', { ...moved, sweepHour: 4 })
    await house.done('PUT', '/v1/depots/DEP-1', { ...aDepot, effectiveFrom: '2026-03-25' })
    expect(await pointer('2026-03-02T16:00:00.000Z')).toMatchObject({ timeZone: 'America/Chicago', sweepHour: 6 })
    expect(await pointer('2026-03-22T00:00:00.000Z')).toMatchObject({ timeZone: 'Asia/Tokyo', sweepHour: 4 })
    expect(await pointer('2026-03-26T00:00:00.000Z')).toMatchObject({ timeZone: 'America/Chicago', sweepHour: 6 })
  })
})

test('a crew that is to belong to another depot is of its own until then', async () => {
  await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, depotId: 'DEP-2', effectiveFrom: '2026-03-20' })
  const ofSouth = async () => (await house.call('GET', '/v1/roster?crew=CR-1', undefined, 'south manager')).status
  expect(await ofSouth()).toBe(403)
  expect((await get('crews')).items[0]).toMatchObject({ id: 'CR-1', depotId: 'DEP-1' })
  house.at('2026-03-20T15:00:00.000Z')
  expect(await ofSouth()).toBe(200)
})

test('whoever is to be an owner is changed by owners only, today already', async () => {
  const mia = { name: 'Mia Okafor', email: 'mia@demo-utility.example', role: 'manager', depots: ['*'] }
  await house.done('PUT', '/v1/people/mia', mia)
  await house.done('PUT', '/v1/people/mia', { ...mia, role: 'owner', effectiveFrom: '2026-03-20' })
  const change = { ...mia, effectiveFrom: '2026-03-21' }
  expect((await house.call('PUT', '/v1/people/mia', change, 'manager')).status).toBe(403)
})

test('a depot kept by an earlier build, with no mornings beside it, is swept by what stands there', async () => {
  const kept = house.table
    .items()
    .map(({ mornings, ...item }) =>
      mornings === undefined ? item : { ...item, timeZone: 'America/Denver', sweepHour: 7 },
    )
  const older = openHouse(kept as ReturnType<typeof house.table.items>)
  const [first] = await depotPointers(older.table, '2026-03-02T15:30:00.000Z' as Instant)
  expect(first).toMatchObject({ timeZone: 'America/Denver', sweepHour: 7 })
})

test('a stick that moves to where tomorrow has begun lies in its list by the rules that decided it', async () => {
  const south = { ...aDepot, name: 'South yard', timeZone: 'Asia/Tokyo', effectiveFrom: '2026-03-02' }
  await house.done('PUT', '/v1/depots/DEP-2', south)
  const packs = ['us-29-cfr-1910-269-j', 'us-mo-200']
  await house.done('PUT', '/v1/policies/employer', { packs, effectiveFrom: '2026-03-03' })
  const move = { factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0002', occurredOn: '2026-03-02', to: { store: 'DEP-2' } }
  await house.done('POST', '/v1/sticks/S-1/moves', move, 'bench')
  const { rulesOn, sticks } = house.organisation()
  const [today, tomorrow] = [await rulesOn(day('2026-03-02')), await rulesOn(day('2026-03-03'))]
  expect(today.id).not.toBe(tomorrow.id)
  expect((await sticks.stored('S-1'))?.writtenUnder).toBe(today.id)
})
