import { describe, expect, test } from 'vitest'
import type { Withstand } from '../../../shared-domain/bench-test/bench-test.ts'
import { judge } from '../../../shared-domain/bench-test/judge.ts'
import * as withstand from '../../../shared-domain/bench-test/withstand.ts'
import { asRead, read } from '../../support/english.ts'
import { codes, day, judgedBy, procedureOf, shown, stickOf, survey, testOf, wetOf } from './fixtures.ts'

const unshown = asRead(withstand.unshown)

const row = (over: Partial<Withstand> = {}): Withstand => ({
  fromMetres: 0,
  toMetres: 2.4,
  kilovolts: 600,
  seconds: 60,
  state: 'dry',
  outcome: 'withstood',
  ...over,
})
const told = (withstand: Withstand[], over: Parameters<typeof testOf>[0] = {}, by = judgedBy()) => {
  const { verdict, cause, reasons } = judge(testOf({ dry: undefined, wet: undefined, withstand, ...over }), by)
  return [verdict, cause, codes(reasons)]
}

test('dry and wet together take the place of readings, and need no check of a leakage instrument', () => {
  expect(told([row(), row({ state: 'wet' })], { instrumentChecks: [] })).toEqual(['pass', null, []])
  expect(told([row()])).toEqual(['incomplete', null, ['wet-missing']])
  expect(told([row({ kilovolts: 400 })], {}, judgedBy({ stick: stickOf({ construction: 'wood' }) }))).toEqual([
    'pass',
    null,
    [],
  ])
})

test('an acceptance test is a dry withstand of the whole length as new, in a test for first issue that passes', () => {
  const asNew = (over: Parameters<typeof testOf>[0]) =>
    judge(testOf({ reason: 'first issue', ...over }), judgedBy()).asNew
  const whole = row({ kilovolts: 800, seconds: 300 })
  expect(asNew({ withstand: [whole] })).toBe(true)
  expect(asNew({ withstand: [whole], reason: 'periodic' })).toBeUndefined()
  expect(asNew({})).toBeUndefined()
  expect(asNew({ withstand: [{ ...whole, toMetres: 0.3 }] })).toBeUndefined()
  expect(asNew({ withstand: [{ ...whole, kilovolts: 600 }] })).toBeUndefined()
  expect(asNew({ withstand: [{ ...whole, state: 'wet' }] })).toBeUndefined()
  expect(asNew({ withstand: [whole], cleaned: false })).toBeUndefined()
})

test('a procedure that goes by the line voltage needs it, whichever way it does', () => {
  const stated = (more: object) =>
    procedureOf({
      withstand: [
        {
          construction: 'foam-filled FRP tube',
          when: 'in service',
          voltage: { kilovolts: 5 },
          seconds: 60,
          source: 'report 1',
          demonstrationId: 'DEM-1',
          ...more,
        },
      ],
    })
  const reasons = (more: object, stick = stickOf()) =>
    unshown('dry', [row()], {
      stick,
      reason: 'periodic',
      procedure: stated(more),
      demonstrated: shown('withstand'),
    }).map(({ text }) => text)
  expect(reasons({})).toEqual([])
  const unknown = [
    'Dry: the register does not say on what line voltage the stick is used; the procedure states the withstand ' +
      'voltage by it',
  ]
  expect(reasons({ lineKilovolts: [1, 35] })).toEqual(unknown)
  expect(reasons({ voltage: { times: 3, of: 'line voltage' } })).toEqual(unknown)
  const none = ['Dry: the procedure states no withstand voltage for sticks used on this line voltage']
  expect(reasons({ lineKilovolts: [1, 35] }, stickOf({ lineKilovolts: 0.4 }))).toEqual(none)
  expect(reasons({ lineKilovolts: [1, 35] }, stickOf({ lineKilovolts: 36 }))).toEqual(none)
  for (const edge of [1, 35]) expect(reasons({ lineKilovolts: [1, 35] }, stickOf({ lineKilovolts: edge }))).toEqual([])
})

test('one state may be shown by readings and the other by withstand', () => {
  expect(told([row()], { wet: wetOf(survey({ value: 9, wet: true })) })).toEqual(['pass', null, []])
})

test('the spans together reach the whole length, in any order, without overlap', () => {
  const wet = row({ state: 'wet' })
  const upper = row({ fromMetres: 1.2, kilovolts: 300 })
  const lower = row({ toMetres: 1.2, kilovolts: 300 })
  expect(told([wet, upper, lower])).toEqual(['pass', null, []])
  const { verdict, reasons } = judge(
    testOf({ dry: undefined, wet: undefined, withstand: [wet, row({ fromMetres: 1.5, kilovolts: 300 }), lower] }),
    judgedBy(),
  )
  expect(verdict).toBe('incomplete')
  expect(reasons).toMatchObject([{ code: 'gap', state: 'dry', fromMetres: 1.2, toMetres: 1.5 }])
  expect(reasons[0]).not.toHaveProperty('quarterTurn')
})

test('a telescoping stick is tested section by section', () => {
  const sections = [
    { name: 'tip', lengthMetres: 1.2 },
    { name: 'butt', lengthMetres: 1.5 },
  ]
  const by = judgedBy({ stick: stickOf({ sections }) })
  const tests = (['dry', 'wet'] as const).flatMap((state) => [
    row({ state, section: 'tip', toMetres: 1.2, kilovolts: 300 }),
    row({ state, section: 'butt', toMetres: 1.5, kilovolts: 375 }),
  ])
  expect(told(tests, {}, by)).toEqual(['pass', null, []])
  expect(judge(testOf({ dry: undefined, wet: undefined, withstand: tests.slice(1) }), by).reasons).toMatchObject([
    { code: 'gap', state: 'dry', section: 'tip', fromMetres: 0, toMetres: 1.2 },
  ])
})

describe('too little', () => {
  const wet = row({ state: 'wet' })
  test('voltage', () =>
    expect(told([wet, row({ kilovolts: 590 })])).toEqual(['incomplete', null, ['withstand-too-low']]))
  test('time', () => expect(told([wet, row({ seconds: 59.9 })])).toEqual(['incomplete', null, ['withstand-too-short']]))
})

describe('any outcome but withstood', () => {
  test.each(['flashover', 'puncture', 'tracking', 'heating'] as const)(
    '%s fails, in an incomplete test too',
    (outcome) => {
      expect(told([row({ outcome, toMetres: 1.2 })])).toEqual([
        'fail',
        'electrical',
        ['gap', 'wet-missing', 'withstand-failed'],
      ])
    },
  )

  test('out of calibration proves nothing, but damage done is damage', () => {
    const late = (outcome: Withstand['outcome']) =>
      told([row({ outcome }), row({ state: 'wet' })], { testedOn: day('2026-12-02') })
    const both = ['instrument-out-of-calibration', 'withstand-failed']
    expect(late('withstood')).toEqual(['invalid', null, ['instrument-out-of-calibration']])
    expect(late('flashover')).toEqual(['invalid', null, both])
    expect(late('heating')).toEqual(['invalid', null, both])
    expect(late('puncture')).toEqual(['fail', 'electrical', both])
    expect(late('tracking')).toEqual(['fail', 'electrical', both])
  })

  test('under a recorded drip line a wet flashover proves nothing', () => {
    const wet = { wet: wetOf([], { appearance: 'drip line' as const }) }
    expect(told([row(), row({ state: 'wet', outcome: 'flashover' })], wet)).toEqual([
      'invalid',
      null,
      ['wet-appearance', 'withstand-failed'],
    ])
    expect(told([row(), row({ state: 'wet' })], wet)).toEqual(['invalid', null, ['wet-appearance']])
    expect(told([row({ outcome: 'flashover' }), row({ state: 'wet' })], wet)).toEqual([
      'fail',
      'electrical',
      ['wet-appearance', 'withstand-failed'],
    ])
  })
})

describe('both methods on one state', () => {
  const wet = row({ state: 'wet' })
  test('one that is complete does not need the other to be', () => {
    expect(told([wet, row({ toMetres: 0.3, kilovolts: 75 })], { dry: { readings: survey() } })).toEqual([
      'pass',
      null,
      [],
    ])
    expect(told([wet, row()], { dry: { readings: survey({ turns: [0] }) } })).toEqual(['pass', null, []])
  })

  test('two halves are no whole', () => {
    const half = row({ toMetres: 1.2, kilovolts: 300 })
    expect(told([wet, half], { dry: { readings: survey({ turns: [0] }) } })).toEqual([
      'incomplete',
      null,
      ['gap', 'turn-missing'],
    ])
  })

  test('one that is in doubt does not stand in for the other', () => {
    const half = row({ toMetres: 1.2, kilovolts: 300 })
    const readings = { dry: { readings: survey() }, instrumentChecks: [] }
    expect(told([wet, half], readings)).toEqual(['invalid', null, ['check-missing', 'gap']])
  })

  test('what either finds wrong counts', () => {
    expect(told([wet, row()], { dry: { readings: survey({ turns: [0], value: 40 }) } })).toEqual([
      'fail',
      'electrical',
      ['reading-over-limit'],
    ])
    expect(told([wet, row({ outcome: 'heating' })], { dry: { readings: survey() } })).toEqual([
      'fail',
      'electrical',
      ['withstand-failed'],
    ])
    expect(told([wet, row()], { dry: { readings: survey() }, instrumentChecks: [] })).toEqual([
      'invalid',
      null,
      ['check-missing'],
    ])
  })
})

describe('what people read', () => {
  const periodic = (rows: Withstand[], stick = stickOf()) => unshown('dry', rows, { stick, reason: 'periodic' })

  test('of a failure, what happened, at what voltage and where', () => {
    const failureOf = (...of: Parameters<typeof withstand.failureOf>) => read(withstand.failureOf(...of))
    expect(failureOf('wet', row({ state: 'wet', outcome: 'puncture', toMetres: 1.2, kilovolts: 300 }))).toStrictEqual({
      code: 'withstand-failed',
      text: 'Wet, 0 to 1.2 m: puncture at 300 kV; the span has to withstand it',
      state: 'wet',
      fromMetres: 0,
      toMetres: 1.2,
    })
    expect(failureOf('dry', row({ outcome: 'flashover', section: 'tip' }))).toStrictEqual({
      code: 'withstand-failed',
      text: 'Dry, section tip, 0 to 2.4 m: flashover at 600 kV; the span has to withstand it',
      state: 'dry',
      section: 'tip',
      fromMetres: 0,
      toMetres: 2.4,
    })
  })

  test('of too low a voltage, what the span asks for and by which rule', () => {
    const place = { state: 'dry', fromMetres: 0, toMetres: 2.4 }
    const tooLow = (text: string) => ({ code: 'withstand-too-low', text: `Dry, 0 to 2.4 m: ${text}`, ...place })
    expect(periodic([row({ kilovolts: 590 })])).toStrictEqual([
      tooLow('tested at 590 kV; 590.55 kV (75 kV per foot) is asked for'),
    ])
    expect(periodic([row({ kilovolts: 390 })], stickOf({ construction: 'wood' }))).toStrictEqual([
      tooLow('tested at 390 kV; 393.7 kV (50 kV per foot) is asked for'),
    ])
    expect(
      unshown('dry', [row({ kilovolts: 780, seconds: 300 })], { stick: stickOf(), reason: 'first issue' }),
    ).toStrictEqual([tooLow('tested at 780 kV; 787.4 kV (100 kV per foot) is asked for')])
  })

  test('of too short a time, how long is asked for', () => {
    const tooShort = (text: string) => ({
      code: 'withstand-too-short',
      text: `Dry, 0 to 2.4 m: ${text}`,
      state: 'dry',
      fromMetres: 0,
      toMetres: 2.4,
    })
    expect(periodic([row({ seconds: 59.9 })])).toStrictEqual([tooShort('tested for 59.9 s; 60 s is asked for')])
    expect(unshown('dry', [row({ kilovolts: 800 })], { stick: stickOf(), reason: 'first issue' })).toStrictEqual([
      tooShort('tested for 60 s; 300 s is asked for'),
    ])
  })

  test('of a part that was left out, which, and that the whole is asked for', () => {
    expect(periodic([row({ fromMetres: 0.4 })])).toStrictEqual([
      {
        code: 'gap',
        text: 'Dry, 0 to 0.4 m: no withstand test there; the tests must cover the whole 2.4 m',
        state: 'dry',
        fromMetres: 0,
        toMetres: 0.4,
      },
    ])
    const sections = [
      { name: 'tip', lengthMetres: 1.2 },
      { name: 'butt', lengthMetres: 1.5 },
    ]
    expect(periodic([row({ section: 'tip', toMetres: 1.2 })], stickOf({ sections }))).toStrictEqual([
      {
        code: 'gap',
        text: 'Dry, section butt, 0 to 1.5 m: no withstand test there; the tests must cover the whole 1.5 m',
        state: 'dry',
        section: 'butt',
        fromMetres: 0,
        toMetres: 1.5,
      },
    ])
  })
})

test('a voltage is enough where it differs from the rule by no more than the rule’s own rounding', () => {
  const foot = stickOf({ workingLengthMetres: 0.3048 })
  const at = (kilovolts: number) =>
    unshown('dry', [row({ toMetres: 0.3048, kilovolts })], { stick: foot, reason: 'periodic' })
  expect([75, 74.98].map((kilovolts) => at(kilovolts))).toStrictEqual([[], []])
  expect(codes(at(74.97))).toStrictEqual(['withstand-too-low'])
})
