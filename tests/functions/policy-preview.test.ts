/** What a change of the rules would make due, and when, asked before anybody decides on it. */
import { beforeAll, beforeEach, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const us = 'us-29-cfr-1910-269-j'
const inForce = { packs: [us], effectiveFrom: '2020-01-01' }
const yearly = { requirement: `${us}-frp`, interval: { months: 12 }, source: 'Safety manual 4.2' }

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2024-06-01T15:00:00.000Z')
  await furnish(first)
  for (const [id, testedOn] of [
    ['S-1', '2025-06-01'],
    ['S-2', '2026-01-15'],
    ['S-3', '2024-06-10'],
  ] as const) {
    first.at(`${testedOn}T15:00:00.000Z`)
    await first.done('PUT', `/v1/sticks/${id}`, aStick)
    await first.done('POST', `/v1/sticks/${id}/bench-tests`, aTest({ testedOn: day(testedOn) }), 'bench')
  }
  await first.done('PUT', '/v1/sticks/S-4', aStick)
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
})

const preview = (policy: object, query = '', who: Who = 'manager') =>
  house.call('POST', `/v1/policies/employer/preview${query}`, policy, who)

test('the rules in force change nothing', async () => {
  const { status, json } = await preview(inForce)
  expect(status).toBe(200)
  expect(json).toEqual({
    sticks: 4,
    changed: 0,
    dueEarlier: 0,
    dueLater: 0,
    noLongerFit: 0,
    newlyFit: 0,
    dueInMonth: {
      '2026-06': { inForce: 1, proposed: 1 },
      '2027-06': { inForce: 1, proposed: 1 },
      '2028-01': { inForce: 1, proposed: 1 },
    },
    items: [],
    next: null,
  })
})

test('from 24 months to 12: who is due when, who is due already, and nothing is written', async () => {
  const before = JSON.stringify(house.table.items())
  const { json } = await preview({ ...inForce, shorten: [yearly], effectiveFrom: '2026-03-10' })
  expect(json).toMatchObject({ sticks: 4, changed: 3, dueEarlier: 3, dueLater: 0, noLongerFit: 1 })
  expect(json.items.map((one: { stickId: string; proposed: object }) => [one.stickId, one.proposed])).toEqual([
    ['S-3', { status: 'overdue', dueOn: '2025-06-10', why: 'Its test ran out on 10 June 2025.' }],
    ['S-1', expect.objectContaining({ status: 'in service', dueOn: '2026-06-01' })],
    ['S-2', expect.objectContaining({ status: 'in service', dueOn: '2027-01-15' })],
  ])
  expect(json.dueInMonth).toEqual({
    '2025-06': { inForce: 0, proposed: 1 },
    '2026-06': { inForce: 1, proposed: 1 },
    '2027-01': { inForce: 0, proposed: 1 },
    '2027-06': { inForce: 1, proposed: 0 },
    '2028-01': { inForce: 1, proposed: 0 },
  })
  expect(JSON.stringify(house.table.items())).toBe(before)
})

test('a policy of next summer is asked on its first day', async () => {
  const { json } = await preview({ ...inForce, shorten: [yearly], effectiveFrom: '2026-07-01' })
  const s1 = json.items.find((one: { stickId: string }) => one.stickId === 'S-1')
  expect(s1).toMatchObject({ on: '2026-07-01', inForce: { status: 'in service' }, proposed: { status: 'overdue' } })
  expect(json.noLongerFit).toBe(1)
})

test('what it says comes true when the policy is put in force', async () => {
  const proposed = { ...inForce, shorten: [yearly], effectiveFrom: '2026-03-10' }
  const { json } = await preview(proposed)
  await house.done('PUT', '/v1/policies/employer', proposed, 'manager')
  for (const { stickId, proposed: told } of json.items) {
    const { status, dueOn, why } = (await house.done('GET', `/v1/sticks/${stickId}`)).json
    expect({ status, dueOn, why }).toEqual(told)
  }
})

test('a manager is told of the depots in his charge', async () => {
  expect((await preview(inForce, '', 'south manager')).json.sticks).toBe(0)
})

test('what a rule forbids is refused here as it is when put in force', async () => {
  const longer = { ...yearly, interval: { months: 36 } }
  const { status, json } = await preview({ ...inForce, shorten: [longer] })
  expect(status).toBe(422)
  expect(json.errors[0]).toMatchObject({ pointer: '/shorten/0/interval' })
  expect((await preview(inForce, '?cursor=x')).json.errors).toMatchObject([{ pointer: '/cursor' }])
  expect((await house.call('POST', '/v1/policies/other/preview', inForce)).status).toBe(404)
})
