/**
 * The ways in which an edit of a procedure loosens, and in which a new one does beside others that judge the same
 * sticks.
 */
import { millimetres } from '../quantities.ts'
import type { Procedure } from '../registers.ts'
import { type SurfaceState, surfaceStates } from '../words.ts'
import { canMeet, higherWhereBothHold, waysOfLimits } from './limits.ts'
import { type FieldRow, type Milder, never, type Pair, row, type Way, waysBy } from './way.ts'
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
    return [{ code: 'sticks-not-named', says: { is: 'for all sticks' }, pointer }]
  const named = new Set(others.flatMap(({ sticks = [] }) => sticks))
  const gained = are.filter((id) => (were === undefined ? named.has(id) : !were.includes(id)))
  const lost = (were ?? []).filter((id) => !are.includes(id))
  return [
    ...(gained.length === 0 ? [] : [{ code: 'sticks-named', says: few('sticks named', gained), pointer }]),
    ...(lost.length === 0 ? [] : [{ code: 'sticks-not-named', says: few('sticks not named', lost), pointer }]),
  ]
}

const mostNamed = 5

function few(name: 'sticks named' | 'sticks not named', ids: readonly string[]): Milder {
  const sticks = ids.slice(0, mostNamed).join(', ')
  const more = ids.length - mostNamed
  return more > 0 ? { is: `${name}, and more`, sticks, more } : { is: name, sticks }
}

const fields: { readonly [field in keyof Procedure]-?: FieldRow<Procedure> } = {
  title: never,
  approvedBy: never,
  leastOverlapMetres: row(
    'overlap-lessened',
    ({ before, after }) => millimetres(after.leastOverlapMetres) < millimetres(before.leastOverlapMetres),
    (edit) => ({ is: 'overlap lessened', ...overlapOf(edit) }),
  ),
  comparison: row(
    'comparison-widened',
    ({ before, after }) => before.comparison === 'less than' && after.comparison === 'not more than',
    () => ({ is: 'comparison widened' }),
  ),
  decision: row(
    'decision-not-guarded',
    ({ before, after }) => before.decision === 'guarded' && after.decision === 'simple',
    () => ({ is: 'decision not guarded' }),
  ),
  checks: (edit) => surfaceStates.flatMap((state) => waysOfChecks(state, edit)),
  limits: ({ before, after }) => waysOfLimits({ before: before.limits, after: after.limits }),
  withstand: waysOfWithstand,
  // the named sticks are compared beside the other procedures, in `waysOfSticks`
  sticks: never,
  waterConductivityAtMostMicrosiemensPerCm: ({ before, after }) => {
    const [from, to] = [before, after].map((one) => one.waterConductivityAtMostMicrosiemensPerCm)
    if (from === undefined || (to !== undefined && to <= from)) return []
    const says: Milder =
      to === undefined ? { is: 'water ceiling dropped', from } : { is: 'water ceiling raised', from, to }
    return [{ code: 'water-ceiling-raised', says }]
  },
  ambient: ({ before, after }) =>
    quantities.flatMap((what) => {
      const [was, is] = [before.ambient?.[what], after.ambient?.[what]]
      if (was === undefined || (is !== undefined && is[0] >= was[0] && is[1] <= was[1])) return []
      const window = { wasFrom: was[0], wasTo: was[1] }
      const says: Milder =
        is === undefined
          ? { is: `${climate[what]} not asked`, ...window }
          : { is: `${climate[what]} widened`, from: is[0], to: is[1], ...window }
      return [{ code: 'ambient-widened', says, pointer: `/ambient/${what}` }]
    }),
  effectiveFrom: never,
}

const overlapOf = ({ before, after }: Pair<Procedure>) => ({
  from: before.leastOverlapMetres,
  to: after.leastOverlapMetres,
})

const quantities = ['celsius', 'relativeHumidityPercent'] as const
const climate = { celsius: 'temperature', relativeHumidityPercent: 'humidity' } as const

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
  const isKnown = ({ figure }: Piece, all: readonly Piece[]) => all.some((one) => one.figure === figure)
  if (!were.every((one) => isKnown(one, are)) || !are.every((one) => isKnown(one, were))) {
    return [{ code: 'check-figures-changed', says: otherFigures(state, were, are) }]
  }
  return were.flatMap((was) =>
    are.filter(({ figure }) => figure === was.figure).flatMap((is) => milder(state, was, is)),
  )
}

function otherFigures(state: SurfaceState, were: readonly Piece[], are: readonly Piece[]): Milder {
  const [from = '', to = ''] = [were, are].map((all) => all.map(({ figure }) => figure).join(', '))
  if (to === '') return { is: 'check figures dropped', state, from }
  return from === '' ? { is: 'check figures added', state, to } : { is: 'check figures changed', state, from, to }
}

function milder(state: SurfaceState, was: Piece, is: Piece): Way[] {
  const piece = { state, figure: was.figure }
  const [tolerances, opens] = [
    { from: was.tolerance, to: is.tolerance },
    { from: was.open, to: is.open },
  ]
  return [
    ...(is.tolerance > was.tolerance
      ? [{ code: 'tolerance-widened', says: { is: 'tolerance widened' as const, ...piece, ...tolerances } }]
      : []),
    ...(is.open > was.open
      ? [{ code: 'open-reading-raised', says: { is: 'open reading raised' as const, ...piece, ...opens } }]
      : []),
    ...(was.afterToo && !is.afterToo
      ? [{ code: 'check-after-not-asked', says: { is: 'check after not asked' as const, ...piece } }]
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
    const { title } = other
    const edit = { before: other, after: first }
    const isMilder = (field: 'leastOverlapMetres' | 'comparison' | 'decision') => fields[field](edit).length > 0
    return [
      ...higherWhereBothHold({ before: other.limits, after: first.limits }).map(
        (raised): Way => ({
          code: 'limit-raised',
          says: { is: 'beside another: limit raised', title, ...raised },
          pointer: '/limits',
        }),
      ),
      ...(isMilder('leastOverlapMetres')
        ? [
            {
              code: 'overlap-lessened',
              says: { is: 'beside another: overlap lessened' as const, title, ...overlapOf(edit) },
              pointer: '/leastOverlapMetres',
            },
          ]
        : []),
      ...(isMilder('comparison')
        ? [
            {
              code: 'comparison-widened',
              says: { is: 'beside another: comparison widened' as const, title },
              pointer: '/comparison',
            },
          ]
        : []),
      ...(isMilder('decision')
        ? [
            {
              code: 'decision-not-guarded',
              says: { is: 'beside another: decision not guarded' as const, title },
              pointer: '/decision',
            },
          ]
        : []),
      ...surfaceStates
        .filter((state) => shared.some((one) => one.state === state))
        .flatMap((state) => widerChecks(state, edit)),
    ]
  })
}

/**
 * A session may use any of its pieces: the widest tolerance of the new procedure is compared with the narrowest of the
 * other.
 */
function widerChecks(state: SurfaceState, { before, after }: Pair<Procedure>): Way[] {
  const tolerances = (one: Procedure) => piecesOf(state, one).map(({ tolerance }) => tolerance)
  const [from, to] = [Math.min(...tolerances(before)), Math.max(...tolerances(after))]
  if (to <= from || waysOfChecks(state, { before, after }).length === 0) return []
  const says: Milder = { is: 'beside another: tolerance widened', title: before.title, state, from, to }
  return [{ code: 'tolerance-widened', says, pointer: '/checks' }]
}
