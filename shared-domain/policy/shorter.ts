/** The comparison of an employer's interval with the rule's own: it must never be able to end later. */
import { addMonths, addMonthsToEndOfMonth, type CalendarDate, daysBetween } from '../calendar.ts'
import type { Phrase } from '../catalogue/say.ts'
import type { Interval, Requirement } from './requirement.ts'

/** Days of use are counted beside the calendar and lengthen nothing. */
export function isNoLonger(shorter: Interval, rule: Pick<Requirement, 'interval' | 'byClass'>): boolean {
  const longest = longestOf(rule)
  if ('useDays' in shorter || longest === null || 'useDays' in longest) return true
  if ('months' in shorter && 'months' in longest) {
    const sameEnd = shorter.counting !== 'end of month' || longest.counting === 'end of month'
    return shorter.months < longest.months || (shorter.months === longest.months && sameEnd)
  }
  return mostDays(shorter) <= fewestDays(longest)
}

/** The longest of the rule's intervals in all classes; null where the rule asks once and for all. */
export function longestOf({ interval, byClass }: Pick<Requirement, 'interval' | 'byClass'>): Interval | null {
  const all = [interval, ...Object.values(byClass ?? {})].filter((one): one is Interval => one !== null)
  return all.sort((a, b) => fewestDays(b) - fewestDays(a))[0] ?? null
}

/**
 * Months from whose first day spans are measured; a clamped day makes no span the shortest or the longest. A span holds
 * the most leap days in the years of a common leap cycle, and the fewest in the eight years around 2100, which is no
 * leap year.
 */
const firsts = [2000, 2001, 2002, 2003, 2096, 2097, 2098, 2099, 2100, 2101, 2102, 2103].flatMap((year) =>
  Array.from({ length: 12 }, (_, month) => addMonths(`${year}-01-01` as CalendarDate, month)),
)

function fewestDays(one: Interval): number {
  if ('months' in one) return Math.min(...firsts.map((first) => daysBetween(first, addMonths(first, one.months))))
  return 'days' in one ? one.days : 0
}

function mostDays(one: Exclude<Interval, { useDays: number }>): number {
  if ('days' in one) return one.days
  const count = one.counting === 'end of month' ? addMonthsToEndOfMonth : addMonths
  return Math.max(...firsts.map((first) => daysBetween(first, count(first, one.months))))
}

export function saidInterval(one: Interval | null): Phrase {
  if (one === null) return { is: 'right: once and for all' }
  if ('months' in one) return { is: 'right: so many months', count: one.months }
  if ('days' in one) return { is: 'right: so many days', count: one.days }
  return { is: 'right: so many days of use', count: one.useDays }
}
