/** Faults that make measurements prove nothing: instrument, checks, water, appearance, a reading not at rest. */
import { addDays, addMonths, type CalendarDate } from '../calendar.ts'
import { roundingOfFeet } from '../feet.ts'
import type { CalibrationCap } from '../policy/rule-pack.ts'
import { millimetres } from '../quantities.ts'
import type { Reason } from '../reason.ts'
import type { Procedure } from '../registers.ts'
import type { SurfaceState } from '../words.ts'
import type { BenchTest, Reading } from './bench-test.ts'
import { compareText, reasonAt, reasonOnReading } from './places.ts'

export interface CalibrationPeriod {
  readonly calibratedOn: CalendarDate
  readonly calibrationDueOn: CalendarDate
}

type Check = BenchTest['instrumentChecks'][number]
type ExpectedCheck = Procedure['checks'][number]

/**
 * The instrument is usable through the day its calibration falls due (UFC 3-560-01 5-5.1.2). A rule may end every
 * calibration sooner (5-5.1.1: at most every 12 months).
 */
export function calibrationDoubts(
  test: BenchTest,
  certified: readonly CalibrationPeriod[],
  cap?: CalibrationCap,
): Reason[] {
  const day = test.testedOn
  const begun = certified.filter(({ calibratedOn }) => calibratedOn <= day)
  const periods = certified.map((period) => ({
    ...period,
    calibrationDueOn: endOf(period, begun.includes(period) ? cap : undefined),
  }))
  if (periods.some((period) => period.calibratedOn <= day && day <= period.calibrationDueOn)) return []
  const known = [...periods]
    .sort((one, other) => compareText(one.calibratedOn, other.calibratedOn))
    .map((period) => `${period.calibratedOn}/${period.calibrationDueOn}`)
  const code = 'instrument-out-of-calibration'
  if (known.length === 0) return [{ code, says: { is: 'never calibrated', on: day } }]
  const said = { on: day, periods: known.join(' ') }
  if (cap === undefined || !begun.some((one) => endOf(one, cap) < one.calibrationDueOn))
    return [{ code, says: { is: 'out of calibration', ...said } }]
  return [{ code, says: { is: 'out of calibration by a rule', ...said, months: cap.months, source: cap.cited } }]
}

/**
 * The last day through which the instrument stays usable without a gap from `day` on, or else the last day on which it
 * was usable. Null where no calibration is recorded by then.
 */
export function calibratedThrough(
  certified: readonly CalibrationPeriod[],
  day: CalendarDate,
  cap?: CalibrationCap,
): CalendarDate | null {
  const ordered = [...certified].sort((a, b) => compareText(a.calibratedOn, b.calibratedOn))
  return ordered.reduce<CalendarDate | null>((through, one) => {
    const end = endOf(one, cap)
    const goesOn =
      one.calibratedOn <= day || (through !== null && through >= day && one.calibratedOn <= addDays(through, 1))
    return goesOn && (through === null || end > through) ? end : through
  }, null)
}

function endOf({ calibratedOn, calibrationDueOn }: CalibrationPeriod, cap: CalibrationCap | undefined): CalendarDate {
  const most = cap === undefined ? calibrationDueOn : addMonths(calibratedOn, cap.months)
  return most < calibrationDueOn ? most : calibrationDueOn
}

/**
 * The instrument is checked before the first reading, and for dry and wet separately. It reads near nothing with its
 * opening empty, and near full scale with a known check piece. A session without both proves nothing (common practice).
 * A state for which the procedure states no check reading is in doubt too: there is nothing to tell a good instrument
 * by. Checks made afterwards are held to the same figures.
 */
export function checkDoubts(state: SurfaceState, test: BenchTest, procedure: Procedure): Reason[] {
  const expected = procedure.checks.filter((check) => check.state === state)
  if (expected.length === 0) {
    return [reasonAt({ state }, 'check-missing', { is: 'no check stated' })]
  }
  const taken = test.instrumentChecks.filter((check) => check.state === state)
  return expected.flatMap((piece) =>
    pieceDoubts(
      piece,
      taken.filter((check) => isNearest(piece, check, expected)),
    ),
  )
}

function pieceDoubts(piece: ExpectedCheck, taken: readonly Check[]): Reason[] {
  const asked = piece.afterToo ? (['before', 'after'] as const) : (['before'] as const)
  const missing = asked.filter((when) => !taken.some((check) => check.when === when))
  return [...missing.map((when) => notTaken(piece, when)), ...taken.flatMap((check) => outOfTolerance(piece, check))]
}

function notTaken({ state, expectedMicroamps }: ExpectedCheck, when: Check['when']): Reason {
  const is = when === 'before' ? 'no check before' : 'no check after'
  return reasonAt({ state }, 'check-missing', { is, expected: expectedMicroamps })
}

/**
 * A check belongs to the piece whose figure it is nearest to, where a procedure has several check pieces for a state.
 */
function isNearest(piece: ExpectedCheck, check: Check, expected: readonly ExpectedCheck[]): boolean {
  const away = (one: ExpectedCheck) => Math.abs(check.checkMicroamps - one.expectedMicroamps)
  return expected.every((other) => away(piece) <= away(other))
}

export function readsTrue(
  { expectedMicroamps, tolerancePercent }: ExpectedCheck,
  { checkMicroamps }: Pick<Check, 'checkMicroamps'>,
): boolean {
  // a hair of 1e-9 of the expected figure: 1.21 is within 10 % of 1.1, though binary fractions put it 1e-16 outside
  return Math.abs(checkMicroamps - expectedMicroamps) * 100 <= expectedMicroamps * (tolerancePercent + 1e-7)
}

function outOfTolerance(piece: ExpectedCheck, check: Check): Reason[] {
  const { state, expectedMicroamps, tolerancePercent, openAtMostMicroamps } = piece
  const code = 'check-out-of-tolerance'
  const { when } = check
  const expected = { expected: expectedMicroamps, percent: tolerancePercent }
  const closed = { is: 'check out of tolerance' as const, read: check.checkMicroamps, when, ...expected }
  const open = {
    is: 'empty instrument out of tolerance' as const,
    read: check.openMicroamps,
    when,
    most: openAtMostMicroamps,
  }
  return [
    ...(readsTrue(piece, check) ? [] : [reasonAt({ state }, code, closed)]),
    ...(check.openMicroamps <= openAtMostMicroamps ? [] : [reasonAt({ state }, code, open)]),
  ]
}

export const notShownAlive = 'instrument-not-shown-alive'

/** The house's own figure: over fewer places a sound stick may well read the same in both states. */
const fewestAlike = 8

/**
 * A sound stick passes a small capacitive current everywhere, and more when wet (common practice). An instrument that
 * is off, unplugged or stuck shows nought at every place, or one figure at every place of both states. A check before
 * the session does not tell whether the instrument lived through it; one after the last reading does.
 */
export function aliveDoubts(state: SurfaceState, test: BenchTest, procedure: Procedure): Reason[] {
  const seen = unmoving(state, test)
  if (seen === null || shownAlive(state, test, procedure)) return []
  return [reasonAt({ state }, notShownAlive, seen)]
}

/** A first wet pass that was dried and repeated is no reading of the test, and shows nothing of the repeat. */
function unmoving(state: SurfaceState, { dry, wet }: BenchTest): NonNullable<Reason['says']> | null {
  const readings = { dry: dry?.readings ?? [], wet: wet?.readings ?? [] }
  const [first] = readings[state]
  if (first === undefined) return null
  const { leakageMicroamps } = first
  const isAlike = (one: Reading) => one.leakageMicroamps === leakageMicroamps
  if (leakageMicroamps === 0 && readings[state].every(isAlike)) return { is: 'all nought' }
  if (readings.dry.length === 0 || readings.wet.length === 0) return null
  if (readings.dry.length + readings.wet.length < fewestAlike) return null
  if (!readings.dry.every(isAlike) || !readings.wet.every(isAlike)) return null
  return { is: 'all alike', figure: leakageMicroamps }
}

/**
 * A check that reads the same with the check piece in and without it tells nothing, however wide the procedure's bounds
 * are.
 */
function shownAlive(state: SurfaceState, { instrumentChecks }: BenchTest, procedure: Procedure): boolean {
  const expected = procedure.checks.filter((piece) => piece.state === state)
  return instrumentChecks.some(
    (check) =>
      check.state === state &&
      check.when === 'after' &&
      check.checkMicroamps > check.openMicroamps &&
      expected.some(
        (piece) =>
          isNearest(piece, check, expected) &&
          readsTrue(piece, check) &&
          check.openMicroamps <= piece.openAtMostMicroamps,
      ),
  )
}

const climate = {
  celsius: { outside: 'temperature outside', missing: 'temperature missing' },
  relativeHumidityPercent: { outside: 'humidity outside', missing: 'humidity missing' },
} as const
const climateNames = ['celsius', 'relativeHumidityPercent'] as const

/** The windows are the procedure's own: room and moisture move what a good stick reads, and no rule gives them. */
export function ambientDoubts({ ambient }: BenchTest, { ambient: windows }: Procedure): Reason[] {
  return climateNames.flatMap((what) => {
    const window = windows?.[what]
    const came = ambient?.[what]
    if (window === undefined || came === undefined || (window[0] <= came && came <= window[1])) return []
    const says = { is: climate[what].outside, came, from: window[0], to: window[1] }
    return [{ code: 'ambient-outside-window', says }]
  })
}

export function ambientMissing({ ambient }: BenchTest, { ambient: windows }: Procedure): Reason[] {
  return climateNames.flatMap((what) => {
    if (windows?.[what] === undefined || ambient !== undefined) return []
    return [{ code: 'ambient-missing', says: { is: climate[what].missing } }]
  })
}

export function conductivityMissing({ wet }: BenchTest, procedure: Procedure): Reason[] {
  const most = procedure.waterConductivityAtMostMicrosiemensPerCm
  if (wet === undefined || most === undefined || wet.conductivityMicrosiemensPerCm !== undefined) return []
  return [reasonAt({ state: 'wet' }, 'conductivity-missing', { is: 'conductivity missing', most })]
}

/**
 * Mist is distilled or demineralised water (common practice). A film or a line of drops underneath means too much water
 * or a lost finish, and readings high for that reason alone (UFC 3-560-01 5-4.12.3).
 */
export function wetDoubts({ wet }: BenchTest, procedure: Procedure): Reason[] {
  if (wet === undefined) return []
  const state = 'wet'
  const { water, appearance } = wet
  const conducts = wet.conductivityMicrosiemensPerCm ?? 0
  const most = procedure.waterConductivityAtMostMicrosiemensPerCm ?? Number.POSITIVE_INFINITY
  const waterIsRight = water === 'distilled' || water === 'demineralised'
  return [
    ...(waterIsRight ? [] : [reasonAt({ state }, 'water-not-allowed', { is: 'water not allowed', water })]),
    ...(conducts <= most
      ? []
      : [reasonAt({ state }, 'conductivity-too-high', { is: 'conductivity too high', came: conducts, most })]),
    ...(appearance === 'beads' ? [] : [reasonAt({ state }, 'wet-appearance', { is: 'wet appearance', appearance })]),
  ]
}

/**
 * A wet reading counts only once it has come to rest (common practice), and that has to be on record. A dry reading
 * need not say so, but one recorded as not settled is no reading either.
 */
export function isSettled(state: SurfaceState, reading: Reading): boolean {
  return state === 'wet' ? reading.settled === true : reading.settled !== false
}

/** The instrument measures nothing beyond its span: a longer reading names a place that nobody read. */
export function isWithinSpan({ fromMetres, toMetres }: Reading, spanMetres: number): boolean {
  return millimetres(toMetres) - millimetres(fromMetres) <= millimetres(spanMetres) * (1 + roundingOfFeet) + 1
}

export function spanDoubts(state: SurfaceState, readings: readonly Reading[], spanMetres: number): Reason[] {
  const says = { is: 'reading longer than the span' as const, span: spanMetres }
  return readings
    .filter((row) => !isWithinSpan(row, spanMetres))
    .map((row) => reasonOnReading(state, row, { code: 'reading-longer-than-span', says }))
}

export function settledDoubts(state: SurfaceState, readings: readonly Reading[]): Reason[] {
  const says = { is: 'not settled' as const }
  return readings
    .filter((row) => !isSettled(state, row))
    .map((row) => reasonOnReading(state, row, { code: 'reading-not-settled', says }))
}
