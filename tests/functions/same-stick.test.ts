/** A new stick under an old number is held until it is tested, or until two people say that it is the old one. */
import { randomUUID } from 'node:crypto'
import { beforeEach, describe, expect, test } from 'vitest'
import { asNotice } from '../../functions/store/notices.ts'
import { messageOf } from '../support/mails.ts'
import { pagesOf } from '../support/pages.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

let house: House
beforeEach(async () => {
  house = openHouse()
  await furnish(house)
  await house.done('PUT', '/v1/sticks/S-1', stick)
  await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ at: '08:00', testedBy: 'Mia Okafor' }), 'bench')
})

const stick = { ...aStick, lot: 'L-7', inServiceSince: '2025-01-15' }
const put = (over: object, who: Who = 'manager') => house.call('PUT', '/v1/sticks/S-1', { ...stick, ...over }, who)
const stands = async () => {
  const { json } = await house.call('GET', '/v1/sticks/S-1')
  return [json.status, json.holds.map((one: { code: string }) => one.code)]
}
const held = ['on hold', ['another-stick']]
const fit = ['in service', []]
const proposalOf = async (answer: ReturnType<typeof put>) => (await answer).json.proposal.id
const approve = async (id: string, who: Who) =>
  (await house.call('POST', `/v1/proposals/${id}/approve`, {}, who)).status

describe('an entry that names', () => {
  test.each([
    ['another lot', { lot: 'L-9' }, held],
    ['another first day of service', { inServiceSince: '2025-06-01' }, held],
    ['the same ones', { diameterMillimetres: 32 }, fit],
  ])('%s', async (_, over, expected) => {
    expect((await put(over)).status).toBe(200)
    expect(await stands()).toEqual(expected)
  })

  test('what was not known holds nothing', async () => {
    const { lot: _, inServiceSince: __, ...unnamed } = stick
    await house.done('PUT', '/v1/sticks/S-2', unnamed)
    await house.done('POST', '/v1/sticks/S-2/bench-tests', aTest({ at: '08:00' }), 'bench')
    expect((await house.call('PUT', '/v1/sticks/S-2', stick, 'manager')).status).toBe(200)
    expect((await house.call('GET', '/v1/sticks/S-2')).json.status).toBe('in service')
  })
})

describe('what was proved counts again', () => {
  test('once a second person says that it is the same stick', async () => {
    await put({ lot: 'L-9' })
    const id = await proposalOf(put({ lot: 'L-9', sameStick: true }, 'manager-2'))
    expect(await stands()).toEqual(held)
    expect(await approve(id, 'owner')).toBe(200)
    expect(await stands()).toEqual(fit)
    await put({ lot: 'L-9', diameterMillimetres: 32 })
    expect(await stands()).toEqual(fit)
  })

  test.each([
    ['who proposed it', 'manager-2'],
    ['who entered the other lot', 'owner'],
    ['who did the test, by name', 'manager'],
  ] as const)('not by %s', async (_, who) => {
    await put({ lot: 'L-9' }, 'owner')
    const id = await proposalOf(put({ lot: 'L-9', sameStick: true }, 'manager-2'))
    expect(await approve(id, who)).toBe(403)
    expect(await stands()).toEqual(held)
  })

  test('not by naming the old lot again without a second person, save by its author on the same day', async () => {
    await put({ lot: 'L-9' })
    expect((await put({ lot: 'L-7' }, 'manager-2')).status).toBe(202)
    expect(await stands()).toEqual(held)
    expect((await put({ lot: 'L-7' })).status).toBe(200)
    expect(await stands()).toEqual(fit)
    await put({ lot: 'L-9' })
    house.at('2026-03-03T15:00:00.000Z')
    expect((await put({ lot: 'L-7' })).status).toBe(202)
  })

  test('by a full test, as a new stick’s', async () => {
    await put({ lot: 'L-9' })
    house.at('2026-03-03T15:00:00.000Z')
    await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-03'), at: '08:00' }), 'bench')
    expect(await stands()).toEqual(fit)
  })
})

test('a stick not relied on for primary protection says so beside its status, on pages and in mails', async () => {
  await house.done('PUT', '/v1/sticks/S-3', { ...stick, primaryProtection: false })
  await house.done('POST', '/v1/sticks/S-3/bench-tests', aTest({ at: '08:00' }), 'bench')
  const { json } = await house.call('GET', '/v1/sticks/S-3')
  expect([json.status, json.primaryProtection]).toEqual(['in service', false])
  const pages = pagesOf(house)
  for (const page of ['/roster', '/sticks/S-3']) {
    const text = await (await pages.request(page)).text()
    expect(text, page).toMatch(/in service<\/span><span class="below">not for primary protection/)
  }
  expect(await (await pages.request('/sticks/S-1')).text()).not.toContain('not for primary protection')
  const report = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  await house.done('POST', '/v1/sticks/S-3/defects', report, 'crew')
  const notice = house.table.items().find((one) => one.entity === 'notice' && one.kind === 'hold')
  expect(messageOf(asNotice(notice), 'https://pages.example').text).toMatch(/on hold, not for primary protection/)
})
