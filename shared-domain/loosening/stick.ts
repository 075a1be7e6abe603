/**
 * The ways in which an edit of a stick's entry loosens. An edit that changes what the stick's test proved holds the
 * stick until it is tested, which is the opposite. An edit back to what was tested lifts that hold, and so loosens.
 */

import type { CalendarDate } from '../calendar.ts'
import type { Requirement } from '../policy/requirement.ts'
import { isInBand, millimetres } from '../quantities.ts'
import type { Procedure, Stick } from '../registers.ts'
import { bandOf, waysOfLimits } from './limits.ts'
import { type Dated, type FieldRow, type Milder, never, type Pair, row, type Way, waysBy } from './way.ts'

export interface Surroundings {
  readonly requirements: readonly Requirement[]
  readonly procedures: readonly Procedure[]
  /** every edition of the entry so far */
  readonly earlier: readonly Dated<Stick>[]
}

export function waysOfStick(edit: Pair<Stick>, known: Surroundings): readonly Way[] {
  return waysBy(fieldsAmong(known), edit)
}

type Rows = { readonly [field in keyof Stick]-?: FieldRow<Stick> }

const fieldsAmong = (known: Surroundings): Rows => ({
  construction,
  workingLengthMetres,
  diameterMillimetres: diameterAmong(known),
  primaryProtection,
  // a change of crew moves the stick, by the rule for moves
  crewId: never,
  // a different lot is another stick, which is held; a former lot can be the one that was tested
  lot: ({ before, after: { lot: is } }) =>
    is !== undefined && is !== before.lot && wasOnce(known, ({ lot }) => lot === is)
      ? [{ code: 'lot-named-again', says: { is: 'lot named again', lot: is } }]
      : [],
  lineKilovolts: lineAmong(known),
  inServiceSince: (edit) => waysOfFirstDay(edit, known),
  sections: row(
    'sections-changed',
    ({ before, after }) =>
      !isSame(before, after) && (!areLonger(before, after) || wasOnce(known, (stick) => isSame(stick, after))),
    () => ({ is: 'sections changed' }),
  ),
  sameStick,
  effectiveFrom: never,
})

const construction = row<Stick>(
  'construction-changed',
  ({ before, after }) => before.construction !== after.construction,
  ({ before, after }) => ({ is: 'construction changed', from: before.construction, to: after.construction }),
)

const workingLengthMetres = row<Stick>(
  'working-length-shortened',
  ({ before, after }) => millimetres(after.workingLengthMetres) < millimetres(before.workingLengthMetres),
  ({ before, after }) => ({
    is: 'working length shortened',
    from: before.workingLengthMetres,
    to: after.workingLengthMetres,
  }),
)

const primaryProtection = row<Stick>(
  'primary-protection-taken-off',
  ({ before, after }) => before.primaryProtection && !after.primaryProtection,
  () => ({ is: 'primary protection taken off' }),
)

const sameStick = row<Stick>(
  'same-stick',
  ({ before, after }) => after.sameStick === true && (!before.sameStick || isNamedOtherwise({ before, after })),
  () => ({ is: 'same stick' }),
)

const wasOnce = ({ earlier }: Surroundings, test: (stick: Stick) => boolean) => earlier.some(({ body }) => test(body))

const diameterAmong = (known: Surroundings) =>
  row<Stick>(
    'diameter-changed',
    ({ before, after }) =>
      before.diameterMillimetres !== after.diameterMillimetres &&
      (wasOnce(known, (stick) => stick.diameterMillimetres === after.diameterMillimetres) ||
        known.procedures.some((one) => isHeldToHigherLimit({ before, after }, one))),
    ({ before, after }) => ({
      is: 'diameter changed',
      from: before.diameterMillimetres,
      to: after.diameterMillimetres,
    }),
  )

const lineAmong = (known: Surroundings) =>
  row<Stick>(
    'line-voltage-lowered',
    ({ before, after }) =>
      isLower(after, before) &&
      (known.procedures.some((one) => asksByLine(one, after)) || wasOnce(known, (stick) => isLower(stick, before))),
    ({ before: { lineKilovolts: from }, after }) => {
      const to = lineOf(after)
      return from === undefined ? { is: 'line voltage filled in', to } : { is: 'line voltage lowered', from, to }
    },
  )

function waysOfFirstDay({ before, after }: Pair<Stick>, known: Surroundings): readonly Way[] {
  const [from, to] = [before.inServiceSince, after.inServiceSince]
  if (to === undefined) return []
  const isPassed = known.requirements.some(
    ({ appliesTo: { inServiceFrom } }) => isPassedBy(after, inServiceFrom) && !isPassedBy(before, inServiceFrom),
  )
  const says: Milder =
    from === undefined ? { is: 'first day filled in', to } : { is: 'put into service earlier', from, to }
  return [
    ...(isPassed ? [{ code: 'put-into-service-earlier', says }] : []),
    ...(to !== from && wasOnce(known, ({ inServiceSince }) => inServiceSince === to)
      ? [{ code: 'first-day-named-again', says: { is: 'first day named again' as const, on: to } }]
      : []),
  ]
}

const isNamedOtherwise = ({ before, after }: Pair<Stick>) =>
  after.lot !== before.lot || after.inServiceSince !== before.inServiceSince

/** A stick whose line voltage is not known may be used on any line. */
const lineOf = ({ lineKilovolts = Number.POSITIVE_INFINITY }: Stick) => lineKilovolts
const isLower = (one: Stick, other: Stick) => lineOf(one) < lineOf(other)

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
