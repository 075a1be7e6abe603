/** The verdict on a bench test: one function for every caller, and every reason for what it says. */
import type { CalibrationCap } from '../policy/rule-pack.ts'
import type { Reason } from '../reason.ts'
import type { Limit, Procedure, Stick } from '../registers.ts'
import { contentOf } from '../said.ts'
import { type QuarterTurn, type RemovesOnlyAfter, type SurfaceState, surfaceStates, type Verdict } from '../words.ts'
import type { BenchTest, Reading, Withstand } from './bench-test.ts'
import { sectionsTooShort, unread } from './coverage.ts'
import type { Demonstrated } from './demonstration.ts'
import { againstExaminationAlone, finishLost, openDefects, reliesOnExamination, uncleaned } from './examination.ts'
import { type Applied, type DecisionRule, limitFor, standing, stricterInDoubt } from './limits.ts'
import { comparePlaces, compareText, type Place, placeOf, reasonAt, reasonOnReading, statesAskedOf } from './places.ts'
import {
  aliveDoubts,
  ambientDoubts,
  ambientMissing,
  type CalibrationPeriod,
  calibrationDoubts,
  checkDoubts,
  conductivityMissing,
  isSettled,
  isWithinSpan,
  settledDoubts,
  spanDoubts,
  wetDoubts,
} from './trust.ts'
import { failureOf, leavesDamage, unshown } from './withstand.ts'

/** The editions that a test is judged by: those in force when it was done. */
export interface JudgedBy extends Applied, DecisionRule {
  readonly stick: Stick
  readonly procedure: Procedure
  /** every period recorded for the instrument */
  readonly calibrations: readonly CalibrationPeriod[]
  /** the cap by a rule of the policy; none unless the policy says so */
  readonly calibrationCap?: CalibrationCap | undefined
  /** the demonstration that the test names */
  readonly demonstrated?: Demonstrated | undefined
  readonly removesOnlyAfter?: RemovesOnlyAfter | undefined
  /** true where the policy lets the employer's demonstration stand in place of a test; false unless it says so */
  readonly examinationOnlyAllowed?: boolean
}

export interface WorstReading {
  readonly state: SurfaceState
  readonly section?: string
  readonly quarterTurn: QuarterTurn
  readonly fromMetres: number
  readonly toMetres: number
  readonly leakageMicroamps: number
}

export interface Judgement {
  readonly verdict: Verdict
  /** the cause of a failure: an electrical one counts toward removal for good, an examination only holds the stick */
  readonly cause: 'electrical' | 'examination' | null
  readonly reasons: Reason[]
  /** the reading that governs: the largest share of its limit, among those that prove something if any do */
  readonly worst: WorstReading | null
  /** nothing was measured: the verdict rests on the examination and the employer's demonstration */
  readonly byExaminationAlone?: true
  /** an electrical failure with no reading over its limit, all within the instrument's uncertainty of it */
  readonly inGuardBand?: true
  /** the steps after which alone an electrical failure removes the stick, by the policy of the day of the test */
  readonly removesOnlyAfter?: RemovesOnlyAfter
  /** the stick withstood dry, along its whole length, what a new tool is designed for: an acceptance test */
  readonly asNew?: true
}

/** The findings of one method of testing for one surface state. */
interface Findings {
  /** failures that stand, whatever else is wrong with the test */
  readonly failed: readonly Reason[]
  /** failures measured in a way that proves nothing: listed so that people see them */
  readonly unproven: readonly Reason[]
  readonly doubted: readonly Reason[]
  readonly missing: readonly Reason[]
}

/** A surface state of a test, and what it is judged by. */
interface Judging {
  readonly state: SurfaceState
  readonly test: BenchTest
  readonly by: JudgedBy
  /** nothing is doubted of the instrument's calibration or the air, which all states share */
  readonly soundSession: boolean
}

/** The reasons against a test, by what follows from them. */
interface Against {
  readonly electrical: readonly Reason[]
  readonly examined: readonly Reason[]
  readonly doubted: readonly Reason[]
  readonly missing: readonly Reason[]
}

interface Weighed {
  readonly reading: Reading
  readonly state: SurfaceState
  readonly limit: Limit | undefined
  readonly trusted: boolean
}

/**
 * A failure that stands goes before everything, so that an unfinished or spoilt test never hides it. Doubt about what
 * was measured comes next, and then what was not measured. A pass has no reason against it.
 */
export function judge(test: BenchTest, by: JudgedBy): Judgement {
  // a demonstration of something else says nothing of a test in which nothing was measured
  const showsOther = by.demonstrated !== undefined && by.demonstrated.body.kind !== 'examination alone'
  return reliesOnExamination(test) && !showsOther ? judgeExamination(test, by) : judgeMeasured(test, by)
}

function judgeExamination(test: BenchTest, by: JudgedBy): Judgement {
  const examined = openDefects(test)
  const against = againstExaminationAlone(test, by.stick, {
    allowed: by.examinationOnlyAllowed ?? false,
    demonstrated: by.demonstrated,
  })
  const untestedStates = against.length === 0 ? [] : surfaceStates.flatMap((state) => untested(state, by.stick))
  const missing = [...uncleaned(test), ...against, ...untestedStates]
  return {
    ...conclude({ electrical: [], examined, doubted: [], missing }),
    reasons: [...examined, ...missing].sort(compareReasons(by.stick)),
    worst: null,
    ...(against.length === 0 ? { byExaminationAlone: true } : {}),
  }
}

function judgeMeasured(test: BenchTest, by: JudgedBy): Judgement {
  const session = [...calibrationDoubts(test, by.calibrations, by.calibrationCap), ...ambientDoubts(test, by.procedure)]
  const judgings = surfaceStates.map((state): Judging => ({ state, test, by, soundSession: session.length === 0 }))
  const weighed = judgings.flatMap(weigh)
  const states = judgings.map((judging) =>
    judgeState(
      judging,
      weighed.filter((one) => one.state === judging.state),
    ),
  )

  const examined = openDefects(test)
  const electrical = states.flatMap((one) => one.failed)
  const doubted = [...session, ...states.flatMap((one) => [...one.doubted, ...one.unproven])]
  const missing = [
    ...uncleaned(test),
    ...ambientMissing(test, by.procedure),
    ...conductivityMissing(test, by.procedure),
    ...sectionsTooShort(by.stick),
    ...states.flatMap((one) => one.missing),
  ]
  const conclusion = conclude({ electrical, examined, doubted, missing })
  return {
    ...conclusion,
    reasons: [...examined, ...electrical, ...doubted, ...missing].sort(compareReasons(by.stick)),
    worst: worstOf(weighed, by.stick),
    ...(electrical.length > 0 && electrical.every(isInGuardBand) ? { inGuardBand: true } : {}),
    ...(electrical.length > 0 && by.removesOnlyAfter !== undefined ? { removesOnlyAfter: by.removesOnlyAfter } : {}),
    ...(conclusion.verdict === 'pass' && withstoodAsNew(test, by) ? { asNew: true } : {}),
  }
}

const isInGuardBand = ({ code }: Reason) => code === 'reading-in-guard-band'

/** 29 CFR 1910.269(j)(1) states the design of dry tools; other tests of new ones are the employer's to add. */
function withstoodAsNew(test: BenchTest, { stick, procedure, demonstrated }: JudgedBy): boolean {
  const dry = (test.withstand ?? []).filter(({ state }) => state === 'dry')
  return (
    test.reason === 'first issue' &&
    dry.length > 0 &&
    unshown('dry', dry, { stick, reason: test.reason, procedure, demonstrated }).length === 0
  )
}

function conclude({ electrical, examined, doubted, missing }: Against): Pick<Judgement, 'verdict' | 'cause'> {
  if (electrical.length > 0) return { verdict: 'fail', cause: 'electrical' }
  if (examined.length > 0) return { verdict: 'fail', cause: 'examination' }
  if (doubted.length > 0) return { verdict: 'invalid', cause: null }
  return { verdict: missing.length > 0 ? 'incomplete' : 'pass', cause: null }
}

function judgeState(judging: Judging, weighed: readonly Weighed[]): Findings {
  const { state, test, by } = judging
  const rows = (test.withstand ?? []).filter((row) => row.state === state)
  const methods = [
    ...(weighed.length === 0 ? [] : [judgeReadings(judging, weighed)]),
    ...(rows.length === 0 ? [] : [judgeWithstand(judging, rows)]),
  ]
  if (methods.length === 0) return { failed: [], unproven: [], doubted: [], missing: untested(state, by.stick) }

  // a state is shown by either method alone: what the other left out is no fault, and what it found wrong still counts
  const shown = methods.some((method) => method.missing.length === 0 && method.doubted.length === 0)
  return {
    failed: methods.flatMap((method) => method.failed),
    unproven: methods.flatMap((method) => method.unproven),
    doubted: [
      ...(state === 'wet' ? wetDoubts(test, by.procedure) : []),
      ...methods.flatMap((method) => method.doubted),
    ],
    missing: shown ? [] : methods.flatMap((method) => method.missing),
  }
}

function untested(state: SurfaceState, { construction }: Stick): Reason[] {
  if (!statesAskedOf(construction).includes(state)) return []
  return [reasonAt({ state }, `${state}-missing`, { is: 'state missing', construction })]
}

function weigh(judging: Judging): Weighed[] {
  const { state, test, by, soundSession } = judging
  const readings = test[state]?.readings ?? []
  if (readings.length === 0) return []
  const limit = limitFor(state, by)
  const session = soundSession && surfaceIsRight(judging) && instrumentDoubts(judging).length === 0
  return readings.map((reading) => ({
    reading,
    state,
    limit,
    trusted: session && isSettled(state, reading) && isWithinSpan(reading, by.instrumentSpanMetres),
  }))
}

function instrumentDoubts({ state, test, by: { procedure } }: Judging): Reason[] {
  return [...checkDoubts(state, test, procedure), ...aliveDoubts(state, test, procedure)]
}

function surfaceIsRight({ state, test, by: { procedure } }: Judging): boolean {
  return state === 'dry' || (wetDoubts(test, procedure).length === 0 && !finishLost(test))
}

function judgeReadings(judging: Judging, weighed: readonly Weighed[]): Findings {
  const { state, by } = judging
  const readings = weighed.map((one) => one.reading)
  const against = (trusted: boolean) =>
    weighed.filter((one) => one.trusted === trusted).flatMap((one) => notConforming(one, by))
  return {
    failed: against(true),
    unproven: against(false),
    doubted: [
      ...instrumentDoubts(judging),
      ...settledDoubts(state, readings),
      ...spanDoubts(state, readings, by.instrumentSpanMetres),
    ],
    missing: [
      ...undecided(judging, weighed),
      ...unread({ state, readings }, by.stick, by.procedure.leastOverlapMetres),
    ],
  }
}

/**
 * A guarded decision rejects in the guard band: it has two outcomes, accepted below the acceptance limit and rejected
 * above it (ILAC-G8:09/2019 4.2). A reading in the band was measured and is good for what it shows, so neither
 * `incomplete` nor `invalid` would be true of it. Whoever chose the guarded rule chose that it fails.
 */
function notConforming({ reading, state, limit }: Weighed, rule: DecisionRule): Reason[] {
  if (limit === undefined) return []
  const { leakageMicroamps } = reading
  const found = standing(leakageMicroamps, limit, rule)
  if (found === 'conforms') return []

  const asked = {
    microamps: leakageMicroamps,
    comparison: rule.procedure.comparison,
    limit: limit.microamps,
    source: limit.source,
  }
  if (found === 'over limit') {
    return [reasonOnReading(state, reading, { code: 'reading-over-limit', says: { is: 'over the limit', ...asked } })]
  }
  const percent = rule.expandedUncertaintyPercent ?? 0 // there is no guard band without one
  const says = { is: 'in the guard band' as const, ...asked, percent }
  return [reasonOnReading(state, reading, { code: 'reading-in-guard-band', says })]
}

/** Reasons that keep readings from being decided at all. */
function undecided({ state, by }: Judging, weighed: readonly Weighed[]): Reason[] {
  const limit = weighed[0]?.limit
  const { construction, diameterMillimetres } = by.stick
  const { instrumentSpanMetres: span, instrumentKilovolts: kilovolts, instrumentHertz: hertz } = by
  const applied = appliedInWords({ kilovolts, hertz })
  const stick = { construction, diameter: diameterMillimetres, over: span }
  const noLimit =
    applied === ''
      ? { is: 'no limit' as const, ...stick }
      : { is: 'no limit for what is applied too' as const, ...stick, applied }
  const inDoubt = stricterInDoubt(state, by)
  const exceeds = ({ reading }: Weighed, doubtful: Limit) =>
    standing(reading.leakageMicroamps, doubtful, by) !== 'conforms'
  return [
    ...(limit === undefined && inDoubt === undefined ? [reasonAt({ state }, 'no-limit-covers', noLimit)] : []),
    ...(inDoubt !== undefined && (limit === undefined || weighed.some((one) => exceeds(one, inDoubt)))
      ? [reasonAt({ state }, 'no-limit-covers', unknownApplied(inDoubt))]
      : []),
    ...(by.procedure.decision === 'guarded' && by.expandedUncertaintyPercent === undefined
      ? [reasonAt({ state }, 'uncertainty-missing', { is: 'uncertainty missing' })]
      : []),
  ]
}

function unknownApplied({ microamps, source, ...applied }: Limit): NonNullable<Reason['says']> {
  const is = 'limit for what is not known to be applied'
  return { is, limit: microamps, source, applied: appliedInWords(applied) }
}

/** The signs of the units are the same in every language. */
function appliedInWords({ kilovolts, hertz }: Pick<Limit, 'kilovolts' | 'hertz'>): string {
  return [kilovolts && `${kilovolts} kV`, hertz && `${hertz} Hz`].filter((one) => one).join(', ')
}

/**
 * Checks with a known piece tell of an instrument that reads leakage current, so they are not asked of this method.
 * Water and appearance are judged where the test records them. A laboratory's rain is not a bench's mist.
 */
function judgeWithstand(judging: Judging, rows: readonly Withstand[]): Findings {
  const { state, test, by, soundSession } = judging
  const session = soundSession && surfaceIsRight(judging)
  const failures = rows.filter((row) => row.outcome !== 'withstood')
  const stands = (row: Withstand) => session || leavesDamage(row)
  return {
    failed: failures.filter(stands).map((row) => failureOf(state, row)),
    unproven: failures.filter((row) => !stands(row)).map((row) => failureOf(state, row)),
    doubted: [],
    missing: unshown(state, rows, { ...by, reason: test.reason }),
  }
}

function worstOf(weighed: readonly Weighed[], stick: Stick): WorstReading | null {
  const trusted = weighed.filter((one) => one.trusted)
  const candidates = trusted.length > 0 ? trusted : weighed
  const compare = compareSeverity(stick)
  const worst = candidates.reduce<Weighed | undefined>((so, one) => (so && compare(so, one) <= 0 ? so : one), undefined)
  if (worst === undefined) return null
  const { reading, state } = worst
  return {
    state,
    ...(reading.section === undefined ? {} : { section: reading.section }),
    quarterTurn: reading.quarterTurn,
    fromMetres: reading.fromMetres,
    toMetres: reading.toMetres,
    leakageMicroamps: reading.leakageMicroamps,
  }
}

/**
 * The larger share of its limit makes a reading worse, for 9 µA dry may be worse than 12 µA wet. Without a limit the
 * reading alone decides.
 */
function compareSeverity(stick: Stick): (one: Weighed, other: Weighed) => number {
  const byPlace = comparePlaces(stick)
  const share = ({ reading, limit }: Weighed) => (limit === undefined ? 0 : reading.leakageMicroamps / limit.microamps)
  return (one, other) =>
    share(other) - share(one) ||
    other.reading.leakageMicroamps - one.reading.leakageMicroamps ||
    byPlace(placeOfWeighed(one), placeOfWeighed(other))
}

function placeOfWeighed({ state, reading }: Weighed): Place {
  return placeOf(state, reading)
}

function compareReasons(stick: Stick): (one: Reason, other: Reason) => number {
  const byPlace = comparePlaces(stick)
  return (one, other) =>
    byPlace(one, other) || compareText(one.code, other.code) || compareText(contentOf(one), contentOf(other))
}
