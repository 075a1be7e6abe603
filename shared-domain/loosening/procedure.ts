/**
 * The ways in which an edit of a procedure loosens, and in which a new one does beside others that judge the same
 * sticks.
 */
import { millimetres } from '../quantities.ts'
import type { Procedure } from '../registers.ts'
import { type SurfaceState, surfaceStates } from '../words.ts'
import { canMeet, higherWhereBothHold, waysOfLimits } from './limits.ts'
import { type FieldRow, never, type Pair, row, type Way, waysBy } from './way.ts'
import { waysBelowRule, waysOfWithstand } from './withstand.ts'

export function waysOfProcedure(edit: Pair<Procedure>, others: readonly Procedure[]): readonly Way[] {
  return [...waysBy(fields, edit), ...waysOfSticks(edit, others)]
}

/**
 * Somebody who tests chooses among the procedures that may judge a stick: one more to choose from can be milder. A
 * procedure for all sticks that becomes one for some widens nobody's choice, except for sticks that another procedure
 * names.
 */
function waysOfSticks({ before, after }: Pair<Procedure>, others: readonly Procedure[]): Way[] {
  const [were, are = []] = [before.sticks, after.sticks]
  const pointer = '/sticks'
  if (were !== undefined && after.sticks === undefined)
    return [{ code: 'sticks-not-named', text: 'It is for all sticks, instead of those it named.', pointer }]
  const named = new Set(others.flatMap(({ sticks = [] }) => sticks))
  const gained = are.filter((id) => (were === undefined ? named.has(id) : !were.includes(id)))
  const lost = (were ?? []).filter((id) => !are.includes(id))
  return [
    ...(gained.length === 0 ? [] : [{ code: 'sticks-named', text: `It is to judge ${few(gained)} too.`, pointer }]),
    ...(lost.length === 0
      ? []
      : [{ code: 'sticks-not-named', text: `Other procedures may judge ${few(lost)} again.`, pointer }]),
  ]
}

const mostNamed = 5

function few(ids: readonly string[]): string {
  const more = ids.length - mostNamed
  return more > 0 ? `${ids.slice(0, mostNamed).join(', ')} and ${more} more` : ids.join(', ')
}

const fields: { readonly [field in keyof Procedure]-?: FieldRow<Procedure> } = {
  title: never,
  approvedBy: never,
  leastOverlapMetres: row(
    'overlap-lessened',
    ({ before, after }) => millimetres(after.leastOverlapMetres) < millimetres(before.leastOverlapMetres),
    ({ before, after }) =>
      `Readings overlap by at least ${after.leastOverlapMetres} m instead of ${before.leastOverlapMetres} m.`,
  ),
  comparison: row(
    'comparison-widened',
    ({ before, after }) => before.comparison === 'less than' && after.comparison === 'not more than',
    () => 'A reading at its limit passes, where it had to be less than that.',
  ),
  decision: row(
    'decision-not-guarded',
    ({ before, after }) => before.decision === 'guarded' && after.decision === 'simple',
    () => 'A reading within the uncertainty of its limit passes.',
  ),
  checks: (edit) => surfaceStates.flatMap((state) => waysOfChecks(state, edit)),
  limits: ({ before, after }) => waysOfLimits({ before: before.limits, after: after.limits }),
  withstand: waysOfWithstand,
  // the named sticks are compared beside the other procedures, in `waysOfSticks`
  sticks: never,
  waterConductivityAtMostMicrosiemensPerCm: row(
    'water-ceiling-raised',
    ({ before: { waterConductivityAtMostMicrosiemensPerCm: was }, after }) => isHigher(after, was),
    ({ before, after }) => `The mist may conduct ${ceilingInWords(after)}; it was ${ceilingInWords(before)}.`,
  ),
  ambient: ({ before, after }) =>
    quantities.flatMap((what) => {
      const [was, is] = [before.ambient?.[what], after.ambient?.[what]]
      if (was === undefined || (is !== undefined && is[0] >= was[0] && is[1] <= was[1])) return []
      const text = `${climate[what]} may lie ${windowInWords(is)} instead of ${windowInWords(was)}.`
      return [{ code: 'ambient-widened', text, pointer: `/ambient/${what}` }]
    }),
  effectiveFrom: never,
}

function isHigher({ waterConductivityAtMostMicrosiemensPerCm: is }: Procedure, was: number | undefined): boolean {
  return was !== undefined && (is === undefined || is > was)
}

const ceilingInWords = ({ waterConductivityAtMostMicrosiemensPerCm: most }: Procedure) =>
  most === undefined ? 'anything' : `at most ${most} µS/cm`

const quantities = ['celsius', 'relativeHumidityPercent'] as const
const climate = { celsius: 'The temperature in °C', relativeHumidityPercent: 'The relative humidity in %' } as const
const windowInWords = (window: readonly [number, number] | undefined) =>
  window === undefined ? 'anywhere' : `from ${window[0]} to ${window[1]}`

/** The demands of all check pieces that share one figure. */
interface Piece {
  readonly figure: number
  readonly tolerance: number
  readonly open: number
  readonly afterToo: boolean
}

function piecesOf(state: SurfaceState, { checks }: Procedure): Piece[] {
  const of = checks.filter((one) => one.state === state)
  return [...new Set(of.map((one) => one.expectedMicroamps))].map((figure) => {
    const sharing = of.filter((one) => one.expectedMicroamps === figure)
    return {
      figure,
      tolerance: Math.min(...sharing.map((one) => one.tolerancePercent)),
      open: Math.min(...sharing.map((one) => one.openAtMostMicroamps)),
      afterToo: sharing.some((one) => one.afterToo),
    }
  })
}

/** A check belongs to the piece whose figure it is nearest to: another piece can make a bad check good. */
function waysOfChecks(state: SurfaceState, { before, after }: Pair<Procedure>): Way[] {
  const [were, are] = [piecesOf(state, before), piecesOf(state, after)]
  const figures = (all: readonly Piece[]) =>
    all.length === 0 ? 'none' : `${all.map(({ figure }) => figure).join(', ')} µA`
  const isKnown = ({ figure }: Piece, all: readonly Piece[]) => all.some((one) => one.figure === figure)
  if (!were.every((one) => isKnown(one, are)) || !are.every((one) => isKnown(one, were))) {
    const text = `The ${state} check figures go from ${figures(were)} to ${figures(are)}.`
    return [{ code: 'check-figures-changed', text }]
  }
  return were.flatMap((was) =>
    are.filter(({ figure }) => figure === was.figure).flatMap((is) => milder(state, was, is)),
  )
}

function milder(state: SurfaceState, was: Piece, is: Piece): Way[] {
  const piece = `The ${state} check of ${was.figure} µA`
  return [
    ...(is.tolerance > was.tolerance
      ? [
          {
            code: 'tolerance-widened',
            text: `${piece} is good within ${is.tolerance} % instead of ${was.tolerance} %.`,
          },
        ]
      : []),
    ...(is.open > was.open
      ? [
          {
            code: 'open-reading-raised',
            text: `${piece} lets the empty instrument read ${is.open} µA instead of ${was.open} µA.`,
          },
        ]
      : []),
    ...(was.afterToo && !is.afterToo
      ? [{ code: 'check-after-not-asked', text: `${piece} is not asked for again after the last reading.` }]
      : []),
  ]
}

/** A figure below the rule's own takes two, also in a first entry. */
export function waysOfFirstProcedure(first: Procedure, others: readonly Procedure[]): readonly Way[] {
  return [...waysBelowRule(first), ...waysBesideOthers(first, others)]
}

/**
 * A first entry beside another procedure that judges some of the same sticks can be milder: what the other judges now
 * is judged by this one as soon as a test names it. A decision that passes more is as good as a higher limit.
 */
function waysBesideOthers(first: Procedure, others: readonly Procedure[]): readonly Way[] {
  return others.flatMap((other) => {
    const shared = first.limits.filter((is) => other.limits.some((was) => canMeet(is, was)))
    if (shared.length === 0) return []
    const states = surfaceStates.filter((state) => shared.some((one) => one.state === state))
    const { leastOverlapMetres, comparison, decision } = fields
    const edit = { before: other, after: first }
    const ways = [
      ...higherWhereBothHold({ before: other.limits, after: first.limits }),
      ...[leastOverlapMetres, comparison, decision].flatMap((one) => one(edit)),
      ...states.flatMap((state) => widerChecks(state, edit)),
    ]
    return ways.map(({ code, text, pointer = pointers[code] }) => ({
      code,
      text: `Beside the procedure “${other.title}”: ${text}`,
      ...(pointer === undefined ? {} : { pointer }),
    }))
  })
}

const pointers: { readonly [code: string]: string } = {
  'limit-raised': '/limits',
  'overlap-lessened': '/leastOverlapMetres',
  'comparison-widened': '/comparison',
  'decision-not-guarded': '/decision',
  'tolerance-widened': '/checks',
}

/**
 * A session may use any of its pieces: the widest tolerance of the new procedure is compared with the narrowest of the
 * other.
 */
function widerChecks(state: SurfaceState, { before, after }: Pair<Procedure>): Way[] {
  const tolerances = (one: Procedure) => piecesOf(state, one).map(({ tolerance }) => tolerance)
  const [narrowest, widest] = [Math.min(...tolerances(before)), Math.max(...tolerances(after))]
  if (widest <= narrowest || waysOfChecks(state, { before, after }).length === 0) return []
  const text = `A ${state} check is good within ${widest} % instead of ${narrowest} %.`
  return [{ code: 'tolerance-widened', text }]
}
