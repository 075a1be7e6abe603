/** The main job, walked in the order of its days, through the routes alone. */
import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aStick, aTest, day, overTheLimit, survey } from '../support/trade.ts'
import { ana, bo, bring, furnish, lookAt, manager, put, type TestOutcome } from './furnish.ts'

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
})
afterAll(async () => {
  await stack?.stop()
})

const step = (kind: string, occurredOn: string, at: string, stickId = 'S-1') =>
  stack.call(
    'POST',
    `/v1/sticks/${stickId}/corrective-steps`,
    { factId: randomUUID(), occurredOn, at, kind, by: 'Ines Roth', note: '' },
    'bench',
  )

const subjects = async (to: string) => (await stack.mail(to)).map((mail) => mail.subject)

describe('2026-03-02: a stick comes to the bench', () => {
  test('a complete passing test: pass, in service, due two years on', async () => {
    const outcome = await bring(stack, aTest())
    expect(outcome).toMatchObject({
      verdict: 'pass',
      reasons: [],
      stick: { status: 'in service', dueOn: '2028-03-02', daysOverdue: 0, holds: [] },
    })
  })

  test('a first pass is nobody’s mail', async () => {
    await stack.settle()
    expect(await subjects(ana)).toEqual([])
  })

  test('another stick, tested on 2024-02-29, is due 2026-02-28 and overdue', async () => {
    await put(stack, '/v1/sticks/S-2', aStick)
    const outcome = await bring(stack, aTest({ testedOn: day('2024-02-29') }), 'S-2')
    expect(outcome).toMatchObject({
      verdict: 'pass',
      stick: { status: 'overdue', dueOn: '2026-02-28', daysOverdue: 2 },
    })
  })
})

describe('2026-03-03: it fails', () => {
  test('one wet reading of 21 over a limit of 20: fail, named by span and turn, on hold', async () => {
    await stack.day('2026-03-03')
    const outcome = await bring(stack, overTheLimit({ testedOn: day('2026-03-03'), at: '08:00' }))
    expect(outcome).toMatchObject({ verdict: 'fail', stick: { status: 'on hold' } })
    expect(outcome.reasons).toMatchObject([
      { code: 'reading-over-limit', state: 'wet', quarterTurn: 90, fromMetres: 1, toMetres: 1.3, leakageMicroamps: 21 },
    ])
  })

  test('one hold mail lies with each recipient and the manager, and says why and what would clear it', async () => {
    await stack.settle()
    for (const to of [ana, bo, manager]) {
      const mails = (await stack.mail(to)).filter((mail) => mail.subject.includes('S-1'))
      expect(mails.map((mail) => mail.subject)).toEqual([
        expect.stringMatching(/^Stick S-1 is on hold: do not use it \[[0-9A-Z-]{14}\]$/),
      ])
      for (const part of [mails[0]?.text, mails[0]?.html]) {
        expect(part).toContain('S-1')
        expect(part).toContain('21')
        expect(part).toContain('cleaned, refinished or repaired')
        expect(part).toContain('never replaces')
      }
    }
  })

  test('a repeat that reads well without a corrective step leaves it on hold', async () => {
    const { stick } = await bring(stack, aTest({ testedOn: day('2026-03-03'), at: '08:10', reason: 'retest' }))
    expect(stick.status).toBe('on hold')
    expect(stick.holds.map((hold) => hold.code)).toContain('no-corrective-step')
  })

  test('as does one after waxing only', async () => {
    expect((await step('waxed', '2026-03-03', '08:20')).status).toBe(201)
    const { stick } = await bring(stack, aTest({ testedOn: day('2026-03-03'), at: '08:30', reason: 'retest' }))
    expect(stick.holds.map((hold) => hold.code)).toContain('no-corrective-step')
  })

  test('it cannot be issued meanwhile', async () => {
    const { status, json } = await stack.call(
      'POST',
      '/v1/sticks/S-1/moves',
      { factId: randomUUID(), occurredOn: '2026-03-03', to: { crewId: 'CR-1' } },
      'bench',
    )
    expect(status).toBe(409)
    expect((json as { reasons: { code: string }[] }).reasons.map((reason) => reason.code)).toContain('failed-test')
  })
})

describe('2026-03-04: refinished and tested in full', () => {
  test('in service again, two years from this test, and told', async () => {
    await stack.day('2026-03-04')
    await step('refinished', '2026-03-04', '08:00')
    const { stick } = await bring(stack, aTest({ testedOn: day('2026-03-04'), at: '08:30', reason: 'retest' }))
    expect(stick).toMatchObject({ status: 'in service', dueOn: '2028-03-04', holds: [] })
    await stack.settle()
    for (const to of [ana, bo, manager]) expect((await subjects(to))[0]).toMatch(/^Stick S-1 is back in service/)
  })
})

describe('2026-03-05: it fails, is refinished, and fails again', () => {
  test('removed from service, and told', async () => {
    await stack.day('2026-03-05')
    await bring(stack, overTheLimit({ testedOn: day('2026-03-05'), at: '08:00' }))
    await step('refinished', '2026-03-05', '08:20')
    const { stick } = await bring(stack, overTheLimit({ testedOn: day('2026-03-05'), at: '08:40', reason: 'retest' }))
    expect(stick.status).toBe('removed from service')
    await stack.settle()
    for (const to of [ana, bo, manager])
      expect((await subjects(to))[0]).toMatch(/^Stick S-1 is removed from service for good/)
  })

  test('nothing brings it back', async () => {
    await stack.day('2026-03-06')
    const tested = await stack.call(
      'POST',
      '/v1/sticks/S-1/bench-tests',
      aTest({ testedOn: day('2026-03-06') }),
      'bench',
    )
    expect([tested.status, (await step('refinished', '2026-03-06', '08:00')).status]).toEqual([409, 409])
    const late = await stack.call('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-04') }), 'bench')
    expect(late.status).toBe(409)
    expect((await lookAt(stack, 'S-1')).status).toBe('removed from service')
  })

  test('a use of it is kept all the same, and told at once', async () => {
    const used = await stack.call(
      'POST',
      '/v1/sticks/S-1/uses',
      { factId: randomUUID(), occurredOn: '2026-03-06', days: 1, conditions: ['wet'] },
      'crew',
    )
    expect(used.status).toBe(201)
    await stack.settle()
    expect((await subjects(manager))[0]).toMatch(/^Stick S-1 was used while it was not fit/)
  })
})

const fresh = async (stickId: string) => put(stack, `/v1/sticks/${stickId}`, aStick)

describe('what a test proves and does not', () => {
  const threeTurns = (leakageMicroamps: number) =>
    aTest({
      testedOn: day('2026-03-06'),
      dry: { readings: survey(2.4, leakageMicroamps, (one) => (one.quarterTurn === 270 ? null : {})) },
    })

  test('21 at one place and only three turns: fail', async () => {
    await fresh('S-3')
    expect((await bring(stack, threeTurns(21), 'S-3')).verdict).toBe('fail')
  })

  test('three turns: incomplete, turn-missing names the turn', async () => {
    await fresh('S-4')
    const outcome = await bring(stack, threeTurns(4), 'S-4')
    expect(outcome).toMatchObject({
      verdict: 'incomplete',
      reasons: [{ code: 'turn-missing', state: 'dry', quarterTurn: 270 }],
      stick: { status: 'on hold' },
    })
  })

  test('a gap: incomplete, gap names where', async () => {
    await fresh('S-5')
    const readings = survey(2.4, 4, (one) =>
      one.quarterTurn === 180 && [1, 1.25].includes(one.fromMetres) ? null : {},
    )
    const outcome = await bring(stack, aTest({ testedOn: day('2026-03-06'), dry: { readings } }), 'S-5')
    expect(outcome).toMatchObject({
      verdict: 'incomplete',
      reasons: [{ code: 'gap', quarterTurn: 180, fromMetres: 1.05, toMetres: 1.5 }],
    })
  })

  test('outside every calibration period: invalid', async () => {
    await fresh('S-6')
    await put(stack, '/v1/instruments/INS-9', {
      spanMetres: 0.3,
      calibratedOn: '2024-01-01',
      calibrationDueOn: '2026-03-05',
    })
    const outcome = await bring(stack, aTest({ testedOn: day('2026-03-06'), instrumentId: 'INS-9' }), 'S-6')
    expect(outcome).toMatchObject({ verdict: 'invalid', reasons: [{ code: 'instrument-out-of-calibration' }] })
  })
})

describe('judged again by what is known by now', () => {
  const judge = async (stickId: string, test: BenchTest, more: object = {}) => {
    const path = `/v1/sticks/${stickId}/bench-tests/${test.factId}/judgements`
    const body = { factId: randomUUID(), reason: 'it came with the post', ...more }
    const { status, json } = await stack.call('POST', path, body, 'bench')
    return { status, json: json as TestOutcome }
  }

  test('a certificate that came late: pass, back in service, and its crew is told', async () => {
    await fresh('S-7')
    const test = aTest({ testedOn: day('2026-03-06'), instrumentId: 'INS-9' })
    expect(await bring(stack, test, 'S-7')).toMatchObject({ verdict: 'invalid', stick: { status: 'on hold' } })
    const period = { spanMetres: 0.3, calibratedOn: '2026-03-06', calibrationDueOn: '2027-03-06' }
    await put(stack, '/v1/instruments/INS-9', period)
    const { status, json } = await judge('S-7', test)
    expect([status, json.verdict, json.stick.status, json.stick.dueOn]).toEqual([
      201,
      'pass',
      'in service',
      '2028-03-06',
    ])
    await stack.settle()
    expect((await subjects(ana))[0]).toContain('Stick S-7 is back in service')
  })

  test('an instrument that reads nothing at all: invalid until a check after the session shows it alive', async () => {
    await fresh('S-8')
    const test = aTest({
      testedOn: day('2026-03-06'),
      dry: { readings: survey(2.4, 0) },
      wet: { water: 'distilled', appearance: 'beads', readings: survey(2.4, 0, undefined, true) },
    })
    expect(await bring(stack, test, 'S-8')).toMatchObject({
      verdict: 'invalid',
      reasons: [
        { code: 'instrument-not-shown-alive', state: 'dry' },
        { code: 'instrument-not-shown-alive', state: 'wet' },
      ],
    })
    const instrumentChecks = ['dry', 'wet'].map((state) => ({
      state,
      when: 'after',
      openMicroamps: 0,
      checkMicroamps: 98,
    }))
    const { status, json } = await judge('S-8', test, { instrumentChecks })
    expect([status, json.verdict, json.stick.status]).toEqual([201, 'pass', 'in service'])
    const told = await stack.call('GET', `/v1/sticks/S-8/bench-tests/${test.factId}`, undefined, 'crew')
    expect(told.json).toMatchObject({ verdict: 'pass', judgements: [{ verdict: 'invalid' }, { verdict: 'pass' }] })
  })
})

test('every state in the table is the replay of its facts, every verdict what its editions say', async () => {
  // an entry of a register may bear the name under which states lie
  await put(stack, '/v1/depots/STATE', { name: 'State street', timeZone: 'America/Chicago', sweepHour: 6 })
  expect(await stack.prove()).toMatch(/^\d+ sticks, \d+ facts: every state is the replay of its facts$/m)
})
