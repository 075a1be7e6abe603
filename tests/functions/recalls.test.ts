/** Recalls through the API on a table in memory: who is held, who is told and once, and when one may be closed. */
import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { followUp } from '../../functions/follow-up/follow-up.ts'
import { proveRecalls } from '../../functions/prove-states/prove-recalls.ts'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import { reindex } from '../../functions/reindex/reindex.ts'
import type { Notice } from '../../functions/store/notices.ts'
import { type KeptRecall, openedWrites, recallOf } from '../../functions/store/recalls.ts'
import { recallsBinding } from '../../functions/store/recalls-binding.ts'
import type { Item } from '../../functions/store/table.ts'
import { settle } from '../../functions/telling/recalls.ts'
import type { RecallCause } from '../../shared-domain/recall/recall.ts'
import { anInstrument, aStick, aTest, day, survey } from '../support/trade.ts'
import { everybody, furnish, type House, openHouse, type Who } from './house.ts'

const wetAt = (microamps: number) => ({
  water: 'distilled' as const,
  appearance: 'beads' as const,
  readings: survey(2.4, microamps, undefined, true),
})
const tested = (house: House, stickId: string, over: Parameters<typeof aTest>[0] = {}) =>
  house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest({ testedOn: day('2026-02-02'), ...over }), 'bench')

let fleet: readonly Item[]
beforeAll(async () => {
  const house = openHouse([], '2026-01-05T15:00:00.000Z')
  await furnish(house)
  await house.done('PUT', '/v1/instruments/INS-2', anInstrument)
  house.at('2026-03-02T15:00:00.000Z')
  for (const id of ['S-2', 'S-3', 'S-4', 'S-5']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
  await house.done('PUT', '/v1/sticks/S-6', { ...aStick, crewId: 'CR-2', lot: 'L-8' })
  await tested(house, 'S-1', { wet: wetAt(19.1) })
  await tested(house, 'S-2', { wet: wetAt(18.9) })
  // a test with another instrument stands in its place since
  await tested(house, 'S-3', { wet: wetAt(19.1) })
  await tested(house, 'S-3', { testedOn: day('2026-02-20'), instrumentId: 'INS-2' })
  // before the last day on which it was good
  await tested(house, 'S-4', { testedOn: day('2026-01-20'), wet: wetAt(19.1) })
  await tested(house, 'S-6', { wet: wetAt(19.5) })
  fleet = house.table.items()
})

const opened = () => openHouse(fleet, '2026-03-02T16:00:00.000Z')
const fiveLow: RecallCause = {
  instrumentId: 'INS-1',
  lastGoodOn: day('2026-01-31'),
  foundOutOn: day('2026-03-02'),
  error: { kind: 'percent of reading', value: -5 },
}
const bodyOf = (cause: object, reason = 'found 5 % low at its check') => ({ factId: randomUUID(), cause, reason })
const recall = (house: House, cause: object = fiveLow, who: Who = 'manager') =>
  house.call('POST', '/v1/recalls', bodyOf(cause), who)
const status = async (house: House, id: string) => (await house.call('GET', `/v1/sticks/${id}`)).json.status
const statuses = async (house: House, ...ids: string[]) => Promise.all(ids.map((id) => status(house, id)))
const notices = ({ table }: House) =>
  table.items().filter((one) => one.entity === 'notice' && one.kind === 'recall') as unknown as Notice[] // as stored
const told = (house: House) =>
  notices(house)
    .map(({ to, lines }) => `${to.email}: ${lines.map(({ stickId }) => stickId).join(' ')}`)
    .sort()
const problem = async (house: House, body: object, path = '/v1/recalls', who: Who = 'manager') => {
  const { status: code, json } = await house.call('POST', path, body, who)
  return [code, ...(json.errors ?? json.reasons ?? []).map((one: Item) => one.pointer ?? one.code)]
}

describe('an instrument found to read 5 % low', () => {
  test('holds what was read at 19.1 under 20 and clears what was read at 18.9, in every read', async () => {
    const house = opened()
    expect(await statuses(house, 'S-1', 'S-2', 'S-6')).toEqual(['in service', 'in service', 'in service'])
    const { status: code, json } = await recall(house)
    expect([code, json.state, json.settled]).toEqual([201, 'open', 'all'])
    expect(await statuses(house, 'S-1', 'S-2', 'S-3', 'S-4', 'S-6')).toEqual([
      'on hold',
      'in service',
      'in service',
      'in service',
      'on hold',
    ])
    const held = (await house.call('GET', '/v1/sticks/S-1')).json
    expect(held.holds).toMatchObject([{ code: 'recalled', detail: { recall: json.id, read: 19.1, truly: 20.105 } }])
    const roster = (await house.call('GET', '/v1/roster?status=on%20hold')).json
    expect(roster.items.map(({ stickId }: { stickId: string }) => stickId).sort()).toEqual(['S-1', 'S-6'])
    const asked = {
      kind: 'move',
      body: { factId: randomUUID(), occurredOn: '2026-03-02', at: '10:00', to: { crewId: 'CR-2' } },
    }
    expect((await house.call('POST', '/v1/sticks/S-1/moves', asked.body, 'bench')).status).toBe(409)
  })

  test('writes one mail a reader, who names all of theirs', async () => {
    const house = opened()
    await recall(house)
    expect(told(house)).toEqual([
      'ana@crew-one.example: S-1',
      'bo@crew-one.example: S-1',
      'cy@crew-two.example: S-6',
      'manager-2@demo-utility.example: S-1 S-6',
      'manager@demo-utility.example: S-1 S-6',
      'sol@demo-utility.example: S-6',
    ])
    const asked = notices(house).filter(({ answer }) => answer !== undefined)
    expect(asked.map(({ to }) => to.email).sort()).toEqual(everybody.slice(0, 2).concat('cy@crew-two.example').sort())
    // nobody hears again by the clock
    await reindex(house.table, house.clock(), () => true)
    expect(house.table.items().filter(({ entity }) => entity === 'notice')).toHaveLength(6)
    for (const id of ['S-1', 'S-2', 'S-3', 'S-4', 'S-6'])
      expect((await proveStick(house.organisation(), id)).faults).toEqual([])
  })

  test('tells how far it is, with the arithmetic of each stick', async () => {
    const house = opened()
    const { id } = (await recall(house)).json
    const { counts, unconfirmed } = (await house.call('GET', `/v1/recalls/${id}`, undefined, 'bench')).json
    expect(counts).toEqual({
      ...{ sticks: 4, held: 2, confirmed: 0, broughtIn: 0, missing: 0, notFound: 0 },
      ...{ retested: 0, cleared: 1, replaced: 1, removed: 0 },
    })
    expect(unconfirmed.map(({ stickId }: { stickId: string }) => stickId)).toEqual(['S-1', 'S-6'])
    const { items } = (await house.call('GET', `/v1/recalls/${id}/sticks`)).json
    const rows = items.map((one: { stickId: string; outcome: string; readings: { trueMicroamps: number }[] }) => [
      one.stickId,
      one.outcome,
      ...one.readings.map(({ trueMicroamps }) => trueMicroamps),
    ])
    expect(rows).toEqual([
      ['S-1', 'held', 4.210526316, 20.105263158],
      ['S-2', 'cleared', 4.210526316, 19.894736842],
      ['S-3', 'replaced'],
      ['S-6', 'held', 4.210526316, 20.526315789],
    ])
    const first = (await house.call('GET', `/v1/recalls/${id}/sticks?limit=2`)).json
    const second = (await house.call('GET', `/v1/recalls/${id}/sticks?limit=2&cursor=${first.next}`)).json
    expect([...first.items, ...second.items].map(({ stickId }) => stickId)).toEqual(['S-1', 'S-2', 'S-3', 'S-6'])
  })

  test('catches a test that comes in late, and one with it before it is calibrated anew', async () => {
    const house = opened()
    await recall(house)
    await tested(house, 'S-5', { wet: wetAt(19.1) })
    expect(await status(house, 'S-5')).toBe('on hold')
    house.at('2026-03-05T15:00:00.000Z')
    await tested(house, 'S-5', { testedOn: day('2026-03-04') })
    expect(await status(house, 'S-5')).toBe('on hold')
    const again = { ...anInstrument, calibratedOn: '2026-03-04', calibrationDueOn: '2027-03-04' }
    await house.done('PUT', '/v1/instruments/INS-1', { ...again, effectiveFrom: '2026-03-04' }, 'bench')
    expect(await status(house, 'S-5')).toBe('in service')
  })

  test('lets a stick go by its own evidence alone, and says so', async () => {
    const house = opened()
    const { id } = (await recall(house)).json
    house.at('2026-03-03T15:00:00.000Z')
    const step = { factId: randomUUID(), occurredOn: '2026-03-03', at: '08:00', kind: 'cleaned', by: 'Ines Roth' }
    await house.done('POST', '/v1/sticks/S-1/corrective-steps', step, 'bench')
    expect(await status(house, 'S-1')).toBe('on hold')
    await tested(house, 'S-1', { testedOn: day('2026-03-03'), at: '08:30', instrumentId: 'INS-2' })
    expect(await status(house, 'S-1')).toBe('in service')
    const { counts } = (await house.call('GET', `/v1/recalls/${id}`)).json
    expect([counts.held, counts.retested]).toEqual([1, 1])
    const back = house.table.items().filter(({ entity, kind }) => entity === 'notice' && kind === 'return')
    expect(back.length).toBeGreaterThan(0)
  })

  test('cannot be lifted by another policy, and a proposed one is weighed with it', async () => {
    const house = opened()
    await recall(house)
    const preview = { packs: ['us-29-cfr-1910-269-j'], tellDaysBefore: [30] }
    const { items } = (await house.call('POST', '/v1/policies/employer/preview', preview)).json
    // a stick that stands the same by both is not named
    expect(items.filter(({ stickId }: { stickId: string }) => ['S-1', 'S-6'].includes(stickId))).toEqual([])
  })
})

describe('a lot', () => {
  test('holds its sticks, tested or not, and one registered later', async () => {
    const house = opened()
    await recall(house, { lot: 'L-7' })
    await house.done('PUT', '/v1/sticks/S-9', aStick)
    expect(await statuses(house, 'S-1', 'S-5', 'S-6', 'S-9')).toEqual(['on hold', 'on hold', 'in service', 'on hold'])
  })

  test('is asked to be confirmed, and climbs where nobody does', async () => {
    const house = opened()
    await recall(house, { lot: 'L-8' })
    const [toCy] = notices(house).filter(({ to }) => to.email === 'cy@crew-two.example')
    if (toCy === undefined) throw new Error('nobody was told')
    await house.organisation().notices.sent(toCy, house.clock(), 'ses-1')
    house.at('2026-03-03T16:00:00.000Z')
    await followUp(house.table, house.clock())
    const silent = house.table.items().filter(({ entity, kind }) => entity === 'notice' && kind === 'unanswered')
    expect(silent.map((item) => (item.to as { email: string }).email).sort()).toEqual([
      'manager-2@demo-utility.example',
      'manager@demo-utility.example',
      'sol@demo-utility.example',
    ])
  })

  test('that a crew confirmed counts as confirmed', async () => {
    const house = opened()
    const { id } = (await recall(house, { lot: 'L-7' })).json
    const [toAna] = notices(house).filter(({ to }) => to.email === 'ana@crew-one.example')
    if (toAna === undefined) throw new Error('nobody was told')
    expect(await house.organisation().notices.confirm(toAna, house.clock())).toBe(true)
    const { counts, unconfirmed } = (await house.call('GET', `/v1/recalls/${id}`)).json
    expect([counts.held, counts.confirmed, unconfirmed.length]).toEqual([5, 5, 0])
  })
})

test('an order holds the sticks that it names', async () => {
  const house = opened()
  await recall(house, { order: 'ORD-12', stickIds: ['S-2', 'S-6'] })
  expect(await statuses(house, 'S-1', 'S-2', 'S-3', 'S-6')).toEqual(['in service', 'on hold', 'in service', 'on hold'])
  expect(told(house).find((one) => one.startsWith('manager@'))).toBe('manager@demo-utility.example: S-2 S-6')
})

/** A lot recalled by somebody who was broken off before its sticks were written. */
async function recallLeft(house: House, lot: string): Promise<KeptRecall> {
  const organisation = house.organisation()
  const kept = {
    ...{ organisation: organisation.name, id: randomUUID(), cause: { lot }, reason: 'cracks at the ferrule' },
    ...{ by: 'manager', at: house.clock() },
  }
  await house.table.transact(openedWrites(organisation, kept, await recallsBinding(organisation)) ?? [])
  return kept
}

describe('broken off', () => {
  test('at each page it goes on without telling anybody twice', async () => {
    const house = opened()
    for (let i = 0; i < 220; i++) {
      const id = `T-${String(i).padStart(3, '0')}`
      await house.done('PUT', `/v1/sticks/${id}`, { ...aStick, lot: 'L-9' })
    }
    house.at('2026-03-02T17:00:00.000Z')
    const kept = await recallLeft(house, 'L-9')
    expect(await statuses(house, 'T-000', 'T-219')).toEqual(['on hold', 'on hold'])
    const reached: unknown[] = []
    for (let runs = 0; runs < 6; runs++) {
      let asked = 0
      // one page a run, and no mail before the last
      await reindex(house.table, house.clock(), () => asked++ < 2)
      const item = house.table.items().find(({ entity }) => entity === 'recall')
      reached.push([item?.settledThrough, notices(house).length])
    }
    const [first, second, third, ...after] = reached
    expect([first, second, third]).toEqual([
      ['T-099', 0],
      ['T-199', 0],
      ['T-219', 0],
    ])
    expect(after).toEqual(Array.from({ length: 3 }, () => [null, 4]))
    expect(notices(house).every(({ lines }) => lines.length === 220)).toBe(true)
    expect(await settle(house.table, { recall: kept, now: house.clock() }, () => true)).toMatchObject({ sticks: 0 })
    await reindex(house.table, house.clock(), () => true)
    expect(house.table.items().filter(({ entity }) => entity === 'notice')).toHaveLength(4)
  })

  test('at each write it tells each reader once, and leaves no stick on the list of those in service', async () => {
    let isOver = false
    for (let fails = 1; !isOver; fails++) {
      const house = opened()
      for (let i = 10; i < 36; i++) await house.done('PUT', `/v1/sticks/T-${i}`, { ...aStick, lot: 'L-9' })
      house.at('2026-03-02T17:00:00.000Z')
      const recall = await recallLeft(house, 'L-9')
      let writes = 0
      const { transact } = house.table
      const killed = {
        ...house.table,
        transact: async (all: Parameters<typeof transact>[0]) => {
          writes += 1
          if (writes === fails) throw new Error('killed')
          return transact(all)
        },
      }
      isOver = await settle(killed, { recall, now: house.clock() }, () => true).then(
        () => true,
        () => false,
      )
      expect(await statuses(house, 'T-10', 'T-35')).toEqual(['on hold', 'on hold'])
      const again = (await recallOf(house.organisation(), recall.id)) ?? recall
      expect(await settle(house.table, { recall: again, now: house.clock() }, () => true)).toMatchObject({
        finished: true,
      })
      expect(told(house)).toHaveLength(4)
      expect(notices(house).every(({ lines }) => lines.length === 26)).toBe(true)
      const listed = house.table.items().filter(({ entity, stickId }) => entity === 'stick' && String(stickId) > 'T')
      expect(listed.every(({ depotStandingKey }) => String(depotStandingKey).endsWith('#held'))).toBe(true)
      expect(listed.every(({ seen }) => seen === 'on hold')).toBe(true)
    }
  })
})

describe('asked before', () => {
  test('a preview says who would be held and how many would be written to, and records nothing', async () => {
    const house = opened()
    const written = house.table.written()
    const { status: code, json } = await house.call('POST', '/v1/recalls?preview=true', bodyOf(fiveLow), 'manager')
    expect([code, json.readers, json.counts.held, json.counts.cleared]).toEqual([200, 6, 2, 1])
    expect(json.sticks.map(({ stickId }: { stickId: string }) => stickId)).toEqual(['S-1', 'S-6'])
    expect(house.table.written()).toBe(written)
    expect(await status(house, 'S-1')).toBe('in service')
  })
})

describe('the same again', () => {
  test('is answered by what stands, and another body under its id is refused', async () => {
    const house = opened()
    const body = bodyOf({ lot: 'L-8' })
    expect((await house.call('POST', '/v1/recalls', body, 'manager')).status).toBe(201)
    expect((await house.call('POST', '/v1/recalls', body, 'manager')).status).toBe(200)
    expect(notices(house)).toHaveLength(4)
    expect(await problem(house, { ...body, reason: 'another' })).toEqual([409, 'fact-id-used'])
    const { items } = (await house.call('GET', '/v1/recalls?state=open')).json
    expect(items.map(({ id }: { id: string }) => id)).toEqual([body.factId])
  })

  test('called back again under another id holds what had left', async () => {
    const house = opened()
    await recall(house, { lot: 'L-8' })
    house.at('2026-03-03T15:00:00.000Z')
    await tested(house, 'S-6', { testedOn: day('2026-03-03'), at: '08:30', instrumentId: 'INS-2' })
    expect(await status(house, 'S-6')).toBe('in service')
    house.at('2026-03-04T15:00:00.000Z')
    await recall(house, { lot: 'L-8' })
    expect(await status(house, 'S-6')).toBe('on hold')
    expect(notices(house)).toHaveLength(8)
  })
})

describe('what was sent is told all its faults', () => {
  test.each([
    [
      { instrumentId: 'INS-9', lastGoodOn: '2026-01-31', foundOutOn: '2026-04-02', error: null },
      ['/cause/instrumentId', '/cause/foundOutOn'],
    ],
    [{ order: 'ORD-1', stickIds: ['S-1', 'NONE', 'NEITHER'] }, ['/cause/stickIds/1', '/cause/stickIds/2']],
    [{ instrumentId: 'INS-1', lastGoodOn: '2026-03-01', foundOutOn: '2026-03-01', error: null }, ['/cause/foundOutOn']],
    [{}, ['/cause']],
  ])('%o', async (cause, pointers) => {
    const house = opened()
    expect(await problem(house, bodyOf(cause))).toEqual([422, ...pointers])
    expect(house.table.written()).toBe(0)
  })
})

describe('closing', () => {
  const closing = (notFound: string[] = []) => ({ factId: randomUUID(), notFound })

  test('needs every stick cleared, removed or named as not found, and brings nothing back', async () => {
    const house = opened()
    const { id } = (await recall(house, { lot: 'L-7' })).json
    const path = `/v1/recalls/${id}/close`
    house.at('2026-03-03T15:00:00.000Z')
    const refused = await problem(house, closing(), path)
    expect(refused).toEqual([409, ...Array.from({ length: 5 }, () => 'stick-still-held')])
    for (const stickId of ['S-1', 'S-2', 'S-3'])
      await tested(house, stickId, { testedOn: day('2026-03-03'), at: '08:30', instrumentId: 'INS-2' })
    const removal = { factId: randomUUID(), occurredOn: '2026-03-03', reason: 'of that lot' }
    await house.done('POST', '/v1/sticks/S-4/removals', removal)
    expect(await problem(house, closing(), path)).toEqual([409, 'stick-still-held'])
    expect(await problem(house, closing(['S-5', 'S-1']), path)).toEqual([422, '/notFound/1'])
    const body = closing(['S-5'])
    const done = await house.call('POST', path, body, 'manager')
    expect([done.status, done.json.state, done.json.closed.notFound]).toEqual([201, 'closed', ['S-5']])
    expect((await house.call('POST', path, body, 'manager')).status).toBe(200)
    expect(await problem(house, closing(), path)).toEqual([409, 'closed-already'])
    expect(await statuses(house, 'S-1', 'S-4', 'S-5')).toEqual(['in service', 'removed from service', 'on hold'])
    const { counts } = (await house.call('GET', `/v1/recalls/${id}`)).json
    expect(counts).toMatchObject({ sticks: 5, held: 1, retested: 3, removed: 1, notFound: 1 })
  })

  test('is nobody’s of the bench, and of no recall that there is none of', async () => {
    const house = opened()
    const { id } = (await recall(house, { lot: 'L-7' })).json
    expect((await house.call('POST', `/v1/recalls/${id}/close`, closing(), 'bench')).status).toBe(403)
    expect((await house.call('POST', `/v1/recalls/${randomUUID()}/close`, closing())).status).toBe(404)
    expect((await recall(house, { lot: 'L-7' }, 'bench')).status).toBe(403)
    expect((await house.call('GET', `/v1/recalls/${id}`, undefined, 'crew')).status).toBe(403)
  })
})

test('the proof finds a recall that does not bind, and one that nobody opened', async () => {
  const house = opened()
  const { id } = (await recall(house, { lot: 'L-7' })).json
  expect(await proveRecalls(house.organisation())).toEqual([])
  const items = house.table.items()
  const without = (entity: string) => openHouse(items.filter((item) => item.entity !== entity))
  expect(await proveRecalls(without('recalls binding').organisation())).toEqual([
    `recall ${id}: it does not bind as it was opened`,
  ])
  expect(await proveRecalls(without('recall').organisation())).toEqual([`recall ${id}: it binds, and nobody opened it`])
})

describe('a correction that would end the hold of a recall', () => {
  const instead = (house: House, of: object, who: Who = 'manager') =>
    house.call('POST', '/v1/corrections', { factId: randomUUID(), reason: 'the other instrument', ...of }, who)

  test('waits for a second person: the test was done with another instrument', async () => {
    const house = opened()
    await recall(house)
    const { items } = (await house.call('GET', '/v1/sticks/S-1/facts')).json
    const { factId, test: was } = items.find(({ kind }: { kind: string }) => kind === 'tested')
    const replacement = { ...was, factId: randomUUID(), instrumentId: 'INS-2' }
    const { status: code } = await instead(house, { corrects: factId, replacement })
    expect([code, await status(house, 'S-1')]).toEqual([202, 'on hold'])
  })

  test('waits for a second person: the stick was of another lot', async () => {
    const house = opened()
    await recall(house, { lot: 'L-8' })
    const { items } = (await house.call('GET', '/v1/sticks/S-6/facts')).json
    const { factId, stick } = items.find(({ kind }: { kind: string }) => kind === 'registered')
    const replacement = { ...stick, lot: 'L-5' }
    const { status: code } = await instead(house, { corrects: factId, replacement })
    expect([code, await status(house, 'S-6')]).toEqual([202, 'on hold'])
  })
})
