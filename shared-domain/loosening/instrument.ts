/**
 * The ways in which an edit of an instrument loosens. Calibration periods add up, so that a period recorded shorter
 * again takes none away.
 */
import { addMonths } from '../calendar.ts'
import type { Instrument } from '../registers.ts'
import { type Dated, type FieldRow, never, type Pair, row, type Way, waysBy } from './way.ts'

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
    ({ before, after }) =>
      `It spans ${after.spanMetres} m instead of ${before.spanMetres} m: other limits hold, and longer readings count.`,
  ),
  // calibration periods are compared all at once, in `lengthened`
  calibratedOn: never,
  calibrationDueOn: never,
  expandedUncertaintyPercent: row(
    'uncertainty-lessened',
    ({ before: { expandedUncertaintyPercent: was }, after: { expandedUncertaintyPercent: is } }) =>
      // a missing uncertainty keeps a guarded decision from passing anything
      was === undefined ? is !== undefined : is === undefined || is < was,
    ({ before, after }) =>
      `Its uncertainty goes from ${percentInWords(before)} to ${percentInWords(after)}: the guard band is another.`,
  ),
  kilovolts: applied('kilovolts', 'kV'),
  hertz: applied('hertz', 'Hz'),
  foundOutOfTolerance: row(
    'in-tolerance-after-all',
    ({ before, after }) =>
      before.calibratedOn === after.calibratedOn && before.foundOutOfTolerance === true && !after.foundOutOfTolerance,
    ({ after }) => `At the calibration of ${after.calibratedOn} it is not said to have read wrong any more.`,
  ),
  effectiveFrom: never,
}

const percentInWords = ({ expandedUncertaintyPercent: percent }: Instrument) =>
  percent === undefined ? 'unknown' : `${percent} %`

/**
 * Limits stated for one figure do not hold for another; where the figure is not known, it is in doubt whether they
 * hold.
 */
function applied(what: 'kilovolts' | 'hertz', unit: string): FieldRow<Instrument> {
  const said = (one: Instrument) => (one[what] === undefined ? 'unknown' : `${one[what]} ${unit}`)
  return row(
    `${what}-changed`,
    ({ before, after }) => before[what] !== after[what],
    ({ before, after }) => `What it applies goes from ${said(before)} to ${said(after)}: other limits hold.`,
  )
}

/**
 * Tests since the calibration before may have passed by what the instrument read wrong: a period that begins anew takes
 * two.
 */
function foundOut({ foundOutOfTolerance, calibratedOn }: Instrument): Way[] {
  if (!foundOutOfTolerance) return []
  const text = `It had read wrong when it was calibrated on ${calibratedOn}; from then on it is to count again.`
  return [{ code: 'found-out-of-tolerance', text, pointer: '/foundOutOfTolerance' }]
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
  if (until === undefined) {
    if (calibrationDueOn <= addMonths(calibratedOn, mostMonthsOfNew)) return []
    const text = `The calibration of ${calibratedOn} is to last until ${calibrationDueOn}, more than ${mostMonthsOfNew} months.`
    return [{ code: 'calibration-too-long', text, pointer }]
  }
  if (calibrationDueOn <= until) return []
  const text = `The calibration of ${calibratedOn} is to last until ${calibrationDueOn} instead of ${until}.`
  return [{ code: 'calibration-lengthened', text, pointer }]
}
