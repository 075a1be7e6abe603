/**
 * What a correction must not be good for: one person making a stick fitter by the way of a slip, or hiding what was
 * said of it.
 */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { judgeAnewAll } from '../../functions/anew/anew.ts'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import type { Item } from '../../functions/store/table.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { aProcedure, aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { furnish, type House, openHouse, owedOf, type Who } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  vi.spyOn(console, 'info').mockImplementation(() => undefined)
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  await first.done('PUT', '/v1/sticks/S-2', { ...aStick, crewId: 'CR-2' })
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
})

const post = (path: string, body: object, who: Who = 'bench') => house.done('POST', path, body, who)
const recorded = async (path: string, body: object, who: Who = 'bench') => {
  const factId = randomUUID()
  await post(`/v1/sticks/S-1/${path}`, { factId, ...body }, who)
  return factId
}
const tested = async (made: BenchTest, who: Who = 'bench') => {
  const one = { ...made, factId: randomUUID() }
  await post('/v1/sticks/S-1/bench-tests', one, who)
  return one
}
const passes = (on: string, over: Partial<BenchTest> = {}) => tested(aTest({ testedOn: day(on), at: '09:00', ...over }))
const fails = (on: string, over: Partial<BenchTest> = {}) =>
  tested(overTheLimit({ testedOn: day(on), at: '09:00', ...over }))
const step = (kind: string, on: string) =>
  recorded('corrective-steps', { occurredOn: on, at: '09:00', kind, by: 'Ines Roth' })
const corrects = (corrects: unknown, more: object = {}, who: Who = 'manager') =>
  house.call(
    'POST',
    '/v1/corrections',
    { factId: randomUUID(), corrects, reason: 'a slip', replacement: null, ...more },
    who,
  )
const approves = (id: string, who: Who = 'manager-2') => house.call('POST', `/v1/corrections/${id}/approvals`, {}, who)
const stands = async (id = 'S-1') => {
  const { status, holds } = (await house.call('GET', `/v1/sticks/${id}`)).json
  return [status, ...holds.map(({ code }: { code: string }) => code)]
}
const factsOf = async (kind: string, id = 'S-1') =>
  (await house.call('GET', `/v1/sticks/${id}/facts`)).json.items.filter((one: { kind: string }) => one.kind === kind)
const waysOf = ({ status, json }: Awaited<ReturnType<typeof corrects>>) => [
  status,
  ...(json.proposal?.effect.loosens ?? json.reasons ?? json.errors ?? []).map(
    (one: { code?: string; pointer?: string }) => one.code ?? one.pointer,
  ),
]
const replaced = (made: object, more: object) => ({ replacement: { ...made, factId: randomUUID(), ...more } })

describe('a register', () => {
  test('is not loosened by dating an entry of a stick anew', async () => {
    const loose = { ...aStick, primaryProtection: false }
    await house.done('PUT', '/v1/sticks/S-9', { ...loose, effectiveFrom: '2023-02-01' })
    await house.done('PUT', '/v1/sticks/S-9', { ...aStick, effectiveFrom: '2023-06-01' })
    const [first] = await factsOf('registered', 'S-9')
    const later = await corrects(first.factId, { replacement: { ...loose, effectiveFrom: '2026-03-01' } })
    expect(later.status).toBe(202)
  })

  test('is not loosened by taking back what stands in place of a slip', async () => {
    const strict = { ...aProcedure, effectiveFrom: '2026-01-01' }
    const lax = { ...aProcedure, limits: aProcedure.limits.map((one) => ({ ...one, microamps: 100 })) }
    await house.done('PUT', '/v1/procedures/PRC-9', { ...lax, effectiveFrom: '2020-01-01' })
    const { edition } = (await house.done('PUT', '/v1/procedures/PRC-9', strict, 'manager')).json
    const stricter = { ...strict, leastOverlapMetres: strict.leastOverlapMetres + 0.01 }
    const named = { register: 'procedure', id: 'PRC-9', edition }
    expect((await corrects(named, { replacement: stricter })).status).toBe(201)
    const back = await house.call('PUT', '/v1/procedures/PRC-9', { ...lax, effectiveFrom: '2026-01-01' }, 'manager')
    expect(back.status).toBe(202)
  })

  test('nor the same of a stick', async () => {
    const loose = { ...aStick, primaryProtection: false }
    await house.done('PUT', '/v1/sticks/S-9', { ...loose, effectiveFrom: '2025-02-01' })
    await house.done('PUT', '/v1/sticks/S-9', { ...aStick, effectiveFrom: '2026-02-01' })
    const [, second] = await factsOf('registered', 'S-9')
    await corrects(second.factId, { replacement: { ...aStick, effectiveFrom: '2025-02-01' } })
    const back = await house.call('PUT', '/v1/sticks/S-9', { ...loose, effectiveFrom: '2025-02-01' }, 'manager')
    expect(back.status).toBe(202)
  })

  test('that is put right for an earlier day judges the tests since that day', async () => {
    const strict = { ...aProcedure, limits: aProcedure.limits.map((one) => ({ ...one, microamps: 2.5 })) }
    const { edition } = (await house.done('PUT', '/v1/procedures/PRC-1', { ...strict, effectiveFrom: '2026-03-08' }))
      .json
    await passes('2026-03-05')
    expect(await stands()).toEqual(['in service'])
    const named = { register: 'procedure', id: 'PRC-1', edition }
    await corrects(named, { replacement: { ...strict, effectiveFrom: '2026-03-01' } }, 'manager')
    expect(await stands()).toEqual(['on hold', 'failed-test'])
  })
})

describe('judging anew', () => {
  const mistyped = { spanMetres: 0.3, calibratedOn: '2025-02-10', calibrationDueOn: '2027-02-10' }

  test('goes through a stick of sixty tests in lots, and tells each person once', async () => {
    const { edition } = (await house.done('PUT', '/v1/instruments/INS-2', mistyped)).json
    for (let i = 0; i < 60; i++)
      await passes('2026-03-09', { instrumentId: 'INS-2', at: `09:${String(i).padStart(2, '0')}` })
    const named = { register: 'instrument', id: 'INS-2', edition }
    const reply = await corrects(named, { replacement: { ...mistyped, calibrationDueOn: '2026-02-10' } })
    expect([reply.status, reply.json.judgedAnew]).toEqual([201, 'all'])
    expect(await stands()).toEqual(['on hold', 'test-invalid'])
    expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
    const holds = owedOf(house).filter((one) => one.startsWith('hold'))
    expect(holds).toHaveLength(new Set(holds).size)
  })

  test('of one stick that fails keeps no other waiting, and is said', async () => {
    vi.spyOn(console, 'error').mockImplementation(() => undefined)
    const { edition } = (await house.done('PUT', '/v1/instruments/INS-2', mistyped)).json
    for (const id of ['S-1', 'S-2'])
      await post(
        `/v1/sticks/${id}/bench-tests`,
        aTest({ factId: randomUUID(), testedOn: day('2026-03-09'), instrumentId: 'INS-2' }),
      )
    const { table } = house
    const { transact } = table
    Object.assign(table, {
      transact: (writes: Parameters<typeof transact>[0]) =>
        JSON.stringify(writes).includes('judged again') && JSON.stringify(writes).includes('STICK#S-1"')
          ? Promise.reject(new Error('too much'))
          : transact(writes),
    })
    const named = { register: 'instrument', id: 'INS-2', edition }
    const { status } = await corrects(named, { replacement: { ...mistyped, calibrationDueOn: '2026-02-10' } })
    expect(status).toBe(201)
    expect(await stands('S-2')).toEqual(['on hold', 'test-invalid'])
    expect(owedOf(house)).toContain('hold cy@crew-two.example')
    expect(await judgeAnewAll(table, house.clock(), () => true)).toEqual({ sticks: 0, failed: true })
    Object.assign(table, { transact })
    expect(await judgeAnewAll(table, house.clock(), () => true)).toEqual({ sticks: 1, failed: false })
    expect(await stands('S-1')).toEqual(['on hold', 'test-invalid'])
  })
})

describe('one person', () => {
  test('lets no failure count less by dating it anew', async () => {
    const failed = await fails('2026-03-05')
    await step('cleaned', '2026-03-06')
    const { at: _, ...unknown } = failed
    expect(waysOf(await corrects(failed.factId, replaced(unknown, { testedOn: '2026-03-06' })))).toEqual([
      202,
      'counts-less',
    ])
  })

  test('puts no report away behind one of their own', async () => {
    await passes('2026-02-25')
    const report = { occurredOn: '2026-03-08', at: '09:00', kind: 'tingle' }
    const factId = await recorded('defects', report, 'crew')
    await recorded('defects', { ...report, occurredOn: '2026-03-09' }, 'manager')
    expect(waysOf(await corrects(factId, replaced(report, { occurredOn: '2026-02-24' })))).toEqual([202, 'takes-back'])
  })

  test('withdraws neither of two repairs', async () => {
    await passes('2026-02-25')
    const first = await step('repaired', '2026-03-06')
    await step('repaired', '2026-03-07')
    expect(waysOf(await corrects(first))).toEqual([202, 'takes-back'])
  })

  test('ends no removal behind a scrapping', async () => {
    await fails('2026-03-05')
    const between = await step('cleaned', '2026-03-06')
    await fails('2026-03-07')
    await recorded('moves', { occurredOn: '2026-03-10', to: 'scrapped' })
    expect(waysOf(await corrects(between))[1]).toBe('ends-removal')
  })

  test('gives no stick to another depot’s crew', async () => {
    const [entry] = await factsOf('registered', 'S-2')
    const replacement = { ...aStick, crewId: 'CR-1' }
    expect((await corrects(entry.factId, { replacement }, 'south manager')).status).toBe(403)
  })

  test('leaves no crew untold that turns out to have a stick that must not be used', async () => {
    await passes('2026-02-25')
    const stored = await recorded('moves', { occurredOn: '2026-03-05', at: '09:00', to: { store: 'DEP-1' } })
    await recorded('defects', { occurredOn: '2026-03-06', at: '09:00', kind: 'tingle' })
    const issued = { occurredOn: '2026-03-05', at: '09:00', to: { crewId: 'CR-2' } }
    expect((await corrects(stored, replaced(issued, {}))).status).toBe(201)
    expect(owedOf(house)).toContain('hold cy@crew-two.example')
  })
})

describe('a second person', () => {
  test('is none who had a hand in what the slip stood for', async () => {
    await passes('2026-02-25')
    const failed = await fails('2026-03-05', { testedBy: 'Max Holm' })
    const other = replaced(failed, { testedBy: 'Ines Roth' })
    const { json } = await corrects(failed.factId, other)
    const { proposal } = (await corrects(json.instead.factId)).json
    expect((await approves(proposal.id, 'manager-2')).status).toBe(403)
    expect((await approves(proposal.id, 'owner')).status).toBe(200)
  })

  test('is none who entered the edition that was a slip', async () => {
    const lax = { ...aProcedure, leastOverlapMetres: aProcedure.leastOverlapMetres + 0.01 }
    const { edition } = (await house.done('PUT', '/v1/procedures/PRC-1', lax, 'manager-2')).json
    const named = { register: 'procedure', id: 'PRC-1', edition }
    const { proposal } = (await corrects(named, { replacement: aProcedure })).json
    expect((await approves(proposal.id, 'manager-2')).status).toBe(403)
    expect((await approves(proposal.id, 'owner')).status).toBe(200)
  })

  test('approves what they were told, and nothing that came since', async () => {
    const failed = await fails('2026-03-05')
    const { proposal } = (await corrects(failed.factId)).json
    await step('cleaned', '2026-03-06')
    await fails('2026-03-07')
    expect(await stands()).toEqual(['removed from service', ...(await stands()).slice(1)])
    const reply = await approves(proposal.id)
    expect(waysOf(reply)).toEqual([409, 'proposal-fallen'])
    expect((await stands())[0]).toBe('removed from service')
  })

  test('is not released past by a test that turns out to be the releaser’s own', async () => {
    await house.done('PUT', '/v1/policies/employer', { packs: ['us-29-cfr-1910-269-j'], releaseAfterFailure: true })
    await fails('2026-03-05')
    await step('cleaned', '2026-03-06')
    const passed = await passes('2026-03-07')
    await recorded('releases', { occurredOn: '2026-03-08', at: '09:00' }, 'manager')
    expect(await stands()).toEqual(['in service'])
    const own = replaced(passed, { testedBy: { personId: 'manager' } })
    expect((await corrects(passed.factId, own)).status).toBe(201)
    expect(await stands()).toEqual(['on hold', 'release-awaited'])
  })
})

describe('what is wrong with a correction is said', () => {
  test.each([123, null, {}, '', 'x', 'a#b', 'x'.repeat(3000)])('an entry under the id %j', async (factId) => {
    const [entry] = await factsOf('registered')
    const reply = await corrects(entry.factId, { replacement: { ...aStick, lot: 'L-8', factId } })
    expect(waysOf(reply)).toEqual([422, '/replacement/factId'])
  })

  test('its own stick, and nothing instead, withdraws nothing', async () => {
    const passed = await passes('2026-03-07')
    expect(waysOf(await corrects(passed.factId, { stickId: 'S-1' }))).toEqual([422, '/stickId'])
    expect(await stands()).toEqual(['in service'])
  })
})
