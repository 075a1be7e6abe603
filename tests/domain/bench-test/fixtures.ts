/** Invented sticks, procedures and surveys. The limits are SAMPLE figures of no standard: none ships as a default. */
import { type BenchTest, benchTest, type Reading } from '../../../shared-domain/bench-test/bench-test.ts'
import type { Demonstrated } from '../../../shared-domain/bench-test/demonstration.ts'
import type { JudgedBy } from '../../../shared-domain/bench-test/judge.ts'
import { calendarDate } from '../../../shared-domain/date-fields.ts'
import { type Demonstration, type Procedure, procedure, type Stick, stick } from '../../../shared-domain/registers.ts'
import { type QuarterTurn, quarterTurns, type SurfaceState } from '../../../shared-domain/words.ts'

export const day = (date: string) => calendarDate.parse(date)

export function stickOf(over: Partial<Stick> = {}): Stick {
  return stick.parse({
    construction: 'foam-filled FRP tube',
    workingLengthMetres: 2.4,
    diameterMillimetres: 32,
    primaryProtection: true,
    ...over,
  })
}

/** SAMPLE limits: dry 10 µA, wet 20 µA. */
export function procedureOf(over: Partial<Procedure> = {}): Procedure {
  const sample = (construction: string, state: string, microamps: number) => ({
    construction,
    state,
    microamps,
    source: 'SAMPLE, no standard',
  })
  return procedure.parse({
    title: 'Bench survey',
    approvedBy: 'Safety engineer',
    leastOverlapMetres: 0.05,
    comparison: 'not more than',
    decision: 'simple',
    checks: ['dry', 'wet'].map((state) => ({
      state,
      expectedMicroamps: 100,
      tolerancePercent: 10,
      openAtMostMicroamps: 1,
    })),
    limits: ['FRP rod', 'foam-filled FRP tube', 'hollow FRP tube', 'wood'].flatMap((construction) => [
      sample(construction, 'dry', 10),
      sample(construction, 'wet', 20),
    ]),
    ...over,
  })
}

export function judgedBy(over: Partial<JudgedBy> = {}): JudgedBy {
  return {
    stick: stickOf(),
    procedure: procedureOf(),
    calibrations: [{ calibratedOn: day('2026-01-10'), calibrationDueOn: day('2026-12-01') }],
    instrumentSpanMetres: 0.3,
    ...over,
  }
}

interface Survey {
  readonly length?: number
  readonly span?: number
  readonly step?: number
  readonly value?: number
  readonly turns?: readonly QuarterTurn[]
  readonly section?: string
  readonly wet?: boolean
}

/** Readings from end to end of every quarter turn; lengths in millimetres. */
export function survey(options: Survey = {}): Reading[] {
  const { length = 2400, span = 300, step = 250, value = 4, turns = quarterTurns, section, wet = false } = options
  const starts = Array.from({ length: Math.ceil(Math.max(0, length - span) / step) }, (_, index) => index * step)
  return turns.flatMap((quarterTurn) =>
    [...starts, Math.max(0, length - span)].map((from) => ({
      ...(section === undefined ? {} : { section }),
      quarterTurn,
      fromMetres: from / 1000,
      toMetres: Math.min(from + span, length) / 1000,
      leakageMicroamps: value,
      ...(wet ? { settled: true } : {}),
    })),
  )
}

export type Wet = NonNullable<BenchTest['wet']>

export function wetOf(readings: Reading[], over: Partial<Wet> = {}): Wet {
  return { water: 'distilled', appearance: 'beads', readings, ...over }
}

export function check(
  state: SurfaceState,
  checkMicroamps = 98,
  over: Partial<BenchTest['instrumentChecks'][number]> = {},
) {
  return { state, when: 'before' as const, openMicroamps: 0, checkMicroamps, ...over }
}

/** A complete test that passes, but for what `over` says; `undefined` leaves a part out. */
export function testOf(over: { [Key in keyof BenchTest]?: BenchTest[Key] | undefined } = {}): BenchTest {
  return benchTest.parse({
    factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0001',
    testedOn: '2026-03-02',
    testedBy: 'Ines Roth',
    instrumentId: 'INS-1',
    procedureId: 'PRC-1',
    reason: 'periodic',
    instrumentChecks: [check('dry'), check('wet')],
    examination: { defects: [], gloss: 'sound' },
    cleaned: true,
    waxed: true,
    dry: { readings: survey() },
    wet: wetOf(survey({ value: 9, wet: true })),
    ...over,
  })
}

export function codes(reasons: readonly { code: string }[]): string[] {
  return [...new Set(reasons.map((reason) => reason.code))].sort()
}

/** What the employer shows, as the test of 2 March 2026 names it. */
export const shown = (kind: Demonstration['kind'], over: Partial<Demonstration> = {}): Demonstrated => ({
  id: 'DEM-1',
  on: day('2026-03-02'),
  body: { kind, by: 'Safety engineer', grounds: 'one of the lot cut open and found dry', ...over },
})
