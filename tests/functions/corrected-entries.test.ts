/**
 * An entry that was a slip: what was judged by it is judged anew, held or let go, told in one mail a person, and
 * proved.
 */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { judgeAnewAll } from '../../functions/anew/anew.ts'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import { reindex } from '../../functions/reindex/reindex.ts'
import { toJudgeAnew } from '../../functions/store/edition-corrections.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import { aProcedure, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const ids = ['S-1', 'S-2', 'S-3']
/** Due two years later: the year was mistyped, it is due after one. */
const mistyped = { spanMetres: 0.3, calibratedOn: '2025-02-10', calibrationDueOn: '2027-02-10' }

let furnished: readonly Item[]
let house: House
let slip = ''
beforeAll(async () => {
  vi.spyOn(console, 'info').mockImplementation(() => undefined)
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  for (const id of ['S-2', 'S-3']) await first.done('PUT', `/v1/sticks/${id}`, { ...aStick, crewId: 'CR-1' })
  slip = (await first.done('PUT', '/v1/instruments/INS-2', mistyped)).json.edition
  for (const id of ids)
    await first.done(
      'POST',
      `/v1/sticks/${id}/bench-tests`,
      aTest({ factId: randomUUID(), testedOn: day('2026-02-19'), instrumentId: 'INS-2' }),
      'bench',
    )
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
})

const corrects = (more: object = {}, who: Who = 'manager') =>
  house.call(
    'POST',
    '/v1/corrections',
    {
      factId: randomUUID(),
      corrects: { register: 'instrument', id: 'INS-2', edition: slip },
      reason: 'the year was mistyped',
      replacement: { ...mistyped, calibrationDueOn: '2026-02-10' },
      ...more,
    },
    who,
  )
const stands = async (id: string) => {
  const { status, holds } = (await house.call('GET', `/v1/sticks/${id}`)).json
  return [status, ...holds.map(({ code }: { code: string }) => code)]
}
const all = () => Promise.all(ids.map(stands))
const holdsOwed = () =>
  house.table.items().filter((item) => item.entity === 'notice' && item.kind === 'hold') as unknown as Notice[]
const proved = async () => {
  for (const id of ids) expect((await proveStick(house.organisation(), id)).faults).toEqual([])
}
const codesOf = (reply: Awaited<ReturnType<typeof corrects>>) => [
  reply.status,
  ...(reply.json.reasons ?? []).map(({ code }: { code: string }) => code),
]

describe('a calibration year put right', () => {
  test('makes the tests since invalid, holds their sticks, and tells each person once', async () => {
    expect(await all()).toEqual([['in service'], ['in service'], ['in service']])
    const { status, json } = await corrects()
    expect([status, json.judgedAnew]).toEqual([201, 'all'])
    expect(await all()).toEqual(ids.map(() => ['on hold', 'test-invalid']))
    const owed = holdsOwed()
    const readers = owed.map(({ to }) => to.email)
    expect(readers).toContain('ana@crew-one.example')
    expect(new Set(readers).size).toBe(readers.length)
    for (const { lines, slip: told, cause } of owed) {
      expect([lines.length, cause]).toEqual([3, 'correction'])
      expect(told).toMatchObject({ what: 'the calibration of an instrument', reason: 'the year was mistyped' })
    }
    await proved()
  })

  test('sent again is answered and done once', async () => {
    const body = { factId: randomUUID() }
    const [first, again] = [await corrects(body), await corrects(body)]
    expect([first.status, again.status]).toEqual([201, 200])
    expect(holdsOwed().length).toBe(new Set(holdsOwed().map(({ to }) => to.email)).size)
    expect(codesOf(await corrects({ ...body, reason: 'another' }))).toEqual([409, 'fact-id-used'])
    expect(codesOf(await corrects())).toEqual([409, 'no-longer-stands'])
  })

  test('sent twice at one moment is done once too, or waits once', async () => {
    const body = { factId: randomUUID() }
    const both = await Promise.all([corrects(body), corrects(body)])
    expect(both.map(({ status }) => status).sort()).toEqual([200, 201])
    const { edition } = (await house.call('GET', '/v1/instruments/INS-2')).json
    const named = { register: 'instrument', id: 'INS-2', edition }
    const back = { factId: randomUUID(), corrects: named, replacement: mistyped }
    const waiting = await Promise.all([corrects(back), corrects(back)])
    expect(waiting.map(({ status }) => status)).toEqual([202, 202])
    expect(waiting[0].json).toEqual(waiting[1].json)
  })

  test('is looked through once more, for a test that was on its way by the slip', async () => {
    const { table } = house
    await corrects()
    expect((await toJudgeAnew(table, house.clock())).length).toBe(1)
    house.at('2026-03-10T15:05:00.000Z')
    await reindex(table, house.clock(), () => true)
    expect(await toJudgeAnew(table, house.clock())).toEqual([])
  })

  test('broken off anywhere is gone on with by the clock: nobody is left untold, nobody is told twice', async () => {
    for (const breaksAfter of [0, 1, 2]) {
      house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
      const spied = vi.spyOn(performance, 'now')
      let asked = 0
      spied.mockImplementation(() => (asked++ > breaksAfter ? Number.MAX_SAFE_INTEGER : 0))
      const { json } = await corrects()
      spied.mockRestore()
      expect(json.judgedAnew).toBe('goes on')
      house.at('2026-03-10T15:05:00.000Z')
      await reindex(house.table, house.clock(), () => true)
      expect(await all()).toEqual(ids.map(() => ['on hold', 'test-invalid']))
      const owed = holdsOwed()
      expect(owed.length).toBe(new Set(owed.map(({ to }) => to.email)).size)
      expect(await judgeAnewAll(house.table, house.clock(), () => true)).toEqual({ sticks: 0, failed: false })
      await proved()
    }
  })

  test('broken off before or after any transaction, it is recorded or not at all, and gone on with', async () => {
    vi.spyOn(console, 'error').mockImplementation(() => undefined)
    for (const where of ['crashBefore', 'crashAfter'] as const)
      for (let call = 1; call <= 8; call++) {
        house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
        const body = { factId: randomUUID() }
        house.table.trouble({ [where]: call })
        await corrects(body)
        house.table.trouble({})
        house.at('2026-03-10T15:05:00.000Z')
        await reindex(house.table, house.clock(), () => true)
        const { status } = await corrects(body)
        const isRecorded = call > 1 || where === 'crashAfter'
        expect([where, call, status]).toEqual([where, call, isRecorded ? 200 : 201])
        expect(await all()).toEqual(ids.map(() => ['on hold', 'test-invalid']))
        const owed = holdsOwed()
        expect(owed.length).toBeGreaterThan(0)
        expect(owed.length).toBe(new Set(owed.map(({ to }) => to.email)).size)
        await proved()
      }
  })

  test('the other way waits for a second person, says how many tests would be milder, then lets them go', async () => {
    const { json } = await corrects()
    expect(json.judgedAnew).toBe('all')
    const { edition } = (await house.call('GET', '/v1/instruments/INS-2')).json
    const named = { register: 'instrument', id: 'INS-2', edition }
    const back = await corrects({ corrects: named, replacement: mistyped, reason: 'it was right at first' })
    expect(back.status).toBe(202)
    const { id, effect } = back.json.proposal
    expect(effect.loosens.map(({ code }: { code: string }) => code)).toEqual([
      'calibration-lengthened',
      'judged-milder',
    ])
    expect(effect.fleet).toMatchObject({ of: 'tests', sticks: 3, milder: 3 })
    expect((await house.call('POST', `/v1/corrections/${id}/approvals`, {}, 'manager')).status).toBe(403)
    expect(await all()).toEqual(ids.map(() => ['on hold', 'test-invalid']))
    expect((await house.call('POST', `/v1/corrections/${id}/approvals`, {}, 'manager-2')).status).toBe(200)
    expect(await all()).toEqual([['in service'], ['in service'], ['in service']])
    await proved()
  })

  test('withdrawn, nothing stands in its place but what stood there: the only one is not', async () => {
    expect(codesOf(await corrects({ replacement: null }))).toEqual([409, 'only-edition'])
    const newer = { ...mistyped, calibratedOn: '2026-03-01', calibrationDueOn: '2027-03-01' }
    await house.done('PUT', '/v1/instruments/INS-2', newer)
    const reply = await corrects({ replacement: null })
    expect(reply.status).toBe(201)
    expect(await all()).toEqual(ids.map(() => ['on hold', 'test-invalid']))
    expect((await house.call('GET', '/v1/instruments/INS-2')).json.calibratedOn).toBe('2026-03-01')
    await proved()
  })
})

describe('a procedure put right', () => {
  const wrong = { ...aProcedure, limits: aProcedure.limits.map((one) => ({ ...one, microamps: one.microamps * 10 })) }

  test('holds what passed by ten times the limit', async () => {
    await house.done('PUT', '/v1/procedures/PRC-9', wrong)
    const { edition } = (await house.call('GET', '/v1/procedures/PRC-9')).json
    const high = aTest({ factId: randomUUID(), testedOn: day('2026-03-10'), at: '08:00', procedureId: 'PRC-9' })
    const readings = (high.dry?.readings ?? []).map((one) => ({ ...one, leakageMicroamps: 41 }))
    await house.done('POST', '/v1/sticks/S-1/bench-tests', { ...high, dry: { readings } }, 'bench')
    expect(await stands('S-1')).toEqual(['in service'])
    const { status } = await corrects({
      corrects: { register: 'procedure', id: 'PRC-9', edition },
      reason: 'a nought too many',
      replacement: aProcedure,
    })
    expect(status).toBe(201)
    expect(await stands('S-1')).toEqual(['on hold', 'failed-test'])
    await proved()
  })
})

describe('what is wrong is told', () => {
  test.each([
    [{ corrects: { register: 'instrument', id: 'INS-2', edition: '2026-03-02#0099' } }, 404],
    [{ corrects: { register: 'instrument', id: 'INS-99', edition: '2026-03-02#0001' } }, 404],
    [{ corrects: { register: 'crew', id: 'CR-1', edition: '2026-03-02#0001' } }, 422],
    [{ replacement: { spanMetres: 0.3 } }, 422],
    [{ replacement: { ...mistyped, calibratedOn: '2026-12-24', calibrationDueOn: '2027-12-24' } }, 422],
  ])('%j: %i', async (more, status) => {
    const reply = await corrects(more)
    expect(reply.status).toBe(status)
    expect(await all()).toEqual([['in service'], ['in service'], ['in service']])
  })

  test('and who may not edit the entry may not correct it', async () => {
    expect((await corrects({}, 'bench')).status).toBe(403)
    expect((await corrects({}, 'south manager')).status).toBe(403)
  })
})
