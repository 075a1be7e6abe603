import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Reading } from '../../../shared-domain/bench-test/bench-test.ts'
import { judgeByEditions } from '../../../shared-domain/bench-test/editions.ts'
import { judge } from '../../../shared-domain/bench-test/judge.ts'
import { worstFirst } from '../../../shared-domain/bench-test/worst-first.ts'
import { anyCase } from './any-case.ts'
import { judgedBy, procedureOf, survey, testOf, wetOf } from './fixtures.ts'

/** Limits of the fixtures: 10 µA dry, 20 µA wet. */
const at = (rows: Reading[], place: number, leakageMicroamps: number) =>
  rows.map((row, i) => (i === place ? { ...row, leakageMicroamps } : row))

const read = (dry: [number, number][], wet: [number, number][], by = {}) => {
  const put = (rows: Reading[], all: [number, number][]) => all.reduce((so, [i, value]) => at(so, i, value), rows)
  const over = { dry: { readings: put(survey(), dry) }, wet: wetOf(put(survey({ wet: true }), wet)) }
  return worstFirst(judge(testOf(over), judgedBy(by))).map(({ leakageMicroamps }) => leakageMicroamps)
}

describe('reasons against a test, as people read them', () => {
  test('begin with the reading that is the most of its limit, wherever it stands along the stick', () => {
    expect(
      read(
        [],
        [
          [1, 20.4],
          [4, 900],
          [6, 25],
        ],
      ),
    ).toEqual([900, 25, 20.4])
  })

  test('begin with a dry reading of less µA where it is more of its own limit', () => {
    expect(read([[3, 35]], [[1, 41]])).toEqual([35, 41])
  })

  test('name what is over the limit before what is only too near it', () => {
    const guarded = { procedure: procedureOf({ decision: 'guarded' as const }), expandedUncertaintyPercent: 5 }
    expect(
      read(
        [
          [0, 9.9],
          [4, 10.5],
        ],
        [[2, 19.9]],
        guarded,
      ),
    ).toEqual([10.5, 9.9, 19.9])
  })

  test('name what was measured before what was left out, and an open defect before both doubt and gaps', () => {
    const over = {
      examination: { gloss: 'sound' as const, defects: [{ kind: 'crack' as const, open: true }] },
      cleaned: false,
      wet: wetOf(at(survey({ wet: true }), 2, 21)),
    }
    expect(worstFirst(judge(testOf(over), judgedBy())).map(({ code }) => code)).toEqual([
      'reading-over-limit',
      'open-defect',
      'cleaning-not-recorded',
    ])
  })

  test('are all there, each once, and the governing reading leads wherever it is over its limit', () => {
    let led = 0
    fc.assert(
      fc.property(anyCase, ({ test: bench, editions }) => {
        const judgement = judgeByEditions(bench, editions)
        const sorted = worstFirst(judgement)
        expect(new Set(sorted)).toEqual(new Set(judgement.reasons))
        expect(sorted).toHaveLength(judgement.reasons.length)
        const over = sorted.filter(({ code }) => code === 'reading-over-limit')
        const governing = over.find(
          (one) =>
            one.leakageMicroamps === judgement.worst?.leakageMicroamps &&
            one.state === judgement.worst?.state &&
            one.fromMetres === judgement.worst?.fromMetres &&
            one.quarterTurn === judgement.worst?.quarterTurn &&
            one.section === judgement.worst?.section,
        )
        if (governing === undefined) return
        led += 1
        expect(over[0]).toMatchObject({
          leakageMicroamps: governing.leakageMicroamps,
          state: governing.state,
          fromMetres: governing.fromMetres,
        })
      }),
      { numRuns: 2000, seed: 14 },
    )
    expect(led).toBeGreaterThan(20)
  })
})
