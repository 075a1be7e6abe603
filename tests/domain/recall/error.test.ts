/** Readings of a wrong instrument put right, and tests judged again by them. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { judgedWithError, type Measured } from '../../../shared-domain/bench-test/measured.ts'
import { measuredIn } from '../../../shared-domain/bench-test/measuring.ts'
import { type InstrumentError, trueMicroamps } from '../../../shared-domain/recall/error.ts'
import { anInstrument, aProcedure, aStick, aTest, day, survey } from '../../support/trade.ts'

const low = (value: number): InstrumentError => ({ kind: 'percent of reading', value: -value })
const editions = {
  stick: aStick,
  procedure: aProcedure,
  instruments: [{ effectiveFrom: day('2024-01-01'), body: anInstrument }],
}
const read = (wet: number) =>
  measuredIn(
    aTest({ wet: { water: 'distilled', appearance: 'beads', readings: survey(2.4, wet, undefined, true) } }),
    editions,
  )

describe('an instrument 5 % low beside a limit of 20 µA', () => {
  // worked by hand: 18.9 / 0.95 = 19.8947…, 19.1 / 0.95 = 20.1052…
  test.each([
    [18.9, 19.894736842, true],
    [19, 20, true],
    [19.1, 20.105263158, false],
  ])('read %d µA where %d µA flowed', (reading, truly, passes) => {
    const again = judgedWithError(read(reading), low(5))
    expect(again).toMatchObject({ passes })
    if (again.passes === null) throw new Error('nothing was judged')
    expect(again.readings.find(({ state }) => state === 'wet')).toEqual({
      state: 'wet',
      readMicroamps: reading,
      trueMicroamps: truly,
      limitMicroamps: 20,
      marginMicroamps: Math.round((20 - truly) * 1e9) / 1e9,
      source: 'sample value',
      conforms: passes,
    })
  })
})

describe('the current in truth', () => {
  test.each<[InstrumentError, number, number]>([
    [{ kind: 'percent of reading', value: -5 }, 19, 20],
    [{ kind: 'percent of reading', value: 25 }, 10, 8],
    [{ kind: 'percent of full scale', value: -2, fullScaleMicroamps: 50 }, 19, 20],
    [{ kind: 'percent of full scale', value: 2, fullScaleMicroamps: 50 }, 19, 18],
    [{ kind: 'offset microamps', value: -0.7 }, 19.3, 20],
    [{ kind: 'offset microamps', value: 3 }, 2, 0],
    [{ kind: 'percent of reading', value: -100 }, 0, Number.POSITIVE_INFINITY],
  ])('%o: %d read, %d flowed', (error, shown, truly) => {
    expect(trueMicroamps(shown, error)).toBe(truly)
  })
})

describe('nothing can be said', () => {
  test('where the error is not known', () => {
    expect(judgedWithError(read(9), null)).toEqual({ passes: null })
  })

  test('of a test of which an earlier build kept no readings', () => {
    expect(judgedWithError(undefined, low(1))).toEqual({ passes: null })
  })

  test('where no limit covered the stick in a state that was read', () => {
    const dryAlone = { ...aProcedure, limits: aProcedure.limits.filter(({ state }) => state === 'dry') }
    expect(judgedWithError(measuredIn(aTest(), { ...editions, procedure: dryAlone }), low(1))).toEqual({ passes: null })
  })

  test('of withstand results: an error of the current says nothing of the voltage', () => {
    const withstand = [
      { fromMetres: 0, toMetres: 2.4, kilovolts: 600, seconds: 60, state: 'dry', outcome: 'withstood' } as const,
    ]
    expect(judgedWithError(measuredIn(aTest({ withstand }), editions), low(1))).toEqual({ passes: null })
  })
})

test('a reading is held to the rule of its own test: less than, or guarded by the uncertainty', () => {
  const strict = measuredIn(aTest(), { ...editions, procedure: { ...aProcedure, comparison: 'less than' } })
  expect(judgedWithError({ ...strict, highest: [{ ...of(strict, 'wet'), microamps: 19 }] }, low(5)).passes).toBe(false)
  const guarded: Measured = {
    comparison: 'not more than',
    decision: 'guarded',
    expandedUncertaintyPercent: 10,
    highest: [{ state: 'wet', microamps: 17.2, limit: 20, source: 'sample value' }],
  }
  // acceptance at 18: 17.2 / 0.95 = 18.105…
  expect(judgedWithError(guarded, low(5)).passes).toBe(false)
  expect(judgedWithError(guarded, low(4)).passes).toBe(true)
})

function of(measured: Measured, state: 'dry' | 'wet') {
  const found = measured.highest.find((one) => one.state === state)
  if (found === undefined) throw new Error(`nothing read ${state}`)
  return found
}

test('where a limit of another voltage may hold, the stricter counts', () => {
  const limits = [
    ...aProcedure.limits,
    { construction: aStick.construction, state: 'wet' as const, microamps: 12, source: 'at 75 kV', kilovolts: 75 },
  ]
  const measured = measuredIn(aTest(), { ...editions, procedure: { ...aProcedure, limits } })
  expect(of(measured, 'wet')).toMatchObject({ limit: 12, source: 'at 75 kV' })
})

const anyMeasured = fc.record({
  comparison: fc.constantFrom('not more than' as const, 'less than' as const),
  decision: fc.constantFrom('simple' as const, 'guarded' as const),
  expandedUncertaintyPercent: fc.integer({ min: 0, max: 20 }),
  highest: fc.array(
    fc.record({
      state: fc.constantFrom('dry' as const, 'wet' as const),
      microamps: fc.integer({ min: 0, max: 3000 }).map((tenths) => tenths / 100),
      limit: fc.constantFrom(10, 20),
      source: fc.constant('sample value'),
    }),
    { minLength: 1, maxLength: 2 },
  ),
})
const anyFurther = fc.tuple(fc.double({ min: 0, max: 60, noNaN: true }), fc.double({ min: 0, max: 39, noNaN: true }))
const anyKind = fc.constantFrom('percent of reading', 'percent of full scale', 'offset microamps')
const errorOf = (kind: 'percent of reading' | 'percent of full scale' | 'offset microamps', value: number) =>
  kind === 'percent of full scale' ? { kind, value, fullScaleMicroamps: 50 } : { kind, value }

test('an instrument that read lower still lets no more tests pass, nor one that read low more than none', () => {
  fc.assert(
    fc.property(anyMeasured, anyKind, anyFurther, (measured, kind, [some, more]) => {
      const [none, less, further] = [0, some, some + more].map(
        (value) => judgedWithError(measured, errorOf(kind, -value)).passes,
      )
      if (further) expect(less).toBe(true)
      if (less) expect(none).toBe(true)
    }),
    { numRuns: 2000, seed: 20260304 },
  )
})
