/**
 * Advice on an interval between tests, from how many sticks still pass at its end.
 *
 * A share of sticks that falls evenly with time, R = e^(−λt), gives t₂ = t₁ · ln(R target) / ln(R observed). Advice
 * comes only where the target lies outside the exact limits of what was observed, and never past the longest interval
 * that the rules allow. It is advice: nothing here moves a due date.
 */
import { binomialLimits, type Counted, type Limits } from './exact.ts'

/** Sticks at the end of their interval: `found` passed. */
export interface AtTheEnd extends Counted {
  /** months between a pass and the test at the end of the interval; null where none came to its end, and none passed */
  readonly months: number | null
}

export interface Target {
  /** the share of sticks that is to pass at the end of the interval, between nought and one */
  readonly target: number
  /** the longest interval that the rules allow; null where no rule states one, and then nothing is lengthened */
  readonly mostMonths: number | null
}

/** 95 of 100 such limits hold the true share. */
const confidenceOfAdvice = 0.95

export type AdviceWord =
  /** too few were looked at for any answer */
  | { readonly is: 'too few'; readonly needed: number }
  /** the target lies within the limits: nothing speaks against the interval */
  | { readonly is: 'fits' }
  | { readonly is: 'shorten'; readonly months: number }
  /** none passed: no interval follows */
  | { readonly is: 'none passed' }
  | { readonly is: 'lengthen'; readonly months: number; readonly isCapped: boolean }
  /** all passed: by how much the interval could be longer does not follow */
  | { readonly is: 'all passed' }
  /** more than enough pass, and the rules allow no longer interval */
  | { readonly is: 'at its longest' }
  /** more than enough pass, and no rule says how long an interval may be */
  | { readonly is: 'no longest stated' }

export interface IntervalAdvice extends AtTheEnd {
  readonly limits: Limits
  readonly says: AdviceWord
}

export function intervalAdvice(seen: AtTheEnd, wanted: Target): IntervalAdvice {
  const limits = seen.of === 0 ? { low: 0, high: 1 } : binomialLimits(seen, confidenceOfAdvice)
  return { ...seen, limits, says: adviceWord(seen, wanted, limits) }
}

function adviceWord(seen: AtTheEnd, { target, mostMonths }: Target, { low, high }: Limits): AdviceWord {
  const { found, of, months } = seen
  if (high < target) {
    if (found === 0 || months === null) return { is: 'none passed' }
    return { is: 'shorten', months: monthsFor(target, { found, of, months }) }
  }
  if (low <= target) {
    const needed = leastLookedAt(target, (1 + confidenceOfAdvice) / 2)
    return of < needed ? { is: 'too few', needed } : { is: 'fits' }
  }
  if (mostMonths === null || months === null) return { is: 'no longest stated' }
  if (months >= mostMonths) return { is: 'at its longest' }
  if (found === of) return { is: 'all passed' }
  const longer = monthsFor(target, { found, of, months })
  return { is: 'lengthen', months: Math.min(longer, mostMonths), isCapped: longer > mostMonths }
}

/** t₂ of the formula above, where some passed and not all. */
export function monthsFor(target: number, { found, of, months }: Counted & { readonly months: number }): number {
  return (months * Math.log(target)) / Math.log(found / of)
}

/** The number that has to pass, all of them, before that many passing shows the target. */
export function leastLookedAt(target: number, confidence: number): number {
  return Math.ceil(Math.log(1 - confidence) / Math.log(target) - 1e-9)
}
