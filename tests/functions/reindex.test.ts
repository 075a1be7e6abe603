/**
 * After a change of the rules, or of a crew's depot: the lists page by page, and nobody left with a wrong label untold.
 */
import { beforeAll, describe, expect, test } from 'vitest'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import { reindex } from '../../functions/reindex/reindex.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { StoredStick } from '../../functions/store/sticks.ts'
import type { Item } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { aCrew, aDepot, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

const usRules = { packs: ['us-29-cfr-1910-269-j'] }
const rule = 'us-29-cfr-1910-269-j-frp'
const yearly = { ...usRules, shorten: [{ requirement: rule, interval: { months: 12 }, source: 'company rule 7' }] }
const size = 130
/** Asks for what no stick here has: each awaits it, and no date is left to tell of. */
const neverMet = {
  id: 'own-rule',
  words: 'covered by a certificate',
  source: { cited: 'company rule 8', jurisdiction: 'the employer', confidence: 'the employer’s own' },
  evidence: ['certificate'],
  interval: null,
  appliesTo: { primaryProtectionOnly: false, constructions: ['foam-filled FRP tube'] },
  legalMaximum: false,
}

let fleet: readonly Item[]
beforeAll(async () => {
  const house = openHouse([], '2026-02-01T15:00:00.000Z')
  await furnish(house)
  house.at('2026-03-02T15:00:00.000Z')
  for (let i = 0; i < size; i++) {
    const stickId = `T-${String(i).padStart(3, '0')}`
    await house.done('PUT', `/v1/sticks/${stickId}`, aStick)
    // every other one more than a year ago
    const testedOn = day(i % 2 === 0 ? '2024-11-20' : '2025-09-10')
    await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest({ testedOn }))
  }
  await sweep(house.table, house.clock)
  fleet = house.table.items()
})

const opened = async () => {
  const house = openHouse(fleet, '2026-03-10T15:00:00.000Z')
  await house.done('PUT', '/v1/policies/employer', yearly)
  return house
}
const run = (house: House, mayGoOn = () => true) => reindex(house.table, house.clock(), mayGoOn)
const stick = async (house: House, id: string) => (await house.call('GET', `/v1/sticks/${id}`)).json
const states = (house: House) =>
  house.table
    .items()
    .filter((item) => item.entity === 'stick' && String(item.stickId).startsWith('T-')) as unknown as (StoredStick & {
    standingSort: string
    nextTellOn?: string
  })[]
const overdue = async (house: House) => {
  const ids: string[] = []
  let cursor = ''
  for (;;) {
    const { json } = await house.call('GET', `/v1/roster?status=overdue&limit=20${cursor}`)
    ids.push(...json.items.map(({ stickId }: { stickId: string }) => stickId))
    if (json.next === null) return ids
    cursor = `&cursor=${encodeURIComponent(json.next)}`
  }
}
const digestsOf = (house: House, on: string) =>
  house.table
    .items()
    .filter((item) => item.entity === 'notice' && item.kind === 'digest' && item.day === on) as unknown as Notice[]

describe('a shorter interval', () => {
  test('binds every answer about a stick at once, and the roster too', async () => {
    const house = await opened()
    expect(await stick(house, 'T-000')).toMatchObject({ status: 'overdue', dueOn: '2025-11-20' })
    expect((await stick(house, 'T-000')).governedBy.source).toBe('company rule 7, within 29 CFR 1910.269(j)(2)(iii)')
    expect(await stick(house, 'T-001')).toMatchObject({ status: 'in service', dueOn: '2026-09-10' })
    expect(new Set(await overdue(house)).size).toBe(size / 2)
  })

  test('is written into every list once, in pages that can break off and go on', async () => {
    const house = await opened()
    let pages = 0
    expect(await run(house, () => ++pages <= 1)).toMatchObject({ finished: false })
    const halfway = states(house).filter(({ shownDueOn }) => shownDueOn === '2025-11-20').length
    expect(halfway).toBeGreaterThan(0)
    expect(halfway).toBeLessThan(size / 2)
    expect(new Set(await overdue(house)).size).toBe(size / 2)
    expect(await run(house)).toMatchObject({ finished: true })
    for (const { standingSort, shownDueOn } of states(house)) expect(standingSort.slice(0, 10)).toBe(shownDueOn)
    expect((await overdue(house)).length).toBe(size / 2)
    const written = house.table.written()
    expect(await run(house)).toEqual({ sticks: 0, finished: true })
    expect(house.table.written()).toBe(written)
  })

  test('is told in the next digest, once, with the date that the label still shows', async () => {
    const house = await opened()
    await run(house)
    house.at('2026-03-11T15:00:00.000Z')
    await sweep(house.table, house.clock)
    const digests = digestsOf(house, '2026-03-11')
    // the managers hear of those alone that are overdue
    expect(digests.map(({ to, lines }) => [to.email, lines.length]).sort()).toEqual([
      ['ana@crew-one.example', size],
      ['bo@crew-one.example', size],
      ['manager-2@demo-utility.example', size / 2],
      ['manager@demo-utility.example', size / 2],
      ['owner@demo-utility.example', size / 2],
    ])
    for (const { to, lines } of digests) {
      const from = to.role === 'manager' ? ['2026-11-20'] : ['2026-11-20', '2027-09-10']
      expect(new Set(lines.map(({ broughtForwardFrom }) => broughtForwardFrom))).toEqual(new Set(from))
    }
    // sixteen weeks to the day since 2025-11-20: the overdue ones alone are spoken of again, and their label no more
    house.at('2026-03-12T15:00:00.000Z')
    await sweep(house.table, house.clock)
    for (const { lines } of digestsOf(house, '2026-03-12')) {
      expect(lines).toHaveLength(size / 2)
      expect(lines.some(({ broughtForwardFrom }) => broughtForwardFrom !== undefined)).toBe(false)
    }
  })

  test('after this morning’s digest is told tomorrow, though that digest named the stick', async () => {
    const due = (id: string) => ({ ...aTest({ testedOn: day('2024-03-12') }), factId: id })
    const house = openHouse(fleet, '2026-03-10T15:00:00.000Z')
    await house.done('PUT', '/v1/sticks/T-900', aStick)
    await house.done('POST', '/v1/sticks/T-900/bench-tests', due('0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0900'))
    house.table.settled()
    await sweep(house.table, house.clock)
    const named = (on: string) =>
      digestsOf(house, on)
        .filter(({ to }) => to.email === 'ana@crew-one.example')
        .flatMap(({ lines }) => lines.filter(({ stickId }) => stickId === 'T-900').map(({ dueOn }) => dueOn))
    expect(named('2026-03-10')).toEqual(['2026-03-12'])
    const shorter = { requirement: rule, interval: { months: 23 }, source: 'company rule 7' }
    await house.done('PUT', '/v1/policies/employer', { ...usRules, shorten: [shorter] })
    house.at('2026-03-10T16:00:00.000Z')
    await run(house)
    await sweep(house.table, house.clock)
    house.at('2026-03-11T15:00:00.000Z')
    await sweep(house.table, house.clock)
    expect(named('2026-03-11')).toEqual(['2026-02-12'])
  })

  test('of a stick written to meanwhile is told with what was written', async () => {
    const house = await opened()
    const use = { factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f00aa', occurredOn: '2026-03-10' }
    await house.done('POST', '/v1/sticks/T-001/uses', use)
    const notices = house.table
      .items()
      .filter((item) => item.entity === 'notice' && item.kind === 'date brought forward')
    expect(notices).toHaveLength(4)
    await run(house)
    expect(states(house).find(({ stickId }) => stickId === 'T-001')?.broughtForwardFrom).toBeUndefined()
  })

  test('of a stick that is written to all the time is not taken for done', async () => {
    const house = await opened()
    house.table.trouble({ lose: [1, 2, 3, 4, 5, 6] })
    await expect(run(house)).rejects.toThrow('was being written to')
    house.table.trouble({})
    expect(await run(house)).toMatchObject({ finished: true })
    expect(new Set(states(house).map(({ writtenUnder }) => writtenUnder)).size).toBe(1)
  })

  test('with its day in the future waits for that day', async () => {
    const house = openHouse(fleet, '2026-03-10T15:00:00.000Z')
    await house.done('PUT', '/v1/policies/employer', { ...yearly, effectiveFrom: '2026-04-01' })
    expect((await stick(house, 'T-000')).dueOn).toBe('2026-11-20')
    expect(await run(house)).toEqual({ sticks: 0, finished: true })
    // it has begun at the depot in Chicago an hour after midnight there, and not before
    house.at('2026-04-01T04:59:00.000Z')
    expect((await run(house)).sticks).toBe(0)
    house.at('2026-04-01T05:01:00.000Z')
    expect((await stick(house, 'T-000')).status).toBe('overdue')
    expect((await run(house)).sticks).toBeGreaterThanOrEqual(size)
  })
})

test('a longer policy again leaves nothing brought forward behind', async () => {
  const house = await opened()
  await run(house)
  await house.done('PUT', '/v1/policies/employer', { ...usRules, effectiveFrom: '2026-03-10' })
  await run(house)
  expect((await stick(house, 'T-000')).dueOn).toBe('2026-11-20')
  for (const { shownDueOn, standingSort } of states(house)) expect(standingSort.slice(0, 10)).toBe(shownDueOn)
  house.at('2026-03-11T15:00:00.000Z')
  await sweep(house.table, house.clock)
  expect(digestsOf(house, '2026-03-11')).toEqual([])
})

test('what would lengthen past the rule is refused, and names it', async () => {
  const house = openHouse(fleet, '2026-03-10T15:00:00.000Z')
  const longer = { ...usRules, shorten: [{ requirement: rule, interval: { months: 30 }, source: 'company rule 7' }] }
  const { status, json } = await house.call('PUT', '/v1/policies/employer', longer)
  expect(status).toBe(422)
  expect(json.errors).toMatchObject([
    {
      pointer: '/shorten/0/interval',
      expected: 'an interval no longer than the rule’s own, 24 months (29 CFR 1910.269(j)(2)(iii))',
    },
  ])
})

test('what an earlier build wrote by other rule packs is written anew, with no change by the employer', async () => {
  const house = await opened()
  await run(house)
  expect(await run(house)).toMatchObject({ sticks: 0 })
  const byOtherPacks = (id: unknown) => String(id).replace(/\/.*/, '/00000000')
  const older = house.table.items().map((item) => ({
    ...item,
    ...(item.entity === 'reindexed' ? { rules: byOtherPacks(item.rules) } : {}),
    ...(item.entity === 'stick' ? { writtenUnder: byOtherPacks(item.writtenUnder) } : {}),
  }))
  const later = openHouse(older, '2026-03-10T16:00:00.000Z')
  expect(await run(later)).toMatchObject({ finished: true })
  const ids = new Set(states(later).map(({ writtenUnder }) => writtenUnder))
  expect(ids).toEqual(new Set(states(house).map(({ writtenUnder }) => writtenUnder)))
  expect(ids.size).toBe(1)
})

test('what an earlier build folded otherwise is folded anew and told of; it proves itself throughout', async () => {
  const house = openHouse(fleet, '2026-03-10T15:00:00.000Z')
  const crack = { factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0042', occurredOn: '2026-03-09', kind: 'crack' }
  await house.done('POST', '/v1/sticks/T-004/defects', crack)
  await house.done(
    'POST',
    '/v1/sticks/T-006/moves',
    { factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0043', occurredOn: '2026-03-09', to: 'scrapped' },
    'manager',
  )
  // it kept no holds, and so listed the stick as usable
  const older = house.table.items().map((item) => ({
    ...item,
    ...(item.entity === 'reindexed' ? { rules: 'older' } : {}),
    ...(item.entity === 'stick' ? { writtenUnder: 'older', shape: 1 } : {}),
    ...(item.entity === 'stick' && item.stickId === 'T-004'
      ? { state: { ...(item.state as object), holds: [] }, seen: 'usable', held: undefined }
      : {}),
  }))
  const later = openHouse(older, '2026-03-10T16:00:00.000Z')
  expect((await proveStick(later.organisation(), 'T-004')).faults).toEqual([])
  const before = later.table.items().filter(({ kind }) => kind === 'hold').length
  const runOfThreePages = () => {
    let pages = 0
    return run(later, () => pages++ < 3)
  }
  let runs = 1
  while (!(await runOfThreePages()).finished && runs < 20) runs += 1
  expect(runs).toBeGreaterThan(1)
  expect(runs).toBeLessThan(20)
  later.table.settled()
  await run(later)
  for (const { shape, stickId } of states(later)) {
    expect([stickId, shape]).toEqual([stickId, shapeOfState])
    expect((await proveStick(later.organisation(), stickId)).faults).toEqual([])
  }
  expect(await stick(later, 'T-004')).toMatchObject({ status: 'on hold' })
  const told = later.table.items().filter(({ kind }) => kind === 'hold') as unknown as Notice[]
  expect(told.slice(before).map(({ cause, lines }) => `${cause} ${lines.map(({ stickId }) => stickId)}`)).toEqual(
    Array.from({ length: 4 }, () => 'rules T-004'),
  )
})

describe('what an earlier build kept of a stick', () => {
  /** Without what the fold and the lists keep since. */
  const older = (item: Item): Item => {
    if (item.entity !== 'stick') return item
    const { shownDueOn: _, broughtForwardFrom: __, writtenUnder: ___, shape: ____, ...kept } = item
    const { custodySpells: _____, uses: ______, events: _______, ...state } = item.state as Record<string, unknown>
    return { ...kept, state }
  }
  const use = { factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f00bb', occurredOn: '2026-03-10' }

  test('reads as it did, and is folded anew with its next fact', async () => {
    const house = openHouse(fleet.map(older), '2026-03-10T15:00:00.000Z')
    expect(await stick(house, 'T-001')).toMatchObject({ status: 'in service', dueOn: '2027-09-10' })
    expect((await house.call('GET', '/v1/roster')).json.items.length).toBeGreaterThan(0)
    expect((await proveStick(house.organisation(), 'T-001')).faults).toEqual([])
    await house.done('POST', '/v1/sticks/T-001/uses', use)
    expect((await proveStick(house.organisation(), 'T-001')).faults).toEqual([])
  })

  test('is written into the lists by a change of the rules like any other', async () => {
    const house = openHouse(fleet.map(older), '2026-03-10T15:00:00.000Z')
    await house.done('PUT', '/v1/policies/employer', yearly)
    expect(await run(house)).toMatchObject({ finished: true })
    expect((await overdue(house)).length).toBe(size / 2)
  })
})

test('a stick that nobody is to be told of any more leaves the list of those who are', async () => {
  const house = openHouse(fleet, '2026-03-10T15:00:00.000Z')
  await house.done('PUT', '/v1/policies/employer', { ...usRules, add: [neverMet] })
  await run(house)
  for (const { nextTellOn } of states(house)) expect(nextTellOn).toBeUndefined()
})

describe('a crew that moves to another depot', () => {
  const south = { ...aCrew, depotId: 'DEP-2' }
  const stored = '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f00cc'
  const moved = async (effectiveFrom = '2026-03-10') => {
    const house = openHouse(fleet, '2026-03-10T15:00:00.000Z')
    await run(house)
    await house.done('POST', '/v1/sticks/T-003/moves', {
      factId: stored,
      occurredOn: '2026-03-10',
      to: { store: 'DEP-1' },
    })
    await house.done('PUT', '/v1/crews/CR-1', { ...south, effectiveFrom })
    return house
  }
  const seen = (house: House) => house.call('GET', '/v1/sticks/T-001', undefined, 'south manager')
  const lying = (house: House, depotId: string) => states(house).filter((one) => one.depotId === depotId).length

  test('takes its sticks along, save those that lie in a store, and says so once', async () => {
    const house = await moved()
    expect((await seen(house)).status).toBe(403)
    expect(await run(house)).toEqual({ sticks: size, finished: true })
    expect([lying(house, 'DEP-1'), lying(house, 'DEP-2')]).toEqual([1, size - 1])
    expect(states(house).find(({ stickId }) => stickId === 'T-003')?.depotId).toBe('DEP-1')
    const written = house.table.written()
    expect(await run(house)).toEqual({ sticks: 0, finished: true })
    expect(house.table.written()).toBe(written)
    expect((await proveStick(house.organisation(), 'T-001')).faults).toEqual([])
  })

  test('puts them into the hands and the roster of the depot that it belongs to now', async () => {
    const house = await moved()
    await run(house)
    expect((await seen(house)).json).toMatchObject({ status: 'in service', depotId: 'DEP-2' })
    const use = { factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f00dd', occurredOn: '2026-03-10' }
    expect((await house.call('POST', '/v1/sticks/T-001/uses', use, 'south manager')).status).toBe(201)
    const listed = async (depot: string) => (await house.call('GET', `/v1/roster?depot=${depot}`)).json.items
    expect((await listed('DEP-1')).map(({ stickId }: { stickId: string }) => stickId)).toEqual(['T-003'])
    expect((await listed('DEP-2')).length).toBeGreaterThan(1)
  })

  test('is told of in the morning of that depot, and its managers with it', async () => {
    const house = await moved()
    await run(house)
    house.at('2026-03-11T15:00:00.000Z')
    await house.done('PUT', '/v1/policies/employer', yearly)
    await run(house)
    await sweep(house.table, house.clock)
    const theirs = digestsOf(house, '2026-03-11').find(({ to }) => to.email === 'sol@demo-utility.example')
    expect(theirs?.lines).toHaveLength(size / 2)
    expect(new Set(theirs?.lines.map(({ bringTo }) => bringTo))).toEqual(new Set(['South yard']))
  })

  test('on a day to come takes them along on that day', async () => {
    const house = await moved('2026-03-12')
    expect((await run(house)).sticks).toBe(0)
    house.at('2026-03-12T15:00:00.000Z')
    expect((await run(house)).sticks).toBe(size)
  })

  test('there and back between two runs leaves no stick behind', async () => {
    const house = await moved()
    const use = { factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f00ee', occurredOn: '2026-03-10' }
    await house.done('POST', '/v1/sticks/T-001/uses', use)
    await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, effectiveFrom: '2026-03-10' })
    expect(lying(house, 'DEP-2')).toBe(1)
    await run(house)
    expect(lying(house, 'DEP-2')).toBe(0)
  })

  test('takes along what was given to it at the old depot in the hour of the move', async () => {
    const house = openHouse(fleet, '2026-03-10T15:00:00.000Z')
    await house.done('PUT', '/v1/depots/DEP-2', { ...aDepot, name: 'South yard', timeZone: 'America/New_York' })
    const toStore = { factId: stored, occurredOn: '2026-03-10', to: { store: 'DEP-1' } }
    await house.done('POST', '/v1/sticks/T-003/moves', toStore)
    await house.done('PUT', '/v1/crews/CR-1', { ...south, effectiveFrom: '2026-03-11' })
    // it is the 11th in New York, and not yet in Chicago
    house.at('2026-03-11T04:30:00.000Z')
    await run(house)
    const issue = {
      factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f00ff',
      occurredOn: '2026-03-10',
      to: { crewId: 'CR-1' },
    }
    await house.done('POST', '/v1/sticks/T-003/moves', issue)
    house.at('2026-03-12T15:00:00.000Z')
    await run(house)
    expect(states(house).find(({ stickId }) => stickId === 'T-003')?.depotId).toBe('DEP-2')
  })

  test('in a run that breaks off or meets another writer is gone on with', async () => {
    const house = await moved()
    let pages = 0
    expect(await run(house, () => ++pages <= 1)).toMatchObject({ finished: false })
    expect(lying(house, 'DEP-2')).toBeGreaterThan(0)
    expect(lying(house, 'DEP-2')).toBeLessThan(size - 1)
    house.table.trouble({ lose: [1, 2, 3, 4, 5, 6] })
    await expect(run(house)).rejects.toThrow('was being written to')
    house.table.trouble({})
    expect(await run(house)).toMatchObject({ finished: true })
    expect(lying(house, 'DEP-2')).toBe(size - 1)
  })
})
