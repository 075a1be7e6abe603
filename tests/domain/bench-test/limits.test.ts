import { describe, expect, test } from 'vitest'
import {
  type Applied,
  type DecisionRule,
  limitFor,
  standing,
  stricterInDoubt,
} from '../../../shared-domain/bench-test/limits.ts'
import type { Limit, Procedure } from '../../../shared-domain/registers.ts'
import { procedureOf, stickOf } from './fixtures.ts'

const limit = (microamps: number, over: Partial<Limit> = {}): Limit => ({
  construction: 'foam-filled FRP tube',
  state: 'wet',
  microamps,
  source: 'SAMPLE, no standard',
  ...over,
})
const found = (limits: Limit[], diameterMillimetres = 32, span = 0.3, applied: Partial<Applied> = {}) => {
  const by = { procedure: procedureOf({ limits }), stick: stickOf({ diameterMillimetres }) }
  return limitFor('wet', { ...by, instrumentSpanMetres: span, ...applied })?.microamps
}

describe('the limit that holds', () => {
  test('is of the construction and the state', () => {
    expect(found([limit(5, { state: 'dry' }), limit(6, { construction: 'wood' }), limit(20)])).toBe(20)
    expect(found([limit(5, { state: 'dry' }), limit(6, { construction: 'wood' })])).toBeUndefined()
  })

  test('covers its diameter band, both ends included', () => {
    const banded = [limit(20, { diameterMillimetres: [32, 64] })]
    expect([31.9, 32, 64, 64.1].map((diameter) => found(banded, diameter))).toEqual([undefined, 20, 20, undefined])
  })

  test('covers the span it is stated for, compared in whole millimetres', () => {
    const spanned = [limit(20, { spanMetres: 0.3 })]
    expect([found(spanned, 32, 0.1 + 0.2), found(spanned, 32, 0.305)]).toEqual([20, undefined])
  })

  test('is the strictest of several, in whatever order they stand', () => {
    const several = [limit(20), limit(12, { kilovolts: 100 }), limit(15, { hertz: 60 }), limit(9, { spanMetres: 1 })]
    const applied = { instrumentKilovolts: 100, instrumentHertz: 60 }
    expect([found(several, 32, 0.3, applied), found([...several].reverse(), 32, 0.3, applied)]).toEqual([12, 12])
  })

  test('is the first listed of two that are alike, so that its source is the one people find', () => {
    const alike = ['Safety manual', 'Instrument maker'].map((source) => limit(20, { source }))
    const by = { procedure: procedureOf({ limits: alike }), stick: stickOf(), instrumentSpanMetres: 0.3 }
    expect(limitFor('wet', by)).toStrictEqual(limit(20, { source: 'Safety manual' }))
  })

  test('names no voltage or frequency of which the register says nothing', () => {
    expect(found([limit(12, { kilovolts: 100 })])).toBeUndefined()
    expect(found([limit(12, { hertz: 60 })])).toBeUndefined()
    expect(found([limit(12, { kilovolts: 100, hertz: 60 })], 32, 0.3, { instrumentKilovolts: 100 })).toBeUndefined()
    expect(found([limit(12, { kilovolts: 100 }), limit(20)])).toBe(20)
  })

  test.each<[string, Limit[], Partial<Applied>, number | undefined]>([
    ['alone', [limit(12, { kilovolts: 100 })], {}, 12],
    ['stricter than what is known to hold', [limit(20), limit(12, { kilovolts: 100 })], {}, 12],
    ['the strictest of several', [limit(14, { hertz: 60 }), limit(12, { kilovolts: 100 })], {}, 12],
    ['milder than what is known to hold', [limit(20), limit(24, { kilovolts: 100 })], {}, undefined],
    ['as strict as what is known to hold', [limit(20), limit(20, { kilovolts: 100 })], {}, undefined],
    ['known to match', [limit(12, { kilovolts: 100 })], { instrumentKilovolts: 100 }, undefined],
    ['known not to match', [limit(12, { kilovolts: 100 })], { instrumentKilovolts: 75 }, undefined],
    ['of one thing unknown', [limit(12, { kilovolts: 100, hertz: 60 })], { instrumentKilovolts: 100 }, 12],
    [
      'wrong in one, unknown in the other',
      [limit(12, { kilovolts: 100, hertz: 60 })],
      { instrumentHertz: 50 },
      undefined,
    ],
    ['of another state', [limit(12, { kilovolts: 100, state: 'dry' })], {}, undefined],
    ['of another span', [limit(12, { kilovolts: 100, spanMetres: 0.6 })], {}, undefined],
    ['of another band', [limit(12, { kilovolts: 100, diameterMillimetres: [40, 60] })], {}, undefined],
  ])('that may be the one, nobody knows: %s', (_, limits, applied, inDoubt) => {
    const by = { procedure: procedureOf({ limits }), stick: stickOf(), instrumentSpanMetres: 0.3, ...applied }
    expect(stricterInDoubt('wet', by)?.microamps).toBe(inDoubt)
  })

  test('is of the voltage and the frequency the instrument applies, where the register says them', () => {
    const stated = [limit(12, { kilovolts: 100 }), limit(15, { hertz: 50 }), limit(20)]
    const at = (applied: Partial<Applied>) => found(stated, 32, 0.3, applied)
    expect(at({})).toBe(20)
    expect(at({ instrumentKilovolts: 100, instrumentHertz: 50 })).toBe(12)
    expect(at({ instrumentKilovolts: 75, instrumentHertz: 50 })).toBe(15)
    expect(at({ instrumentKilovolts: 75, instrumentHertz: 60 })).toBe(20)
    expect(found([limit(12, { kilovolts: 100 })], 32, 0.3, { instrumentKilovolts: 75 })).toBeUndefined()
  })
})

describe('a reading against its limit', () => {
  const held = (procedure: Procedure): DecisionRule => ({ procedure, expandedUncertaintyPercent: 12 })
  test('is compared exactly, by the operator the procedure states', () => {
    const notMore = procedureOf({ comparison: 'not more than' })
    const less = procedureOf({ comparison: 'less than' })
    const against = (rule: typeof less) =>
      [19.9999, 20, 20.0001].map((reading) => standing(reading, limit(20), { procedure: rule }))
    expect(against(notMore)).toEqual(['conforms', 'conforms', 'over limit'])
    expect(against(less)).toEqual(['conforms', 'over limit', 'over limit'])
  })

  test('meets a guard band at its edge without the noise of binary fractions', () => {
    const notMore = procedureOf({ decision: 'guarded' })
    const less = procedureOf({ decision: 'guarded', comparison: 'less than' })
    // 1.25 µA less 12 % is 1.1 µA, and 1.1 × 100 is 110.00000000000001
    expect(standing(1.1, limit(1.25), held(notMore))).toBe('conforms')
    expect(standing(1.1, limit(1.25), held(less))).toBe('in guard band')
    expect(standing(1.10001, limit(1.25), held(notMore))).toBe('in guard band')
    expect(standing(1.25001, limit(1.25), held(notMore))).toBe('over limit')
  })

  test('is not held to a guard band by a simple decision, whatever the uncertainty', () => {
    expect(
      standing(19.9, limit(20), { procedure: procedureOf({ decision: 'simple' }), expandedUncertaintyPercent: 12 }),
    ).toBe('conforms')
  })

  test('is held to none by a guarded decision without the uncertainty', () => {
    expect(standing(19.9, limit(20), { procedure: procedureOf({ decision: 'guarded' }) })).toBe('conforms')
  })

  test('well below the guard band conforms by either comparison', () => {
    for (const comparison of ['not more than', 'less than'] as const) {
      const guarded = procedureOf({ decision: 'guarded', comparison })
      expect(standing(17.5, limit(20), held(guarded))).toBe('conforms')
      expect(standing(17.7, limit(20), held(guarded))).toBe('in guard band')
    }
  })
})
