import { describe, expect, test } from 'vitest'
import { analysisOf, type JudgedTest } from '../../../shared-domain/bench-test/analysis.ts'
import { type JudgedBy, judge } from '../../../shared-domain/bench-test/judge.ts'
import { stripsOf } from '../../../shared-domain/bench-test/strip.ts'
import { addDays } from '../../../shared-domain/calendar.ts'
import type { Demonstration } from '../../../shared-domain/registers.ts'
import { read } from '../../support/english.ts'
import { day, judgedBy, shown, stickOf, survey, testOf, wetOf } from './fixtures.ts'

/** A piece of wood as long as one reading: one place on each turn, read dry alone. The limit is a SAMPLE of 10 µA. */
const by: JudgedBy = judgedBy({
  stick: stickOf({ construction: 'wood', workingLengthMetres: 0.3 }),
  calibrations: [{ calibratedOn: day('2016-01-01'), calibrationDueOn: day('2036-01-01') }],
})
const start = day('2016-03-02')
const place = { quarterTurn: 90, fromMetres: 0, toMetres: 0.3 }

type Over = Parameters<typeof testOf>[0]

/** Read as `microamps` on the quarter turn at 90° and as 2 µA on the others, `days` after the first test. */
function readAs(microamps: number, days: number, over: Over = {}): JudgedTest {
  const readings = survey({ length: 300, value: 2 }).map((row) =>
    row.quarterTurn === 90 ? { ...row, leakageMicroamps: microamps } : row,
  )
  return judged({ dry: { readings }, testedOn: addDays(start, days), ...over })
}

function judged(over: Over): JudgedTest {
  const test = testOf({ wet: undefined, ...over })
  return { test, by, judgement: judge(test, by) }
}

/** A test by the withstand method alone, which reads no leakage; it passes. */
function withstood(days: number): JudgedTest {
  return judged({
    dry: undefined,
    testedOn: addDays(start, days),
    withstand: [{ fromMetres: 0, toMetres: 0.3, kilovolts: 60, seconds: 60, state: 'dry', outcome: 'withstood' }],
  })
}

/** A test every 400 days. */
const every400Days = (...readings: number[]) => readings.map((microamps, index) => readAs(microamps, index * 400))
const verdicts = (history: readonly JudgedTest[]) => history.map(({ judgement }) => judgement.verdict)

test('of no test there is nothing to say', () => {
  expect(analysisOf([], day('2026-03-02'))).toStrictEqual({
    strips: [],
    likely: [],
    inPhase: [],
    rising: [],
    meetsLimitBeforeDue: [],
  })
})

test('of a first test that passes there are its strips, and nothing to set beside them', () => {
  const first = readAs(4, 0)
  expect(analysisOf([first], day('2026-03-02'))).toStrictEqual({
    strips: stripsOf(first.test, first.by),
    likely: [],
    inPhase: [],
    rising: [],
    meetsLimitBeforeDue: [],
  })
})

test('the strips are those of the last test, and none where it read nothing', () => {
  const last = readAs(5, 400)
  expect(analysisOf([readAs(4, 0), last], null).strips).toStrictEqual(stripsOf(last.test, last.by))
  expect(analysisOf([readAs(4, 0), withstood(400)], null).strips).toStrictEqual([])
})

test('of readings it says by which demonstration they equal the rule’s withstand test, of withstand nothing', () => {
  const stated = (one: JudgedTest, kind: Demonstration['kind'] = 'readings for withstand') => ({
    ...one,
    by: { ...one.by, demonstrated: shown(kind, { grounds: 'report 12' }) },
  })
  expect(analysisOf([stated(readAs(4, 0))], null).equivalence).toBe('DEM-1: Safety engineer, report 12')
  expect(analysisOf([stated(readAs(4, 0), 'withstand')], null)).not.toHaveProperty('equivalence')
  expect(analysisOf([stated(withstood(0))], null)).not.toHaveProperty('equivalence')
})

describe('what a place is likely to mean', () => {
  const risenFrom = (was: number) => ({
    code: 'rising-since-last-test',
    text:
      `Dry, quarter turn 90°, 0 to 0.3 m: risen to 9 µA from ${was} µA in the last test; likely, not proof: it is ` +
      'getting worse there',
    state: 'dry',
    ...place,
  })

  test('is told without an earlier test too', () => {
    expect(analysisOf([readAs(11, 0)], null).likely.map(read)).toStrictEqual([
      {
        code: 'one-turn-only',
        text:
          'Dry, quarter turn 90°, 0 to 0.3 m: stands out on this quarter turn only; likely, not proof: dirt, a ' +
          'scratch or a track on the surface',
        state: 'dry',
        ...place,
      },
    ])
  })

  test('is read against the test before, not an older one', () => {
    expect(analysisOf([readAs(3, 0), readAs(6, 400), readAs(9, 800)], null).likely.map(read)).toStrictEqual([
      risenFrom(6),
    ])
    expect(analysisOf([readAs(3, 0), readAs(8, 400), readAs(9, 800)], null).likely.map(read)).toStrictEqual([])
  })

  test('is read against the last test that has readings', () => {
    expect(analysisOf([readAs(3, 0), withstood(400), readAs(9, 800)], null).likely.map(read)).toStrictEqual([
      risenFrom(3),
    ])
  })
})

describe('the part in phase', () => {
  const shareOn90 = (history: readonly JudgedTest[]) =>
    analysisOf(history, null).inPhase.filter(({ quarterTurn }) => quarterTurn === 90)
  const grown = { ...place, leakageMicroamps: 5, baselineMicroamps: 4, inPhaseMicroamps: 3 }

  test('is counted from the first dry test that passed, place by place', () => {
    const history = [readAs(4, 0), readAs(4.5, 400), readAs(5, 800)]
    expect(shareOn90(history)).toStrictEqual([grown])
    expect(analysisOf(history, null).inPhase).toHaveLength(4)
  })

  test('is not counted from a test that failed, or that read nothing', () => {
    const history = [readAs(11, 0), withstood(200), readAs(4, 400), readAs(5, 800)]
    expect(verdicts(history)).toStrictEqual(['fail', 'pass', 'pass', 'pass'])
    expect(shareOn90(history)).toStrictEqual([grown])
  })

  test('is not told where no test passed before', () => {
    const history = [readAs(11, 0), readAs(12, 400)]
    expect(verdicts(history)).toStrictEqual(['fail', 'fail'])
    expect(analysisOf(history, null).inPhase).toStrictEqual([])
    expect(analysisOf([readAs(11, 0), readAs(4, 400)], null).inPhase).toStrictEqual([])
  })
})

describe('a rising place', () => {
  /** 1 µA in 400 days: from 4 µA it meets 10 µA in 2400 days. */
  const trend = {
    state: 'dry',
    ...place,
    points: 5,
    microampsPerYear: 365.25 / 400,
    limitMicroamps: 10,
    significant: true,
    limitMetOn: addDays(start, 2400),
  }

  test('is told, and the ones that stay level are not', () => {
    expect(analysisOf(every400Days(4, 5, 6, 7, 8), null).rising).toStrictEqual([trend])
  })

  test('advises an earlier test where it meets its limit before the stick falls due, and only there', () => {
    const advised = (dueIn: number) =>
      analysisOf(every400Days(4, 5, 6, 7, 8), addDays(start, dueIn)).meetsLimitBeforeDue
    expect(advised(2401)).toStrictEqual([trend])
    expect(advised(2400)).toStrictEqual([])
    expect(analysisOf(every400Days(4, 5, 6, 7, 8), null).meetsLimitBeforeDue).toStrictEqual([])
  })

  test('is none where chance would do as much, or where it falls', () => {
    expect(analysisOf(every400Days(4, 5, 6, 7), null).rising).toStrictEqual([])
    expect(analysisOf(every400Days(4, 6, 5, 7, 8), null).rising).toStrictEqual([])
    expect(analysisOf(every400Days(8, 7, 6, 5, 4), null).rising).toStrictEqual([])
  })

  test('is none where the place lay level most of its years: the line through them is level too', () => {
    expect(analysisOf(every400Days(4, 4, 4, 4, 4, 4, 4, 5, 5, 5), null).rising).toStrictEqual([])
  })

  test('is read from tests that failed too, and never from one that proves nothing', () => {
    const failed = every400Days(8, 9, 10, 11, 12)
    expect(verdicts(failed)).toStrictEqual(['pass', 'pass', 'pass', 'fail', 'fail'])
    expect(analysisOf(failed, null).rising).toHaveLength(1)

    const invalid = readAs(8, 1600, { instrumentChecks: [] })
    expect(invalid.judgement.verdict).toBe('invalid')
    expect(analysisOf([...every400Days(4, 5, 6, 7), invalid], null).rising).toStrictEqual([])
  })
})

test('the figures of a dead instrument hint at nothing, and nothing rises from them', () => {
  const dead = judged({ dry: { readings: survey({ length: 300, value: 0 }) }, testedOn: addDays(start, 400) })
  const last = readAs(8, 800)
  const hints = (...history: JudgedTest[]) => analysisOf(history, null).likely.map(({ code }) => code)
  expect(dead.judgement.verdict).toBe('invalid')
  expect(hints(readAs(7.9, 0), dead, last)).toEqual(hints(readAs(7.9, 0), last))
  expect(hints(readAs(4, 0), dead, last)).toContain('rising-since-last-test')
  expect(analysisOf([readAs(4, 0), dead], null)).toMatchObject({ likely: [], inPhase: [] })
  // stuck at one figure in both states
  const both = judgedBy({ stick: stickOf({ workingLengthMetres: 0.3 }) })
  const rows = (wet: boolean) => survey({ length: 300, value: 19, wet })
  const stuck = testOf({ dry: { readings: rows(false) }, wet: wetOf(rows(true)) })
  const told = { test: stuck, by: both, judgement: judge(stuck, both) }
  expect(analysisOf([told], null).likely).toEqual([])
})
