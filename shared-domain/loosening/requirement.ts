/** The ways in which a change of one requirement loosens. */

import type { Interval, Requirement } from '../policy/requirement.ts'
import { isNoLonger } from '../policy/shorter.ts'
import { type ServiceClass, serviceClasses } from '../words.ts'
import { type FieldRow, type Milder, never, type Pair, type Part, row, type Way, waysBy } from './way.ts'

export function waysOfRequirement(edit: Pair<Requirement>): Way[] {
  const { id } = edit.before
  return waysBy(fields, edit).map((way) => ({ ...way, pointer: `/requirements/${id}${way.pointer}` }))
}

const fields: { readonly [field in keyof Requirement]-?: FieldRow<Requirement> } = {
  id: never,
  words: never,
  source: never,
  evidence: ({ before, after }) => {
    const gone = before.evidence.filter((kind) => !after.evidence.includes(kind))
    if (gone.length > 0)
      return [{ code: 'evidence-dropped', says: { is: 'evidence dropped', id: before.id, kinds: gone.join(', ') } }]
    return after.evidence.length > before.evidence.length ? countedFromEarlier({ before, after }) : []
  },
  examinationOnly: ({ before, after }) => {
    const [was, is] = [before.examinationOnly ?? [], after.examinationOnly ?? []]
    const more = is.filter((one) => !was.includes(one))
    if (more.length > 0) {
      const says: Milder = { is: 'examination alone widened', id: before.id, constructions: more.join(', ') }
      return [{ code: 'examination-alone-widened', says }]
    }
    return is.length < was.length ? countedFromEarlier({ before, after }) : []
  },
  interval: ({ before, after }) => {
    const longer = serviceClasses.find((one) => isLater(endIn(one, after), endIn(one, before)))
    if (longer === undefined) return []
    const [from, to] = [endSaid(endIn(longer, before)), endSaid(endIn(longer, after))]
    return [{ code: 'interval-lengthened', says: { is: 'interval lengthened', id: before.id, use: longer, from, to } }]
  },
  // `statedBy` and `byClass` are read with the interval
  statedBy: never,
  byClass: never,
  // any change may loosen: a shorter time can end before a stick was laid by, which by a longer one lies on the shelf
  shelfMonths: row(
    'shelf-limit-changed',
    ({ before, after }) => before.shelfMonths !== undefined && before.shelfMonths !== after.shelfMonths,
    ({ before, after }) => ({
      is: 'shelf limit changed',
      id: before.id,
      from: monthsOf(before.shelfMonths),
      to: monthsOf(after.shelfMonths),
    }),
  ),
  suspendedInStorageAfterMonths: row(
    'rest-in-store-widened',
    ({ before: { suspendedInStorageAfterMonths: was }, after: { suspendedInStorageAfterMonths: is } }) =>
      is !== undefined && (was === undefined || is < was),
    ({ before, after }) => ({
      is: 'rest in store widened',
      id: before.id,
      from: monthsOf(before.suspendedInStorageAfterMonths),
      to: monthsOf(after.suspendedInStorageAfterMonths),
    }),
  ),
  // waxing is compared across requirements, since one requirement asks for all
  waxing: never,
  stops: ({ before, after }) => {
    const gone = (before.stops ?? []).filter((event) => !after.stops?.includes(event))
    if (gone.length === 0) return []
    return [{ code: 'stop-dropped', says: { is: 'stop dropped', id: before.id, events: gone.join(', ') } }]
  },
  appliesTo: ({ before: { id, appliesTo: was }, after: { appliesTo: is } }) => {
    const gone = was.constructions.filter((one) => !is.constructions.includes(one))
    const since = is.inServiceFrom
    const noMore: Milder[] = [
      ...(gone.length > 0 ? [{ is: 'not for constructions' as const, id, constructions: gone.join(', ') }] : []),
      ...(is.primaryProtectionOnly && !was.primaryProtectionOnly
        ? [{ is: 'not without protection' as const, id }]
        : []),
      ...(since !== undefined && (was.inServiceFrom === undefined || since > was.inServiceFrom)
        ? [{ is: 'not for older sticks' as const, id, since }]
        : []),
    ]
    return noMore.map((says) => ({ code: 'requirement-narrowed', says }))
  },
  legalMaximum: row(
    'legal-maximum-dropped',
    ({ before, after }) => before.legalMaximum && !after.legalMaximum,
    ({ before }) => ({ is: 'legal maximum dropped', id: before.id }),
  ),
  // `optional` is for packs alone, where it decides whether the requirement is there at all
  optional: never,
}

/**
 * Counting from older evidence can let a use count as occasional, or a stick as issued, where newer evidence does not.
 */
function countedFromEarlier({ before, after }: Pair<Requirement>): Way[] {
  const counts = [before, after].some((one) => one.byClass !== undefined || one.shelfMonths !== undefined)
  if (!counts) return []
  return [{ code: 'counted-from-earlier', says: { is: 'counted from earlier', id: before.id } }]
}

export const monthsOf = (months: number | undefined): Part =>
  months === undefined ? { is: 'no months' } : { is: 'months', count: months }

/**
 * The end of a requirement in a service class: `once` where it lasts for ever after, `not asked` where it asks nothing.
 */
type End = Interval | 'once' | 'not asked'

function endIn(serviceClass: ServiceClass, { interval, byClass, statedBy = [] }: Requirement): End {
  const stated = statedBy[0]?.interval ?? interval
  if (byClass === undefined) return stated ?? 'once'
  return (byClass[serviceClass] === undefined ? stated : byClass[serviceClass]) ?? 'not asked'
}

export function isAskedIn(serviceClass: ServiceClass, one: Requirement): boolean {
  return endIn(serviceClass, one) !== 'not asked'
}

/** Days of use and days of the calendar compare with nothing: either may end first. */
function isLater(is: End, was: End): boolean {
  if (was === 'not asked' || is === was) return false
  if (is === 'not asked') return true
  if (was === 'once') return false
  if (is === 'once') return true
  if ('useDays' in is || 'useDays' in was) return !('useDays' in is && 'useDays' in was && is.useDays <= was.useDays)
  return !isNoLonger(is, { interval: was })
}

function endSaid(end: End): Part {
  if (end === 'not asked') return { is: 'not at all' }
  if (end === 'once') return { is: 'once and for all' }
  if ('months' in end) return monthsOf(end.months)
  return 'days' in end ? { is: 'days', count: end.days } : { is: 'days of use', count: end.useDays }
}
