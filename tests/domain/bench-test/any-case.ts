/**
 * Bench tests at random, as a door lets them in, with the editions that judge them. Most are good, or spoilt in one way
 * or two: where everything is wrong at once, no single rule decides anything.
 */
import fc from 'fast-check'
import type { BenchTest, Reading, Withstand } from '../../../shared-domain/bench-test/bench-test.ts'
import type { Editions } from '../../../shared-domain/bench-test/editions.ts'
import type { Demonstration, Limit, Procedure, Stick } from '../../../shared-domain/registers.ts'
import { type QuarterTurn, quarterTurns, type SurfaceState, surfaceStates } from '../../../shared-domain/words.ts'
import { check, day, procedureOf, shown, stickOf, survey, wetOf } from './fixtures.ts'

export interface Case {
  readonly test: BenchTest
  readonly editions: Editions
}

/** SAMPLE limits: dry 10 µA, wet 20 µA, whichever of the sets below they stand in. */
const limitOf = { dry: 10, wet: 20 }

type Spoiler = (one: Case) => Case

/** `good` so much more often than the rest that passes are common enough to be lost. */
const mostly = <T>(good: T, ...others: T[]) =>
  fc.oneof({ weight: 8, arbitrary: fc.constant(good) }, { weight: 1, arbitrary: fc.constantFrom(...others) })

const shape = fc.record({
  construction: fc.constantFrom('FRP rod', 'foam-filled FRP tube', 'hollow FRP tube', 'wood'),
  /** of each section, where there are several */
  lengths: fc.oneof(
    { weight: 2, arbitrary: fc.tuple(fc.integer({ min: 250, max: 1300 })) },
    { weight: 1, arbitrary: fc.array(fc.integer({ min: 250, max: 700 }), { minLength: 2, maxLength: 3 }) },
  ),
  places: fc.constantFrom({ span: 300, step: 250 }, { span: 400, step: 320 }, { span: 350, step: 300 }),
  methods: fc.record({ dry: methodOf(), wet: methodOf() }),
  share: fc.constantFrom(0.05, 0.3, 0.9, 0.95),
  reason: mostly<BenchTest['reason']>('periodic', 'first issue', 'repair'),
  mended: mostly(false, true),
})
type Shape = typeof shape extends fc.Arbitrary<infer Made> ? Made : never

function methodOf() {
  return mostly<'readings' | 'withstand' | 'both'>('readings', 'withstand', 'both')
}

const rules = fc.record({
  comparison: fc.constantFrom('not more than' as const, 'less than' as const),
  decision: fc.constantFrom('simple' as const, 'guarded' as const),
  severalLimits: fc.boolean(),
  severalChecks: mostly(false, true),
  surroundings: fc.boolean(),
})
type Rules = typeof rules extends fc.Arbitrary<infer Made> ? Made : never

const sectionNames = ['tip', 'middle', 'butt']

function stickFor({ construction, lengths }: Shape): Stick {
  const workingLengthMetres = lengths.reduce((sum, length) => sum + length, 0) / 1000
  const whole: Stick = { ...plainStick, construction, workingLengthMetres }
  if (lengths.length === 1) return whole
  return {
    ...whole,
    sections: lengths.map((length, i) => ({ name: sectionNames[i] ?? '', lengthMetres: length / 1000 })),
  }
}

function procedureFor({ comparison, decision, severalLimits, severalChecks, surroundings }: Rules): Procedure {
  return {
    ...plainProcedure,
    comparison,
    decision,
    limits: severalLimits ? manyLimits : plainProcedure.limits,
    checks: severalChecks
      ? [...plainProcedure.checks, ...plainProcedure.checks.map((one) => ({ ...one, expectedMicroamps: 20 }))]
      : plainProcedure.checks,
    ...(surroundings ? asksForSurroundings : {}),
  }
}

/** Built once: the schemas they go through take longer than a verdict. */
const plainStick = stickOf()
const plainProcedure = procedureOf()

const asksForSurroundings: Partial<Procedure> = {
  waterConductivityAtMostMicrosiemensPerCm: 50,
  ambient: { celsius: [10, 35], relativeHumidityPercent: [0, 70] },
}

/** A wider band and limits that do not cover the stick or how it is read, round the one that decides. */
const manyLimits: Limit[] = plainProcedure.limits.flatMap((limit) => [
  { ...limit, microamps: limit.microamps * 3 },
  { ...limit, diameterMillimetres: [30, 40] },
  { ...limit, microamps: limit.microamps / 4, diameterMillimetres: [40, 60] },
  { ...limit, microamps: limit.microamps / 4, spanMetres: 0.5 },
  { ...limit, microamps: limit.microamps / 4, kilovolts: 50, hertz: 60 },
])

function sectionsOf(lengths: readonly number[]): { length: number; section?: string }[] {
  return lengths.map((length, i) => ({ length, ...(lengths.length === 1 ? {} : { section: sectionNames[i] ?? '' }) }))
}

function readingsFor(state: SurfaceState, { lengths, places, share }: Shape): Reading[] {
  const value = limitOf[state] * share
  return sectionsOf(lengths).flatMap((one) => survey({ ...places, ...one, value, wet: state === 'wet' }))
}

/** In one span or two, with more voltage and time than any rule asks of them. */
function withstandFor(state: SurfaceState, { lengths }: Shape): Withstand[] {
  return sectionsOf(lengths).flatMap(({ length, section }) => {
    const ends = length > 600 ? [0, Math.round(length / 2), length] : [0, length]
    return ends.slice(1).map((to, i) => ({
      ...(section === undefined ? {} : { section }),
      fromMetres: (ends[i] ?? 0) / 1000,
      toMetres: to / 1000,
      kilovolts: to / 2,
      seconds: 600,
      state,
      outcome: 'withstood' as const,
    }))
  })
}

function testFor(made: Shape, { severalChecks }: Rules): BenchTest {
  const states = made.construction === 'wood' ? (['dry'] as const) : surfaceStates
  const by = (...methods: string[]) => states.filter((state) => methods.includes(made.methods[state]))
  const read = by('readings', 'both')
  const withstand = by('withstand', 'both').flatMap((state) => withstandFor(state, made))
  return {
    factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0001',
    testedOn: day('2026-03-02'),
    testedBy: 'Ines Roth',
    instrumentId: 'INS-1',
    procedureId: 'PRC-1',
    reason: made.reason,
    instrumentChecks: states.flatMap((state) => [check(state), ...(severalChecks ? [check(state, 21)] : [])]),
    examination: { defects: made.mended ? [{ kind: 'scratch', open: false }] : [], gloss: 'sound' },
    cleaned: true,
    waxed: true,
    ambient: { celsius: 21, relativeHumidityPercent: 45 },
    ...(read.includes('dry') ? { dry: { readings: readingsFor('dry', made) } } : {}),
    ...(read.includes('wet') ? { wet: wetOf(readingsFor('wet', made), { conductivityMicrosiemensPerCm: 12 }) } : {}),
    ...(withstand.length === 0 ? {} : { withstand }),
  }
}

/** Two editions of the instrument, so that calibration periods add up. */
const instruments: Editions['instruments'] = [
  {
    effectiveFrom: day('2024-01-10'),
    body: { spanMetres: 0.4, kilovolts: 100, calibratedOn: day('2024-01-10'), calibrationDueOn: day('2025-01-10') },
  },
  {
    effectiveFrom: day('2026-01-10'),
    body: {
      spanMetres: 0.4,
      kilovolts: 100,
      calibratedOn: day('2026-01-10'),
      calibrationDueOn: day('2026-12-01'),
      expandedUncertaintyPercent: 5,
    },
  },
]

export function withReadings(
  test: BenchTest,
  change: (rows: Reading[], state: SurfaceState) => Reading[],
  only: readonly SurfaceState[] = surfaceStates,
): BenchTest {
  const { dry, wet } = test
  return {
    ...test,
    ...(dry === undefined || !only.includes('dry') ? {} : { dry: { readings: change(dry.readings, 'dry') } }),
    ...(wet === undefined || !only.includes('wet') ? {} : { wet: { ...wet, readings: change(wet.readings, 'wet') } }),
  }
}

const state = fc.constantFrom(...surfaceStates)
const at = fc.nat(1000)

const onReadings =
  (only: SurfaceState, change: (rows: Reading[]) => Reading[]): Spoiler =>
  (one) => ({
    ...one,
    test: withReadings(one.test, change, [only]),
  })
const onOne = (only: SurfaceState, index: number, change: (row: Reading) => Reading): Spoiler =>
  onReadings(only, (rows) => rows.map((row, i) => (i === index % rows.length ? change(row) : row)))
const onTest =
  (change: (test: BenchTest) => Partial<BenchTest>): Spoiler =>
  (one) => ({
    ...one,
    test: { ...one.test, ...change(one.test) },
  })
const without =
  (...keys: (keyof BenchTest)[]): Spoiler =>
  ({ test, editions }) => ({
    // the keys left out are optional ones
    test: Object.fromEntries(Object.entries(test).filter(([key]) => !keys.some((one) => one === key))) as BenchTest,
    editions,
  })
const onWet = (over: Partial<NonNullable<BenchTest['wet']>>): Spoiler =>
  onTest(({ wet }) => (wet === undefined ? {} : { wet: { ...wet, ...over } }))
const onProcedure =
  (change: (procedure: Procedure) => Partial<Procedure>): Spoiler =>
  (one) => {
    const { procedure } = one.editions
    return { ...one, editions: { ...one.editions, procedure: { ...procedure, ...change(procedure) } } }
  }
const onWithstand = (index: number, change: (row: Withstand) => Partial<Withstand>): Spoiler =>
  onTest(({ withstand }) =>
    withstand === undefined
      ? {}
      : { withstand: withstand.map((row, i) => (i === index % withstand.length ? { ...row, ...change(row) } : row)) },
  )
const onChecks = (
  only: SurfaceState,
  change: (checks: BenchTest['instrumentChecks']) => BenchTest['instrumentChecks'],
) =>
  onTest(({ instrumentChecks }) => ({
    instrumentChecks: [
      ...instrumentChecks.filter((one) => one.state !== only),
      ...change(instrumentChecks.filter((one) => one.state === only)),
    ],
  }))

/** A reading more than the survey needs, where none lies yet. */
function spare(only: SurfaceState, index: number, from: number, long: number): Spoiler {
  return onReadings(only, (rows) => {
    const like = rows[index % rows.length]
    if (like === undefined) return rows
    const end = Math.max(...rows.filter((row) => row.section === like.section).map((row) => row.toMetres * 1000))
    const fromMetres = Math.min(from, end - 1) / 1000
    const toMetres = Math.min(fromMetres * 1000 + long, end) / 1000
    const taken = rows.some(
      (row) =>
        row.section === like.section &&
        row.quarterTurn === like.quarterTurn &&
        millimetresOf(row.fromMetres) === millimetresOf(fromMetres) &&
        millimetresOf(row.toMetres) === millimetresOf(toMetres),
    )
    return taken ? rows : [...rows, { ...like, fromMetres, toMetres }]
  })
}

export function millimetresOf(metres: number): number {
  return Math.round(metres * 1000)
}

const spareReading = fc
  .tuple(state, at, fc.integer({ min: 0, max: 1200 }), fc.integer({ min: 20, max: 400 }))
  .map((args) => spare(...args))

const measured: fc.Arbitrary<Spoiler>[] = [
  fc.tuple(state, at).map(([only, i]) => onReadings(only, (rows) => rows.filter((_, one) => one !== i % rows.length))),
  fc
    .tuple(state, fc.constantFrom<QuarterTurn>(...quarterTurns))
    .map(([only, turn]) => onReadings(only, (rows) => rows.filter((row) => row.quarterTurn !== turn))),
  fc
    .tuple(state, at, fc.constantFrom(0.951, 0.97, 1, 1.001, 3))
    .map(([only, i, share]) => onOne(only, i, (row) => ({ ...row, leakageMicroamps: limitOf[only] * share }))),
  fc.tuple(state, at).map(([only, i]) => onOne(only, i, (row) => ({ ...row, settled: false }))),
  fc
    .tuple(state, at, fc.integer({ min: 1, max: 90 }))
    .map(([only, i, less]) =>
      onOne(only, i, (row) => ({ ...row, fromMetres: Math.min(row.fromMetres + less / 1000, row.toMetres - 0.01) })),
    ),
  state.map((only) => onTest((test) => (test[only] === undefined ? {} : { [only]: { ...test[only], readings: [] } }))),
]

const withstood: fc.Arbitrary<Spoiler>[] = [
  at.map((i) => onWithstand(i, () => ({ kilovolts: 20 }))),
  at.map((i) => onWithstand(i, () => ({ seconds: 59 }))),
  at.map((i) => onWithstand(i, ({ fromMetres, toMetres }) => ({ toMetres: (fromMetres + toMetres) / 2 }))),
  fc
    .tuple(at, fc.constantFrom('flashover' as const, 'puncture' as const, 'tracking' as const, 'heating' as const))
    .map(([i, outcome]) => onWithstand(i, () => ({ outcome }))),
]

/** Every reading names more than they span. */
const withShortInstruments: Spoiler = ({ test, editions }) => ({
  test,
  editions: {
    ...editions,
    instruments: editions.instruments.map((one) => ({ ...one, body: { ...one.body, spanMetres: 0.25 } })),
  },
})

/** An instrument that is off, or stuck at one figure. */
const withDeadInstrument = (microamps: number): Spoiler => {
  const same = onReadings('dry', (rows) => rows.map((row) => ({ ...row, leakageMicroamps: microamps })))
  const too = onReadings('wet', (rows) => rows.map((row) => ({ ...row, leakageMicroamps: microamps })))
  return (one) => too(same(one))
}
const checkedAfter = (only: SurfaceState): Spoiler =>
  onChecks(only, (checks) => [...checks, check(only, 98, { when: 'after' })])

const around: fc.Arbitrary<Spoiler>[] = [
  state.map((only) => onReadings(only, (rows) => rows.map((row) => ({ ...row, leakageMicroamps: 0 })))),
  fc.constantFrom(0, 5).map(withDeadInstrument),
  fc
    .constantFrom(0, 5)
    .map((microamps) => (one) => checkedAfter('wet')(checkedAfter('dry')(withDeadInstrument(microamps)(one)))),
  fc.constantFrom('tap' as const, 'other' as const).map((water) => onWet({ water })),
  fc.constantFrom('film' as const, 'drip line' as const).map((appearance) => onWet({ appearance })),
  state.map((only) => onChecks(only, () => [])),
  state.map((only) => onChecks(only, (checks) => checks.map((one) => ({ ...one, when: 'after' })))),
  state.map((only) => onChecks(only, (checks) => [...checks, check(only, 50, { when: 'after' })])),
  state.map((only) => onChecks(only, (checks) => checks.map((one) => ({ ...one, openMicroamps: 1.5 })))),
  fc.constantFrom('2025-01-11', '2026-12-02', '2024-06-01').map((date) => onTest(() => ({ testedOn: day(date) }))),
  fc.constant(withShortInstruments),
  fc.constant(onTest(() => ({ cleaned: false }))),
  fc.constantFrom(9.9, 35.1).map((celsius) => onTest(() => ({ ambient: { celsius, relativeHumidityPercent: 45 } }))),
  fc.constant(without('ambient')),
  fc.constantFrom(50.1, 1000).map((conductivityMicrosiemensPerCm) => onWet({ conductivityMicrosiemensPerCm })),
  fc.constant(onTest(({ wet }) => (wet === undefined ? {} : { wet: wetOf(wet.readings) }))),
  fc.constant(onTest(({ examination }) => ({ examination: { ...examination, gloss: 'lost' } }))),
  fc
    .constantFrom('crack' as const, 'lost gloss' as const)
    .map((kind) => onTest(({ examination }) => ({ examination: { ...examination, defects: [{ kind, open: true }] } }))),
]

const ruled: fc.Arbitrary<Spoiler>[] = [
  state.map((only) => onProcedure(({ limits }) => ({ limits: limits.filter((one) => one.state !== only) }))),
  state.map((only) => onProcedure(({ checks }) => ({ checks: checks.filter((one) => one.state !== only) }))),
  state.map((only) =>
    onProcedure(({ limits }) => ({
      limits: limits.map((one) => (one.state === only ? { ...one, microamps: limitOf[only] * 0.9 } : one)),
    })),
  ),
  fc.constant(onProcedure(() => ({ leastOverlapMetres: 0.1 }))),
  fc.constant(onProcedure(() => asksForSurroundings)),
  state.map((only) =>
    onProcedure(({ checks }) => ({ checks: checks.map((one) => ({ ...one, afterToo: one.state === only })) })),
  ),
  fc.constant((one) => ({
    ...one,
    editions: {
      ...one.editions,
      stick: { ...one.editions.stick, workingLengthMetres: one.editions.stick.workingLengthMetres + 0.2 },
    },
  })),
]

/** In place of a test, with and without a policy that allows it. */
const examined: fc.Arbitrary<Spoiler> = fc
  .tuple(fc.boolean(), mostly<Demonstration['kind']>('examination alone', 'withstand'))
  .map(([examinationOnly, kind]) => (one) => {
    const { test, editions } = without('dry', 'wet', 'withstand')(one)
    const policy = { packs: ['us-29-cfr-1910-269-j'], examinationOnly }
    const demonstration = shown(kind).body
    return { test: { ...test, demonstrationId: 'DEM-1' }, editions: { ...editions, policy, demonstration } }
  })

const spoilers = fc.oneof(
  { weight: 6, arbitrary: fc.oneof(...measured) },
  { weight: 1, arbitrary: examined },
  { weight: 2, arbitrary: fc.oneof(...withstood) },
  { weight: 4, arbitrary: fc.oneof(...around) },
  { weight: 2, arbitrary: fc.oneof(...ruled) },
)
const spoilt = fc.oneof(
  { weight: 5, arbitrary: fc.tuple(spoilers) },
  { weight: 3, arbitrary: fc.array(spoilers, { minLength: 2, maxLength: 3 }) },
)
const spares = fc.oneof(
  { weight: 4, arbitrary: fc.constant<Spoiler[]>([]) },
  { weight: 1, arbitrary: fc.array(spareReading, { minLength: 1, maxLength: 4 }) },
)

function casesWith(changes: fc.Arbitrary<Spoiler[]>): fc.Arbitrary<Case> {
  return fc.tuple(shape, rules, spares, changes).map(([made, ruled, more, changed]) => {
    const good: Case = {
      test: testFor(made, ruled),
      editions: { stick: stickFor(made), procedure: procedureFor(ruled), instruments },
    }
    return [...more, ...changed].reduce((one, change) => change(one), good)
  })
}

/** For what is said of tests that do not pass: most of these do not. */
export const anySpoiltCase = casesWith(spoilt)
export const anyCase = casesWith(
  fc.oneof({ weight: 1, arbitrary: fc.constant<Spoiler[]>([]) }, { weight: 2, arbitrary: spoilt }),
)
