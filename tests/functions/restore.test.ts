/** A table brought back from a backup and filled from the journal: nothing reads fitter, nothing is sent twice. */
import { randomUUID } from 'node:crypto'
import fc from 'fast-check'
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { deliverUnsent } from '../../functions/deliver-notices/deliver-notices.ts'
import { deliverFromQueue } from '../../functions/deliver-notices/from-queue.ts'
import type { Mailer } from '../../functions/deliver-notices/mail.ts'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import { proveTree } from '../../functions/prove-states/prove-tree.ts'
import { decideUnknown, lineOfUnknown, unknownNotices } from '../../functions/restore/decide-unknown.ts'
import { type RestoreReport, restore } from '../../functions/restore/restore.ts'
import { restoreFaults } from '../../functions/restore/restore-flags.ts'
import { seeToTrees } from '../../functions/sequence/by-the-clock.ts'
import { handedOn } from '../../functions/store/handed-on.ts'
import type { JournalLine } from '../../functions/store/journal.ts'
import { apart, keyOfNames, readNames } from '../../functions/store/journal-names.ts'
import type { Notice } from '../../functions/store/notices.ts'
import { isMailPaused, letMailGoOn } from '../../functions/store/restored-mark.ts'
import type { Item } from '../../functions/store/table.ts'
import { journalled } from '../../functions/store/table-shape.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import type { Hole } from '../../shared-domain/restored.ts'
import { aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

const backupAt = '2026-03-06T12:00:00.000Z' as Instant
const lostAt = '2026-03-06T15:00:00.000Z' as Instant
const lost: Hole = { from: backupAt, to: lostAt }
const now = '2026-03-06T16:00:00.000Z' as Instant

beforeEach(() => {
  vi.spyOn(console, 'info').mockImplementation(() => undefined)
  vi.spyOn(console, 'error').mockImplementation(() => undefined)
})
afterEach(() => vi.restoreAllMocks())

const factId = () => randomUUID()
const tingle = () => ({ factId: factId(), occurredOn: '2026-03-06', kind: 'tingle' })

/** What lies beside the journal, by its key. */
const namesKept = new Map<string, string>()
async function namesOf(line: JournalLine) {
  const text = namesKept.get(keyOfNames(line))
  return text === undefined ? null : readNames(text)
}

/** What the journal holds of a table, item by item, and a mark each five minutes. */
function journalOf(items: readonly Item[], hole?: Hole): JournalLine[] {
  const lines = items.flatMap((item): JournalLine[] => {
    const entity = journalled.find((one) => one === item.entity)
    if (entity === undefined) return []
    const { state: _, ...withoutState } = item
    const organisation = /^ORG#([^#]+)#/.exec(item.pk)?.[1] ?? 'SYSTEM'
    const kept = entity === 'stick' ? (withoutState as Item) : item
    const { line, beside } = apart({ at: lostAt, sequence: '7', entity, organisation, item: kept })
    if (beside !== null) namesKept.set(beside.key, beside.text)
    return [line]
  })
  const marks = Array.from({ length: 35 }, (_, i): JournalLine => {
    const heardAt = addSeconds(backupAt, 300 * (i + 1))
    const item = { pk: 'SYSTEM#JOURNAL', sk: 'MARK', entity: 'journal mark' as const, heardAt }
    return { at: heardAt, sequence: String(i), entity: 'journal mark', organisation: 'SYSTEM', item }
  })
  const isHeard = (at: string) => hole === undefined || at <= hole.from || at >= hole.to
  return [...lines, ...marks.filter(({ item }) => isHeard(String(item.heardAt)))]
}

const scanOf = (house: House) =>
  async function* () {
    yield* house.table.items()
  }

async function restored(kept: readonly Item[], lines: readonly JournalLine[] | null) {
  const house = openHouse(kept, now)
  const done = await restore({ table: house.table, scan: scanOf(house), lines, namesOf, lost, now })
  if (done === 'filled before') throw new Error(done)
  return { house, done }
}

const statusOf = async (house: House, stickId: string) =>
  (await house.call('GET', `/v1/sticks/${stickId}`)).json as { status: string; holds: { code: string }[] }

const noticesOf = (house: House) =>
  house.table.items().filter(({ entity }) => entity === 'notice') as unknown as Notice[]

/** The mailer on a house, which only counts. */
function mailerOf(house: House, sent: string[]) {
  const mailer = { send: async ({ number }: Notice) => sent.push(number) && 'ses-1' } as unknown as Mailer
  const pace = { hasRoomForOthers: async () => true, turn: async () => true, backOff: async () => false }
  return { table: house.table, mailer, clock: house.clock, pace }
}

/** Three sticks in service, as the backup has them; then a tingle, a use, a test and a slip put right. */
let backup: readonly Item[]
let atLoss: readonly Item[]
const sentBefore: string[] = []
beforeAll(async () => {
  vi.spyOn(console, 'info').mockImplementation(() => undefined)
  const house = openHouse()
  await furnish(house)
  for (const stickId of ['S-1', 'S-2', 'S-3']) {
    await house.done('PUT', `/v1/sticks/${stickId}`, aStick)
    await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest({ factId: factId() }), 'bench')
  }
  house.at('2026-03-06T11:59:00.000Z')
  const slip = { factId: factId(), occurredOn: '2026-03-03', days: 3, conditions: [] }
  await house.done('POST', '/v1/sticks/S-2/uses', slip, 'bench')
  await seeToTrees(house)
  backup = house.table.items()
  house.at('2026-03-06T13:00:00.000Z')
  await sweep(house.table, house.clock)
  await house.done('POST', '/v1/sticks/S-1/defects', tingle(), 'crew')
  await house.done(
    'POST',
    '/v1/corrections',
    { factId: factId(), corrects: slip.factId, reason: 'of another', replacement: null },
    'manager',
  )
  await house.done('PUT', '/v1/sticks/S-4', { ...aStick, crewId: 'CR-2' })
  // some leave, and one is with a sender when the table is lost
  const parts = mailerOf(house, sentBefore)
  const [first, ...others] = noticesOf(house).filter(({ kind }) => kind === 'hold')
  await deliverFromQueue(parts, [
    { messageId: '1', body: handedOn(others.map(({ number }) => house.organisation().keys.notice(number))) } as never,
  ])
  if (first === undefined) throw new Error('nobody was told of the tingle')
  await house.organisation().notices.claim(first, house.clock(), 120)
  house.at('2026-03-06T13:05:00.000Z')
  await seeToTrees(house)
  atLoss = house.table.items()
})

describe('with the whole journal', () => {
  let house: House
  let done: RestoreReport
  beforeAll(async () => {
    vi.spyOn(console, 'error').mockImplementation(() => undefined)
    ;({ house, done } = await restored(backup, journalOf(atLoss)))
  })

  test('the stick with the tingle is on hold, and for nothing else', async () => {
    expect(await statusOf(house, 'S-1')).toMatchObject({ status: 'on hold', holds: [{ code: 'defect-reported' }] })
  })

  test('no stick is held for the restore, and the others stand as they stood', async () => {
    expect(done).toMatchObject({ holes: [], held: [] })
    const before = openHouse(atLoss, now)
    for (const stickId of ['S-1', 'S-2', 'S-3', 'S-4'])
      expect((await house.call('GET', `/v1/sticks/${stickId}`)).json).toEqual(
        (await before.call('GET', `/v1/sticks/${stickId}`)).json,
      )
  })

  test('the lists and what each stick’s people were told are as they were', () => {
    const kept = (items: readonly Item[]) =>
      items
        .filter(({ entity }) => entity === 'stick')
        .map(({ version: _, ...item }) => item)
        .sort((a, b) => (a.pk < b.pk ? -1 : 1))
    expect(kept(house.table.items())).toEqual(kept(atLoss))
  })

  test('every state is the replay of its facts, and no fact is missing', async () => {
    for (const stickId of ['S-1', 'S-2', 'S-3', 'S-4'])
      expect(await proveStick(house.organisation(), stickId)).toMatchObject({ faults: [] })
  })

  test('every fact has its place in the tree, and the tree proves', async () => {
    const proof = await proveTree(house.organisation(), { stickIds: ['S-1', 'S-2', 'S-3', 'S-4'] })
    expect(proof.faults).toEqual([])
    const facts = atLoss.filter(({ entity }) => entity === 'fact')
    expect(facts.every(({ leaf }) => leaf !== undefined)).toBe(true)
    expect(proof.leaves).toBe(facts.length)
  })

  test('names that were erased beside the journal come back nowhere, and the tree proves all the same', async () => {
    const lines = journalOf(atLoss)
    const one = openHouse(backup, now)
    const nothing = async () => null
    const parts = { table: one.table, scan: scanOf(one), lines, namesOf: nothing, lost, now }
    expect(await restore(parts)).toMatchObject({ held: [] })
    const since = lines.flatMap(({ entity, item }) => (entity === 'fact' ? [`${item.pk} ${item.sk}`] : []))
    const facts = one.table.items().filter(({ pk, sk }) => since.includes(`${pk} ${sk}`))
    expect(facts.length).toBeGreaterThan(5)
    for (const { fact } of facts) expect((fact as { recordedBy: string }).recordedBy).toBe('—')
    const proof = await proveTree(one.organisation(), { stickIds: ['S-1', 'S-2', 'S-3', 'S-4'] })
    expect(proof.faults).toEqual([])
    expect(await statusOf(one, 'S-1')).toMatchObject({ status: 'on hold', holds: [{ code: 'defect-reported' }] })
  })

  test('a fact that is sent again is known', async () => {
    const recorded = atLoss.find(({ entity, pk }) => entity === 'fact' && pk.endsWith('#S-1') && pk.includes('STICK'))
    const tingles = atLoss.flatMap(({ fact }) =>
      (fact as { kind?: string })?.kind === 'defect reported' ? [fact] : [],
    )
    expect(recorded).toBeDefined()
    const { defect } = tingles[0] as { defect: object }
    expect((await house.call('POST', '/v1/sticks/S-1/defects', defect, 'crew')).status).toBe(200)
  })

  test('what was sent is known as sent; what was with a sender is unknown, and owed by nobody', () => {
    const states = Map.groupBy(noticesOf(house), ({ state }) => state)
    expect(states.get('owed') ?? []).toEqual([])
    expect(states.get('claimed') ?? []).toEqual([])
    expect(done.unknown.map(({ number }) => number)).not.toContain(sentBefore[0])
    const known = noticesOf(house).filter(({ number }) => sentBefore.includes(number))
    expect(new Set(known.map(({ state }) => state))).toEqual(new Set(['sent', 'awaiting confirmation']))
  })

  test('given again, it changes nothing', async () => {
    const before = house.table.written()
    const again = await restore({
      table: house.table,
      scan: scanOf(house),
      lines: journalOf(atLoss),
      namesOf,
      lost,
      now,
    })
    expect([again, house.table.written()]).toEqual(['filled before', before])
  })
})

describe('mail', () => {
  test('is paused from the start: neither the queue nor the clock brings any out, until a person lets it', async () => {
    const { house } = await restored(backup, journalOf(atLoss))
    const sent: string[] = []
    const parts = mailerOf(house, sent)
    await house.done('POST', '/v1/sticks/S-3/defects', tingle(), 'crew')
    const keys = noticesOf(house).map(({ number }) => house.organisation().keys.notice(number))
    house.at('2026-03-06T16:30:00.000Z')
    const taken = await deliverFromQueue(parts, [{ messageId: '1', body: handedOn(keys) } as never])
    expect([taken.batchItemFailures, await deliverUnsent(parts), sent]).toEqual([[], { found: 0, sent: 0 }, []])
    expect(vi.mocked(console.error).mock.calls.flat().join()).toContain('mail is paused')
    expect([await isMailPaused(house.table), await letMailGoOn(house.table)]).toEqual([true, true])
    await deliverUnsent(parts)
    expect(sent.length).toBeGreaterThan(0)
    // what was unknown is still with the person who decides
    expect(sent.filter((number) => sentBefore.includes(number))).toEqual([])
    const unknown = await unknownNotices(scanOf(house))
    expect(unknown.map(({ number }) => number).filter((number) => sent.includes(number))).toEqual([])
    expect(unknown.length).toBeGreaterThan(0)
  })

  test('a person decides: the same under a number that was never used, once, or nothing', async () => {
    const { house } = await restored(backup, journalOf(atLoss))
    await letMailGoOn(house.table)
    const [one, ...others] = await unknownNotices(scanOf(house))
    if (one === undefined) throw new Error('nothing is unknown')
    expect(lineOfUnknown(one)).toContain(one.number)
    const before = new Set(noticesOf(house).map(({ number }) => number))
    expect(await decideUnknown(house.table, [one], { what: 'send', now })).toBe(1)
    expect(await decideUnknown(house.table, [one], { what: 'send', now })).toBe(0)
    expect(await decideUnknown(house.table, others, { what: 'leave', now })).toBe(others.length)
    const fresh = noticesOf(house).filter(({ number }) => !before.has(number))
    expect(fresh).toMatchObject([{ state: 'owed', to: one.to, lines: one.lines, kind: one.kind }])
    const sent: string[] = []
    house.at('2026-03-06T16:30:00.000Z')
    await deliverUnsent(mailerOf(house, sent))
    expect(sent).toEqual(fresh.map(({ number }) => number))
    expect(await unknownNotices(scanOf(house))).toEqual([])
  })

  test('a notice that was owed at the backup is unknown where the journal is lost with the table', async () => {
    const owed = openHouse(backup, backupAt)
    await owed.done('POST', '/v1/sticks/S-3/defects', tingle(), 'crew')
    const { house, done } = await restored(owed.table.items(), null)
    expect(done.unknown.map(({ kind }) => kind)).toContain('hold')
    const sent: string[] = []
    await letMailGoOn(house.table)
    house.at('2026-03-06T16:30:00.000Z')
    await deliverUnsent(mailerOf(house, sent))
    expect(done.unknown.filter(({ number }) => sent.includes(number))).toEqual([])
  })

  test('what is owed in another table never has a number that was used in this one', async () => {
    const owedIn = async (name: string | undefined) => {
      const house = openHouse(backup, now)
      Object.assign(house.table, { name })
      await house.done('POST', '/v1/sticks/S-1/defects', {
        ...tingle(),
        factId: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e01',
      })
      return noticesOf(house).flatMap(({ kind, number }) => (kind === 'hold' ? [number] : []))
    }
    const [here, there] = [await owedIn('one'), await owedIn('other')]
    expect(here.length).toBeGreaterThan(0)
    expect(there.filter((number) => here.includes(number))).toEqual([])
    expect(await owedIn('one')).toEqual(here)
  })
})

describe('where the journal is short', () => {
  test('without one every stick that is not out of service is held, and told so', async () => {
    const gone = openHouse(backup, backupAt)
    await gone.done('POST', '/v1/sticks/S-3/removals', { factId: factId(), occurredOn: '2026-03-06', reason: 'old' })
    const { house, done } = await restored(gone.table.items(), null)
    expect(done.held.map(({ stickId }) => stickId).sort()).toEqual(['S-1', 'S-2'])
    expect(done.holes).toEqual([lost])
    for (const stickId of ['S-1', 'S-2'])
      expect(await statusOf(house, stickId)).toMatchObject({ status: 'on hold', holds: [{ code: 'records-restored' }] })
    expect((await statusOf(house, 'S-3')).status).toBe('removed from service')
    const told = noticesOf(house).filter(({ kind, state }) => kind === 'hold' && state === 'owed')
    expect(new Set(told.flatMap(({ lines }) => lines.map(({ stickId }) => stickId)))).toEqual(new Set(['S-1', 'S-2']))
    for (const stickId of ['S-1', 'S-2'])
      expect(await proveStick(house.organisation(), stickId)).toMatchObject({ faults: [] })
  })

  test('a silence of it holds the sticks of which nothing was recorded since, and no other', async () => {
    const hole = { from: addSeconds(backupAt, 600), to: addSeconds(backupAt, 3000) }
    const { done } = await restored(backup, journalOf(atLoss, hole))
    // S-1 and S-2 have facts after the silence whose numbers follow on, and S-4 was entered then
    expect(done.held.map(({ stickId }) => stickId)).toEqual(['S-3'])
    expect(done.holes).toHaveLength(1)
  })

  test('a fact that is missing in between holds its stick, though the journal was heard all the time', async () => {
    const more = openHouse(atLoss, '2026-03-06T14:00:00.000Z')
    await more.done('POST', '/v1/sticks/S-1/uses', { factId: factId(), occurredOn: '2026-03-06', days: 1 }, 'crew')
    const lines = journalOf(more.table.items())
    const isTingle = ({ item: { fact } }: JournalLine) => (fact as { kind?: string })?.kind === 'defect reported'
    const { house, done } = await restored(
      backup,
      lines.filter((line) => !isTingle(line)),
    )
    expect(done.held.map(({ stickId }) => stickId)).toEqual(['S-1'])
    expect((await statusOf(house, 'S-1')).holds.map(({ code }) => code)).toContain('records-restored')
  })

  test('a full pass does not let the stick go; a manager who looked at the paper does, and no crew', async () => {
    const { house } = await restored(backup, null)
    house.at('2026-03-07T16:00:00.000Z')
    const passed = aTest({ factId: factId(), testedOn: day('2026-03-07'), at: '08:00' })
    await house.done('POST', '/v1/sticks/S-1/bench-tests', passed, 'bench')
    expect((await statusOf(house, 'S-1')).holds.map(({ code }) => code)).toEqual(['records-restored'])
    const look = () => ({ factId: factId(), occurredOn: '2026-03-07', at: '09:00', note: 'The bench book agrees' })
    for (const who of ['crew', 'bench'] as const)
      expect((await house.call('POST', '/v1/sticks/S-1/paper-looks', look(), who)).status).toBe(403)
    await house.done('POST', '/v1/sticks/S-1/paper-looks', look(), 'manager')
    expect((await statusOf(house, 'S-1')).status).toBe('in service')
    const again = await house.call('POST', '/v1/sticks/S-1/paper-looks', look(), 'manager')
    expect([again.status, again.json.reasons?.[0]?.code]).toEqual([409, 'no-records-restored'])
  })
})

describe('broken off and begun again', () => {
  const hole = { from: addSeconds(backupAt, 600), to: addSeconds(backupAt, 3000) }
  const whole = () => restored(backup, journalOf(atLoss, hole))

  test('it writes more than these tests break off at', async () => {
    expect((await whole()).house.table.transactions()).toBeGreaterThan(50)
  })

  test.each([1, 2, 12, 30, 50])('before its transaction %i: it ends as if it had not been', async (crashBefore) => {
    const expected = await whole()
    const house = openHouse(backup, now)
    const parts = { table: house.table, scan: scanOf(house), lines: journalOf(atLoss, hole), namesOf, lost, now }
    house.table.trouble({ crashBefore })
    await expect(restore(parts)).rejects.toThrow()
    expect(await isMailPaused(house.table)).toBe(true)
    house.table.trouble({})
    const again = await restore({ ...parts, now: addSeconds(now, 60) })
    if (again === 'filled before') throw new Error(again)
    const facts = (one: House) => one.table.items().filter(({ entity }) => entity === 'fact').length
    const states = (one: House) => noticesOf(one).map(({ state, number }) => `${number} ${state}`)
    expect(facts(house)).toBe(facts(expected.house))
    expect(states(house).sort()).toEqual(states(expected.house).sort())
    expect(again.held).toEqual(expected.done.held)
    for (const stickId of ['S-1', 'S-2', 'S-3', 'S-4'])
      expect((await statusOf(house, stickId)).holds).toEqual((await statusOf(expected.house, stickId)).holds)
  })
})

/** Whatever is done after the backup, and wherever the journal is silent, nothing reads fitter than it did. */
test('no stick is usable after a restore that was not usable at the loss', async () => {
  const acts = fc.array(
    fc.record({
      stick: fc.constantFrom('S-1', 'S-2', 'S-3'),
      what: fc.constantFrom('tingle', 'use', 'pass', 'fail', 'cleaned', 'removal', 'missing', 'correct'),
      minute: fc.integer({ min: 1, max: 170 }),
    }),
    { minLength: 1, maxLength: 8 },
  )
  const silence = fc.option(fc.tuple(fc.integer({ min: 0, max: 170 }), fc.integer({ min: 20, max: 120 })))
  await fc.assert(
    fc.asyncProperty(acts, silence, async (all, quiet) => {
      const house = openHouse(backup, backupAt)
      for (const { stick, what, minute } of [...all].sort((a, b) => a.minute - b.minute)) {
        house.at(addSeconds(backupAt, 60 * minute))
        await act(house, stick, what)
      }
      const items = house.table.items()
      const hole = quiet && {
        from: addSeconds(backupAt, 60 * quiet[0]),
        to: addSeconds(backupAt, 60 * (quiet[0] + quiet[1])),
      }
      const isKept = ({ entity, item }: JournalLine) => {
        const at = entity === 'fact' ? (item.fact as { recordedAt: string }).recordedAt : undefined
        return hole === null || at === undefined || at < hole.from || at >= hole.to
      }
      // what a fact wrote beside it went with it
      const lines = journalOf(items, hole ?? undefined).filter(isKept)
      const { house: after } = await restored(
        backup,
        hole === null ? lines : lines.filter(({ entity }) => entity !== 'stick'),
      )
      const before = openHouse(items, now)
      for (const stickId of ['S-1', 'S-2', 'S-3']) {
        const [was, is] = [await statusOf(before, stickId), await statusOf(after, stickId)]
        if (was.status !== 'in service') expect(is.status, `${stickId} was ${was.status}`).not.toBe('in service')
        if (hole === null) expect(is).toEqual(was)
      }
    }),
    { numRuns: Number(process.env.PROPERTY_RUNS ?? 25), seed: 20260307 },
  )
})

async function act(house: House, stickId: string, what: string): Promise<void> {
  const on = { factId: factId(), occurredOn: '2026-03-06' }
  const at = `/v1/sticks/${stickId}`
  if (what === 'tingle') await house.call('POST', `${at}/defects`, { ...on, kind: 'tingle' }, 'crew')
  if (what === 'use') await house.call('POST', `${at}/uses`, { ...on, days: 1 }, 'bench')
  if (what === 'removal') await house.call('POST', `${at}/removals`, { ...on, reason: 'old' }, 'manager')
  if (what === 'missing') await house.call('POST', `${at}/moves`, { ...on, to: 'missing' }, 'bench')
  if (what === 'cleaned')
    await house.call('POST', `${at}/corrective-steps`, { ...on, kind: 'cleaned', by: 'Ines Roth' }, 'bench')
  const test = { factId: factId(), testedOn: day('2026-03-06') }
  if (what === 'pass') await house.call('POST', `${at}/bench-tests`, aTest(test), 'bench')
  if (what === 'fail') await house.call('POST', `${at}/bench-tests`, overTheLimit(test), 'bench')
  if (what !== 'correct') return
  const facts = (await house.call('GET', `${at}/facts`)).json.items as { factId: string; kind: string }[]
  const slip = facts.findLast(({ kind }) => kind === 'used')
  if (slip)
    await house.call(
      'POST',
      '/v1/corrections',
      { factId: factId(), corrects: slip.factId, reason: 'slip', replacement: null },
      'manager',
    )
}

test('the flags are held to be whole, and in the order of time', () => {
  const faultsOf = (given: Record<string, string>) => restoreFaults((flag) => given[flag])
  const moments = { 'backup-at': '2026-03-06T12:00:00Z', 'lost-at': '2026-03-06T15:00:00Z' }
  expect(faultsOf({ ...moments, journal: 'none' })).toEqual([])
  expect(faultsOf({ ...moments, journal: 'kept' })).toEqual(['--names is missing'])
  expect(faultsOf({ ...moments, journal: 'kept', names: 'names' })).toEqual([])
  expect(faultsOf({})).toHaveLength(4)
  expect(faultsOf({ ...moments, journal: 'none', 'backup-at': 'yesterday' })).toHaveLength(1)
  expect(faultsOf({ ...moments, journal: 'none', 'lost-at': '2026-03-06T11:00:00Z' })).toEqual([
    '--lost-at lies before --backup-at',
  ])
})
