import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { BenchTest, Reading } from '../../../shared-domain/bench-test/bench-test.ts'
import { type JudgedBy, judge } from '../../../shared-domain/bench-test/judge.ts'
import { check, day, judgedBy, procedureOf, stickOf, survey, testOf, wetOf } from './fixtures.ts'

const seeded = { seed: 1910269, numRuns: 400 }

/** Mostly good, so that passes are common enough to be lost. */
const mostly = <T>(good: T, ...bad: T[]) =>
  fc.oneof({ weight: 12, arbitrary: fc.constant(good) }, { weight: 1, arbitrary: fc.constantFrom(good, ...bad) })

/** No such places more often than some. */
const seldom = <T>(weight: number, places: fc.Arbitrary<T[]>) =>
  fc.oneof({ weight, arbitrary: fc.constant<T[]>([]) }, { weight: 1, arbitrary: places })
const raised = fc.tuple(fc.nat(39), fc.integer({ min: 0, max: 20 }))

const anyReadings = (wet: boolean, limit: number) =>
  fc
    .record({
      dropped: seldom(3, fc.array(fc.nat(39), { maxLength: 4 })),
      high: seldom(3, fc.array(raised, { maxLength: 4 })),
      unsettled: seldom(6, fc.array(fc.nat(39), { maxLength: 2 })),
    })
    .map(({ dropped, high, unsettled }) =>
      survey({ wet, value: limit / 2 })
        .map(
          (row, index): Reading => ({
            ...row,
            leakageMicroamps: limit / 2 + (high.find(([at]) => at === index)?.[1] ?? 0),
            ...(unsettled.includes(index) ? { settled: false } : {}),
          }),
        )
        .filter((_, index) => !dropped.includes(index)),
    )

const anyCase = fc
  .record({
    dry: anyReadings(false, 10),
    wet: anyReadings(true, 20),
    withWet: mostly(true, false),
    water: mostly('distilled' as const, 'tap' as const),
    appearance: mostly('beads' as const, 'film' as const),
    gloss: mostly('sound' as const, 'lost' as const),
    cleaned: mostly(true, false),
    checked: mostly(98, 50),
    testedOn: mostly('2026-03-02', '2026-12-02'),
    crack: mostly(false, true),
    decision: fc.constantFrom('simple' as const, 'guarded' as const),
    comparison: fc.constantFrom('not more than' as const, 'less than' as const),
    uncertainty: mostly<number | undefined>(5, undefined),
    limited: mostly(true, false),
  })
  .map((made): { test: BenchTest; by: JudgedBy } => ({
    test: testOf({
      testedOn: day(made.testedOn),
      instrumentChecks: [check('dry', made.checked), check('wet')],
      examination: { defects: [{ kind: 'crack', atMetres: 1, open: made.crack }], gloss: made.gloss },
      cleaned: made.cleaned,
      dry: { readings: made.dry },
      wet: made.withWet ? wetOf(made.wet, { water: made.water, appearance: made.appearance }) : undefined,
    }),
    by: judgedBy({
      procedure: procedureOf({
        decision: made.decision,
        comparison: made.comparison,
        ...(made.limited ? {} : { limits: procedureOf().limits.filter(({ state }) => state === 'dry') }),
      }),
      expandedUncertaintyPercent: made.uncertainty,
    }),
  }))

function withReadings(test: BenchTest, change: (rows: Reading[]) => Reading[]): BenchTest {
  const { dry, wet } = test
  return {
    ...test,
    ...(dry === undefined ? {} : { dry: { readings: change(dry.readings) } }),
    ...(wet === undefined ? {} : { wet: { ...wet, readings: change(wet.readings) } }),
  }
}

test('the cases below hold every verdict', () => {
  const seen = fc.sample(anyCase, seeded).map(({ test, by }) => judge(test, by).verdict)
  for (const verdict of ['pass', 'fail', 'invalid', 'incomplete'] as const) {
    expect(seen.filter((one) => one === verdict).length, verdict).toBeGreaterThan(20)
  }
})

test('the order of readings and checks changes nothing', () => {
  fc.assert(
    fc.property(anyCase, fc.integer({ min: 1, max: 1_000_000 }), ({ test, by }, salt) => {
      const shuffled = <T>(rows: readonly T[]) =>
        rows
          .map((row, index) => ({ row, key: ((index + 1) * 7919 * salt) % 10_007 }))
          .sort((one, other) => one.key - other.key)
          .map(({ row }) => row)
      const mixed = withReadings({ ...test, instrumentChecks: shuffled(test.instrumentChecks) }, shuffled)
      expect(judge(mixed, by)).toEqual(judge(test, by))
    }),
    seeded,
  )
})

test('it is a pass exactly when there is no reason against it, and only a failure has a cause', () => {
  fc.assert(
    fc.property(anyCase, ({ test, by }) => {
      const { verdict, reasons, cause } = judge(test, by)
      expect(verdict === 'pass').toBe(reasons.length === 0)
      expect(verdict === 'fail').toBe(cause !== null)
      expect(reasons.every(({ code, text }) => /^[a-z]+(-[a-z]+)*$/.test(code) && text.length > 10)).toBe(true)
    }),
    seeded,
  )
})

describe('nothing turns into a pass', () => {
  const index = fc.nat(79)

  test('by a higher reading', () => {
    fc.assert(
      fc.property(anyCase, index, fc.double({ min: 0, max: 30, noNaN: true }), ({ test, by }, at, more) => {
        fc.pre(judge(test, by).verdict !== 'pass')
        const raised = withReadings(test, (rows) =>
          rows.map((row, one) =>
            one === at % rows.length ? { ...row, leakageMicroamps: row.leakageMicroamps + more } : row,
          ),
        )
        expect(judge(raised, by).verdict).not.toBe('pass')
      }),
      seeded,
    )
  })

  test('by leaving out a reading that the survey cannot spare', () => {
    fc.assert(
      fc.property(anyCase, index, ({ test, by }, at) => {
        const shorter = withReadings(test, (rows) => rows.filter((_, one) => one !== at % rows.length))
        expect(judge(shorter, by).verdict).not.toBe('pass')
      }),
      seeded,
    )
  })

  test('by leaving out any reading of an incomplete test, spare ones among them', () => {
    const extra = fc.array(
      fc.tuple(fc.nat(200), fc.integer({ min: 5, max: 60 }), fc.constantFrom(0 as const, 90 as const)),
      { maxLength: 6 },
    )
    fc.assert(
      fc.property(anyCase, extra, index, ({ test, by }, spans, at) => {
        const more = withReadings(test, (rows) => [
          ...rows,
          ...spans.map(([from, long, quarterTurn]) => ({
            quarterTurn,
            fromMetres: from / 100,
            toMetres: Math.min(2.4, (from + long) / 100),
            leakageMicroamps: 1,
            settled: true,
          })),
        ])
        fc.pre(judge(more, by).verdict === 'incomplete')
        expect(
          judge(
            withReadings(more, (rows) => rows.filter((_, one) => one !== at % rows.length)),
            by,
          ).verdict,
        ).not.toBe('pass')
      }),
      seeded,
    )
  })

  test('by an instrument, water, appearance or gloss gone bad', () => {
    fc.assert(
      fc.property(
        anyCase,
        fc.constantFrom('calibration', 'checks', 'water', 'appearance', 'gloss', 'cleaned'),
        ({ test, by }, what) => {
          const spoilt: BenchTest = {
            ...test,
            ...(what === 'calibration' ? { testedOn: day('2027-01-01') } : {}),
            ...(what === 'checks' ? { instrumentChecks: [] } : {}),
            ...(what === 'gloss' ? { examination: { ...test.examination, gloss: 'lost' as const } } : {}),
            ...(what === 'cleaned' ? { cleaned: false } : {}),
            ...(test.wet && what === 'water' ? { wet: { ...test.wet, water: 'tap' as const } } : {}),
            ...(test.wet && what === 'appearance' ? { wet: { ...test.wet, appearance: 'drip line' as const } } : {}),
          }
          expect(judge(spoilt, by).verdict).not.toBe('pass')
        },
      ),
      seeded,
    )
  })
})

test('a test that does not fit its stick is still answered, and never with a pass', () => {
  const sections = [{ name: 'tip', lengthMetres: 2.4 }]
  for (const stick of [
    stickOf({ workingLengthMetres: 3 }),
    stickOf({ sections }),
    stickOf({ workingLengthMetres: 3, sections }),
  ]) {
    expect(judge(testOf(), judgedBy({ stick })).verdict).toBe('incomplete')
  }
  const backwards = testOf({
    dry: { readings: survey().map((row) => ({ ...row, fromMetres: row.toMetres, toMetres: row.fromMetres })) },
  })
  expect(judge(backwards, judgedBy()).verdict).toBe('incomplete')
})
