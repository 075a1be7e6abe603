import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { inPhaseMicroamps, inPhaseShares } from '../../../shared-domain/bench-test/in-phase.ts'
import { stripsOf } from '../../../shared-domain/bench-test/strip.ts'
import { judgedBy, stickOf, survey, testOf } from './fixtures.ts'

/** By how much the current leads the voltage: 90° is all capacitive, 0° all in phase. */
function phaseAngleDegrees(readingMicroamps: number, baselineMicroamps: number): number {
  if (readingMicroamps <= baselineMicroamps) return 90
  return (Math.atan2(baselineMicroamps, inPhaseMicroamps(readingMicroamps, baselineMicroamps)) * 180) / Math.PI
}

/** Worked out by hand: the reading is √(I_C² + I_R²), the angle atan(I_C / I_R). */
describe('10 µA capacitive', () => {
  test.each([
    [0, 10, 90],
    [5, 11.18, 63.43],
    [10, 14.142, 45],
    [30, 31.623, 18.43],
  ])('and %d µA in phase read %d µA and lead the voltage by %d°', (inPhase, reading, degrees) => {
    const exact = Math.hypot(10, inPhase)
    expect(exact).toBeCloseTo(reading, 3)
    expect(inPhaseMicroamps(exact, 10)).toBeCloseTo(inPhase, 9)
    expect(phaseAngleDegrees(exact, 10)).toBeCloseTo(degrees, 2)
  })
})

describe('the in-phase part of a reading', () => {
  test.each([
    ['at the baseline', 10, 10, 0, 90],
    ['below the baseline', 9.9, 10, 0, 90],
    ['of nothing', 0, 0, 0, 90],
    ['over a baseline of nothing', 7, 0, 7, 0],
  ])('%s', (_, reading, baseline, inPhase, degrees) => {
    expect(inPhaseMicroamps(reading, baseline)).toBe(inPhase)
    expect(phaseAngleDegrees(reading, baseline)).toBe(degrees)
  })

  const current = fc.double({ min: 0, max: 1000, noNaN: true })

  test('is never more than there is, though part of the baseline was in phase already', () => {
    fc.assert(
      fc.property(current, current, current, (capacitive, inPhaseAtFirst, inPhaseNow) => {
        const baseline = Math.hypot(capacitive, inPhaseAtFirst)
        const reading = Math.hypot(capacitive, inPhaseNow)
        expect(inPhaseMicroamps(reading, baseline)).toBeLessThanOrEqual(inPhaseNow * (1 + 1e-9) + 1e-4)
      }),
      { seed: 90, numRuns: 1000 },
    )
  })
})

describe('place by place', () => {
  const dryOf = (readings: ReturnType<typeof survey>, over = {}) =>
    stripsOf(testOf({ dry: { readings } }), judgedBy(over))
  const first = () => dryOf(survey({ value: 4 }))

  test('every place of the dry strip has its share, on every turn', () => {
    const shares = inPhaseShares(dryOf(survey({ value: 5 })), first())
    expect(shares).toHaveLength(40)
    expect(shares[0]).toEqual({
      quarterTurn: 0,
      fromMetres: 0,
      toMetres: 0.3,
      leakageMicroamps: 5,
      baselineMicroamps: 4,
      inPhaseMicroamps: 3,
    })
  })

  test('a span that differs by a millimetre is another place, one that differs by less is the same', () => {
    const moved = (by: number) =>
      dryOf(survey({ value: 5, turns: [90] }).map((row) => ({ ...row, toMetres: row.toMetres - by })))
    expect(inPhaseShares(moved(0.001), first())).toEqual([])
    expect(inPhaseShares(moved(0.0001), first())).toHaveLength(10)
  })

  test('what was not settled, then or now, has none', () => {
    const unsettled = survey({ value: 5 }).map((row) => (row.fromMetres === 1 ? { ...row, settled: false } : row))
    expect(inPhaseShares(dryOf(unsettled), first())).toHaveLength(36)
    expect(inPhaseShares(first(), dryOf(unsettled))).toHaveLength(36)
  })

  test('a wet reading has none, nor has a test without dry readings', () => {
    const wetAlone = stripsOf(testOf({ dry: undefined }), judgedBy())
    expect(inPhaseShares(wetAlone, first())).toEqual([])
    expect(inPhaseShares(first(), wetAlone)).toEqual([])
  })

  test('a section is measured against itself', () => {
    const stick = stickOf({ sections: ['tip', 'butt'].map((name) => ({ name, lengthMetres: 1.2 })) })
    const both = (tip: number, butt: number) =>
      dryOf(
        [
          survey({ length: 1200, section: 'tip', value: tip }),
          survey({ length: 1200, section: 'butt', value: butt }),
        ].flat(),
        { stick },
      )
    const shares = inPhaseShares(both(5, 13), both(4, 12))
    expect(new Set(shares.map((one) => `${one.section} ${one.inPhaseMicroamps}`))).toEqual(new Set(['tip 3', 'butt 5']))
  })

  test('the order of readings changes nothing', () => {
    const readings = survey({ value: 5 })
    expect(inPhaseShares(dryOf([...readings].reverse()), first())).toEqual(inPhaseShares(dryOf(readings), first()))
  })
})
