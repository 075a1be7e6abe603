/** Which edition of an entry binds. The one place that decides it, for every register. */
import type { CalendarDate } from './calendar.ts'

/**
 * Of editions in the order in which they take effect, the last whose day has come; for a day before the first one, the first.
 * What day it is may hang on the edition itself: a depot's on its time zone, a crew's on its depot.
 */
export function inForce<E extends { readonly effectiveFrom: CalendarDate }>(
  editions: readonly E[],
  day: CalendarDate | ((edition: E) => CalendarDate),
): E | undefined {
  const dayBy = typeof day === 'function' ? day : () => day
  return editions.findLast((edition) => edition.effectiveFrom <= dayBy(edition)) ?? editions[0]
}
