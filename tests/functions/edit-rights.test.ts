/** Who edits what on the registers: of their own depots alone, to nobody's own gain, and never the last owner away. */
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { aCrew, aDepot, anInstrument, aProcedure, aStick } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

let furnished: readonly Item[]
let house: House
const person = (role: string, depots: string[], over: object = {}) => ({
  name: 'Nils Orr',
  email: 'nils@demo-utility.example',
  role,
  depots,
  ...over,
})
const sol = { name: 'Sol Aker', email: 'sol@demo-utility.example', role: 'manager', depots: ['DEP-2'] }
const owner = { name: 'Olu Adeyemi', email: 'olu@demo-utility.example', role: 'owner', depots: ['*'] }

beforeAll(async () => {
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-02T15:00:00.000Z')
})

const put = async (path: string, body: object, who: Who = 'south manager') => {
  const { status, json } = await house.call('PUT', `/v1/${path}`, body, who)
  return { status, json }
}
const statusOf = async (...put_: Parameters<typeof put>) => (await put(...put_)).status
const refusedAt = async (...put_: Parameters<typeof put>) => {
  const before = house.table.written()
  const { status, json } = await put(...put_)
  expect(house.table.written()).toBe(before)
  return [status, json.errors?.[0]?.pointer ?? json.reasons?.[0]?.code ?? null]
}

describe('a manager of one depot', () => {
  const south = { name: 'Crew two', depotId: 'DEP-2', recipients: [] }

  test.each<[string, object]>([
    ['depots/DEP-2', { ...aDepot, name: 'South' }],
    ['crews/CR-2', south],
    ['crews/CR-9', south],
    ['people/nils', person('bench', ['DEP-2'])],
    ['people/nils', person('manager', ['DEP-2'])],
    ['people/nils', person('crew', [], { crewId: 'CR-2' })],
    ['people/south-manager', { ...sol, name: 'Sol A.' }],
    ['sticks/S-9', { ...aStick, crewId: 'CR-2' }],
  ])('edits %s: %j', async (path, body) => {
    expect([200, 201]).toContain(await statusOf(path, body))
  })

  test.each<[string, object]>([
    ['depots/DEP-1', { ...aDepot, name: 'Mine' }],
    ['depots/DEP-9', aDepot],
    ['crews/CR-1', { ...aCrew, recipients: [] }],
    ['crews/CR-1', { ...aCrew, depotId: 'DEP-2' }],
    ['crews/CR-2', { ...south, depotId: 'DEP-1' }],
    ['crews/CR-9', aCrew],
    ['people/nils', person('bench', ['DEP-1'])],
    ['people/nils', person('bench', ['DEP-1', 'DEP-2'])],
    ['people/nils', person('bench', ['*'])],
    ['people/nils', person('crew', [], { crewId: 'CR-1' })],
    ['people/nils', person('crew', [], { crewId: 'NOT-YET' })],
    ['people/nils', person('owner', ['DEP-2'])],
    ['people/crew', person('crew', [], { crewId: 'CR-2' })],
    ['people/bench', person('bench', ['DEP-2'])],
    ['people/manager', person('crew', [])],
    ['people/south-manager', { ...sol, depots: ['*'] }],
    ['people/south-manager', { ...sol, depots: ['DEP-1', 'DEP-2'] }],
    ['sticks/S-9', aStick],
    ['sticks/S-1', { ...aStick, crewId: 'CR-2' }],
    ['procedures/PRC-1', aProcedure],
    ['policies/employer', { packs: ['us-29-cfr-1910-269-j'] }],
    ['instruments/INS-1', anInstrument],
  ])('does not edit %s: %j', async (path, body) => {
    expect((await refusedAt(path, body))[0]).toBe(403)
  })

  test('does not hand one of its sticks to a crew of another, nor edit a crew that is to come from there', async () => {
    await house.done('PUT', '/v1/sticks/S-2', { ...aStick, crewId: 'CR-2' })
    expect(await statusOf('sticks/S-2', { ...aStick, crewId: 'CR-1' })).toBe(403)
    expect(await statusOf('sticks/S-2', { ...aStick, crewId: 'CR-2', lot: 'L-9' })).toBe(200)
    await house.done('PUT', '/v1/crews/CR-2', { ...south, depotId: 'DEP-1', effectiveFrom: '2030-01-01' })
    expect(await statusOf('crews/CR-2', { ...south, name: 'Mine still' })).toBe(403)
    await house.done('PUT', '/v1/people/nils', person('bench', ['DEP-2']))
    await house.done('PUT', '/v1/people/nils', person('bench', ['DEP-1'], { effectiveFrom: '2030-01-01' }))
    expect(await statusOf('people/nils', person('bench', ['DEP-2'], { name: 'Nils O.' }))).toBe(403)
  })

  test('is told why', async () => {
    expect((await put('crews/CR-1', aCrew)).json.detail).toContain('a depot that is not yours')
    expect((await put('policies/employer', { packs: ['us-mo-200'] })).json.detail).toContain('belongs to no depot')
    expect((await put('people/manager', sol)).json.detail).toContain('not yours')
  })
})

describe('a manager of every depot', () => {
  test('edits all that, and what belongs to no depot; the bench enters instruments', async () => {
    expect(await statusOf('depots/DEP-9', aDepot, 'manager')).toBe(201)
    expect(await statusOf('crews/CR-1', { ...aCrew, depotId: 'DEP-2' }, 'manager')).toBe(200)
    expect(await statusOf('people/nils', person('manager', ['*']), 'manager')).toBe(201)
    expect(await statusOf('procedures/PRC-9', aProcedure, 'manager')).toBe(201)
    expect(await statusOf('instruments/INS-9', anInstrument, 'bench')).toBe(201)
  })

  test('does not widen its own rights either', async () => {
    const mia = person('manager', ['*'])
    await house.done('PUT', '/v1/people/manager', { ...mia, until: '2026-06-30' })
    expect(await refusedAt('people/manager', mia, 'manager')).toEqual([403, null])
    expect(await refusedAt('people/manager', { ...mia, until: '2026-07-01' }, 'manager')).toEqual([403, null])
    expect(await statusOf('people/manager', { ...mia, until: '2026-06-30', name: 'Mia' }, 'manager')).toBe(200)
    expect(await statusOf('people/manager', { ...mia, until: '2026-05-31' }, 'manager')).toBe(200)
  })

  test('not by an edition that comes before one to come either', async () => {
    const to = { effectiveFrom: '2026-04-01' }
    await house.done('PUT', '/v1/people/manager', person('manager', ['DEP-1'], to))
    expect(
      await refusedAt('people/manager', person('manager', ['*'], { effectiveFrom: '2026-05-01' }), 'manager'),
    ).toEqual([403, null])
  })
})

describe('an owner', () => {
  test('is entered and changed by no manager, neither today’s nor one to come', async () => {
    await house.done('PUT', '/v1/people/olu', owner)
    await house.done('PUT', '/v1/people/ode', { ...owner, effectiveFrom: '2030-01-01' })
    for (const id of ['olu', 'ode']) expect(await statusOf(`people/${id}`, person('crew', []), 'manager')).toBe(403)
    // stepping down in 2030 is an owner until then
    await house.done('PUT', '/v1/people/oda', owner)
    await house.done('PUT', '/v1/people/oda', person('bench', ['*'], { effectiveFrom: '2030-01-01' }))
    expect(await statusOf('people/oda', person('crew', []), 'manager')).toBe(403)
  })

  test('steps down, ends, or is to, where another stays; the last one does not', async () => {
    const stepsDown = person('crew', [])
    const last = [
      stepsDown,
      { ...stepsDown, effectiveFrom: '2030-01-01' },
      { ...owner, until: '2026-03-01' },
      { ...owner, until: '2030-01-01' },
    ]
    for (const body of last) expect(await refusedAt('people/owner', body, 'owner')).toEqual([409, 'last-owner'])
    await house.done('PUT', '/v1/people/olu', { ...owner, until: '2029-12-31' })
    expect(await statusOf('people/owner', stepsDown, 'owner')).toBe(409)
    await house.done('PUT', '/v1/people/olu', owner)
    expect(await statusOf('people/owner', stepsDown, 'owner')).toBe(200)
    expect((await house.call('GET', '/v1/people', undefined, 'owner')).status).toBe(403)
    expect(await refusedAt('people/olu', stepsDown, 'second owner')).toEqual([409, 'last-owner'])
  })

  test('two who step down in one moment do not both: one stays', async () => {
    await house.done('PUT', '/v1/people/olu', owner)
    const down = (id: string, who: Who) => statusOf(`people/${id}`, person('crew', []), who)
    expect((await Promise.all([down('olu', 'second owner'), down('owner', 'owner')])).sort()).toEqual([200, 409])
    const { items } = (await house.call('GET', '/v1/people', undefined, 'manager')).json
    expect(items.filter((one: { role: string }) => one.role === 'owner')).toHaveLength(1)
  })

  test('does not take back by themself that they step down one day: another owner does', async () => {
    await house.done('PUT', '/v1/people/olu', owner)
    const to = { effectiveFrom: '2030-01-01' }
    await house.done('PUT', '/v1/people/olu', person('crew', [], to))
    expect(await refusedAt('people/olu', { ...owner, ...to }, 'second owner')).toEqual([403, null])
    expect(await statusOf('people/olu', { ...owner, ...to }, 'owner')).toBe(200)
  })
})

describe('an edition that takes a right away', () => {
  const bench = person('bench', ['*'], { email: 'bench@demo-utility.example' })

  test.each([
    { ...bench, depots: ['DEP-1'] },
    { ...bench, role: 'crew', depots: [] },
    { ...bench, until: '2026-02-10' },
  ])('binds from today, and is refused where it would bind no more: %j', async (body) => {
    expect(await refusedAt('people/bench', { ...body, effectiveFrom: '2026-02-19' }, 'manager')).toEqual([
      422,
      '/effectiveFrom',
    ])
    expect(await statusOf('people/bench', { ...body, effectiveFrom: '2026-02-20' }, 'manager')).toBe(200)
    const isIn = body.depots.includes('DEP-1')
    expect((await house.call('GET', '/v1/sticks/S-1', undefined, 'bench')).status).toBe(
      isIn ? 200 : 'until' in body ? 401 : 403,
    )
  })

  test('and one dated earlier that takes nothing is taken', async () => {
    expect(await statusOf('people/bench', { ...bench, name: 'Ines R.', effectiveFrom: '2026-02-01' }, 'manager')).toBe(
      200,
    )
  })

  test('for good is not undone by one to come: that is put right first', async () => {
    await house.done('PUT', '/v1/people/bench', { ...bench, depots: ['DEP-1'], effectiveFrom: '2026-04-01' })
    const ended = { ...bench, until: '2026-03-01' }
    const { status, json } = await put('people/bench', ended, 'manager')
    expect([status, json.errors[0].pointer]).toEqual([422, '/effectiveFrom'])
    expect(json.errors[0].expected).toContain('2026-04-01')
    expect(await statusOf('people/bench', { ...ended, effectiveFrom: '2026-04-01' }, 'manager')).toBe(200)
    expect(await statusOf('people/bench', ended, 'manager')).toBe(200)
    house.at('2026-04-02T15:00:00.000Z')
    expect((await house.call('GET', '/v1/sticks/S-1', undefined, 'bench')).status).toBe(401)
  })

  test('an entry for a day to come gives nothing before it', async () => {
    await house.done('PUT', '/v1/people/stranger', person('manager', ['*'], { effectiveFrom: '2026-04-01' }))
    expect((await house.call('GET', '/v1/people', undefined, 'stranger')).status).toBe(403)
    expect((await house.organisation().peopleNow(house.clock())).map(({ name }) => name)).not.toContain('Nils Orr')
    house.at('2026-04-01T00:00:00.000Z')
    expect((await house.call('GET', '/v1/people', undefined, 'stranger')).status).toBe(200)
  })
})
