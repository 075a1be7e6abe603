import { describe, expect, test } from 'vitest'
import { procedureWarnings } from '../../../shared-domain/bench-test/procedure-warnings.ts'
import type { Limit, Procedure } from '../../../shared-domain/registers.ts'
import { inEnglish } from '../../support/english.ts'
import { procedureOf } from './fixtures.ts'

const limit = (state: Limit['state'], microamps: number): Limit => ({
  construction: 'FRP rod',
  state,
  microamps,
  source: 'SAMPLE, no standard',
})
const piece = (state: Limit['state'], expectedMicroamps: number): Procedure['checks'][number] => ({
  state,
  expectedMicroamps,
  tolerancePercent: 10,
  openAtMostMicroamps: 1,
})
const told = (checks: Procedure['checks'], limits: Limit[]) =>
  procedureWarnings(procedureOf({ checks, limits })).map(({ code, pointer }) => `${code} ${pointer}`)

describe('a procedure is looked at again', () => {
  test('where a limit is above what the highest check piece of its state reads, each by its place', () => {
    const checks = [piece('dry', 10), piece('dry', 50), piece('wet', 100)]
    expect(told(checks, [limit('dry', 50), limit('wet', 100)])).toEqual([])
    expect(told(checks, [limit('dry', 50.1), limit('wet', 60), limit('wet', 20_000)])).toEqual([
      'limit-above-check-piece /limits/0',
      'limit-above-check-piece /limits/2',
    ])
  })

  test('where it has limits for a state and no check piece for it', () => {
    expect(told([piece('dry', 100)], [limit('dry', 10), limit('wet', 20), limit('wet', 30)])).toEqual([
      'no-check-piece /checks',
    ])
    expect(told([], [limit('dry', 10)])).toEqual(['no-check-piece /checks'])
    expect(told([], [])).toEqual([])
  })

  test('and is told so in words', () => {
    const inWords = (checks: Procedure['checks'], limits: Limit[]) =>
      procedureWarnings(procedureOf({ checks, limits })).map(inEnglish.warning)
    expect(inWords([piece('wet', 100)], [limit('wet', 250)])).toEqual([
      'The limit of 250 µA, wet, is above the 100 µA of the check piece: nothing shows that the instrument reads ' +
        'true so high',
    ])
    expect(inWords([], [limit('dry', 10)])).toEqual([
      'The procedure has limits for dry readings and states no check reading for them: every dry test by it will ' +
        'prove nothing',
    ])
  })
})
