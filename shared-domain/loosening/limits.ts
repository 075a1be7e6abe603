/**
 * Limits, and where they hold. Of all limits that cover a stick the strictest holds. A limit beside a stricter one
 * therefore changes nothing, and nor does one that is split along the diameter where its parts cover as much.
 */
import { isInBand, millimetres } from '../quantities.ts'
import type { Limit } from '../registers.ts'
import type { Pair, Way } from './way.ts'

type Limits = Pair<readonly Limit[]>

type Band = readonly [from: number, to: number]

const allDiameters: Band = [0, Number.POSITIVE_INFINITY]
export const bandOf = ({ diameterMillimetres }: Pick<Limit, 'diameterMillimetres'>): Band =>
  diameterMillimetres ?? allDiameters

/** Tells whether one of the others holds wherever `limit` does, whatever is in doubt of the instrument. */
function isCoveredBy(limit: Limit, others: readonly Limit[]): boolean {
  return isFilled(bandOf(limit), others.filter((other) => isAsWide(other, limit)).map(bandOf))
}

/** Tells whether `other` holds wherever `limit` does, diameters aside. */
function isAsWide(other: Limit, limit: Limit): boolean {
  return (
    other.construction === limit.construction &&
    other.state === limit.state &&
    (other.spanMetres === undefined || isSameSpan(other.spanMetres, limit.spanMetres)) &&
    (other.kilovolts === undefined || other.kilovolts === limit.kilovolts) &&
    (other.hertz === undefined || other.hertz === limit.hertz)
  )
}

function isSameSpan(one: number, other: number | undefined): boolean {
  return other !== undefined && millimetres(one) === millimetres(other)
}

function isFilled([from, to]: Band, bands: readonly Band[]): boolean {
  let reached = from
  let isReached = false
  for (const [start, end] of [...bands].sort(([a], [b]) => a - b)) {
    if (start > reached) break
    if (end < reached) continue
    isReached = true
    reached = end
  }
  return isReached && reached >= to
}

/** Tells whether a stick and an instrument can be such that both limits hold. */
export function canMeet(one: Limit, other: Limit): boolean {
  const [a, b] = [bandOf(one), bandOf(other)]
  return (
    one.construction === other.construction &&
    one.state === other.state &&
    (isInBand(a[0], [b[0], b[1]]) || isInBand(b[0], [a[0], a[1]])) &&
    (one.spanMetres === undefined || other.spanMetres === undefined || isSameSpan(one.spanMetres, other.spanMetres)) &&
    areAlike(one.kilovolts, other.kilovolts) &&
    areAlike(one.hertz, other.hertz)
  )
}

const areAlike = (one: number | undefined, other: number | undefined) =>
  one === undefined || other === undefined || one === other

const told = ({ construction, state, microamps, source }: Limit) => ({ construction, state, microamps, source })

export const waysOfLimits = (edit: Limits): Way[] => [...looser(edit), ...added(edit)]

/** A limit that there was loosens where none as strict holds any more. */
function looser({ before, after }: Limits): Way[] {
  return before.flatMap((was): Way[] => {
    const asStrict = after.filter((is) => is.microamps <= was.microamps)
    if (isCoveredBy(was, asStrict)) return []
    const now = after.find((is) => is.microamps > was.microamps && canMeet(is, was))
    if (now === undefined) return [{ code: 'limit-taken-away', says: { is: 'limit taken away', ...told(was) } }]
    return [{ code: 'limit-raised', says: { is: 'limit raised', ...told(was), to: now.microamps } }]
  })
}

/** A limit where the procedure had none loosens: a test could not pass without it. */
function added({ before, after }: Limits): Way[] {
  return after.flatMap((is, i) => {
    if (isCoveredBy(is, before)) return []
    return [{ code: 'limit-added', says: { is: 'limit added', ...told(is) }, pointer: `/limits/${i}` }]
  })
}

interface Raised extends ReturnType<typeof told> {
  readonly to: number
}

/** Raised limits, where the old limit and the new one both hold. */
export function higherWhereBothHold({ before, after }: Limits): Raised[] {
  return before.flatMap((was) => {
    const higher = after.find((is) => is.microamps > was.microamps && canMeet(is, was))
    if (
      higher === undefined ||
      isCoveredBy(
        was,
        after.filter((is) => is.microamps <= was.microamps),
      )
    )
      return []
    return [{ ...told(was), to: higher.microamps }]
  })
}
