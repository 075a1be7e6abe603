/**
 * Days of use: what each weighs, and when they are likely to be used up. The likely date is advice; the count decides.
 */
import { addDays, type CalendarDate, daysBetween } from '../calendar.ts'
import type { EmployerPolicy } from './policy.ts'
import { type LoggedUse, timesOf } from './service-class.ts'

type Weights = NonNullable<EmployerPolicy['useWeights']>

/** The uses of a stick, and what days of each kind weigh. */
export interface Usage {
  readonly uses: readonly LoggedUse[]
  readonly weights: Weights
}

/**
 * A use in plain days: the hardest of its conditions weighs, as the policy says, and never less than the days
 * themselves.
 */
export function weightedDays({ days, conditions }: Omit<LoggedUse, 'on'>, weights: Weights): number {
  return days * Math.max(1, ...conditions.map((one) => weights[one] ?? 1))
}

/**
 * The day on which the days left will be used up at the rate of the last year; nine times in ten it lies between the
 * other two.
 */
export interface ExpectedEnd {
  readonly on: CalendarDate
  readonly earliest: CalendarDate
  readonly latest: CalendarDate
}

const daysLookedBack = 365
const fewestDays = 30
const fewestUses = 3
/** Half of nine tenths of a normal distribution, in standard deviations (NIST/SEMATECH e-Handbook, 1.3.6.7.1). */
const nineInTen = 1.645

/**
 * Logged work is taken for a random walk with drift: `drift` weighted days of use a day, with variance `spread` a day.
 * The last of `left` days is used up after left/drift days on average, with variance left·spread/drift³ (first passage
 * of a Wiener process with drift, the inverse Gaussian distribution: Cox and Miller, The Theory of Stochastic
 * Processes, 1965, 5.7; from memory). The drift is known no better than the days looked back over tell, which adds
 * left²·spread/(drift⁴·span) (propagation of error to the first order). The answer is null where too little was logged
 * to say, or none is left.
 */
export function expectedEnd(left: number, { uses, weights }: Usage, day: CalendarDate): ExpectedEnd | null {
  const recent = uses.filter(({ on }) => daysBetween(on, day) >= 0 && daysBetween(on, day) < daysLookedBack)
  const [first] = recent
  if (first === undefined || sum(recent.map(timesOf)) < fewestUses || left <= 0) return null
  // the span begins with the first use, so that a stick newly in use is not thought to be used less than it is
  const span = daysBetween(first.on, day) + 1
  if (span < fewestDays) return null
  const drift = sum(recent.map((one) => weightedDays(one, weights) * timesOf(one))) / span
  const spread = sum(recent.map((one) => weightedDays(one, weights) ** 2 * timesOf(one))) / span
  const mean = left / drift
  const either = nineInTen * Math.sqrt(((left * spread) / drift ** 3) * (1 + mean / span))
  const after = (days: number) => addDays(day, Math.floor(Math.min(Math.max(days, 0), furthest)))
  return { on: after(mean), earliest: after(mean - either), latest: after(mean + either) }
}

/** A century: nobody plans by a day that lies beyond it. */
const furthest = 36_525

const sum = (all: readonly number[]) => all.reduce((total, one) => total + one, 0)
