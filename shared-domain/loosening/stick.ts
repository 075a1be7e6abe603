/**
 * The ways in which an edit of a stick's entry loosens. An edit that changes what the stick's test proved holds the
 * stick until it is tested, which is the opposite. An edit back to what was tested lifts that hold, and so loosens.
 */

import type { CalendarDate } from '../calendar.ts'
import type { Requirement } from '../policy/requirement.ts'
import { isInBand, millimetres } from '../quantities.ts'
import type { Procedure, Stick } from '../registers.ts'
import { bandOf, waysOfLimits } from './limits.ts'
import { type Dated, type FieldRow, never, type Pair, row, type Way, waysBy } from './way.ts'

export interface Surroundings {
  readonly requirements: readonly Requirement[]
  readonly procedures: readonly Procedure[]
  /** every edition of the entry so far */
  readonly earlier: readonly Dated<Stick>[]
}

export function waysOfStick(edit: Pair<Stick>, known: Surroundings): readonly Way[] {
  return waysBy(fieldsAmong(known), edit)
}

const fieldsAmong = ({
  requirements,
  procedures,
  earlier,
}: Surroundings): { readonly [field in keyof Stick]-?: FieldRow<Stick> } => {
  const wasOnce = (test: (stick: Stick) => boolean) => earlier.some(({ body }) => test(body))
  return {
    construction: row(
      'construction-changed',
      ({ before, after }) => before.construction !== after.construction,
      ({ before, after }) =>
        `It is ${after.construction} instead of ${before.construction}: other rules and limits hold.`,
    ),
    workingLengthMetres: row(
      'working-length-shortened',
      ({ before, after }) => millimetres(after.workingLengthMetres) < millimetres(before.workingLengthMetres),
      ({ before, after }) =>
        `Its working length goes from ${before.workingLengthMetres} m to ${after.workingLengthMetres} m: less of it is tested.`,
    ),
    diameterMillimetres: row(
      'diameter-changed',
      ({ before, after }) =>
        before.diameterMillimetres !== after.diameterMillimetres &&
        (wasOnce((stick) => stick.diameterMillimetres === after.diameterMillimetres) ||
          procedures.some((one) => isHeldToHigherLimit({ before, after }, one))),
      ({ before, after }) =>
        `Its diameter goes from ${before.diameterMillimetres} mm to ${after.diameterMillimetres} mm: another limit may hold, or what was tested counts again.`,
    ),
    primaryProtection: row(
      'primary-protection-taken-off',
      ({ before, after }) => before.primaryProtection && !after.primaryProtection,
      () =>
        'It is not relied on for primary employee protection any more: what the law asks of such sticks is not asked of it.',
    ),
    // a change of crew moves the stick, by the rule for moves
    crewId: never,
    // a different lot is another stick, which is held; a former lot can be the one that was tested
    lot: row(
      'lot-named-again',
      ({ before, after }) =>
        after.lot !== undefined && after.lot !== before.lot && wasOnce(({ lot }) => lot === after.lot),
      ({ after }) => `Its lot is ${after.lot} again: what was tested may count again.`,
    ),
    lineKilovolts: row(
      'line-voltage-lowered',
      ({ before, after }) =>
        isLower(after, before) &&
        (procedures.some((one) => asksByLine(one, after)) || wasOnce((stick) => isLower(stick, before))),
      ({ before, after }) =>
        `The line voltage it is used on goes from ${lineInWords(before)} to ${lineInWords(after)}: a lower voltage may be asked of it.`,
    ),
    inServiceSince: (edit) =>
      [
        row<Stick>(
          'put-into-service-earlier',
          ({ before, after }) =>
            requirements.some(
              ({ appliesTo: { inServiceFrom } }) =>
                isPassedBy(after, inServiceFrom) && !isPassedBy(before, inServiceFrom),
            ),
          ({ before, after }) =>
            `It was put into service on ${after.inServiceSince} instead of ${before.inServiceSince ?? 'a day not known'}: a rule for newer sticks does not bind it.`,
        ),
        row<Stick>(
          'first-day-named-again',
          ({ before, after: { inServiceSince: is } }) =>
            is !== undefined && is !== before.inServiceSince && wasOnce(({ inServiceSince }) => inServiceSince === is),
          ({ after }) => `Its first day of service is ${after.inServiceSince} again: what was tested may count again.`,
        ),
      ].flatMap((one) => one(edit)),
    sections: row(
      'sections-changed',
      ({ before, after }) =>
        !isSame(before, after) && (!areLonger(before, after) || wasOnce((stick) => isSame(stick, after))),
      () => 'Its sections are others: less of it may be read, or what was tested counts again.',
    ),
    sameStick: row(
      'same-stick',
      ({ before, after }) => after.sameStick === true && (!before.sameStick || isNamedOtherwise({ before, after })),
      () =>
        'It is said to be the stick that was tested, under another lot or first day of service: its tests count again.',
    ),
    effectiveFrom: never,
  }
}

const isNamedOtherwise = ({ before, after }: Pair<Stick>) =>
  after.lot !== before.lot || after.inServiceSince !== before.inServiceSince

/** A stick whose line voltage is not known may be used on any line. */
const lineOf = ({ lineKilovolts = Number.POSITIVE_INFINITY }: Stick) => lineKilovolts
const isLower = (one: Stick, other: Stick) => lineOf(one) < lineOf(other)
const lineInWords = ({ lineKilovolts }: Stick) => (lineKilovolts === undefined ? 'unknown' : `${lineKilovolts} kV`)

function asksByLine({ withstand = [] }: Procedure, { construction }: Stick): boolean {
  return withstand.some(
    (one) => one.construction === construction && (one.lineKilovolts !== undefined || 'times' in one.voltage),
  )
}

/** A rule for sticks from some day on does not bind a stick put into service before. */
function isPassedBy({ inServiceSince }: Stick, from: CalendarDate | undefined): boolean {
  return inServiceSince !== undefined && from !== undefined && inServiceSince < from
}

const lengths = ({ sections = [] }: Stick) =>
  sections.map(({ name, lengthMetres }) => ({ name, length: millimetres(lengthMetres) }))
const isSame = (one: Stick, other: Stick) => JSON.stringify(lengths(one)) === JSON.stringify(lengths(other))

/**
 * Tells whether the sections are the same, each as long or longer, and made up the whole stick already: then more is
 * read.
 */
function areLonger(before: Stick, after: Stick): boolean {
  const [were, are] = [lengths(before), lengths(after)]
  const together = were.reduce((sum, { length }) => sum + length, 0)
  return (
    were.length > 0 &&
    together >= millimetres(before.workingLengthMetres) &&
    were.length === are.length &&
    were.every(({ name, length }, i) => are[i]?.name === name && (are[i]?.length ?? 0) >= length)
  )
}

/** Compares the limits that a procedure has for the one diameter and for the other. */
function isHeldToHigherLimit({ before, after }: Pair<Stick>, { limits }: Procedure): boolean {
  const holding = ({ construction, diameterMillimetres }: Stick) =>
    limits
      .filter((limit) => limit.construction === construction && isInBand(diameterMillimetres, bandOf(limit)))
      .map(({ diameterMillimetres: _, ...limit }) => limit)
  return waysOfLimits({ before: holding(before), after: holding(after) }).length > 0
}
