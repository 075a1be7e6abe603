/** Tests from before the service was used: kept, told as such, and counted by two people alone. */
import { randomUUID } from 'node:crypto'
import { beforeEach, describe, expect, test } from 'vitest'
import { day } from '../support/trade.ts'
import { furnish, type House, openHouse, owedOf } from './house.ts'

let house: House
beforeEach(async () => {
  house = openHouse()
  await furnish(house)
})

const stick = async (id = 'S-1') => (await house.call('GET', `/v1/sticks/${id}`)).json
const past = (over: object = {}, who: 'bench' | 'manager' | 'crew' = 'bench', id = 'S-1') =>
  house.call(
    'POST',
    `/v1/sticks/${id}/past-tests`,
    { factId: randomUUID(), testedOn: day('2025-05-14'), passed: true, ...over },
    who,
  )
const count = (over: object = {}, who: 'manager' | 'bench' | 'manager-2' = 'manager') =>
  house.call(
    'POST',
    '/v1/past-tests/counts',
    { factId: randomUUID(), stickIds: ['S-1'], reason: 'its sheet lies in the tool room', ...over },
    who,
  )
const approve = (id: string, who: 'manager' | 'manager-2' | 'owner') =>
  house.call('POST', `/v1/proposals/${id}/approve`, {}, who)

test('one that passed changes nothing and tells nobody; its answer and the history say what it is', async () => {
  const before = owedOf(house)
  const { status, json } = await past({ testedBy: 'Ole Berg', note: 'sheet 7' })
  expect([status, json.stick.status, json.stick.dueOn]).toEqual([201, 'awaiting first test', null])
  expect(json.stick.testedBefore).toEqual({ on: '2025-05-14', passed: true, countsFrom: null })
  expect(owedOf(house)).toEqual(before)
  const { items } = (await house.call('GET', '/v1/sticks/S-1/facts')).json
  expect(items.find(({ kind }: { kind: string }) => kind === 'tested before')).toMatchObject({
    before: { passed: true, testedBy: 'Ole Berg' },
  })
})

test('one that failed holds the stick, and its people are told', async () => {
  const before = owedOf(house)
  expect((await past({ passed: false })).json.stick.holds).toMatchObject([{ code: 'failed-before' }])
  expect(owedOf(house).length).toBeGreaterThan(before.length)
})

test('is taken from the bench and managers, of a day that has come', async () => {
  expect((await past({}, 'crew')).status).toBe(403)
  const late = await past({ testedOn: '2027-01-01' })
  expect([late.status, late.json.errors[0].pointer]).toEqual([422, '/testedOn'])
})

describe('that it counts', () => {
  test('waits for a second person, and then winds the clocks as the proposer’s', async () => {
    await past()
    const told = owedOf(house)
    const asked = await count()
    expect([asked.status, (await stick()).status]).toEqual([202, 'awaiting first test'])
    expect(asked.json.proposal.effect.loosens.map(({ text }: { text: string }) => text)).toEqual([
      'Stick S-1 would be due by its test of 14 May 2025, which passed and of which nobody has readings.',
    ])
    const { id } = asked.json.proposal
    expect((await approve(id, 'manager')).status).toBe(403)
    const approved = await approve(id, 'manager-2')
    expect([approved.status, approved.json.proposal.state]).toEqual([200, 'approved'])
    expect(await stick()).toMatchObject({
      status: 'in service',
      dueOn: '2027-05-14',
      testedBefore: { on: '2025-05-14', countsFrom: '2025-05-14' },
    })
    const { items } = (await house.call('GET', '/v1/sticks/S-1/facts')).json
    expect(items.at(-1)).toMatchObject({
      kind: 'test before counted',
      recordedBy: 'manager',
      approvedBy: 'manager-2',
    })
    // the crew hears nothing of what is long past
    const since = owedOf(house).filter((one) => !told.includes(one))
    expect(since.filter((one) => !one.startsWith('proposal'))).toEqual([])
    expect((await approve(id, 'owner')).status).toBe(200)
    expect(items).toHaveLength((await house.call('GET', '/v1/sticks/S-1/facts')).json.items.length)
  })

  test('is asked for by a manager alone, and approved by nobody who brought the test here', async () => {
    await past({}, 'manager')
    expect((await count({}, 'bench')).status).toBe(403)
    const { id } = (await count({}, 'manager-2')).json.proposal
    const own = await approve(id, 'manager')
    expect([own.status, (await stick()).status]).toEqual([403, 'awaiting first test'])
    expect((await approve(id, 'owner')).status).toBe(200)
    expect((await stick()).status).toBe('in service')
  })

  test('is refused where there is nothing to count', async () => {
    const none = await count()
    expect([none.status, none.json.reasons[0].code]).toEqual([409, 'nothing-to-count'])
    await past()
    await past({ passed: false, testedOn: day('2025-06-01') })
    expect((await count()).status).toBe(409)
    expect((await count({ stickIds: ['S-404'] })).status).toBe(422)
  })

  test('sent twice it is one proposal, and declined it changes nothing', async () => {
    await past()
    const factId = randomUUID()
    expect((await count({ factId })).json.proposal.id).toBe(factId)
    expect((await count({ factId })).status).toBe(202)
    expect((await count({ factId, reason: 'another' })).status).toBe(409)
    expect((await house.call('GET', '/v1/proposals?state=open')).json.items).toHaveLength(1)
    await house.call('POST', `/v1/proposals/${factId}/decline`, { reason: 'no paper' }, 'manager-2')
    expect((await stick()).status).toBe('awaiting first test')
  })

  test('is withdrawn as a slip, and so is the test itself', async () => {
    const tested = (await past()).json.factId
    const { id } = (await count()).json.proposal
    await approve(id, 'manager-2')
    const { items } = (await house.call('GET', '/v1/sticks/S-1/facts')).json
    const slip = { factId: randomUUID(), reason: 'of another stick', replacement: null }
    const counted = await house.call('POST', '/v1/corrections', { ...slip, corrects: items.at(-1).factId }, 'manager')
    expect([counted.status, (await stick()).status]).toEqual([201, 'awaiting first test'])
    const own = { ...slip, factId: randomUUID(), corrects: tested }
    expect((await house.call('POST', '/v1/corrections', own, 'manager')).status).toBe(201)
    expect((await stick()).testedBefore).toBeNull()
  })

  test('a failure is taken back by two people', async () => {
    const { factId: corrects } = (await past({ passed: false })).json
    const slip = { factId: randomUUID(), corrects, reason: 'it had passed' }
    const replacement = { factId: randomUUID(), testedOn: '2025-05-14', passed: true }
    const asked = await house.call('POST', '/v1/corrections', { ...slip, replacement }, 'manager')
    expect([asked.status, (await stick()).status]).toEqual([202, 'on hold'])
  })
})
