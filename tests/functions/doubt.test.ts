/**
 * Slips of hours, of order and of typing, each of which once let a stick be used, or a good one be removed, or nobody
 * know.
 */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import type { Item } from '../../functions/store/table.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { aDepot, aProcedure, aStick, aTest, day, overTheLimit, survey } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  await first.done('PUT', '/v1/depots/DEN', { ...aDepot, name: 'Mile yard', timeZone: 'America/Denver' })
  await first.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-02-19') }))
  furnished = first.table.items()
})
/** 10 March 2026, ten in the morning at the depot. */
beforeEach(() => {
  house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
})

const send = (door: string, body: object, who: Who = 'bench') => house.call('POST', `/v1/sticks/S-1/${door}`, body, who)
const fact = (on: string, at: string | undefined, more: object) => ({
  factId: randomUUID(),
  occurredOn: on,
  ...(at === undefined ? {} : { at }),
  ...more,
})
const reports = (kind: string, on = '2026-03-10', at?: string, who: Who = 'crew') =>
  send('defects', fact(on, at, { kind }), who)
const works = (kind: string, on: string, at?: string) =>
  send('corrective-steps', fact(on, at, { kind, by: 'Ines Roth' }))
const tests = (on: string, at: string | undefined, over: Partial<BenchTest> = {}, base = aTest) =>
  send('bench-tests', base({ testedOn: day(on), ...(at === undefined ? {} : { at }), ...over }))
const finds = (...kinds: readonly ('crack' | 'contamination')[]) => ({
  examination: { defects: kinds.map((kind) => ({ kind, open: true })), gloss: 'sound' as const },
})
const stick = async () => (await house.call('GET', '/v1/sticks/S-1')).json
const holds = async () => (await stick()).holds as { code: string; text: string; clearedBy: string }[]
const codes = async () => (await holds()).map(({ code }) => code)
const told = () => house.table.items().filter(({ entity }) => entity === 'notice').length
const proven = async () => expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])

describe('a report older than the newest pass is told, whatever else the stick is held for', () => {
  test.each<[string, () => Promise<unknown>]>([
    ['not waxed', () => tests('2026-03-10', '09:40', { waxed: false })],
    ['a newer scratch', () => tests('2026-03-10', '09:40').then(() => reports('scratch', '2026-03-10', '09:50'))],
    [
      'another entry',
      () =>
        tests('2026-03-10', '09:40').then(() =>
          house.done('PUT', '/v1/sticks/S-1', { ...aStick, diameterMillimetres: 38 }),
        ),
    ],
  ])('held for %s', async (_, before) => {
    await before()
    expect((await stick()).status).toBe('on hold')
    const known = told()
    expect((await reports('flashover', '2026-03-10', '08:00')).status).toBe(201)
    expect(told()).toBe(known + 4)
    const newest = house.table.items().filter(({ kind }) => kind === 'report')
    expect(newest).toHaveLength(4)
  })
})

describe('a clock that runs ahead', () => {
  test('a test stamped minutes ahead clears no report of the minute of its recording', async () => {
    house.at('2026-03-10T15:00:10.000Z')
    expect((await tests('2026-03-10', '10:09')).json.stick.status).toBe('in service')
    house.at('2026-03-10T15:00:40.000Z')
    expect((await reports('tingle', '2026-03-10', '10:00')).json.stick.status).toBe('on hold')
    await proven()
  })

  test('nor does a cleaning stamped ahead come after a failure of that minute', async () => {
    house.at('2026-03-10T15:00:10.000Z')
    await works('cleaned', '2026-03-10', '10:08')
    house.at('2026-03-10T15:00:40.000Z')
    await tests('2026-03-10', '10:00', {}, overTheLimit)
    house.at('2026-03-10T15:09:30.000Z')
    expect((await tests('2026-03-10', '10:09')).json.stick.status).toBe('on hold')
  })
})

describe('what an examination found', () => {
  test('a crack is not cleaned off, though dirt was found after it', async () => {
    await tests('2026-03-05', '08:00', finds('crack'))
    await tests('2026-03-06', '08:00', finds('contamination'))
    await works('cleaned', '2026-03-07')
    await tests('2026-03-08', '08:00')
    expect(await codes()).toEqual(['open-defect', 'not-mended'])
    await works('repaired', '2026-03-09', '08:00')
    expect((await tests('2026-03-09', '09:00')).json.stick.status).toBe('in service')
  })

  test('a crack found after dirt is told, and asks for a repair', async () => {
    await tests('2026-03-05', '08:00', finds('contamination'))
    const known = told()
    await tests('2026-03-06', '08:00', finds('crack'))
    expect(told()).toBe(known + 4)
    expect(await holds()).toMatchObject([
      { text: expect.stringContaining('crack'), clearedBy: expect.stringMatching(/^repaired/) },
    ])
  })

  test('is named before what was left out', async () => {
    await tests('2026-03-05', '08:00', { ...finds('crack'), cleaned: false })
    expect((await holds())[0]?.text).toMatch(/^Failed its examination: Open defect: crack.* \(and 1 more finding\)$/)
  })

  test.each(['repaired first', 'found first'])(
    'is not mended by a repair without its hour that was recorded before it: %s',
    async (order) => {
      const found = () => tests('2026-03-10', '08:00', finds('crack'))
      const repaired = () => works('repaired', '2026-03-10')
      if (order === 'repaired first') {
        await repaired()
        await found()
      } else {
        await found()
        await repaired()
      }
      house.at('2026-03-10T15:10:00.000Z')
      const { json } = await tests('2026-03-10', '10:05')
      expect(json.stick.status).toBe(order === 'repaired first' ? 'on hold' : 'in service')
      await proven()
    },
  )
})

test('a worse failure on a held stick is told, and its hold says the worst', async () => {
  await tests('2026-03-05', '08:00', {}, overTheLimit)
  const known = told()
  await tests('2026-03-06', '08:00', { dry: { readings: survey(2.4, 900) } })
  expect(told()).toBe(known + 4)
  expect((await holds()).find(({ code }) => code === 'failed-test')?.text).toContain('900')
  await tests('2026-03-07', '08:00', { dry: { readings: survey(2.4, 40) } })
  expect(told()).toBe(known + 4)
})

test('a second flashover of the same day is told; the same report sent twice is not', async () => {
  await reports('flashover', '2026-03-10', '08:00')
  const known = told()
  await reports('flashover', '2026-03-10', '08:00')
  expect(told()).toBe(known)
  await reports('flashover', '2026-03-10', '09:45', 'other crew')
  expect(told()).toBe(known + 4)
  expect((await holds())[0]?.text).toBe('Reported from use: flashover (3 times)')
})

test('a pass without wax after a failure is told to the bench and the managers', async () => {
  await tests('2026-03-05', '08:00', {}, overTheLimit)
  await works('cleaned', '2026-03-06')
  const known = told()
  await tests('2026-03-07', '08:00', { waxed: false })
  expect([await codes(), told() - known]).toEqual([['not-waxed'], 6])
})

describe('a move that is recorded late', () => {
  test('reads anew by the right clock what was told meanwhile: an older test clears it no more', async () => {
    house.at('2026-03-10T16:00:00.000Z')
    expect((await reports('tingle', '2026-03-10', '09:30')).json.stick.status).toBe('on hold')
    expect((await send('moves', fact('2026-03-09', '12:00', { to: { bench: 'DEN' } }))).status).toBe(201)
    // ten past nine in Denver was before half past nine there
    expect((await tests('2026-03-10', '09:10')).json.stick.status).toBe('on hold')
    expect((await tests('2026-03-10', '09:40')).json.stick.status).toBe('in service')
    await proven()
  })
})

describe('no good stick is removed by the order of typing', () => {
  test('cleaned without its hour on the day of the failing test', async () => {
    await tests('2026-03-03', '08:00', {}, overTheLimit)
    await works('cleaned', '2026-03-05')
    expect((await tests('2026-03-05', '08:00', {}, overTheLimit)).json.stick.status).toBe('on hold')
  })

  test('a failure judged again by a higher limit stays what it was', async () => {
    const failing = overTheLimit({ testedOn: day('2026-03-05'), at: '08:00' })
    await send('bench-tests', failing)
    await house.done('PUT', '/v1/instruments/INS-1', {
      spanMetres: 0.3,
      calibratedOn: '2026-01-05',
      calibrationDueOn: '2027-01-05',
      expandedUncertaintyPercent: 20,
      effectiveFrom: '2026-01-05',
    })
    const limits = aProcedure.limits.map((one) => ({ ...one, microamps: 24 }))
    await house.done('PUT', '/v1/procedures/PRC-1', {
      ...aProcedure,
      decision: 'guarded',
      limits,
      effectiveFrom: '2026-03-05',
    })
    const again = await send(`bench-tests/${failing.factId}/judgements`, {
      factId: randomUUID(),
      reason: 'a new table',
    })
    expect([again.status, again.json.reasons?.[0].code]).toEqual([409, 'failure-stands'])
  })
})

test('one waxing serves one test where another rule asks for a test after waxing', async () => {
  const packs = ['us-29-cfr-1910-269-j', 'ufc-3-560-01-5-4']
  await house.done('PUT', '/v1/policies/employer', { packs, effectiveFrom: '2020-01-01' })
  await works('waxed', '2026-03-02')
  expect((await tests('2026-03-03', '08:00', { waxed: false })).json.stick.status).toBe('in service')
  await tests('2026-03-05', '08:00', { waxed: false })
  expect(await codes()).toEqual(['not-waxed'])
})

test('a stick that nobody tested and somebody reported is not handed to another crew', async () => {
  await house.done('PUT', '/v1/sticks/S-9', aStick)
  await house.done('POST', '/v1/sticks/S-9/defects', fact('2026-03-10', undefined, { kind: 'flashover' }))
  expect((await house.call('PUT', '/v1/sticks/S-9', { ...aStick, crewId: 'CR-2' })).status).toBe(409)
})

describe('reports on numbers that no stick has', () => {
  const report = fact('2026-03-10', undefined, { kind: 'tingle' })
  const place = (stickId: string, who: Who = 'manager') =>
    house.call('POST', `/v1/unplaced-reports/${report.factId}/place`, { stickId }, who)
  const sends = () => house.call('POST', '/v1/sticks/S-99/defects', report, 'crew')
  beforeEach(async () => {
    expect((await sends()).status).toBe(202)
  })

  test('sent again after a stick of that number came: as before', async () => {
    await house.done('PUT', '/v1/sticks/S-99', aStick)
    expect((await sends()).status).toBe(202)
    expect((await place('S-1')).status).toBe(201)
    expect((await sends()).json).toEqual({ factId: report.factId, stickId: 'S-1', recorded: true })
  })

  test('two managers place it at once: one is first, the other is told what stands', async () => {
    const same = await Promise.all([place('S-1'), place('S-1', 'manager-2')])
    expect(same.map(({ status }) => status).sort()).toEqual([200, 201])
  })

  test('with two sticks at once: the second is refused', async () => {
    await house.done('PUT', '/v1/sticks/S-99', aStick)
    const both = await Promise.all([place('S-1'), place('S-99', 'manager-2')])
    expect(both.map(({ status }) => status).sort()).toEqual([201, 409])
  })
})

test('twenty who report danger on one stick at one moment are all heard', async () => {
  const replies = await Promise.all(Array.from({ length: 20 }, () => reports('drop')))
  expect(replies.map(({ status }) => status)).toEqual(Array(20).fill(201))
})

test('a loan to the end of the calendar is a fault, and no failure of ours', async () => {
  const move = fact('2026-03-10', undefined, { to: { lentTo: 'Neighbours', returnBy: '9999-12-31' } })
  expect((await send('moves', move)).status).toBe(422)
})

test('a history too long for one answer comes in parts, each fact once and in order', async () => {
  const defects = Array.from({ length: 90 }, () => ({ kind: 'scratch' as const, open: false, note: 'n'.repeat(4000) }))
  for (let i = 0; i < 13; i++)
    expect((await tests('2026-03-09', `08:${10 + i}`, { examination: { defects, gloss: 'sound' } })).status).toBe(201)
  const ids: string[] = []
  let parts = 0
  for (let query = ''; ; parts++) {
    const { text, json } = await house.call('GET', `/v1/sticks/S-1/facts${query}`)
    expect(text.length).toBeLessThan(5_000_000)
    ids.push(...json.items.map(({ factId }: { factId: string }) => factId))
    if (json.next === null) break
    query = `?cursor=${json.next}`
  }
  expect([parts > 0, ids.length, new Set(ids).size]).toEqual([true, 15, 15])
  expect((await house.call('GET', '/v1/sticks/S-1/facts?cursor=nonsense')).status).toBe(422)
})
