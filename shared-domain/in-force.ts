/** The edition of an entry that binds. This is the one place that decides it, for every register. */
import type { CalendarDate } from './calendar.ts'

/**
 * The last edition whose day has come, of editions in the order in which they take effect; for a day before the first
 * one, the first. The day itself may hang on the edition: a depot's on its time zone, a crew's on its depot.
 */
export function inForce<E extends { readonly effectiveFrom: CalendarDate }>(
  editions: readonly E[],
  day: CalendarDate | ((edition: E) => CalendarDate),
): E | undefined {
  const dayBy = typeof day === 'function' ? day : () => day
  return editions.findLast((edition) => edition.effectiveFrom <= dayBy(edition)) ?? editions[0]
}

/**
 * Editions without those that their author took back: where editions of an entry add up, a slip would else count for
 * ever.
 */
export function notTakenBack<E extends { readonly edition: string; readonly takesBack?: string | undefined }>(
  editions: readonly E[],
): E[] {
  const takenBack = new Set(editions.flatMap(({ takesBack }) => takesBack ?? []))
  return editions.filter(({ edition }) => !takenBack.has(edition))
}
