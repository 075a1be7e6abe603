/** The ways in which a change of one requirement loosens. */

import type { Interval, Requirement } from '../policy/requirement.ts'
import { intervalInWords, isNoLonger } from '../policy/shorter.ts'
import { type ServiceClass, serviceClasses } from '../words.ts'
import { type FieldRow, never, type Pair, row, type Way, waysBy } from './way.ts'

export function waysOfRequirement(edit: Pair<Requirement>): Way[] {
  const { id } = edit.before
  return waysBy(fields, edit).map(({ code, text, pointer }) => ({
    code,
    text: `${id}: ${text}`,
    pointer: `/requirements/${id}${pointer}`,
  }))
}

const fields: { readonly [field in keyof Requirement]-?: FieldRow<Requirement> } = {
  id: never,
  words: never,
  source: never,
  evidence: ({ before, after }) => {
    const gone = before.evidence.filter((kind) => !after.evidence.includes(kind))
    if (gone.length > 0) return [{ code: 'evidence-dropped', text: `${gone.join(', ')} is not asked for any more.` }]
    return after.evidence.length > before.evidence.length ? countedFromEarlier({ before, after }) : []
  },
  examinationOnly: ({ before, after }) => {
    const [was, is] = [before.examinationOnly ?? [], after.examinationOnly ?? []]
    const more = is.filter((one) => !was.includes(one))
    if (more.length > 0) {
      const text = `an examination may stand in place of a test of ${more.join(', ')}.`
      return [{ code: 'examination-alone-widened', text }]
    }
    return is.length < was.length ? countedFromEarlier({ before, after }) : []
  },
  interval: ({ before, after }) => {
    const longer = serviceClasses.find((one) => isLater(endIn(one, after), endIn(one, before)))
    if (longer === undefined) return []
    const text = `it runs ${endInWords(endIn(longer, after))} in ${longer} use instead of ${endInWords(endIn(longer, before))}.`
    return [{ code: 'interval-lengthened', text }]
  },
  // `statedBy` and `byClass` are read with the interval
  statedBy: never,
  byClass: never,
  // any change may loosen: a shorter time can end before a stick was laid by, which by a longer one lies on the shelf
  shelfMonths: row(
    'shelf-limit-changed',
    ({ before, after }) => before.shelfMonths !== undefined && before.shelfMonths !== after.shelfMonths,
    ({ before, after }) =>
      `how long it may lie before its first issue ${fromTo(before.shelfMonths, after.shelfMonths)}.`,
  ),
  suspendedInStorageAfterMonths: row(
    'rest-in-store-widened',
    ({ before: { suspendedInStorageAfterMonths: was }, after: { suspendedInStorageAfterMonths: is } }) =>
      is !== undefined && (was === undefined || is < was),
    ({ before, after }) =>
      `after how long in store it rests ${fromTo(before.suspendedInStorageAfterMonths, after.suspendedInStorageAfterMonths)}.`,
  ),
  // waxing is compared across requirements, since one requirement asks for all
  waxing: never,
  stops: ({ before, after }) => {
    const gone = (before.stops ?? []).filter((event) => !after.stops?.includes(event))
    if (gone.length === 0) return []
    return [{ code: 'stop-dropped', text: `${gone.join(', ')} does not stop a stick any more.` }]
  },
  appliesTo: ({ before: { appliesTo: was }, after: { appliesTo: is } }) => {
    const gone = was.constructions.filter((one) => !is.constructions.includes(one))
    const noMore = [
      ...(gone.length > 0 ? [gone.join(', ')] : []),
      ...(is.primaryProtectionOnly && !was.primaryProtectionOnly ? ['sticks not relied on for protection'] : []),
      ...(is.inServiceFrom !== undefined && (was.inServiceFrom === undefined || is.inServiceFrom > was.inServiceFrom)
        ? [`sticks put into service before ${is.inServiceFrom}`]
        : []),
    ]
    return noMore.map((whom) => ({ code: 'requirement-narrowed', text: `it does not apply to ${whom} any more.` }))
  },
  legalMaximum: row(
    'legal-maximum-dropped',
    ({ before, after }) => before.legalMaximum && !after.legalMaximum,
    () => 'its interval is not called a legal maximum any more.',
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
  return [{ code: 'counted-from-earlier', text: 'use and shelf time are counted from older evidence.' }]
}

const fromTo = (was: number | undefined, is: number | undefined) =>
  `goes from ${was ?? 'no'} months to ${is ?? 'no'} months`

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

function endInWords(end: End): string {
  if (end === 'not asked') return 'not at all'
  return end === 'once' ? 'once and for all' : intervalInWords(end)
}
