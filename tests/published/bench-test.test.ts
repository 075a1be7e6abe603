/** Examples and tables of published documents. The limits in microamperes are SAMPLE figures: no document gives them. */
import { describe, expect, test } from 'vitest'
import { judge } from '../../shared-domain/bench-test/judge.ts'
import { limitFor, standing } from '../../shared-domain/bench-test/limits.ts'
import { requiredKilovolts } from '../../shared-domain/bench-test/withstand.ts'
import { codes, day, judgedBy, procedureOf, stickOf, survey, testOf, wetOf } from '../domain/bench-test/fixtures.ts'

/** A stick of 8 ft read in eight places on each of four quarter turns; SAMPLE limits dry 10 µA, wet 20 µA. */
const eightFeet = stickOf({ workingLengthMetres: 2.4384 })
const places = { length: 2438, span: 355, step: 298 }
const by = (over: Parameters<typeof judgedBy>[0] = {}) => judgedBy({ stick: eightFeet, ...over })
const dry = (value = 6) => ({ readings: survey({ ...places, value }) })
const wet = (value = 12) => wetOf(survey({ ...places, value, wet: true }))
const told = (over: Parameters<typeof testOf>[0], against = by()) => {
  const { verdict, reasons } = judge(testOf({ dry: dry(), wet: wet(), ...over }), against)
  return [verdict, codes(reasons)]
}

describe('worked evaluations of one survey', () => {
  test('eight places on four quarter turns, as UFC 3-560-01 5-4.12.5 turns the stick', () => {
    expect(dry().readings).toHaveLength(32)
  })

  test('29 CFR 1910.269(j)(2)(iii)(D): dry at most 6 and wet at most 12 over the entire length passes', () => {
    const { verdict, worst } = judge(testOf({ dry: dry(), wet: wet() }), by())
    expect([verdict, worst?.leakageMicroamps]).toEqual(['pass', 12])
  })

  test('UFC 3-560-01 5-4.12.4, 5-4.12.5: one wet reading of 21 among the rest governs', () => {
    const readings = wet().readings.map((row) =>
      row.quarterTurn === 90 && row.fromMetres === 1.192 ? { ...row, leakageMicroamps: 21 } : row,
    )
    const { verdict, cause, worst, reasons } = judge(testOf({ dry: dry(), wet: wetOf(readings) }), by())
    expect([verdict, cause]).toEqual(['fail', 'electrical'])
    expect(worst).toMatchObject({ state: 'wet', quarterTurn: 90, fromMetres: 1.192, leakageMicroamps: 21 })
    expect(reasons).toMatchObject([
      { code: 'reading-over-limit', quarterTurn: 90, fromMetres: 1.192, leakageMicroamps: 21 },
    ])
  })

  test('ILAC-G8:09/2019 4.2 leaves equality open, so the operator stored decides: exactly 20 of 20', () => {
    const less = by({ procedure: procedureOf({ comparison: 'less than' }) })
    expect(told({ wet: wet(20) })).toEqual(['pass', []])
    expect(told({ wet: wet(20) }, less)).toEqual(['fail', ['reading-over-limit']])
  })

  test('UFC 3-560-01 5-4.12.5: three positions of four are incomplete', () => {
    expect(told({ dry: { readings: dry().readings.filter((row) => row.quarterTurn !== 270) } })).toEqual([
      'incomplete',
      ['turn-missing'],
    ])
  })

  test('29 CFR 1910.269(j)(2)(iii)(D): the fourth place of eight left out is not the entire working length', () => {
    expect(told({ dry: { readings: dry().readings.filter((row) => row.fromMetres !== 0.894) } })).toEqual([
      'incomplete',
      ['gap'],
    ])
  })

  test('29 CFR 1910.269(j)(2)(iii)(D), UFC 3-560-01 5-4.9: FRP after repair, dry only, is incomplete', () => {
    expect(told({ reason: 'repair', wet: undefined })).toEqual(['incomplete', ['wet-missing']])
  })

  test('UFC 3-560-01 5-5.1.1: calibration due 23 November 2026, tested the day after', () => {
    const calibrations = [{ calibratedOn: day('2025-11-23'), calibrationDueOn: day('2026-11-23') }]
    expect(told({ testedOn: day('2026-11-23') }, by({ calibrations }))).toEqual(['pass', []])
    expect(told({ testedOn: day('2026-11-24') }, by({ calibrations }))).toEqual([
      'invalid',
      ['instrument-out-of-calibration'],
    ])
  })

  test('UFC 3-560-01 5-4.12.3: too much water rejects falsely; dried and repeated, the second pass counts', () => {
    const first = { appearance: 'drip line' as const, readings: wet(60).readings }
    expect(told({ wet: { ...wet(60), appearance: 'drip line' } })).toEqual([
      'invalid',
      ['reading-over-limit', 'wet-appearance'],
    ])
    expect(told({ wet: { ...wet(), driedAndRepeated: first } })).toEqual(['pass', []])
  })

  test('UFC 3-560-01 5-4.5: loss of gloss and open cracks are signs to reject', () => {
    expect(told({ examination: { defects: [], gloss: 'lost' } })).toEqual(['fail', ['gloss-lost']])
    expect(told({ examination: { defects: [{ kind: 'crack', open: true }], gloss: 'sound' } })).toEqual([
      'fail',
      ['open-defect'],
    ])
  })
})

/** 29 CFR 1910.269(j)(2)(iii)(E)(1) and (2), UFC 3-560-01 5-4.10: 75 kV per foot of FRP, 50 kV per foot of wood, 1 min. */
describe('the voltage a span withstands', () => {
  test.each([
    [1, 0.3048, 75, 50],
    [2, 0.6096, 150, 100],
    [4, 1.2192, 300, 200],
    [6, 1.8288, 450, 300],
    [8, 2.4384, 600, 400],
    [10, 3.048, 750, 500],
    [12, 3.6576, 900, 600],
    [16, 4.8768, 1200, 800],
    [20, 6.096, 1500, 1000],
  ])('%d ft', (_, metres, frp, wood) => {
    expect(requiredKilovolts('hollow FRP tube', metres)).toBeCloseTo(frp, 9)
    expect(requiredKilovolts('wood', metres)).toBeCloseTo(wood, 9)
  })

  const verdict = (construction: 'wood' | 'FRP rod', length: number, kilovolts: number, seconds = 60) => {
    const row = { fromMetres: 0, toMetres: length, kilovolts, seconds, outcome: 'withstood' as const }
    const states = construction === 'wood' ? (['dry'] as const) : (['dry', 'wet'] as const)
    const withstand = states.map((state) => ({ ...row, state }))
    const stick = stickOf({ construction, workingLengthMetres: length })
    const { verdict, reasons } = judge(testOf({ dry: undefined, wet: undefined, withstand }), judgedBy({ stick }))
    return [verdict, ...codes(reasons)]
  }

  test.each([0.3048, 2.4384, 6.096])('over %d m as stated in feet, and a thousandth less is too low', (length) => {
    const feet = length / 0.3048
    expect(verdict('FRP rod', length, 75 * feet)).toEqual(['pass'])
    expect(verdict('FRP rod', length, 75 * feet * 0.999)).toEqual(['incomplete', 'withstand-too-low'])
    expect(verdict('wood', length, 50 * feet)).toEqual(['pass'])
    expect(verdict('wood', length, 50 * feet * 0.999)).toEqual(['incomplete', 'withstand-too-low'])
  })

  test('in the rule’s metric figures: 246,100 V/m, 164,000 V/m and 1,640 V/cm', () => {
    expect(verdict('FRP rod', 2.5, 246.1 * 2.5)).toEqual(['pass'])
    expect(verdict('wood', 2.5, 164 * 2.5)).toEqual(['pass'])
    expect(verdict('wood', 2.5, 1.64 * 250)).toEqual(['pass'])
    expect(verdict('wood', 2.5, 163.9 * 2.5)).toEqual(['incomplete', 'withstand-too-low'])
  })

  test('for one minute', () => {
    expect(verdict('FRP rod', 2.4384, 600, 59)).toEqual(['incomplete', 'withstand-too-short'])
    expect(verdict('FRP rod', 2.4384, 600, 60)).toEqual(['pass'])
  })
})

/**
 * ILAC-G8:09/2019 4.2, binary statements: simple acceptance (w = 0) and guard band w = U; upper limit 20 (SAMPLE), U = 1,
 * equality passes. The guide prints the rule and no figures: the rows are that rule worked out.
 */
describe('simple and guarded acceptance', () => {
  const rows: [number, string, string][] = [
    [18.9, 'pass', 'pass'],
    [19.0, 'pass', 'pass'],
    [19.1, 'pass', 'fail'],
    [20.0, 'pass', 'fail'],
    [20.1, 'fail', 'fail'],
    [20.5, 'fail', 'fail'],
    [21.0, 'fail', 'fail'],
    [21.1, 'fail', 'fail'],
  ]
  const guarded = by({ procedure: procedureOf({ decision: 'guarded' }), expandedUncertaintyPercent: 5 })

  test.each(rows)('%d µA', (reading, simply, guardedly) => {
    expect(told({ wet: wet(reading) })[0]).toBe(simply)
    expect(told({ wet: wet(reading) }, guarded)[0]).toBe(guardedly)
  })

  test('tell the guard band from what is over the limit', () => {
    const limit = limitFor(guarded.procedure, eightFeet, 'wet', 0.3)
    if (limit === undefined) throw new Error('the sample procedure has a wet limit')
    expect([19, 19.1, 20, 20.1].map((reading) => standing(reading, limit, guarded.procedure, 5))).toEqual([
      'conforms',
      'in guard band',
      'in guard band',
      'over limit',
    ])
  })
})
