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

/** Without those that their author took back: of entries whose editions add up, a slip would else count for ever. */
export function notTakenBack<E extends { readonly edition: string; readonly takesBack?: string | undefined }>(
  editions: readonly E[],
): E[] {
  const takenBack = new Set(editions.flatMap(({ takesBack }) => takesBack ?? []))
  return editions.filter(({ edition }) => !takenBack.has(edition))
}
