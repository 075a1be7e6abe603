/** Advice on intervals: the arithmetic by hand, when there is none, and what it may never do. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { intervalAdvice, leastLookedAt, monthsFor } from '../../../shared-domain/fleet/interval-advice.ts'

/** t₂ = t₁ · ln(R target) / ln(R observed), each worked out by hand; no published example of it was found. */
test.each([
  [24, 0.95, 0.9, 11.684],
  [24, 0.95, 0.98, 60.934],
  [24, 0.95, 0.99, 122.487],
  [24, 0.9, 0.85, 15.559],
  [12, 0.95, 0.9, 5.842],
  [6, 0.95, 0.975, 12.156],
  [24, 0.95, 0.95, 24],
])('%d months, target %d, observed %d: %d months', (months, target, observed, expected) => {
  expect(monthsFor(target, { months, found: observed * 1000, of: 1000 })).toBeCloseTo(expected, 3)
})

test('of a year of 365 days, target 0.95 and 15 of 20: 65.08 days', () => {
  expect(monthsFor(0.95, { months: 365, found: 15, of: 20 })).toBeCloseTo(65.08, 2)
})

/** ln(1 − c) / ln(R), rounded up: the sample without a failure that shows a reliability R at confidence c. */
test.each([
  [0.95, 0.95, 59],
  [0.9, 0.95, 29],
  [0.99, 0.95, 299],
  [0.95, 0.9, 45],
])('to show %d at confidence %d without a failure takes %d', (target, confidence, expected) => {
  expect(leastLookedAt(target, confidence)).toBe(expected)
})

describe('advice', () => {
  const says = (found: number, of: number, over: { months?: number; mostMonths?: number | null } = {}) => {
    const { months = 12, mostMonths = 24 } = over
    return intervalAdvice({ found, of, months }, { target: 0.95, mostMonths }).says
  }

  test('is to leave it where the target lies within the limits: 90 of 100 goes up to 0.951', () => {
    expect(says(90, 100)).toEqual({ is: 'fits' })
    expect(says(98, 100)).toEqual({ is: 'fits' })
  })

  test('is to shorten where fewer pass for certain: 85 of 100, 15 of 20', () => {
    expect(says(85, 100)).toMatchObject({ is: 'shorten' })
    const months = says(15, 20, { months: 12 })
    expect(months).toMatchObject({ is: 'shorten' })
    expect('months' in months && months.months).toBeCloseTo((12 * 65.08) / 365, 3)
  })

  test('is to lengthen where more pass for certain, and not past the ceiling', () => {
    expect(says(990, 1000, { months: 6 })).toEqual({ is: 'lengthen', months: 24, isCapped: true })
    const longer = says(970, 1000, { months: 12 })
    expect(longer).toMatchObject({ is: 'lengthen', isCapped: false })
    expect('months' in longer && longer.months).toBeCloseTo(20.208, 2)
  })

  test('names no interval where all passed or none did, for the logarithm of 1 is nought', () => {
    expect(says(200, 200)).toEqual({ is: 'all passed' })
    expect(says(0, 10)).toEqual({ is: 'none passed' })
  })

  test('lengthens nothing that is at its longest, or whose longest no rule states', () => {
    expect(says(200, 200, { months: 24 })).toEqual({ is: 'at its longest' })
    expect(says(990, 1000, { months: 25 })).toEqual({ is: 'at its longest' })
    expect(says(990, 1000, { mostMonths: null })).toEqual({ is: 'no longest stated' })
  })

  test('says that too few were looked at, and how many it takes', () => {
    expect(says(20, 20)).toEqual({ is: 'too few', needed: 72 })
    expect(says(0, 0)).toEqual({ is: 'too few', needed: 72 })
    expect(says(72, 72)).not.toMatchObject({ is: 'too few' })
  })

  const seen = fc.integer({ min: 1, max: 300 }).chain((of) =>
    fc.record({
      of: fc.constant(of),
      found: fc.integer({ min: 0, max: of }),
      months: fc.integer({ min: 1, max: 60 }),
    }),
  )
  const wanted = fc.record({
    target: fc.double({ min: 0.5, max: 0.999, noNaN: true }),
    mostMonths: fc.option(fc.integer({ min: 1, max: 60 })),
  })

  test('never goes past the ceiling, shortens only to shorter and lengthens only to longer', () => {
    fc.assert(
      fc.property(seen, wanted, (one, want) => {
        const { says, limits } = intervalAdvice(one, want)
        if (says.is === 'shorten') expect(says.months).toBeLessThan(one.months)
        if (says.is === 'lengthen') {
          expect(says.months).toBeGreaterThan(one.months)
          expect(says.months).toBeLessThanOrEqual(want.mostMonths ?? 0)
        }
        const isWithin = limits.low <= want.target && want.target <= limits.high
        expect(isWithin).toBe(says.is === 'fits' || says.is === 'too few')
      }),
    )
  })

  test('asks no more of a fleet that does worse: fewer that pass never make it longer', () => {
    const asked = ({ says, months }: ReturnType<typeof intervalAdvice>) =>
      says.is === 'none passed'
        ? 0
        : says.is === 'shorten' || says.is === 'lengthen'
          ? says.months
          : says.is === 'all passed'
            ? Number.POSITIVE_INFINITY
            : (months ?? 0)
    fc.assert(
      fc.property(seen, wanted, (one, want) => {
        if (one.found === 0) return
        const worse = intervalAdvice({ ...one, found: one.found - 1 }, want)
        expect(asked(worse)).toBeLessThanOrEqual(asked(intervalAdvice(one, want)))
      }),
    )
  })
})
