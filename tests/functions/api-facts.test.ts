/** Facts through the doors: kept once, in their order, judged by what was in force, and told to whoever must know. */
import { randomUUID } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { openApiText } from '../../functions/api/openapi.ts'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import type { Item } from '../../functions/store/table.ts'
import type { BenchTest, Reading } from '../../shared-domain/bench-test/bench-test.ts'
import { aDemonstration, anInstrument, aProcedure, aStick, aTest, day, overTheLimit, survey } from '../support/trade.ts'
import { everybody, furnish, type House, openHouse, owedOf, type Reply, type Who } from './house.ts'

const usRules = { packs: ['us-29-cfr-1910-269-j'] }

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
})

const post = (path: string, body: object, who: Who = 'bench', stickId = 'S-1') =>
  house.call('POST', `/v1/sticks/${stickId}/${path}`, body, who)
const fact = (on: string, more: object = {}) => ({ factId: randomUUID(), occurredOn: on, ...more })

const passes = (on: string, over: Partial<BenchTest> = {}) => post('bench-tests', aTest({ testedOn: day(on), ...over }))
const fails = (on: string, over: Partial<BenchTest> = {}) =>
  post('bench-tests', overTheLimit({ testedOn: day(on), ...over }))
const steps = (kind: string, on: string, more: object = {}) =>
  post('corrective-steps', fact(on, { kind, by: 'Ines Roth', ...more }))
const reports = (on: string, kind = 'tingle') => post('defects', fact(on, { kind }), 'crew')
const moves = (to: unknown, on = '2026-03-10') => post('moves', fact(on, { to }))
const uses = (on: string) => post('uses', fact(on), 'crew')
const stick = async (query = '') => (await house.call('GET', `/v1/sticks/S-1${query}`)).json
const history = async () => (await house.call('GET', '/v1/sticks/S-1/facts')).json.items
const codes = ({ json }: Reply) => json.reasons.map(({ code }: { code: string }) => code)
const holdsOf = ({ holds }: { holds: { code: string }[] }) => holds.map(({ code }) => code)

const toEverybody = (kind: string) => everybody.map((email) => `${kind} ${email}`)

async function expectProven(): Promise<void> {
  expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
}

describe('a bench test told again', () => {
  const told = async (factId: string) => house.call('GET', `/v1/sticks/S-1/bench-tests/${factId}`)

  test('with its readings as strips, and what a place that stands out is likely to mean', async () => {
    const test = overTheLimit({ testedOn: day('2026-03-10') })
    await passes('2026-03-02')
    await house.done('POST', '/v1/sticks/S-1/bench-tests', test)
    const { status, json } = await told(test.factId)
    expect(status).toBe(200)
    expect(json).toMatchObject({ factId: test.factId, verdict: 'fail', occurredOn: '2026-03-10' })
    expect(json.strips.map(({ state }: { state: string }) => state)).toEqual(['dry', 'wet'])
    const { cells } = json.strips[1].turns[1]
    expect(cells.filter(({ mark }: { mark: string }) => mark === 'over limit')).toEqual([
      { fromMetres: 1, toMetres: 1.3, leakageMicroamps: 21, mark: 'over limit' },
    ])
    expect(json.likely.map(({ code }: { code: string }) => code)).toEqual([
      'one-turn-only',
      'wet-only',
      'rising-since-last-test',
    ])
    expect(json.likely.every(({ text }: { text: string }) => text.includes('likely, not proof'))).toBe(true)
  })

  test('as it was judged, whatever the procedure says by now', async () => {
    const test = overTheLimit({ testedOn: day('2026-03-02') })
    await house.done('POST', '/v1/sticks/S-1/bench-tests', test)
    const limits = aProcedure.limits.map((one) => ({ ...one, microamps: 90 }))
    await house.done('PUT', '/v1/procedures/PRC-1', { ...aProcedure, limits })
    const { json } = await told(test.factId)
    expect([json.verdict, json.strips[1].limitMicroamps]).toEqual(['fail', 20])
  })

  test('only under its own id, as a test of this stick', async () => {
    const use = fact('2026-03-10')
    await house.done('POST', '/v1/sticks/S-1/uses', use)
    for (const id of [use.factId, randomUUID(), 'nothing']) expect((await told(id)).status).toBe(404)
  })

  test('with advice to test earlier where a place rises towards its limit before the next test is due', async () => {
    for (const year of [2021, 2022, 2023, 2024, 2025, 2026]) {
      const risen = (row: Reading) =>
        row.quarterTurn === 90 && row.fromMetres === 1 ? { leakageMicroamps: year - 2017 } : {}
      await house.done('PUT', '/v1/instruments/INS-1', {
        ...anInstrument,
        calibratedOn: `${year}-01-01`,
        calibrationDueOn: `${year}-12-01`,
      })
      const { status, json } = await passes(`${year}-03-02`, { dry: { readings: survey(2.4, 4, risen) } })
      expect([status, json.verdict]).toEqual([201, 'pass'])
    }
    const tests = (await history()).filter(({ kind }: { kind: string }) => kind === 'tested')
    const { json } = await told(tests.at(-1).factId)
    expect(json.meetsLimitBeforeDue).toMatchObject([
      { state: 'dry', quarterTurn: 90, fromMetres: 1, limitMicroamps: 10, limitMetOn: '2027-03-02', significant: true },
    ])
    expect(json.meetsLimitBeforeDue[0].microampsPerYear).toBeCloseTo(1, 2)
    expect(
      json.inPhase.find(({ leakageMicroamps }: { leakageMicroamps: number }) => leakageMicroamps === 9),
    ).toMatchObject({ baselineMicroamps: 4 })
    expect((await stick()).dueOn).toBe('2028-03-02')
  })
})

describe('an examination in place of a test', () => {
  const examined = { dry: undefined, wet: undefined, instrumentChecks: [], demonstrationId: 'DEM-1' }
  const alone = { ...aDemonstration, kind: 'examination alone', grounds: 'one of the lot cut open and found dry' }
  beforeEach(() => house.done('PUT', '/v1/demonstrations/DEM-1', { ...alone, effectiveFrom: '2025-01-01' }))

  test('carries a tested stick on where the policy allows it, and is proved with that policy', async () => {
    await passes('2025-12-01')
    await house.done('PUT', '/v1/policies/employer', { ...usRules, examinationOnly: true })
    const { json } = await passes('2026-03-10', examined)
    expect([json.verdict, json.stick.status, json.stick.dueOn]).toEqual(['pass', 'in service', '2028-03-10'])
    await expectProven()
    await house.done('PUT', '/v1/policies/employer', { ...usRules, effectiveFrom: '2026-03-11' })
    await expectProven()
    house.at('2026-03-11T15:00:00.000Z')
    expect((await stick()).dueOn).toBe('2027-12-01')
  })

  test('is incomplete where it does not', async () => {
    await passes('2025-12-01')
    const { json } = await passes('2026-03-10', examined)
    expect([json.verdict, json.stick.status]).toEqual(['incomplete', 'on hold'])
    expect(json.reasons.map(({ code }: { code: string }) => code)).toContain('examination-not-enough')
    await expectProven()
  })
})

describe('which failures remove for good', () => {
  const failsAgain = async (step: string) => {
    await fails('2026-03-02')
    await steps(step, '2026-03-03', { at: '08:00' })
    return (await fails('2026-03-04')).json.stick
  }

  test.each(['cleaned', 'refinished', 'repaired'])(
    'one after it was %s, unless the policy says otherwise',
    async (step) => {
      expect((await failsAgain(step)).status).toBe('removed from service')
    },
  )

  test('by two a policy has only those after refinishing or repair', async () => {
    const narrowed = { ...usRules, removesOnlyAfter: 'refinishing or repair', effectiveFrom: '2026-03-01' }
    const { status, json } = await house.call('PUT', '/v1/policies/employer', narrowed, 'manager')
    expect([status, json.proposal.effect.loosens[0].code]).toEqual([202, 'fewer-failures-remove'])
    await house.done('POST', `/v1/proposals/${json.proposal.id}/approve`, {}, 'manager-2')
    const stick = await failsAgain('cleaned')
    expect([stick.status, holdsOf(stick)]).toEqual(['on hold', ['failed-test']])
    // a pass clears nothing before another step
    expect((await passes('2026-03-05')).json.stick.status).toBe('on hold')
    await steps('refinished', '2026-03-06', { at: '08:00' })
    expect((await fails('2026-03-07')).json.stick.status).toBe('removed from service')
    await expectProven()
  })
})

describe('a second person’s release, where the policy asks for one', () => {
  const releases = (who: Who, on = '2026-03-10') => post('releases', fact(on), who)
  const passesAfterFailure = async () => {
    await fails('2026-03-02')
    await steps('cleaned', '2026-03-03')
    return passes('2026-03-04')
  }

  test('a pass after a failure leaves it on hold until somebody else releases it; then it is told', async () => {
    await house.done('PUT', '/v1/policies/employer', { ...usRules, releaseAfterFailure: true })
    const { json } = await passesAfterFailure()
    expect([json.verdict, json.stick.status, holdsOf(json.stick)]).toEqual(['pass', 'on hold', ['release-awaited']])
    expect((await moves({ crewId: 'CR-1' })).status).toBe(409)
    expect(codes(await releases('bench'))).toEqual(['same-person'])
    const released = await releases('bench-2')
    expect([released.status, released.json.stick.status]).toEqual([201, 'in service'])
    expect(owedOf(house)).toEqual([...toEverybody('hold'), ...toEverybody('return')].sort())
    expect(codes(await releases('manager'))).toEqual(['nothing-to-release'])
    await expectProven()
  })

  test('not by who did the test, whoever recorded it', async () => {
    await house.done('PUT', '/v1/policies/employer', { ...usRules, releaseAfterFailure: true })
    await fails('2026-03-02')
    await steps('cleaned', '2026-03-03')
    expect((await passes('2026-03-04', { testedBy: 'Ivo Marsh' })).json.stick.status).toBe('on hold')
    expect(codes(await releases('bench-2'))).toEqual(['same-person'])
    expect((await releases('manager')).status).toBe(201)
  })

  test('not by who did the test, named by their number', async () => {
    await house.done('PUT', '/v1/policies/employer', { ...usRules, releaseAfterFailure: true })
    await fails('2026-03-02')
    await steps('cleaned', '2026-03-03')
    await passes('2026-03-04', { testedBy: { personId: 'bench-2' } })
    expect(codes(await releases('bench-2'))).toEqual(['same-person'])
  })

  test('somebody who did the test is named as the register has them', async () => {
    const unknown = await passes('2026-03-04', { testedBy: { personId: 'nobody' } })
    expect([unknown.status, unknown.json.errors[0].pointer]).toEqual([422, '/testedBy/personId'])
  })

  test('a failed examination is a failure too; a first pass is none', async () => {
    await house.done('PUT', '/v1/policies/employer', { ...usRules, releaseAfterFailure: true })
    expect((await passes('2026-03-02')).json.stick.status).toBe('in service')
    await passes('2026-03-03', { examination: { defects: [{ kind: 'crack', open: true }], gloss: 'sound' } })
    await steps('repaired', '2026-03-04', { at: '10:00' })
    expect(holdsOf((await passes('2026-03-05')).json.stick)).toEqual(['release-awaited'])
  })

  test('a new failure before the release needs a new one', async () => {
    await house.done('PUT', '/v1/policies/employer', { ...usRules, releaseAfterFailure: true })
    await passesAfterFailure()
    await fails('2026-03-05')
    expect(codes(await releases('bench-2'))).toEqual(['nothing-to-release'])
    await steps('refinished', '2026-03-06', { at: '10:00' })
    expect(holdsOf((await passes('2026-03-07')).json.stick)).toEqual(['release-awaited'])
  })

  test('where it does not, the pass is enough and a release only on record', async () => {
    expect((await passesAfterFailure()).json.stick.status).toBe('in service')
    expect((await releases('bench-2')).json.stick.status).toBe('in service')
  })
})

describe('the same fact again', () => {
  const bodies: [door: string, body: () => Record<string, unknown>][] = [
    ['bench-tests', () => ({ ...aTest({ testedOn: day('2026-03-10') }) })],
    ['corrective-steps', () => fact('2026-03-10', { kind: 'cleaned', by: 'Ines Roth', note: 'twice' })],
    ['uses', () => fact('2026-03-10')],
    ['defects', () => fact('2026-03-10', { kind: 'drop' })],
    ['moves', () => fact('2026-03-10', { to: { bench: 'DEP-1' } })],
  ]

  test.each(bodies)('%s: is 200 with the stored outcome and writes nothing', async (door, body) => {
    const sent = body()
    const first = await post(door, sent)
    expect(first.status).toBe(201)
    const written = house.table.written()
    // in another order of names, by another person, another day: it is still the same fact
    house.at('2026-03-11T15:00:00.000Z')
    const again = await post(door, Object.fromEntries(Object.entries(sent).reverse()), 'bench-2')
    expect(again.status).toBe(200)
    expect({ ...again.json, stick: { ...again.json.stick, on: '2026-03-10' } }).toEqual(first.json)
    expect(house.table.written()).toBe(written)
  })

  test.each(bodies)('%s: with another body is 409 and changes nothing', async (door, body) => {
    const sent = body()
    await post(door, sent)
    const written = house.table.written()
    const other = await post(door, { ...sent, at: '14:20' })
    expect([other.status, codes(other)]).toEqual([409, ['fact-id-used']])
    expect(house.table.written()).toBe(written)
  })

  test.each(bodies)('%s: for another stick is 409', async (door, body) => {
    await house.done('PUT', '/v1/sticks/S-2', aStick)
    const sent = body()
    await post(door, sent)
    const written = house.table.written()
    expect((await post(door, sent, 'bench', 'S-2')).status).toBe(409)
    expect(house.table.written()).toBe(written)
  })

  test('under another door is 409', async () => {
    const factId = randomUUID()
    await post('uses', { factId, occurredOn: '2026-03-10' })
    expect((await post('defects', { factId, occurredOn: '2026-03-10', kind: 'drop' })).status).toBe(409)
    expect(await history()).toHaveLength(2)
  })

  test('answers the verdict as it was then, and the stick as it is now', async () => {
    const body = aTest({ testedOn: day('2026-03-10') })
    await post('bench-tests', body)
    await reports('2026-03-10')
    const { json, status } = await post('bench-tests', body)
    expect([status, json.verdict, json.stick.status]).toEqual([200, 'pass', 'on hold'])
  })

  test('is not refused though a date after it has since closed the stick to tests', async () => {
    const body = aTest({ testedOn: day('2026-03-05') })
    await post('bench-tests', body)
    await moves('scrapped')
    expect((await post('bench-tests', body)).status).toBe(200)
    expect((await passes('2026-03-10')).status).toBe(409)
  })

  test('sent twice at once is kept once', async () => {
    const body = fact('2026-03-10', { kind: 'drop' })
    const replies = await Promise.all([post('defects', body), post('defects', body)])
    expect(replies.map(({ status }) => status).sort()).toEqual([200, 201])
    expect(await history()).toHaveLength(2)
    expect(owedOf(house)).toEqual(toEverybody('hold'))
  })

  test('sent again after an answer that was lost on the way is kept once, and told once', async () => {
    const body = fact('2026-03-10', { kind: 'drop' })
    house.table.trouble({ crashAfter: 1 })
    expect((await post('defects', body)).status).toBe(500)
    house.table.trouble({})
    expect((await post('defects', body)).status).toBe(200)
    expect(await history()).toHaveLength(2)
    expect(owedOf(house)).toEqual(toEverybody('hold'))
  })

  test('sent again after nothing was written is new', async () => {
    const body = fact('2026-03-10', { kind: 'drop' })
    house.table.trouble({ crashBefore: 1 })
    expect((await post('defects', body)).status).toBe(500)
    expect(await history()).toHaveLength(1)
    house.table.trouble({})
    expect((await post('defects', body)).status).toBe(201)
  })
})

describe('two at one stick', () => {
  test('two bench tests at once both land, one after the other', async () => {
    const replies = await Promise.all([passes('2026-03-10'), passes('2026-03-09'), fails('2026-03-08')])
    expect(replies.map(({ status }) => status)).toEqual([201, 201, 201])
    const seqs = (await history()).map((one: { seq: number }) => one.seq)
    expect(seqs.sort()).toEqual([1, 2, 3, 4])
    await expectProven()
  })

  test('a test lost to another writer again and again lands all the same', async () => {
    house.table.trouble({ lose: [1, 2, 3, 5, 6] })
    expect((await passes('2026-03-09')).status).toBe(201)
    expect((await fails('2026-03-10')).status).toBe(201)
    expect(await history()).toHaveLength(3)
    expect(owedOf(house)).toEqual(toEverybody('hold'))
    await expectProven()
  })

  test('what comes between reading and writing is judged again: a pass with no step since clears nothing', async () => {
    await passes('2026-03-05')
    let called = false
    const what = async () => {
      if (called) return
      called = true
      await fails('2026-03-09')
    }
    house.table.trouble({ meanwhile: { before: 1, what } })
    const { json } = await passes('2026-03-10')
    expect(holdsOf(json.stick)).toEqual(['failed-test', 'no-corrective-step'])
    await expectProven()
  })

  test('where others write all the time it is 503, and nothing of it is kept', async () => {
    house.table.trouble({ lose: Array.from({ length: 50 }, (_, i) => i + 1) })
    const written = house.table.written()
    expect((await passes('2026-03-10')).status).toBe(503)
    expect(house.table.written()).toBe(written)
  })

  test('an entry on a register raced for is added behind the other', async () => {
    const put = (name: string) =>
      house.call('PUT', '/v1/depots/DEP-1', { name, timeZone: 'America/Chicago', sweepHour: 6 })
    const replies = await Promise.all([put('One'), put('Two')])
    expect(replies.map(({ status }) => status)).toEqual([200, 200])
    expect(await house.organisation().registers.editions('depot', 'DEP-1')).toHaveLength(3)
    house.table.trouble({ lose: Array.from({ length: 50 }, (_, i) => i + 1) })
    expect((await put('Three')).status).toBe(503)
  })
})

describe('a fact recorded late is folded where it belongs', () => {
  test('a cleaning between failure and repeat, handed in afterwards, makes the repeat count', async () => {
    await fails('2026-03-05')
    const repeat = await passes('2026-03-07')
    expect(holdsOf(repeat.json.stick)).toContain('no-corrective-step')
    const late = await steps('cleaned', '2026-03-06')
    expect(late.json.stick).toMatchObject({ status: 'in service', dueOn: '2028-03-07', holds: [] })
    expect(owedOf(house)).toEqual([...toEverybody('hold'), ...toEverybody('return')])
    expect((await history()).map((one: { kind: string }) => one.kind)).toEqual([
      'registered',
      'tested',
      'corrective step',
      'tested',
    ])
    await expectProven()
  })

  test('a failure handed in after a later pass holds the stick: nothing was done in between', async () => {
    await passes('2026-03-07')
    const late = await fails('2026-03-05')
    expect(late.json.stick.status).toBe('on hold')
    expect(holdsOf(late.json.stick)).toEqual(['failed-test', 'no-corrective-step'])
    expect(owedOf(house)).toEqual(toEverybody('hold'))
    await expectProven()
  })

  test('a pass older than the last one moves no date', async () => {
    await passes('2026-03-07')
    expect((await passes('2025-05-01')).json.stick.dueOn).toBe('2028-03-07')
    expect(owedOf(house)).toEqual([])
    await expectProven()
  })

  test('facts of one day stand by their hour; a report without one at the hour of its recording', async () => {
    await reports('2026-03-10')
    house.at('2026-03-10T20:30:00.000Z')
    await passes('2026-03-10', { at: '14:00' })
    expect((await stick()).status).toBe('in service')
    const atNoon = await post('defects', fact('2026-03-10', { kind: 'drop', at: '12:00' }), 'crew')
    expect(atNoon.json.stick.status).toBe('in service')
    const atThree = await post('defects', fact('2026-03-10', { kind: 'drop', at: '15:00' }), 'crew')
    expect(atThree.json.stick.status).toBe('on hold')
    await expectProven()
  })

  test('nothing handed in late brings a removed stick back', async () => {
    await fails('2026-03-03')
    await steps('cleaned', '2026-03-04')
    expect((await fails('2026-03-05')).json.stick.status).toBe('removed from service')
    expect((await passes('2026-03-04', { at: '23:00' })).status).toBe(409)
    expect((await stick()).status).toBe('removed from service')
    expect(owedOf(house)).toEqual([...toEverybody('hold'), ...toEverybody('removal')])
  })
})

describe('what the rules refuse', () => {
  test.each([
    ['never tested', async () => {}, ['awaiting-first-test']],
    ['overdue', () => passes('2024-02-29'), ['overdue']],
    ['failed', () => fails('2026-03-05'), ['on-hold', 'failed-test']],
    [
      'reported twice',
      () => reports('2026-03-05').then(() => reports('2026-03-06', 'drop')),
      ['on-hold', 'defect-reported', 'defect-reported'],
    ],
    ['missing', () => moves('missing'), ['on-hold', 'reported-missing']],
  ])('a stick %s cannot be issued or lent, with every reason', async (_, before, reasons) => {
    await before()
    const written = house.table.written()
    for (const to of [{ crewId: 'CR-1' }, { lentTo: 'Neighbours', returnBy: '2026-04-01' }]) {
      const refused = await moves(to)
      expect([refused.status, codes(refused)]).toEqual([409, reasons])
      for (const { text } of refused.json.reasons) expect(text).toMatch(/\w{4}/)
    }
    expect(house.table.written()).toBe(written)
  })

  test('an issue handed in late is refused if the stick was not fit on its day, though it is now', async () => {
    await fails('2026-03-05')
    await steps('cleaned', '2026-03-06')
    await passes('2026-03-07')
    const late = await moves({ crewId: 'CR-2' }, '2026-03-06')
    expect([late.status, codes(late)]).toEqual([409, ['on-hold', 'failed-test']])
    expect((await moves({ crewId: 'CR-2' }, '2026-03-08')).status).toBe(201)
  })

  test('it may go to the bench or into store all the same', async () => {
    await fails('2026-03-05')
    expect((await moves({ bench: 'DEP-2' })).json.stick).toMatchObject({ depotId: 'DEP-2', crewId: 'CR-1' })
    expect((await moves({ store: 'DEP-1' })).json.stick).toMatchObject({ depotId: 'DEP-1', crewId: null })
  })

  test('without rules in force no stick is fit to be issued', async () => {
    await passes('2026-03-05')
    house = openHouse(
      house.table.items().filter((item) => !item.pk.includes('#policy')),
      '2026-03-10T15:00:00.000Z',
    )
    expect(await stick()).toMatchObject({ status: 'on hold', dueOn: null })
    expect(codes(await moves({ crewId: 'CR-2' }))).toEqual(['on-hold', 'policy-missing'])
  })

  test('an entry on the register is no way around: naming another crew is an issue', async () => {
    await fails('2026-03-05')
    const put = () => house.call('PUT', '/v1/sticks/S-1', { ...aStick, crewId: 'CR-2' })
    await steps('cleaned', '2026-03-06')
    await passes('2026-03-06')
    expect((await put()).json).toMatchObject({ crewId: 'CR-2', depotId: 'DEP-2' })
    await reports('2026-03-07').then(() => post('defects', fact('2026-03-07', { kind: 'drop' })))
    const back = await house.call('PUT', '/v1/sticks/S-1', aStick)
    expect([back.status, codes(back)[0]]).toEqual([409, 'on-hold'])
  })

  test('in service it is issued, from that day with that crew', async () => {
    await passes('2026-03-05')
    expect((await moves({ crewId: 'CR-2' })).json.stick).toMatchObject({
      custody: { crewId: 'CR-2' },
      crewId: 'CR-2',
      depotId: 'DEP-2',
    })
    expect((await uses('2026-03-10')).status).toBe(403)
  })

  describe.each(['removed', 'scrapped'])('a %s stick', (how) => {
    const status = how === 'scrapped' ? 'scrapped' : 'removed from service'
    beforeEach(async () => {
      if (how === 'scrapped') await moves('scrapped')
      else {
        await fails('2026-03-03')
        await steps('repaired', '2026-03-04', { at: '10:00' })
        await fails('2026-03-05')
      }
    })

    test('is not tested, mended, found sound or issued', async () => {
      const written = house.table.written()
      const sound = await post('condition-checks', fact('2026-03-10', { by: 'Ines Roth', sound: true }))
      for (const refused of [await passes('2026-03-10'), await steps('cleaned', '2026-03-10'), sound])
        expect([refused.status, codes(refused)]).toEqual([409, [status.replaceAll(' ', '-')]])
      expect((await moves({ crewId: 'CR-1' })).status).toBe(409)
      expect(house.table.written()).toBe(written)
    })

    test.each<[string, object, string]>([
      ['defects', { kind: 'drop' }, 'report'],
      ['condition-checks', { by: 'Cy Dahl', sound: false }, 'report'],
      ['moves', { to: 'missing' }, 'report'],
      ['moves', { to: 'found' }, 'report'],
      ['uses', {}, 'used while unfit'],
    ])('is reported by anybody all the same, for somebody holds it: %s %j', async (door, body, kind) => {
      const before = owedOf(house)
      const reply = await post(door, fact('2026-03-10', body), 'other crew')
      expect([reply.status, reply.json.stickId, reply.json.recorded]).toEqual([201, 'S-1', true])
      expect((await stick()).status).toBe(status)
      expect(owedOf(house).filter((one) => !before.includes(one))).toEqual(toEverybody(kind))
      await expectProven()
    })
  })
})

test.each([true, false])('a first entry on the register tells nobody, with primary protection %s', async (primary) => {
  await house.done('PUT', '/v1/sticks/S-9', { ...aStick, primaryProtection: primary })
  expect(owedOf(house)).toEqual([])
})

describe('a use', () => {
  test('of a stick that is fit is kept and told nobody', async () => {
    await passes('2026-03-05')
    expect((await uses('2026-03-06')).status).toBe(201)
    expect(owedOf(house)).toEqual([])
  })

  test.each([
    ['on hold', () => fails('2026-03-05'), 'on hold'],
    ['never tested', async () => {}, 'awaiting first test'],
    ['scrapped', () => moves('scrapped', '2026-03-05'), 'scrapped'],
    ['overdue', () => passes('2024-02-29'), 'overdue'],
  ])('of a stick %s is kept, and told at once', async (_, before, status) => {
    await before()
    const told = owedOf(house).length
    const used = await uses('2026-03-06')
    expect([used.status, used.json.stick.status]).toEqual([201, status])
    expect(owedOf(house).filter((one) => one.startsWith('used'))).toEqual(toEverybody('used while unfit'))
    expect(owedOf(house)).toHaveLength(told + 4)
  })

  test('of a day before its first entry on the register is judged by that entry', async () => {
    await uses('2026-01-12')
    expect(owedOf(house)).toEqual(toEverybody('used while unfit'))
  })

  test('of the day before the hold is no use of an unfit stick', async () => {
    await passes('2026-03-01')
    await fails('2026-03-05')
    await uses('2026-03-04')
    expect(owedOf(house)).toEqual(toEverybody('hold'))
    await uses('2026-03-05')
    expect(owedOf(house)).toEqual([...toEverybody('hold'), ...toEverybody('used while unfit')])
  })
})

describe('what was known', () => {
  test('on a day: from the facts that occurred by then, as they are known now', async () => {
    await passes('2026-03-01')
    await fails('2026-03-05')
    await steps('cleaned', '2026-03-06')
    await passes('2026-03-07')
    const then = async (on: string) => {
      const { status, dueOn, on: day } = await stick(`?on=${on}`)
      return [status, dueOn, day]
    }
    expect(await then('2026-02-28')).toEqual(['awaiting first test', null, '2026-02-28'])
    expect(await then('2026-03-01')).toEqual(['in service', '2028-03-01', '2026-03-01'])
    expect(await then('2026-03-06')).toEqual(['on hold', '2028-03-01', '2026-03-06'])
    expect(await then('2026-03-07')).toEqual(['in service', '2028-03-07', '2026-03-07'])
    expect(await then('2028-03-07')).toEqual(['due soon', '2028-03-07', '2028-03-07'])
    expect(await then('2028-03-08')).toEqual(['overdue', '2028-03-07', '2028-03-08'])
  })

  test('on a day as recorded by a day: a fact handed in later is not yet known', async () => {
    await passes('2026-03-01')
    house.at('2026-03-12T15:00:00.000Z')
    await fails('2026-03-05')
    const known = async (query: string) => (await stick(query)).status
    expect(await known('?on=2026-03-06')).toBe('on hold')
    expect(await known('?on=2026-03-06&asKnownOn=2026-03-11')).toBe('in service')
    expect(await known('?on=2026-03-06&asKnownOn=2026-03-12')).toBe('on hold')
    expect(await known('?asKnownOn=2026-03-10')).toBe('in service')
    expect((await house.call('GET', '/v1/sticks/S-1?asKnownOn=2026-02-19')).status).toBe(404)
  })

  test('recorded by a day means the depot’s day, not that of the world', async () => {
    house.at('2026-03-11T04:59:00.000Z')
    await reports('2026-03-10')
    expect((await stick('?on=2026-03-10&asKnownOn=2026-03-10')).status).toBe('on hold')
  })

  test('a crew or a construction entered since does not reach back', async () => {
    await passes('2026-03-01')
    await house.done('PUT', '/v1/sticks/S-1', { ...aStick, crewId: 'CR-2' })
    await house.done('PUT', '/v1/sticks/S-1', { ...aStick, crewId: 'CR-2', construction: 'wood' })
    expect(await stick()).toMatchObject({ crewId: 'CR-2', construction: 'wood', status: 'on hold' })
    expect(await stick('?on=2026-03-09')).toMatchObject({
      crewId: 'CR-1',
      custody: { crewId: 'CR-1' },
      construction: 'foam-filled FRP tube',
    })
    expect(await stick('?on=2026-03-10')).toMatchObject({ crewId: 'CR-2', construction: 'wood' })
    expect(await stick('?on=2020-01-01')).toMatchObject({ crewId: 'CR-1', construction: 'foam-filled FRP tube' })
  })
})

test('what is told names the place by the register of the day; who begins tomorrow is not told yet', async () => {
  const next = { name: 'Nia Berg', email: 'nia@demo-utility.example', role: 'manager', depots: ['*'] }
  await house.done('PUT', '/v1/people/bench', { ...next, effectiveFrom: '2026-03-11' })
  await reports('2026-03-10')
  expect(owedOf(house)).toEqual(toEverybody('hold'))
  house.at('2026-03-11T15:00:00.000Z')
  await passes('2026-03-11')
  expect(owedOf(house).filter((one) => one.startsWith('return'))).toEqual(
    [...toEverybody('return'), 'return nia@demo-utility.example'].sort(),
  )
})

test('the API document in the repository is the one its routes make', () => {
  const kept = new URL('../../functions/api/openapi.generated.json', import.meta.url)
  expect(readFileSync(kept, 'utf8')).toBe(openApiText())
})

test('the document is open to anybody', async () => {
  const { json, status } = await house.call('GET', '/v1/openapi.json', undefined, 'stranger')
  expect([status, json.openapi]).toEqual([200, '3.1.0'])
})

describe('a step on a past day', () => {
  const yearly = { requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 12 }, source: 'Safety manual 4.2' }
  const rules = (shorten: object[], effectiveFrom: string) =>
    house.done('PUT', '/v1/policies/employer', { ...usRules, shorten, effectiveFrom })

  test('is judged by the rules of that day: what was overdue by them then was not to be issued', async () => {
    await passes('2025-02-01')
    await moves({ store: 'DEP-1' }, '2026-03-01')
    await rules([yearly], '2026-03-02')
    await rules([], '2026-03-10')
    expect(await stick('?on=2026-03-09')).toMatchObject({ status: 'overdue' })
    expect(await stick()).toMatchObject({ status: 'in service', on: '2026-03-10' })
    expect((await moves({ crewId: 'CR-1' }, '2026-03-09')).status).toBe(409)
    expect((await moves({ crewId: 'CR-1' }, '2026-03-10')).status).toBe(201)
  })
})
