/**
 * The ways in which an edit of an instrument loosens. Calibration periods add up, so that a period recorded shorter
 * again takes none away.
 */
import { addMonths } from '../calendar.ts'
import { canonical } from '../canonical.ts'
import type { Instrument } from '../registers.ts'
import { type Dated, type FieldRow, type Milder, never, type Pair, row, type Way, waysBy } from './way.ts'

/** An edition of an instrument among all there are. */
interface AmongEditions {
  readonly before: readonly Dated<Instrument>[]
  readonly after: Dated<Instrument>
}

export function waysOfInstrument(pair: Pair<Instrument>, { before, after }: AmongEditions): readonly Way[] {
  const recorded = before.map(({ body }) => body)
  const ways = [...waysBy(fields, pair), ...lengthened(after.body, recorded)]
  const others = isOfNewCertificate(after, recorded) ? ways.filter(({ pointer }) => pointer !== uncertainty) : ways
  return [...others, ...foundOut(after.body)]
}

const uncertainty = '/expandedUncertaintyPercent'

/**
 * An edition brings the uncertainty of a new certificate only if its calibration is no later than the day from which it
 * counts, and later than every calibration recorded.
 */
function isOfNewCertificate({ effectiveFrom, body }: Dated<Instrument>, recorded: readonly Instrument[]): boolean {
  const { calibratedOn } = body
  return calibratedOn <= effectiveFrom && recorded.every((one) => one.calibratedOn < calibratedOn)
}

const fields: { readonly [field in keyof Instrument]-?: FieldRow<Instrument> } = {
  spanMetres: row(
    'span-changed',
    ({ before, after }) => before.spanMetres !== after.spanMetres,
    ({ before, after }) => ({ is: 'span changed', from: before.spanMetres, to: after.spanMetres }),
  ),
  // calibration periods are compared all at once, in `lengthened`
  calibratedOn: never,
  calibrationDueOn: never,
  expandedUncertaintyPercent: row(
    'uncertainty-lessened',
    ({ before: { expandedUncertaintyPercent: was }, after: { expandedUncertaintyPercent: is } }) =>
      // a missing uncertainty keeps a guarded decision from passing anything
      was === undefined ? is !== undefined : is === undefined || is < was,
    ({ before: { expandedUncertaintyPercent: from }, after: { expandedUncertaintyPercent: to } }) =>
      changed('uncertainty', from, to),
  ),
  kilovolts: applied('kilovolts', 'voltage'),
  hertz: applied('hertz', 'frequency'),
  foundOutOfTolerance: row(
    'in-tolerance-after-all',
    ({ before, after }) =>
      before.calibratedOn === after.calibratedOn && before.foundOutOfTolerance === true && !after.foundOutOfTolerance,
    ({ after }) => ({ is: 'in tolerance after all', on: after.calibratedOn }),
  ),
  // the error on record says which verdicts are looked at again: another figure could leave some out
  foundError: row(
    'found-error-changed',
    ({ before, after }) =>
      before.calibratedOn === after.calibratedOn &&
      after.foundOutOfTolerance === true &&
      before.foundError !== undefined &&
      canonical(before.foundError) !== canonical(after.foundError ?? null),
    ({ after }) => ({ is: 'found error changed', on: after.calibratedOn }),
  ),
  certificate: never,
  laboratory: never,
  effectiveFrom: never,
}

/** A figure is not known where nobody filled it in. */
function changed(
  what: 'uncertainty' | 'voltage' | 'frequency',
  from: number | undefined,
  to: number | undefined,
): Milder {
  if (to === undefined) return { is: `${what} left out`, from: from ?? 0 }
  return from === undefined ? { is: `${what} filled in`, to } : { is: `${what} changed`, from, to }
}

/**
 * Limits stated for one figure do not hold for another; where the figure is not known, it is in doubt whether they
 * hold.
 */
function applied(what: 'kilovolts' | 'hertz', name: 'voltage' | 'frequency'): FieldRow<Instrument> {
  return row(
    `${what}-changed`,
    ({ before, after }) => before[what] !== after[what],
    ({ before, after }) => changed(name, before[what], after[what]),
  )
}

/**
 * Tests since the calibration before may have passed by what the instrument read wrong: a period that begins anew takes
 * two.
 */
function foundOut({ foundOutOfTolerance, calibratedOn }: Instrument): Way[] {
  if (!foundOutOfTolerance) return []
  const says: Milder = { is: 'found out of tolerance', on: calibratedOn }
  return [{ code: 'found-out-of-tolerance', says, pointer: '/foundOutOfTolerance' }]
}

const mostMonthsOfNew = 36

/**
 * A period that begins on another day than all recorded ones is a new calibration. Anybody who may enter it enters it
 * alone, unless it is too long.
 */
function lengthened({ calibratedOn, calibrationDueOn }: Instrument, recorded: readonly Instrument[]): Way[] {
  const until = recorded
    .filter((one) => one.calibratedOn === calibratedOn)
    .map((one) => one.calibrationDueOn)
    .sort()
    .at(-1)
  const pointer = '/calibrationDueOn'
  const lasts = { on: calibratedOn, to: calibrationDueOn }
  if (until === undefined) {
    if (calibrationDueOn <= addMonths(calibratedOn, mostMonthsOfNew)) return []
    const says: Milder = { is: 'calibration too long', ...lasts, months: mostMonthsOfNew }
    return [{ code: 'calibration-too-long', says, pointer }]
  }
  if (calibrationDueOn <= until) return []
  return [{ code: 'calibration-lengthened', says: { is: 'calibration lengthened', ...lasts, from: until }, pointer }]
}
