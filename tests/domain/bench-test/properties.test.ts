import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type BenchTest, benchTest, type Reading } from '../../../shared-domain/bench-test/bench-test.ts'
import { type Editions, judgeByEditions } from '../../../shared-domain/bench-test/editions.ts'
import { faultsAgainstStick } from '../../../shared-domain/bench-test/faults.ts'
import { judge } from '../../../shared-domain/bench-test/judge.ts'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import type { Reason } from '../../../shared-domain/reason.ts'
import { append, replay } from '../../../shared-domain/state/fold.ts'
import type { StickState } from '../../../shared-domain/state/state.ts'
import { type SurfaceState, surfaceStates, type Verdict, verdicts } from '../../../shared-domain/words.ts'
import { inEnglish, isKnown, textOf, whyRemoved } from '../../support/english.ts'
import { tally } from '../../support/tally.ts'
import { tries } from '../../support/tier.ts'
import { happened, history, recordedFact } from '../../support/trade.ts'
import { anyCase, anySpoiltCase, type Case, millimetresOf, withReadings } from './any-case.ts'
import { day, judgedBy, stickOf, survey, testOf } from './fixtures.ts'

const runs = tries(10_000, 400)
const seeded = { seed: 1910269, numRuns: runs }

const judged = ({ test, editions }: Case) => judgeByEditions(test, editions)

const nonPasses = ['fail', 'invalid', 'incomplete'] as const

describe('the cases below', () => {
  const cases = () => fc.sample(anyCase, seeded)

  test('hold every verdict, every method and every kind of stick and rule', () => {
    const seen = tally(runs)
    for (const one of cases()) {
      const { test, editions } = one
      const { verdict, reasons } = judged(one)
      const over = reasons.some(({ code }) => code === 'reading-in-guard-band') ? ['in the guard band'] : []
      seen.count(verdict, ...over, ...kindsOf(test, editions))
      if (verdict === 'pass') seen.count(...kindsOf(test, editions).map((kind) => `passing ${kind}`))
    }
    seen.expectAtLeast(0.1, ...verdicts)
    const kinds = ['wood', 'FRP', 'telescoping', 'readings', 'withstand', 'both on one state', 'guarded', 'many limits']
    seen.expectAtLeast(0.05, ...kinds, 'in the guard band')
    seen.expectAtLeast(0.03, ...kinds.map((kind) => `passing ${kind}`))
    seen.expectAtLeast(0.003, 'passing examined alone')
  })

  test('are tests that a door lets in', () => {
    for (const { test, editions } of cases()) {
      expect(benchTest.safeParse(test).error).toBeUndefined()
      expect(faultsAgainstStick(test, editions.stick)).toEqual([])
    }
  })
})

function kindsOf(test: BenchTest, { stick, procedure }: Editions): string[] {
  const withstand = test.withstand ?? []
  const both = surfaceStates.some((state) => test[state] !== undefined && withstand.some((row) => row.state === state))
  return [
    stick.construction === 'wood' ? 'wood' : 'FRP',
    stick.sections === undefined ? 'in one piece' : 'telescoping',
    procedure.decision,
    procedure.limits.length > 16 ? 'many limits' : 'a limit each',
    ...(test.dry !== undefined || test.wet !== undefined ? ['readings'] : []),
    ...(withstand.length > 0 ? ['withstand'] : []),
    ...(both ? ['both on one state'] : []),
    ...(test.demonstrationId === undefined ? [] : ['examined alone']),
  ]
}

test('the order of readings, rows, defects and checks changes nothing', () => {
  const seen = tally<'mixed' | Verdict>(runs)
  fc.assert(
    fc.property(anyCase, fc.integer({ min: 1, max: 1_000_000 }), ({ test, editions }, salt) => {
      const shuffled = <T>(rows: readonly T[]) =>
        rows
          .map((row, index) => ({ row, key: ((index + 1) * 7919 * salt) % 10_007 }))
          .sort((one, other) => one.key - other.key)
          .map(({ row }) => row)
      const { withstand, examination } = test
      const mixed = withReadings(
        {
          ...test,
          instrumentChecks: shuffled(test.instrumentChecks),
          examination: { ...examination, defects: shuffled(examination.defects) },
          ...(withstand === undefined ? {} : { withstand: shuffled(withstand) }),
        },
        shuffled,
      )
      const before = judged({ test, editions })
      expect(judged({ test: mixed, editions })).toEqual(before)
      seen.count(before.verdict, ...(JSON.stringify(mixed) === JSON.stringify(test) ? [] : ['mixed' as const]))
    }),
    seeded,
  )
  seen.expectAtLeast(0.8, 'mixed')
  seen.expectAtLeast(0.1, ...verdicts)
})

test('it is a pass exactly when there is no reason against it, and only a failure has a cause', () => {
  const seen = tally<Verdict>(runs)
  fc.assert(
    fc.property(anyCase, (one) => {
      const { verdict, reasons, cause } = judged(one)
      seen.count(verdict)
      expect(verdict === 'pass').toBe(reasons.length === 0)
      expect(verdict === 'fail').toBe(cause !== null)
      expect(reasons.every((one) => /^[a-z]+(-[a-z]+)*$/.test(one.code) && textOf(one).length > 10)).toBe(true)
      expect(reasons.map(textOf).every(isKnown)).toBe(true)
    }),
    seeded,
  )
  seen.expectAtLeast(0.1, ...verdicts)
})

test('judging the stored fact again with its pinned editions gives the stored verdict', () => {
  const stored = <T>(value: T): T => JSON.parse(JSON.stringify(value))
  const seen = tally<Verdict>(runs)
  fc.assert(
    fc.property(anyCase, ({ test, editions }) => {
      const judgement = stored(judged({ test, editions }))
      seen.count(judgement.verdict)
      expect(judged({ test: stored(test), editions: stored(editions) })).toEqual(judgement)
    }),
    seeded,
  )
  seen.expectAtLeast(0.1, ...verdicts)
})

describe('on its stick', () => {
  /** What may lie behind a stick when its test comes in. */
  const pasts: Record<string, readonly Happening[]> = {
    'nothing yet': [],
    'tested well': [happened.tested('pass')],
    'failed once': [happened.tested('electrical')],
    'failed and corrected': [happened.tested('electrical'), happened.step('cleaned')],
    'defect found': [happened.tested('examination')],
    'doubtful test': [happened.tested('invalid')],
    missing: [happened.moved('missing')],
  }
  const holdsFor = {
    fail: ['failed-test', 'open-defect', 'no-corrective-step'],
    invalid: ['test-invalid'],
    incomplete: ['test-incomplete'],
  }

  function folded({ test, editions }: Case, past: readonly Happening[]): { after: StickState; verdict: Verdict } {
    const before = history(
      ...[happened.registered(editions.stick), ...past].map((one, i): [string, Happening, string] => [
        '2024-02-01',
        one,
        `0${i}:00`,
      ]),
    )
    const judgement = judged({ test, editions })
    const tested = {
      kind: 'tested' as const,
      test,
      pinned: { stickSeq: 1, procedureEdition: '2024-01-10#0001', instrumentEditions: ['2024-01-10#0001'] },
      judgement,
    }
    const recordedAt = '2026-12-31T15:00:00.000Z' as RecordedFact['recordedAt']
    const fact = recordedFact(tested, { seq: before.length + 1, on: test.testedOn, at: test.at, recordedAt })
    const after = append(replay(before), fact)
    if (after === null) throw new Error('the test is the newest fact and needs no replay')
    return { after, verdict: judgement.verdict }
  }

  test('every test that is no pass leaves a hold that says what clears it, or removes the stick for good', () => {
    const seen = tally(runs)
    // Only a stick that failed and was corrected can be removed by this test: it is drawn twice as often.
    const anyPast = fc.constantFrom(...Object.keys(pasts), 'failed and corrected')
    fc.assert(
      fc.property(anySpoiltCase, anyPast, (one, past) => {
        const { after, verdict } = folded(one, pasts[past] ?? [])
        fc.pre(verdict !== 'pass')
        seen.count(verdict, past, ...(after.removed === null ? [] : ['removed']))
        const left = after.holds.filter(({ code }) => holdsFor[verdict].includes(code))
        expect(left.length > 0 || after.removed !== null).toBe(true)
        if (after.removed !== null)
          expect(whyRemoved(after)).toMatch(/^Failed again after it had been cleaned.*: .*\.$/)
        for (const { text, clearedBy } of after.holds.map(inEnglish.hold))
          expect(clearedBy.trim().length > 10 && text.length > 10 && isKnown(text) && isKnown(clearedBy)).toBe(true)
      }),
      seeded,
    )
    seen.expectAtLeast(0.1, ...nonPasses)
    seen.expectAtLeast(0.05, ...Object.keys(pasts))
    seen.expectAtLeast(0.01, 'removed')
  })
})

describe('nothing turns into a pass', () => {
  const index = fc.nat(1000)

  test('by a higher reading', () => {
    const seen = tally<Verdict>(runs)
    const more = fc.double({ min: 0.001, max: 30, noNaN: true })
    fc.assert(
      fc.property(anySpoiltCase, index, more, ({ test, editions }, at, microamps) => {
        const one = readingAt(test, at)
        const { verdict, reasons } = judged({ test, editions })
        fc.pre(one !== undefined && verdict !== 'pass')
        // one reading that moves is what shows that the instrument was alive
        fc.pre(!reasons.some(({ code }) => code === 'instrument-not-shown-alive'))
        seen.count(verdict)
        const raised = { ...one, leakageMicroamps: one.leakageMicroamps + microamps }
        const higher = withReadings(test, (rows) => rows.map((row) => (row === one ? raised : row)))
        expect(judged({ test: higher, editions }).verdict).not.toBe('pass')
      }),
      seeded,
    )
    seen.expectAtLeast(0.1, ...nonPasses)
  })

  test('by leaving out a reading that alone covers some place', () => {
    const seen = tally<Verdict>(runs)
    fc.assert(
      fc.property(anySpoiltCase, index, ({ test, editions }, at) => {
        const one = readingAt(test, at)
        const { verdict } = judged({ test, editions })
        fc.pre(one !== undefined && verdict !== 'pass')
        const state = stateOf(one, test)
        // withstand tests beside the readings may show the state without any of these
        fc.pre(!(test.withstand ?? []).some((row) => row.state === state))
        fc.pre(coversAlone(one, test[state]?.readings ?? [], editions.procedure.leastOverlapMetres))
        seen.count(verdict)
        const after = judged({ test: without(one, test), editions })
        expect(after.verdict).not.toBe('pass')
        expect(after.reasons.map(placeLost)).toContain(`${state} ${one.section}`)
      }),
      seeded,
    )
    seen.expectAtLeast(0.1, ...nonPasses)
  })

  test('by leaving out any reading of an incomplete test, spare ones among them', () => {
    const seen = tally<'spare'>(runs)
    fc.assert(
      fc.property(anySpoiltCase, index, ({ test, editions }, at) => {
        const one = readingAt(test, at)
        fc.pre(one !== undefined && judged({ test, editions }).verdict === 'incomplete')
        const rows = test[stateOf(one, test)]?.readings ?? []
        if (!coversAlone(one, rows, editions.procedure.leastOverlapMetres)) seen.count('spare')
        expect(judged({ test: without(one, test), editions }).verdict).not.toBe('pass')
      }),
      seeded,
    )
    seen.expectAtLeast(0.01, 'spare')
  })

  test('by an instrument, water, appearance or gloss gone bad', () => {
    const spoilt = {
      calibration: () => ({ testedOn: day('2027-01-01') }),
      checks: () => ({ instrumentChecks: [] }),
      gloss: ({ examination }: BenchTest) => ({ examination: { ...examination, gloss: 'lost' as const } }),
      cleaned: () => ({ cleaned: false }),
      water: ({ wet }: BenchTest) => (wet === undefined ? {} : { wet: { ...wet, water: 'tap' as const } }),
      appearance: ({ wet }: BenchTest) => (wet === undefined ? {} : { wet: { ...wet, appearance: 'film' as const } }),
    }
    const kinds = ['calibration', 'checks', 'gloss', 'cleaned', 'water', 'appearance'] as const
    const seen = tally<Verdict>(runs)
    fc.assert(
      fc.property(anyCase, fc.constantFrom(...kinds), ({ test, editions }, what) => {
        // the checks are those of an instrument that reads leakage, water and appearance those of a misted stick
        fc.pre(what !== 'checks' || hasReadings(test))
        fc.pre(!['water', 'appearance'].includes(what) || (test.wet?.readings.length ?? 0) > 0)
        fc.pre(what !== 'calibration' || hasReadings(test) || test.withstand !== undefined)
        seen.count(judged({ test, editions }).verdict)
        expect(judged({ test: { ...test, ...spoilt[what](test) }, editions }).verdict).not.toBe('pass')
      }),
      seeded,
    )
    seen.expectAtLeast(0.1, ...verdicts)
  })
})

describe('an instrument that shows no life', () => {
  const code = 'instrument-not-shown-alive'
  const doubted = (one: Case) =>
    judged(one)
      .reasons.filter((reason) => reason.code === code)
      .map(({ state }) => state)
  const reading = (test: BenchTest) => surfaceStates.filter((state) => (test[state]?.readings.length ?? 0) > 0)
  const allOf = (test: BenchTest, leakageMicroamps: number, only: readonly SurfaceState[] = surfaceStates) =>
    withReadings(test, (rows) => rows.map((row) => ({ ...row, leakageMicroamps })), only)
  const withoutAfter = (test: BenchTest): BenchTest => ({
    ...test,
    instrumentChecks: test.instrumentChecks.filter(({ when }) => when === 'before'),
  })
  const checkedAfter = (test: BenchTest, ...states: readonly SurfaceState[]): BenchTest => ({
    ...test,
    instrumentChecks: [
      ...test.instrumentChecks,
      ...states.map((state) => ({ state, when: 'after' as const, openMicroamps: 0, checkMicroamps: 98 })),
    ],
  })
  const asksFor100 = ({ procedure }: Editions, states: readonly SurfaceState[]) =>
    states.every((state) => procedure.checks.some((one) => one.state === state && one.expectedMicroamps === 100))
  const figure = fc.double({ min: 0.001, max: 9, noNaN: true })

  test('never passes a state of noughts without a check after it', () => {
    const seen = tally<Verdict | SurfaceState>(runs)
    fc.assert(
      fc.property(anyCase, fc.constantFrom(...surfaceStates), ({ test, editions }, state) => {
        fc.pre(reading(test).includes(state))
        const dead = { test: withoutAfter(allOf(test, 0, [state])), editions }
        expect(doubted(dead)).toContain(state)
        const { verdict } = judged(dead)
        expect(['invalid', 'fail']).toContain(verdict)
        seen.count(verdict, state)
      }),
      seeded,
    )
    seen.expectAtLeast(0.2, 'invalid', 'dry', 'wet')
    seen.expectAtLeast(0.02, 'fail')
  })

  test('is cleared of that doubt by a check within tolerance after the readings, and of no other', () => {
    const seen = tally<'noughts' | 'one figure' | 'passes'>(runs)
    fc.assert(
      fc.property(anyCase, fc.option(figure, { nil: 0 }), ({ test, editions }, value) => {
        const states = reading(test)
        fc.pre(states.length > 0 && asksFor100(editions, states))
        const dead = { test: withoutAfter(allOf(test, value)), editions }
        fc.pre(doubted(dead).length > 0)
        const one = checkedAfter(dead.test, ...states.slice(0, 1))
        expect(doubted({ test: one, editions })).toEqual(doubted(dead).filter((state) => state !== states[0]))
        const all = { test: checkedAfter(dead.test, ...states), editions }
        const isAfter = (reason: Reason) => textOf(reason).includes('after the last reading')
        const others = (found: Case) => judged(found).reasons.filter((reason) => !isAfter(reason))
        expect(doubted(all)).toEqual([])
        // readings that count again make up for what a withstand test beside them left out
        if (test.withstand === undefined) expect(others(all)).toEqual(others(dead))
        else expect(others(dead)).toEqual(expect.arrayContaining(others(all)))
        seen.count(
          value === 0 ? 'noughts' : 'one figure',
          ...(judged(all).verdict === 'pass' ? ['passes' as const] : []),
        )
      }),
      seeded,
    )
    seen.expectAtLeast(0.05, 'noughts', 'passes')
    seen.expectAtLeast(0.3, 'one figure')
  })

  test('shows it by any one reading of either state that moves', () => {
    const seen = tally<'moved'>(runs)
    fc.assert(
      fc.property(anyCase, figure, fc.nat(1000), ({ test, editions }, value, at) => {
        const stuck = withoutAfter(allOf(test, value))
        fc.pre(doubted({ test: stuck, editions }).length > 0)
        const one = readingAt(stuck, at)
        const moved = withReadings(stuck, (rows) =>
          rows.map((row) => (row === one ? { ...row, leakageMicroamps: value + 0.1 } : row)),
        )
        expect(doubted({ test: moved, editions })).toEqual([])
        seen.count('moved')
      }),
      seeded,
    )
    seen.expectAtLeast(0.3, 'moved')
  })
})

function hasReadings(test: BenchTest): boolean {
  return surfaceStates.some((state) => (test[state]?.readings.length ?? 0) > 0)
}

function readingAt(test: BenchTest, index: number): Reading | undefined {
  const rows = surfaceStates.flatMap((state) => test[state]?.readings ?? [])
  return rows[index % rows.length]
}

function stateOf(reading: Reading, test: BenchTest): SurfaceState {
  return test.dry?.readings.includes(reading) ? 'dry' : 'wet'
}

function without(reading: Reading, test: BenchTest): BenchTest {
  return withReadings(test, (rows) => rows.filter((row) => row !== reading))
}

/** Whether a stretch as long as the least overlap lies inside this reading and inside no other of its turn. */
function coversAlone(one: Reading, rows: readonly Reading[], leastOverlapMetres: number): boolean {
  const least = millimetresOf(leastOverlapMetres)
  const [from, to] = endsOf(one)
  const others = rows
    .filter((row) => row !== one && row.quarterTurn === one.quarterTurn && row.section === one.section)
    .map(endsOf)
  // half millimetres too: between two whole ones lies a stretch that only this reading may hold
  const starts = Array.from({ length: Math.max(0, 2 * (to - from - least) + 1) }, (_, half) => from + half / 2)
  return starts.some((start) => !others.some(([a, b]) => a <= start && start + least <= b))
}

function endsOf(row: Reading): readonly [number, number] {
  return [millimetresOf(row.fromMetres), millimetresOf(row.toMetres)]
}

function placeLost({ code, state, section }: { code: string; state?: string; section?: string }): string {
  const lost = ['gap', 'turn-missing', 'overlap-too-small', 'dry-missing', 'wet-missing'].includes(code)
  return lost ? `${state} ${section}` : ''
}

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
