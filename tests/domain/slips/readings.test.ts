import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { BenchTest, Reading } from '../../../shared-domain/bench-test/bench-test.ts'
import { judge } from '../../../shared-domain/bench-test/judge.ts'
import { type SurfaceState, surfaceStates } from '../../../shared-domain/words.ts'
import { tries } from '../../support/tier.ts'
import { day, judgedBy, procedureOf, stickOf, survey, testOf, wetOf } from '../bench-test/fixtures.ts'
import { ofTest } from './fixtures.ts'

const seeded = { seed: 41_042, numRuns: tries(2000, 300) }

/** Ten spans a quarter turn, the turns one after another: 0 to 9 at 0°, 10 to 19 at 90°, … */
const dryOf = (change: (one: Reading, i: number) => Partial<Reading> = () => ({}), value = 4.2) =>
  survey({ value }).map((one, i) => ({ ...one, ...change(one, i) }))
const reads = (at: number, leakageMicroamps: number) => dryOf((_, i) => (i === at ? { leakageMicroamps } : {}), 4.2)
const dry = (readings: Reading[]) => testOf({ dry: { readings }, wet: undefined })
const last = (readings: Reading[]) => ({ ...dry(readings), testedOn: day('2024-03-04') })
const askedOf = (test: BenchTest, over: Partial<Parameters<typeof judgedBy>[0]> = {}, earlier: BenchTest[] = []) =>
  ofTest(test, { tests: { by: judgedBy(over), earlier } })
const told = (questions: ReturnType<typeof ofTest>) => questions.map(({ code, pointer }) => `${code} ${pointer}`)
const noLimit = { procedure: procedureOf({ limits: [] }) }

describe('a reading beside its neighbours', () => {
  test('ten times as much, and a tenth: with its place, what they read and what may be meant', () => {
    expect(askedOf(dry(reads(11, 41)))).toEqual([
      {
        code: 'reading-far-from-neighbours',
        text: 'Dry, quarter turn 90°, 0.25 to 0.55 m reads 41 µA where its neighbours read about 4.2 µA. Is it 4.1?',
        pointer: '/dry/readings/11/leakageMicroamps',
      },
    ])
    expect(askedOf(dry(reads(0, 0.43))).map(({ text }) => text)).toEqual([
      'Dry, quarter turn 0°, 0 to 0.3 m reads 0.43 µA where its neighbours read about 4.2 µA. Is it 4.3?',
    ])
  })

  test.each([
    ['the last of a turn', 9, 41, 'Is it 4.1?'],
    ['two places off', 35, 420, 'Is it 4.2?'],
    ['three places off', 35, 0.0042, 'Is it 4.2?'],
    ['no figure would do', 20, 0, 'Is that right?'],
    ['what comes nearest', 20, 137, 'Is it 1.37?'],
    ['just seven times', 20, 29.4, 'Is it 2.94?'],
    ['just a seventh', 20, 0.6, 'Is it 6?'],
  ])('%s', (_, at, microamps, ends) => {
    expect(askedOf(dry(reads(at, microamps)))).toEqual([
      expect.objectContaining({
        pointer: `/dry/readings/${at}/leakageMicroamps`,
        text: expect.stringMatching(new RegExp(`${ends.replace('?', '\\?')}$`)),
      }),
    ])
  })

  test.each([29.3, 0.61, 12, 1.5, 4.2])('%d among 4.2 is not asked about', (microamps) => {
    expect(askedOf(dry(reads(11, microamps)))).toEqual([])
  })

  test('wet is beside wet: what is usual there is ten times what is usual dry', () => {
    const wet = (change: (one: Reading, i: number) => Partial<Reading> = () => ({})) =>
      testOf({
        dry: { readings: dryOf(undefined, 1.2) },
        wet: wetOf(survey({ value: 12, wet: true }).map((one, i) => ({ ...one, ...change(one, i) }))),
      })
    expect(askedOf(wet())).toEqual([])
    expect(told(askedOf(wet((_, i) => (i === 4 ? { leakageMicroamps: 1.2 } : {}))))).toEqual([
      'reading-far-from-neighbours /wet/readings/4/leakageMicroamps',
    ])
  })

  test('a section is beside itself', () => {
    const stick = stickOf({
      sections: [
        { name: 'tip', lengthMetres: 1.2 },
        { name: 'butt', lengthMetres: 1.2 },
      ],
    })
    const sections = [
      ...survey({ length: 1200, section: 'tip', value: 0.5 }),
      ...survey({ length: 1200, section: 'butt', value: 5 }),
    ]
    expect(askedOf(dry(sections), { stick })).toEqual([])
    const slipped = sections.map((one, i) => (i === 2 ? { ...one, leakageMicroamps: 5 } : one))
    expect(askedOf(dry(slipped), { stick }).map(({ text }) => text)).toEqual([
      'Dry, section tip, quarter turn 0°, 0.5 to 0.8 m reads 5 µA where its neighbours read about 0.5 µA. Is it 0.5?',
    ])
  })

  test('a stretch that is high on one turn is told by the other turns, and by three places on either side', () => {
    const high = dryOf((one) => (one.quarterTurn === 0 ? { leakageMicroamps: 42 } : {}))
    expect(askedOf(dry(high))).toEqual([])
    const stretch = dryOf((_, i) => (i < 2 ? { leakageMicroamps: 42 } : {}))
    expect(told(askedOf(dry(stretch)))).toEqual([
      'reading-far-from-neighbours /dry/readings/0/leakageMicroamps',
      'reading-far-from-neighbours /dry/readings/1/leakageMicroamps',
    ])
    // the fourth from it and further are no neighbours: 3, 3, 3 beside it and 30 from there on, on one turn
    const turn = (values: number[]) =>
      survey({ turns: [0] }).map((one, i) => ({ ...one, leakageMicroamps: values[i] ?? 0 }))
    expect(told(askedOf(dry(turn([30, 3, 3, 3, 30, 30, 30, 30, 30, 30])))).at(0)).toContain('/dry/readings/0/')
    expect(askedOf(dry(turn([3, 3, 3, 3, 3, 30, 30, 30, 30, 30])))).toEqual([])
  })

  test('in whatever order they were typed', () => {
    const readings = reads(11, 41).reverse()
    expect(told(askedOf(dry(readings)))).toEqual(['reading-far-from-neighbours /dry/readings/28/leakageMicroamps'])
    const steps = survey({ turns: [0] }).map((one, i) => ({ ...one, leakageMicroamps: i < 5 ? 3 : 30 }))
    const alternating = steps.flatMap((_, i) => steps[i % 2 === 0 ? i / 2 : 5 + (i - 1) / 2] ?? [])
    expect(alternating).toHaveLength(10)
    expect(askedOf(dry(alternating))).toEqual([])
  })

  test('the same place of the other turns is enough', () => {
    const short = survey({ length: 300 }).map((one, i) => ({ ...one, leakageMicroamps: i === 2 ? 42 : 4 }))
    expect(told(askedOf(dry(short)))).toEqual(['reading-far-from-neighbours /dry/readings/2/leakageMicroamps'])
  })

  test('three neighbours are needed', () => {
    const few = (count: number) => dryOf((_, i) => (i === 0 ? { leakageMicroamps: 42 } : {})).slice(0, count)
    expect(askedOf(dry(few(3)))).toEqual([])
    expect(told(askedOf(dry(few(4))))).toEqual(['reading-far-from-neighbours /dry/readings/0/leakageMicroamps'])
  })

  test('below a tenth of the limit differences tell nothing', () => {
    const among = (usual: number, microamps: number) =>
      dry(dryOf((_, i) => ({ leakageMicroamps: i === 11 ? microamps : usual })))
    // SAMPLE limit: dry 10 µA
    expect(askedOf(among(0.1, 0.99))).toEqual([])
    expect(askedOf(among(0, 0.99))).toEqual([])
    expect(askedOf(among(0.99, 0))).toEqual([])
    expect(askedOf(among(0.1, 1))).toHaveLength(1)
    expect(askedOf(among(1, 0))).toHaveLength(1)
  })

  test('without a limit, what is usual in that state is the least that tells', () => {
    const among = (usual: number, microamps: number) =>
      dry(dryOf((_, i) => ({ leakageMicroamps: i === 11 ? microamps : usual })))
    expect(askedOf(among(0.1, 1), noLimit)).toHaveLength(1)
    expect(askedOf(among(0, 1), noLimit)).toEqual([])
    const low = survey({ turns: [0], section: 'x', value: 0.2 }).map((one, i) =>
      i === 0 ? { ...one, leakageMicroamps: 0.02 } : one,
    )
    expect(askedOf(dry(low), noLimit)).toHaveLength(1)
    expect(askedOf(dry([...dryOf(), ...low]), noLimit)).toEqual([])
  })

  test('what the bench says was not at rest is neither asked about nor a neighbour', () => {
    const moving = (settled: boolean) => dryOf((_, i) => (i === 0 ? { leakageMicroamps: 42, settled } : {}))
    expect(askedOf(dry(moving(false)))).toEqual([])
    expect(askedOf(dry(moving(true)))).toHaveLength(1)
    const four = moving(false)
      .slice(0, 4)
      .map((one, i) => (i === 1 ? { ...one, leakageMicroamps: 42 } : one))
    expect(askedOf(dry(four))).toEqual([])
    // the pointer counts what is passed over
    const behind = dryOf((_, i) => (i === 0 ? { settled: false } : i === 5 ? { leakageMicroamps: 42 } : {}))
    expect(told(askedOf(dry(behind)))).toEqual(['reading-far-from-neighbours /dry/readings/5/leakageMicroamps'])
  })
})

describe('a reading beside the same place in the last test', () => {
  /** turns that differ so much among themselves that neighbours tell nothing */
  const uneven = (change: (one: Reading, i: number) => Partial<Reading> = () => ({})) =>
    survey({ turns: [0], length: 800 }).map((one, i) => ({
      ...one,
      leakageMicroamps: [4, 5, 6][i] ?? 0,
      ...change(one, i),
    }))
  const beside = (now: Reading[], then = uneven(), over = {}) => askedOf(dry(now), over, [last(then)])
  const at = (place: number, leakageMicroamps: number) => uneven((_, i) => (i === place ? { leakageMicroamps } : {}))

  test('ten times as much, and a tenth: with what it read then, on which day', () => {
    expect(beside(at(1, 51))).toEqual([
      {
        code: 'decimal-slipped',
        text:
          'Dry, quarter turn 0°, 0.25 to 0.55 m reads 51 µA where the last test, on 2024-03-04, read 5 µA. Is it ' +
          '5.1?',
        pointer: '/dry/readings/1/leakageMicroamps',
      },
    ])
    expect(beside(at(2, 0.58)).map(({ text }) => text)).toEqual([expect.stringMatching(/ read 6 µA\. Is it 5\.8\?$/)])
  })

  test.each([[75], [33.4], [0.75], [0.334]])('%d for 5 is within one and a half times of a slip', (microamps) => {
    expect(beside(at(1, microamps))).toHaveLength(1)
  })

  test.each([[75.1], [33.3], [0.76], [0.333], [5], [15], [2], [0], [500]])('%d for 5 is none', (microamps) => {
    expect(beside(at(1, microamps))).toEqual([])
  })

  test('below a tenth of the limit nothing is told by it, and by nought never', () => {
    const low = (microamps: number) => uneven(() => ({ leakageMicroamps: microamps }))
    expect(beside(at(1, 0.9), low(0.09))).toEqual([])
    expect(beside(at(1, 1), low(0.1))).toHaveLength(1)
    expect(beside(at(1, 51), low(0))).toEqual([])
  })

  test('where both ask about a place, it is asked about once', () => {
    const questions = askedOf(dry(reads(11, 41)), {}, [last(dryOf())])
    expect(told(questions)).toEqual(['reading-far-from-neighbours /dry/readings/11/leakageMicroamps'])
  })

  test('of another span, turn, section or state it is none', () => {
    const other = (change: Partial<Reading>) => uneven(() => change)
    const slipped = at(1, 51)
    expect(beside(slipped, other({ quarterTurn: 90 }))).toEqual([])
    expect(beside(slipped, other({ section: 'tip' }))).toEqual([])
    expect(
      beside(
        slipped,
        uneven(({ toMetres }) => ({ toMetres: toMetres + 0.001 })),
      ),
    ).toEqual([])
    expect(
      beside(
        slipped,
        uneven(({ fromMetres }) => ({ fromMetres: fromMetres + 0.001 })),
      ),
    ).toEqual([])
    expect(
      beside(
        slipped,
        uneven(({ toMetres }) => ({ toMetres: toMetres + 0.0004 })),
      ),
    ).toHaveLength(1)
    const wetBefore = testOf({ dry: undefined, wet: wetOf(uneven()) })
    expect(askedOf(dry(slipped), {}, [wetBefore])).toEqual([])
  })

  test('the last test is the newest that was read in that state', () => {
    const examined = testOf({ dry: undefined, wet: undefined })
    const questions = askedOf(dry(at(1, 51)), {}, [examined, last(uneven()), last(at(1, 50))])
    expect(told(questions)).toEqual(['decimal-slipped /dry/readings/1/leakageMicroamps'])
    expect(askedOf(dry(at(1, 51)), {}, [last(at(1, 50)), last(uneven())])).toEqual([])
    expect(askedOf(dry(at(1, 51)), {}, [{ ...examined, dry: { readings: [] } }, last(uneven())])).toHaveLength(1)
  })

  test('most of a state off alike is one question about the state', () => {
    const scaled = (i: number, factor: number) => ({ leakageMicroamps: ([4, 5, 6][i] ?? 0) * factor })
    const times = (factor: number, through = 2) => uneven((_, i) => (i <= through ? scaled(i, factor) : {}))
    expect(beside(times(10))).toEqual([
      {
        code: 'decimal-slipped',
        text:
          'Dry, 3 of 3 readings are about ten times what the last test, on 2024-03-04, read there. Is the decimal ' +
          'right?',
        pointer: '/dry/readings',
      },
    ])
    expect(beside(times(0.1)).map(({ text }) => text)).toEqual([expect.stringContaining('about a tenth of what')])
    // two are asked about one by one
    expect(told(beside(times(10, 1)))).toEqual([
      'decimal-slipped /dry/readings/0/leakageMicroamps',
      'decimal-slipped /dry/readings/1/leakageMicroamps',
    ])
    // half of a state is not most of it
    const even = dryOf((_, i) => (i % 2 === 0 ? { leakageMicroamps: 42 } : {}))
    expect(askedOf(dry(even), {}, [last(dryOf())]).filter(({ pointer }) => pointer === '/dry/readings')).toEqual([])
    // some up and some down are not alike
    const both = dryOf((_, i) => ({ leakageMicroamps: i % 2 === 0 ? 42 : 0.42 }))
    expect(askedOf(dry(both), {}, [last(dryOf())]).some(({ pointer }) => pointer === '/dry/readings')).toBe(false)
    // what was read at no such place before is not counted
    const more = [...times(10), ...survey({ turns: [90], value: 5 })]
    expect(told(beside(more))).toEqual(['decimal-slipped /dry/readings'])
  })
})

test('of a test that nobody knows how to judge nothing is asked', () => {
  expect(ofTest(dry(reads(11, 41)), { tests: undefined })).toEqual([])
})

test('of a test in which everything is odd forty questions are asked', () => {
  const odd = dryOf((_, i) => ({ leakageMicroamps: 9 * 10 ** ((i % 3) * 2) }))
  const wet = survey({ wet: true }).map((one, i) => ({ ...one, leakageMicroamps: 9 * 10 ** ((i % 3) * 2) }))
  expect(askedOf(testOf({ dry: { readings: odd }, wet: wetOf(wet) }))).toHaveLength(40)
})

/** A whole test, each reading by a factor beside what is usual in its state: SAMPLE limits are 10 dry and 20 wet. */
const anyTest = (spread: number) =>
  fc
    .record({
      usual: fc.record({
        dry: fc.double({ min: 1.5, max: 6, noNaN: true }),
        wet: fc.double({ min: 3, max: 12, noNaN: true }),
      }),
      factors: fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 160, maxLength: 160 }),
    })
    .map(({ usual, factors }) => {
      const figure = (state: SurfaceState, i: number) =>
        Number((usual[state] * spread ** (factors[i] ?? 0)).toPrecision(3))
      const test = (from: number): BenchTest => ({
        ...good,
        dry: { readings: plain.dry.map((one, i) => ({ ...one, leakageMicroamps: figure('dry', from + i) })) },
        wet: wetOf(plain.wet.map((one, i) => ({ ...one, leakageMicroamps: figure('wet', from + 40 + i) }))),
      })
      return { now: test(0), before: { ...test(80), testedOn: day('2024-03-04') } }
    })
const good = testOf()
const plain = { dry: survey(), wet: survey({ wet: true }) }

describe('of any test', () => {
  test('whose readings are within three times of each other nothing is asked, with or without a test before it', () => {
    fc.assert(
      fc.property(anyTest(3), fc.constantFrom({}, noLimit), ({ now, before }, over) => {
        expect(askedOf(now, over)).toEqual([])
        expect(askedOf(now, over, [before])).toEqual([])
      }),
      seeded,
    )
  })

  test('in which one decimal slips among even readings, that place alone is asked about, and the figure named', () => {
    const place = fc.record({ state: fc.constantFrom(...surfaceStates), at: fc.nat(39), by: fc.constantFrom(10, 0.1) })
    fc.assert(
      fc.property(anyTest(1.3), place, fc.boolean(), ({ now, before }, { state, at, by }, knowsLast) => {
        const right = now[state]?.readings[at]?.leakageMicroamps ?? 0
        const typed = Number((right * by).toPrecision(6))
        const slipped = withReading(now, { state, at, typed })
        const questions = askedOf(slipped, {}, knowsLast ? [before] : [])
        expect(questions.map(({ pointer }) => pointer)).toEqual([`/${state}/readings/${at}/leakageMicroamps`])
        expect(questions[0]?.text).toMatch(new RegExp(` reads ${typed} µA .* Is it ${right}\\?$`))
      }),
      seeded,
    )
  })

  test('the verdict reads no question', () => {
    fc.assert(
      fc.property(anyTest(3), fc.nat(39), ({ now, before }, at) => {
        const slipped = withReading(now, { state: 'dry', at, typed: 99 })
        const verdict = judge(slipped, judgedBy())
        askedOf(slipped, {}, [before])
        expect(judge(slipped, judgedBy())).toEqual(verdict)
        expect(verdict.verdict).toBe('fail')
      }),
      { ...seeded, numRuns: 50 },
    )
  })
})

function withReading(
  test: BenchTest,
  { state, at, typed }: { state: SurfaceState; at: number; typed: number },
): BenchTest {
  const readings = (test[state]?.readings ?? []).map((one, i) => (i === at ? { ...one, leakageMicroamps: typed } : one))
  return state === 'dry' ? { ...test, dry: { readings } } : { ...test, wet: wetOf(readings) }
}
