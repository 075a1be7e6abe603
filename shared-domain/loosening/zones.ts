/** A change of clock loosens where a day ends later by the new one: a stick may then be used later. */
import { addDays, addMonths, type CalendarDate, endOfDay } from '../calendar.ts'
import type { Pair, Way } from './way.ts'

interface Clocks {
  /** the day from which the new clock counts */
  readonly from: CalendarDate
  readonly today: CalendarDate
  readonly pointer: string
}

/**
 * Compares the clocks of a depot, those to come among them. Clocks of which nothing is known are in doubt, and so
 * loosen.
 */
export function waysOfClock(
  { before, after }: { readonly [side in keyof Pair<unknown>]: readonly string[] | undefined },
  { from, today, pointer }: Clocks,
): readonly Way[] {
  const code = 'day-ends-later'
  if (before === undefined || after === undefined) {
    return [{ code, says: { is: 'clock not known' }, pointer }]
  }
  const later = after.flatMap((is) =>
    before.flatMap((was) => laterDay({ before: was, after: is }, { from, today }) ?? []),
  )
  return later
    .slice(0, 1)
    .map(({ day, was, is }) => ({ code, says: { is: 'day ends later', day, from: was, to: is }, pointer }))
}

const lastOfAll = '9990-01-01' as CalendarDate

/** Two years back and two years on: the rules by which clocks are moved change from year to year. */
const monthsLookedOver = 24

function laterDay({ before: was, after: is }: Pair<string>, { from, today }: Omit<Clocks, 'pointer'>) {
  if (is === was) return undefined
  // the calendar ends before a day two years on where `from` is near its end
  const begin = from < lastOfAll ? from : lastOfAll
  const first = later(begin, addMonths(today, -monthsLookedOver))
  const last = addMonths(later(begin, today), monthsLookedOver)
  for (let day = first; day <= last; day = addDays(day, 1)) {
    if (endOfDay(day, is) > endOfDay(day, was)) return { day, was, is }
  }
  return undefined
}

const later = (a: CalendarDate, b: CalendarDate) => (a > b ? a : b)
