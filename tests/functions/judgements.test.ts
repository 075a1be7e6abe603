/** A bench test judged again by what is known by now: what it changes is told, and the old verdict stays on record. */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { stickPage } from '../../functions/pages/stick-page.ts'
import { testPage } from '../../functions/pages/test-page.ts'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import type { Item } from '../../functions/store/table.ts'
import type { WebDocument } from '../../functions/web/web-page.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { bodyOf, inEnglish } from '../support/pages.ts'
import { anInstrument, aStick, aTest, day, overTheLimit, survey } from '../support/trade.ts'
import { everybody, furnish, type House, openHouse, owedOf, type Who } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  const ranOut = { spanMetres: 0.3, calibratedOn: '2025-01-10', calibrationDueOn: '2026-01-10' }
  await first.done('PUT', '/v1/instruments/INS-2', ranOut)
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
})

const post = (path: string, body: object, who: Who = 'bench') => house.call('POST', `/v1/sticks/S-1/${path}`, body, who)
const tests = async (made: BenchTest) => {
  const { status, json } = await post('bench-tests', made)
  expect(status).toBe(201)
  return { factId: made.factId, verdict: json.verdict, codes: codesOf(json.reasons), status: json.stick.status }
}
const judges = (factId: string, more: object = {}, who: Who = 'bench') =>
  post(
    `bench-tests/${factId}/judgements`,
    { factId: randomUUID(), reason: 'the certificate came with the post', ...more },
    who,
  )
const steps = (kind: string, occurredOn: string) =>
  house.done('POST', '/v1/sticks/S-1/corrective-steps', {
    factId: randomUUID(),
    occurredOn,
    kind,
    by: 'Ines Roth',
  })
const certificateComes = () =>
  house.done('PUT', '/v1/instruments/INS-2', {
    spanMetres: 0.3,
    calibratedOn: '2026-01-20',
    calibrationDueOn: '2027-01-20',
  })
const codesOf = (reasons: readonly { code: string }[]) => [...new Set(reasons.map(({ code }) => code))]
const refusedFor = ({ status, json }: Awaited<ReturnType<typeof post>>) => [status, ...codesOf(json.reasons ?? [])]
const stick = async (query = '') => (await house.call('GET', `/v1/sticks/S-1${query}`)).json
const told = async (factId: string) => (await house.call('GET', `/v1/sticks/S-1/bench-tests/${factId}`)).json
const check = (state: 'dry' | 'wet', checkMicroamps = 98, when: 'before' | 'after' = 'after') => ({
  state,
  when,
  openMicroamps: 0,
  checkMicroamps,
})
const bothAfter = { instrumentChecks: [check('dry'), check('wet')] }

const toEverybody = (kind: string) => everybody.map((email) => `${kind} ${email}`)

/** A stick in service by a test of last year, so that all else is news. */
const inService = () => tests(aTest({ testedOn: day('2025-12-01') }))
const beforeItsCertificate = (over: Partial<BenchTest> = {}) =>
  aTest({ testedOn: day('2026-03-02'), at: '09:00', instrumentId: 'INS-2', ...over })
const noughts = (over: Partial<BenchTest> = {}) =>
  aTest({
    testedOn: day('2026-03-02'),
    dry: { readings: survey(2.4, 0) },
    wet: { water: 'distilled', appearance: 'beads', readings: survey(2.4, 0, undefined, true) },
    ...over,
  })

async function expectProven(): Promise<void> {
  expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
}

describe('a certificate that came late', () => {
  test('brings the stick back once the test is judged again, and its people are told', async () => {
    await inService()
    const { factId, ...first } = await tests(beforeItsCertificate())
    expect(first).toEqual({ verdict: 'invalid', codes: ['instrument-out-of-calibration'], status: 'on hold' })
    expect(refusedFor(await judges(factId))).toEqual([409, 'nothing-new'])
    await certificateComes()
    expect((await stick()).status).toBe('on hold')
    const { status, json } = await judges(factId)
    expect([status, json.verdict, json.reasons, json.stick.status, json.stick.dueOn]).toEqual([
      201,
      'pass',
      [],
      'in service',
      '2028-03-02',
    ])
    expect(owedOf(house)).toEqual([...toEverybody('hold'), ...toEverybody('return')])
    await expectProven()
  })

  test('leaves the old verdict on record, with who judged and why', async () => {
    const { factId } = await tests(beforeItsCertificate())
    await certificateComes()
    await judges(factId, {}, 'bench-2')
    const { items } = (await house.call('GET', '/v1/sticks/S-1/facts')).json
    expect(
      items
        .filter(({ judgement }: { judgement?: object }) => judgement !== undefined)
        .map((one: { kind: string; judgement: { verdict: string } }) => [one.kind, one.judgement.verdict]),
    ).toEqual([
      ['tested', 'invalid'],
      ['judged again', 'pass'],
    ])
    expect(await told(factId)).toMatchObject({
      verdict: 'pass',
      reasons: [],
      judgements: [
        { recordedBy: 'bench', reason: null, verdict: 'invalid', recordedAt: '2026-03-10T15:00:00.000Z' },
        { recordedBy: 'bench-2', reason: 'the certificate came with the post', verdict: 'pass' },
      ],
    })
  })

  test('is read on the pages with what was and what is', async () => {
    const { factId } = await tests(beforeItsCertificate())
    await certificateComes()
    await judges(factId)
    const text = async (page: Promise<WebDocument>) => (await bodyOf(page)).replace(/<[^>]*>/g, '')
    const history = await text(stickPage(house.asker(), { stickId: 'S-1', past: 0 }, inEnglish))
    expect(history).toContain('Bench test: pass, judged again; at first invalid (periodic)')
    expect(history).toContain(
      'Bench test of 2 March 2026 judged again: pass, because: the certificate came with the post',
    )
    const page = await text(testPage(house.asker(), { stickId: 'S-1', factId }, inEnglish))
    expect(page).toContain('invalid, 10 March 2026, 10:00 CDT, by bench')
    expect(page).toContain('pass, 10 March 2026, 10:00 CDT, by bench, because: the certificate came with the post')
  })

  test('can make a failure of what proved nothing, and that is told like any', async () => {
    await inService()
    const test = overTheLimit({ testedOn: day('2026-03-02'), instrumentId: 'INS-2' })
    expect((await tests(test)).verdict).toBe('invalid')
    await certificateComes()
    const { json } = await judges(test.factId)
    expect([json.verdict, codesOf(json.reasons), codesOf(json.stick.holds)]).toEqual([
      'fail',
      ['reading-over-limit'],
      ['failed-test'],
    ])
    expect(owedOf(house)).toEqual([...toEverybody('hold'), ...toEverybody('hold')].sort())
    await expectProven()
  })

  test('moves the test to no other hour: what was reported after it stands', async () => {
    await inService()
    const { factId } = await tests(beforeItsCertificate())
    await post('defects', { factId: randomUUID(), occurredOn: '2026-03-05', kind: 'tingle' }, 'crew')
    await certificateComes()
    const { json } = await judges(factId)
    expect([json.verdict, json.stick.status, codesOf(json.stick.holds)]).toEqual([
      'pass',
      'on hold',
      ['defect-reported'],
    ])
    await expectProven()
  })

  test('and what was reported before it is cleared by it', async () => {
    await inService()
    await post('defects', { factId: randomUUID(), occurredOn: '2026-03-01', kind: 'tingle' }, 'crew')
    const { factId } = await tests(beforeItsCertificate({ reason: 'defect' }))
    await certificateComes()
    expect((await judges(factId)).json.stick.status).toBe('in service')
  })
})

describe('an instrument that was shown alive only afterwards', () => {
  test('the test proves nothing until the check is typed in, and its readings are not typed again', async () => {
    const { factId, ...first } = await tests(noughts())
    expect(first).toEqual({ verdict: 'invalid', codes: ['instrument-not-shown-alive'], status: 'on hold' })
    const half = await judges(factId, { instrumentChecks: [check('dry')] })
    expect([half.status, half.json.verdict, half.json.stick.status]).toEqual([201, 'invalid', 'on hold'])
    expect(half.json.reasons).toMatchObject([{ code: 'instrument-not-shown-alive', state: 'wet' }])
    const whole = await judges(factId, { instrumentChecks: [check('wet')] })
    expect([whole.status, whole.json.verdict, whole.json.stick.status]).toEqual([201, 'pass', 'in service'])
    const { judgements, test: shown } = await told(factId)
    expect(judgements.map(({ verdict }: { verdict: string }) => verdict)).toEqual(['invalid', 'invalid', 'pass'])
    expect(shown.instrumentChecks).toHaveLength(4)
    await expectProven()
  })

  test('a check that is out of tolerance shows the contrary, of a test that passed too', async () => {
    const { factId, verdict } = await tests(aTest({ testedOn: day('2026-03-02') }))
    expect(verdict).toBe('pass')
    const { json } = await judges(factId, { instrumentChecks: [check('wet', 12)] })
    expect([json.verdict, codesOf(json.reasons), json.stick.status]).toEqual([
      'invalid',
      ['check-out-of-tolerance'],
      'on hold',
    ])
    expect(owedOf(house)).toEqual(toEverybody('hold'))
    await expectProven()
  })

  test('a check of before, forgotten then, is taken too', async () => {
    const { factId, codes } = await tests(
      aTest({ testedOn: day('2026-03-02'), instrumentChecks: [check('dry', 98, 'before')] }),
    )
    expect(codes).toEqual(['check-missing'])
    expect((await judges(factId, { instrumentChecks: [check('wet', 97, 'before')] })).json.verdict).toBe('pass')
  })

  test('the same checks again are nothing new', async () => {
    const { factId } = await tests(aTest({ testedOn: day('2026-03-02') }))
    const before = { instrumentChecks: [check('dry', 98, 'before'), check('wet', 98, 'before')] }
    expect(refusedFor(await judges(factId, before))).toEqual([409, 'nothing-new'])
    expect(refusedFor(await judges(factId, { instrumentChecks: [] }))).toEqual([409, 'nothing-new'])
    expect((await judges(factId, bothAfter)).status).toBe(201)
    expect(refusedFor(await judges(factId, bothAfter))).toEqual([409, 'nothing-new'])
  })
})

describe('a failure', () => {
  test('is not taken back by a check more: that is a correction, and needs two', async () => {
    const test = overTheLimit({ testedOn: day('2026-03-02') })
    expect((await tests(test)).verdict).toBe('fail')
    const written = house.table.written()
    expect(refusedFor(await judges(test.factId, { instrumentChecks: [check('wet', 12)] }))).toEqual([
      409,
      'failure-stands',
    ])
    expect(house.table.written()).toBe(written)
    expect(codesOf((await stick()).holds)).toEqual(['failed-test'])
  })

  test('nor is it by a limit that was raised since, dated back', async () => {
    const test = overTheLimit({ testedOn: day('2026-03-02') })
    await tests(test)
    const { json } = await house.call('GET', '/v1/procedures/PRC-1')
    const { id: _, edition: __, recordedAt: ___, recordedBy: ____, warnings: _____, ...body } = json
    const limits = body.limits.map((one: { microamps: number }) => ({ ...one, microamps: one.microamps * 3 }))
    await house.done('PUT', '/v1/procedures/PRC-1', { ...body, limits, effectiveFrom: '2026-03-01' })
    expect(refusedFor(await judges(test.factId))).toEqual([409, 'failure-stands'])
  })

  test('the one that judged a pass after it again does not release the stick', async () => {
    await house.done('PUT', '/v1/policies/employer', {
      packs: ['us-29-cfr-1910-269-j'],
      effectiveFrom: '2020-01-02',
      releaseAfterFailure: true,
    })
    await tests(overTheLimit({ testedOn: day('2026-02-20') }))
    await steps('cleaned', '2026-02-22')
    const { factId } = await tests(beforeItsCertificate({ reason: 'retest' }))
    await certificateComes()
    expect(codesOf((await judges(factId, {}, 'bench-2')).json.stick.holds)).toEqual(['release-awaited'])
    const releases = (who: Who) => post('releases', { factId: randomUUID(), occurredOn: '2026-03-10' }, who)
    expect(refusedFor(await releases('bench'))).toEqual([409, 'same-person'])
    expect(refusedFor(await releases('bench-2'))).toEqual([409, 'same-person'])
    expect((await releases('manager')).status).toBe(201)
    await expectProven()
  })
})

describe('what was known when', () => {
  test('the day before the judgement it was held, and as known now it never was', async () => {
    house.at('2026-03-03T15:00:00.000Z')
    const { factId } = await tests(beforeItsCertificate())
    house.at('2026-03-10T15:00:00.000Z')
    await certificateComes()
    await judges(factId)
    house.at('2026-03-20T15:00:00.000Z')
    const status = async (query: string) => (await stick(query)).status
    expect(await status('?on=2026-03-05')).toBe('in service')
    expect(await status('?on=2026-03-05&asKnownOn=2026-03-09')).toBe('on hold')
    expect(await status('?asKnownOn=2026-03-09')).toBe('on hold')
    expect(await status('?asKnownOn=2026-03-10')).toBe('in service')
  })

  test('of two judgements the newer counts on every day', async () => {
    house.at('2026-03-03T15:00:00.000Z')
    const { factId } = await tests(beforeItsCertificate())
    house.at('2026-03-10T15:00:00.000Z')
    await certificateComes()
    await judges(factId)
    house.at('2026-03-12T15:00:00.000Z')
    expect((await judges(factId, { instrumentChecks: [check('dry', 40)] })).json.stick.status).toBe('on hold')
    const status = async (query: string) => (await stick(query)).status
    expect(await status('?on=2026-03-11')).toBe('on hold')
    expect(await status('?on=2026-03-11&asKnownOn=2026-03-11')).toBe('in service')
    await expectProven()
  })

  test('a use that is typed in late is judged by the newest verdict', async () => {
    await inService()
    house.at('2026-03-03T15:00:00.000Z')
    const { factId } = await tests(beforeItsCertificate())
    house.at('2026-03-10T15:00:00.000Z')
    await certificateComes()
    await judges(factId)
    await post('uses', { factId: randomUUID(), occurredOn: '2026-03-05' }, 'crew')
    expect(owedOf(house).filter((one) => one.startsWith('used'))).toEqual([])
    await expectProven()
  })
})

describe('is refused', () => {
  test('where there is no such test on that stick', async () => {
    await house.done('PUT', '/v1/sticks/S-2', aStick)
    const test = aTest({ testedOn: day('2026-03-02') })
    await house.done('POST', '/v1/sticks/S-2/bench-tests', test)
    const step = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'cleaned', by: 'Ines Roth' }
    await house.done('POST', '/v1/sticks/S-1/corrective-steps', step)
    for (const id of [test.factId, step.factId, randomUUID(), 'nothing'])
      expect((await judges(id, bothAfter)).status).toBe(404)
    expect((await house.call('POST', `/v1/sticks/S-9/bench-tests/${test.factId}/judgements`, {}, 'bench')).status).toBe(
      404,
    )
  })

  test('to a crew, and to whoever is of another depot or organisation', async () => {
    const { factId } = await tests(noughts())
    expect((await judges(factId, bothAfter, 'crew')).status).toBe(403)
    expect((await judges(factId, bothAfter, 'south manager')).status).toBe(403)
    expect((await judges(factId, bothAfter, 'other owner')).status).toBe(404)
    expect((await judges(factId, bothAfter, 'manager')).status).toBe(201)
  })

  test('of a stick that left service for good', async () => {
    const first = await tests(noughts({ testedOn: day('2026-02-10') }))
    await tests(overTheLimit({ testedOn: day('2026-02-11') }))
    await steps('cleaned', '2026-02-12')
    expect((await tests(overTheLimit({ testedOn: day('2026-02-13'), testedBy: 'Ivo Marsh' }))).status).toBe(
      'removed from service',
    )
    expect(refusedFor(await judges(first.factId, bothAfter))).toEqual([409, 'removed-from-service'])
  })

  test('where the stick’s entry of that day was put right, and the test lies beyond its end now', async () => {
    const { factId } = await tests(noughts())
    await house.done('PUT', '/v1/sticks/S-1', { ...aStick, workingLengthMetres: 1.8, effectiveFrom: '2026-03-01' })
    expect(refusedFor(await judges(factId, bothAfter))).toEqual([409, 'test-does-not-fit'])
  })

  test('with every fault of the body', async () => {
    const { factId } = await tests(noughts())
    const { status, json } = await judges(factId, { reason: '', instrumentChecks: [{ state: 'dry' }], why: 'x' })
    expect(status).toBe(422)
    expect(json.errors.map(({ pointer }: { pointer: string }) => pointer).sort()).toEqual([
      '/instrumentChecks/0/checkMicroamps',
      '/instrumentChecks/0/openMicroamps',
      '/instrumentChecks/0/when',
      '/reason',
      '/why',
    ])
  })
})

test('the same judgement again answers as before and writes nothing; another under its id is refused', async () => {
  const { factId } = await tests(noughts())
  const body = { factId: randomUUID(), reason: 'checked after the session', ...bothAfter }
  const first = await post(`bench-tests/${factId}/judgements`, body)
  const written = house.table.written()
  house.at('2026-03-12T15:00:00.000Z')
  const again = await post(`bench-tests/${factId}/judgements`, body)
  expect([first.status, again.status, again.json.verdict]).toEqual([201, 200, 'pass'])
  expect(house.table.written()).toBe(written)
  expect(refusedFor(await post(`bench-tests/${factId}/judgements`, { ...body, reason: 'another' }))).toEqual([
    409,
    'fact-id-used',
  ])
})

test('an instrument’s entry that was put right counts, dated to the day of the test', async () => {
  const limits = (await house.call('GET', '/v1/procedures/PRC-1')).json.limits
  const body = { ...(await house.call('GET', '/v1/procedures/PRC-1')).json }
  for (const name of ['id', 'edition', 'recordedAt', 'recordedBy', 'warnings']) delete body[name]
  const at100 = limits.map((one: object) => ({ ...one, kilovolts: 100 }))
  await house.done('PUT', '/v1/procedures/PRC-2', { ...body, limits: at100 })
  const { factId, verdict, codes } = await tests(aTest({ testedOn: day('2026-03-02'), procedureId: 'PRC-2' }))
  expect([verdict, codes]).toEqual(['incomplete', ['no-limit-covers']])
  await house.done('PUT', '/v1/instruments/INS-1', { ...anInstrument, kilovolts: 100, effectiveFrom: '2026-02-20' })
  expect((await judges(factId)).json.verdict).toBe('pass')
  await expectProven()
})

test('a proof fails where any of its verdicts was tampered with, an earlier one too', async () => {
  const { factId } = await tests(noughts())
  await judges(factId, { instrumentChecks: [check('dry')] })
  await judges(factId, { instrumentChecks: [check('wet')] })
  await expectProven()
  for (const seq of [2, 3, 4]) {
    const tampered = house.table.items().map((item) => {
      const { fact } = item as { fact?: { seq: number; judgement?: object } }
      if (fact?.seq !== seq) return item
      return { ...item, fact: { ...fact, judgement: { ...fact.judgement, worst: null } } }
    })
    const { faults } = await proveStick(openHouse(tampered).organisation(), 'S-1')
    expect([seq, faults]).toEqual([seq, [expect.stringContaining('judged again it is')]])
  }
})
