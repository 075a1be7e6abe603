/**
 * Sticks at the end of their interval, from their past: the tests after a pass, until the next pass.
 *
 * - A periodic test ends the interval: the stick passed it or failed it.
 * - A failure at any other test before that counts too: the stick did not reach the end of its interval.
 * - A pass at any other test ends the interval with nothing known of its end.
 * - A test that proves nothing ends no interval, and neither does a pass within the month of the pass before.
 */
import { type CalendarDate, daysBetween } from '../calendar.ts'
import { isPastTest, type Past } from '../state/past.ts'

export interface End {
  readonly on: CalendarDate
  readonly passed: boolean
  /** months since the pass before, at a periodic test; null at another, which came before the interval was over */
  readonly months: number | null
  /** the stick lay in store all the while */
  readonly stored: boolean
}

const daysPerMonth = 365.25 / 12

/** The house's own figure: a test sooner than that looks again at what was tested, and shows no interval. */
const leastMonths = 1

export function endsOfIntervals(past: readonly Past[]): End[] {
  const ends: End[] = []
  let lastPass: CalendarDate | null = null
  for (const { on, verdict, reason, stored } of past.filter(isPastTest)) {
    if (verdict !== 'pass' && verdict !== 'fail') continue
    const passed = verdict === 'pass'
    const months: number = lastPass === null ? 0 : daysBetween(lastPass, on) / daysPerMonth
    const isEnd = reason === 'periodic' && months >= leastMonths
    if (lastPass !== null && passed && reason === 'periodic' && !isEnd) continue
    if (lastPass !== null && (isEnd || !passed)) ends.push({ on, passed, months: isEnd ? months : null, stored })
    lastPass = passed ? on : null
  }
  return ends
}

/** Ends of intervals, counted: so many numbers, however many ends. */
export interface EndsCounted {
  found: number
  of: number
  /** periodic tests by the whole months since the pass before */
  readonly byMonths: number[]
}

export const noEnds = (): EndsCounted => ({ found: 0, of: 0, byMonths: [] })

/** The house's own figure: an interval of fifty years is a slip of the register. */
const mostMonths = 600

export function countEnd(counted: EndsCounted, { passed, months }: End): void {
  counted.of++
  if (passed) counted.found++
  if (months === null) return
  const whole = Math.min(mostMonths, Math.round(months))
  while (counted.byMonths.length <= whole) counted.byMonths.push(0)
  counted.byMonths[whole] = (counted.byMonths[whole] ?? 0) + 1
}

/** The interval that half of them had, or more: the median, in whole months. Null where none was periodic. */
export function usualMonths({ byMonths }: EndsCounted): number | null {
  const all = byMonths.reduce((sum, one) => sum + one, 0)
  let seen = 0
  for (const [months, count] of byMonths.entries()) {
    seen += count
    if (all > 0 && 2 * seen >= all) return months
  }
  return null
}
