import { describe, expect, test } from 'vitest'
import { type Editions, hasSay, judgeByEditions } from '../../../shared-domain/bench-test/editions.ts'
import { codes, day, procedureOf, shown, stickOf, testOf } from './fixtures.ts'

/** Uncertainty and span differ from edition to edition, so that the verdict tells which of them judged. */
const earlier = {
  effectiveFrom: day('2025-01-01'),
  body: {
    spanMetres: 0.3,
    calibratedOn: day('2025-01-01'),
    calibrationDueOn: day('2026-12-31'),
    expandedUncertaintyPercent: 5,
  },
}
const later = {
  effectiveFrom: day('2026-03-02'),
  body: {
    spanMetres: 0.5,
    calibratedOn: day('2026-03-02'),
    calibrationDueOn: day('2026-12-31'),
    expandedUncertaintyPercent: 60,
  },
}

const told = (on: string, over: Partial<Editions> = {}, test: Parameters<typeof testOf>[0] = {}) => {
  const editions = { stick: stickOf(), procedure: procedureOf({ decision: 'guarded' }), instruments: [earlier, later] }
  const { verdict, reasons } = judgeByEditions(testOf({ testedOn: day(on), ...test }), { ...editions, ...over })
  return [verdict, ...codes(reasons)]
}

describe('the edition of the instrument that judges', () => {
  test('is the newest in force on the day of the test, its first day included', () => {
    expect(told('2026-03-01')).toEqual(['pass'])
    expect(told('2026-03-02')).toEqual(['fail', 'reading-in-guard-band'])
    expect(told('2026-03-03')).toEqual(['fail', 'reading-in-guard-band'])
  })

  test('is the first for days before it', () => {
    const body = { ...later.body, calibratedOn: day('2024-01-01') }
    expect(told('2024-06-01', { instruments: [{ ...earlier, body }, later] })).toEqual([
      'fail',
      'reading-in-guard-band',
    ])
  })

  test('brings its span: a limit stated for another one is no limit for it', () => {
    const limits = procedureOf().limits.map((limit) => ({ ...limit, spanMetres: 0.3 }))
    const procedure = procedureOf({ limits })
    expect(told('2026-03-01', { procedure })).toEqual(['pass'])
    expect(told('2026-03-02', { procedure })).toEqual(['incomplete', 'no-limit-covers'])
  })

  test('may say nothing of uncertainty, and then a guarded decision is not to be had', () => {
    const { expandedUncertaintyPercent: _, ...body } = earlier.body
    expect(told('2026-03-01', { instruments: [{ ...earlier, body }] })).toEqual(['incomplete', 'uncertainty-missing'])
  })

  test('brings voltage and frequency, where it says them', () => {
    const stated = (limit: { kilovolts?: number; hertz?: number }, applied: { kilovolts?: number; hertz?: number }) => {
      const limits = procedureOf().limits.map((one) => ({ ...one, ...limit }))
      const instruments = [{ ...earlier, body: { ...earlier.body, ...applied } }]
      return told('2026-03-01', { procedure: procedureOf({ limits }), instruments })
    }
    expect(stated({ kilovolts: 100, hertz: 60 }, { kilovolts: 100, hertz: 60 })).toEqual(['pass'])
    expect(stated({ kilovolts: 100 }, { kilovolts: 75 })).toEqual(['incomplete', 'no-limit-covers'])
    expect(stated({ kilovolts: 100 }, {})).toEqual(['incomplete', 'no-limit-covers'])
    expect(stated({ hertz: 60 }, { kilovolts: 100 })).toEqual(['incomplete', 'no-limit-covers'])
    expect(stated({ hertz: 60 }, { hertz: 50 })).toEqual(['incomplete', 'no-limit-covers'])
  })

  test('must be there', () => {
    expect(() => told('2026-03-02', { instruments: [] })).toThrow('at least one edition of its instrument')
  })
})

test('the policy of the day has a say where an examination stands alone, or a rule ends calibrations sooner', () => {
  const turnOn = ['ufc-3-560-01-5-5-1-1-calibration']
  const examined = testOf({ dry: undefined, wet: undefined, demonstrationId: 'DEM-1' })
  const us = { packs: ['us-29-cfr-1910-269-j'] }
  expect(hasSay(us, testOf())).toBe(false)
  expect(hasSay(us, examined)).toBe(true)
  expect(hasSay(us, testOf({ demonstrationId: 'DEM-1' }))).toBe(false)
  expect(hasSay({ ...us, removesOnlyAfter: 'refinishing or repair' }, testOf())).toBe(true)
  expect(hasSay({ packs: ['ufc-3-560-01-5-4'], turnOn }, testOf())).toBe(true)
  expect(hasSay({ packs: ['ufc-3-560-01-5-4'] }, testOf())).toBe(false)
})

test('every edition of the instrument adds its calibration period', () => {
  const body = { ...earlier.body, calibrationDueOn: day('2025-12-31') }
  expect(told('2026-01-15', { instruments: [{ ...earlier, body }, later] })).toEqual([
    'invalid',
    'instrument-out-of-calibration',
  ])
  const late = { ...later, effectiveFrom: day('2026-06-01'), body: { ...later.body, calibratedOn: day('2026-01-01') } }
  expect(told('2026-01-15', { instruments: [{ ...earlier, body }, late] })).toEqual(['pass'])
})

test('an examination stands alone only by a policy that lets it', () => {
  const examined = { dry: undefined, wet: undefined, demonstrationId: 'DEM-1' }
  const demonstration = shown('examination alone').body
  const by = (policy: Editions['policy']) => told('2026-03-01', { policy, demonstration }, examined)[0]
  const packs = ['us-29-cfr-1910-269-j']
  expect(by({ packs, examinationOnly: true })).toBe('pass')
  expect([by({ packs, examinationOnly: false }), by({ packs }), by(undefined)]).toEqual([
    'incomplete',
    'incomplete',
    'incomplete',
  ])
})
