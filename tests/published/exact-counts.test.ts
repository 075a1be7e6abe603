/** Limits of shares, Fisher's exact test and Holm's correction: printed figures, and agreement with a library. */
import fc from 'fast-check'
import jstat from 'jstat'
import { describe, expect, test } from 'vitest'
import { binomialLimits, chanceOfAsMany, putRightForMany } from '../../shared-domain/fleet/exact.ts'

/** The sum of a binomial tail, term by term. */
function tailFrom(least: number, of: number, share: number): number {
  let sum = 0
  for (let count = least; count <= of; count++) sum += jstat.binomial.pdf(count, of, share)
  return sum
}

describe('limits of a share', () => {
  /**
   * A: R 3.6.2, binom.test, as the tests of SciPy have it (test_morestats.py). B: the R package binom, as the tests of
   * statsmodels have it (results_proportion.py). C: documentation of the R package GenBinomApps.
   */
  test.each([
    [20, 100, 0.95, 0.1266555521019559, 0.2918426890886281, 'A'],
    [3, 50, 0.99, 0.006872485, 0.202706269, 'A'],
    [0, 10, 0.95, 0, 0.3084971, 'A'],
    [10, 10, 0.95, 0.6915029, 1, 'A'],
    [18, 20, 0.95, 0.6830172859809176, 0.9876514728297052, 'B'],
    [4, 20, 0.95, 0.05733399705003284, 0.436614002996668, 'B'],
    [4, 200, 0.95, 0.005475565879556443, 0.05041360908989634, 'B'],
    [190, 200, 0.95, 0.9099724622986486, 0.975765834527891, 'B'],
    [29, 30, 0.95, 0.8278305, 0.9991564, 'B'],
    [1, 30, 0.95, 0.0008435709, 0.17216946, 'B'],
    [30, 30, 0.95, 0.8842967, 1, 'B'],
    [0, 30, 0.95, 0, 0.11570331, 'B'],
  ])('%d of %d at %d: from %d to %d (%s)', (found, of, confidence, low, high) => {
    const limits = binomialLimits({ found, of }, confidence)
    expect(limits.low).toBeCloseTo(low, 7)
    expect(limits.high).toBeCloseTo(high, 7)
  })

  // a limit on one side alone at 95 % is a limit on both sides at 90 %
  test.each([
    [20, 100, 'high', 0.2772002496709138, 'A'],
    [20, 100, 'low', 0.1366613252458672, 'A'],
    [0, 10, 'high', 0.2588656, 'A'],
    [10, 10, 'low', 0.7411344, 'A'],
    [5, 100_000, 'high', 0.0001051275, 'C'],
  ] as const)('%d of %d, the %s one alone: %d (%s)', (found, of, side, limit, _source) => {
    expect(binomialLimits({ found, of }, 0.9)[side]).toBeCloseTo(limit, 7)
  })

  // worked out by hand for the plan of the fleet, to four places
  test.each([
    [19, 20, 0.7513, 0.9987],
    [45, 50, 0.7819, 0.9667],
    [90, 100, 0.8238, 0.951],
    [95, 100, 0.8872, 0.9836],
    [98, 100, 0.9296, 0.9976],
    [85, 100, 0.7647, 0.9135],
    [200, 200, 0.9817, 1],
    [15, 20, 0.509, 0.9134],
  ])('%d of %d: from %d to %d', (found, of, low, high) => {
    const limits = binomialLimits({ found, of }, 0.95)
    expect(limits.low).toBeCloseTo(low, 4)
    expect(limits.high).toBeCloseTo(high, 4)
  })

  const counted = fc
    .integer({ min: 1, max: 400 })
    .chain((of) => fc.record({ found: fc.integer({ min: 0, max: of }), of: fc.constant(of) }))

  test('each leaves half of what is not trusted beyond it, by summing every term', () => {
    fc.assert(
      fc.property(counted, fc.constantFrom(0.8, 0.95, 0.99), ({ found, of }, confidence) => {
        const { low, high } = binomialLimits({ found, of }, confidence)
        const half = (1 - confidence) / 2
        if (found > 0) expect(tailFrom(found, of, low)).toBeCloseTo(half, 8)
        if (found < of) expect(1 - tailFrom(found + 1, of, high)).toBeCloseTo(half, 8)
        expect(low).toBeLessThanOrEqual(found / of)
        expect(high).toBeGreaterThanOrEqual(found / of)
      }),
    )
  })

  test('are quantiles of the beta distribution, as jstat has it', () => {
    fc.assert(
      fc.property(counted, ({ found, of }) => {
        const { low, high } = binomialLimits({ found, of }, 0.95)
        if (found > 0) expect(low).toBeCloseTo(jstat.beta.inv(0.025, found, of - found + 1), 6)
        if (found < of) expect(high).toBeCloseTo(jstat.beta.inv(0.975, found + 1, of - found), 6)
      }),
    )
  })

  test('of many have closed forms at the ends: 1 less the n-th root of 2.5 %', () => {
    expect(binomialLimits({ found: 0, of: 100_000 }, 0.95).high).toBeCloseTo(1 - 0.025 ** (1 / 100_000), 12)
    expect(binomialLimits({ found: 100_000, of: 100_000 }, 0.95).low).toBeCloseTo(0.025 ** (1 / 100_000), 12)
  })
})

describe("Fisher's exact test, one-sided", () => {
  /** Fisher (1935), The Design of Experiments, chapter II; Agresti, Categorical Data Analysis (2002), page 91. */
  test('the tasting of tea: 3 of 4 cups told right, so 17 of 70 by chance, printed as 0.2429', () => {
    const p = chanceOfAsMany({ lot: { found: 3, of: 4 }, rest: { found: 1, of: 4 } })
    expect(p).toBeCloseTo(17 / 70, 12)
    expect(p).toBeCloseTo(0.2429, 4)
  })

  /** Fisher (1935), J. R. Stat. Soc. 98, 39 to 82; the table and figure are in the documentation of R's fisher.test. */
  test('twins of convicts: 10 of 13 alike, 2 of 17 unlike, so 619 of 1,330,665 by chance, printed as 0.000465', () => {
    const p = chanceOfAsMany({ lot: { found: 10, of: 13 }, rest: { found: 2, of: 17 } })
    expect(p).toBeCloseTo(619 / 1_330_665, 14)
    expect(p).toBeCloseTo(0.000465, 6)
  })

  const tables = fc
    .record({ lotOf: fc.integer({ min: 1, max: 60 }), restOf: fc.integer({ min: 0, max: 60 }) })
    .chain(({ lotOf, restOf }) =>
      fc.record({
        lot: fc.record({ found: fc.integer({ min: 0, max: lotOf }), of: fc.constant(lotOf) }),
        rest: fc.record({ found: fc.integer({ min: 0, max: restOf }), of: fc.constant(restOf) }),
      }),
    )

  test('is the sum of the hypergeometric terms, as jstat has them', () => {
    fc.assert(
      fc.property(tables, ({ lot, rest }) => {
        const failed = lot.found + rest.found
        let sum = 0
        for (let count = lot.found; count <= Math.min(lot.of, failed); count++)
          sum += jstat.hypgeom.pdf(count, lot.of + rest.of, lot.of, failed)
        expect(chanceOfAsMany({ lot, rest })).toBeCloseTo(sum, 9)
      }),
    )
  })

  test('falls with every failure that lies in the lot and not beside it, and is 1 where none does', () => {
    fc.assert(
      fc.property(tables, ({ lot, rest }) => {
        const p = chanceOfAsMany({ lot, rest })
        if (lot.found === 0) expect(p).toBe(1)
        if (lot.found === 0 || rest.found === rest.of) return
        const other = { lot: { ...lot, found: lot.found - 1 }, rest: { ...rest, found: rest.found + 1 } }
        expect(p).toBeLessThan(chanceOfAsMany(other) + 1e-12)
      }),
    )
  })

  test('does not give up on great fleets: 30 of 500 in the lot, 900 of 99,500 beside it', () => {
    const p = chanceOfAsMany({ lot: { found: 30, of: 500 }, rest: { found: 900, of: 99_500 } })
    expect(p).toBeGreaterThan(0)
    expect(p).toBeLessThan(1e-12)
    expect(chanceOfAsMany({ lot: { found: 1, of: 50_000 }, rest: { found: 900, of: 50_000 } })).toBeCloseTo(1, 12)
  })
})

describe("Holm's correction", () => {
  /** The worked example of Wikipedia, Holm–Bonferroni method: at 5 % the first and the fourth of four stand. */
  test('0.01, 0.04, 0.03 and 0.005 become 0.03, 0.06, 0.06 and 0.02', () => {
    const right = putRightForMany([0.01, 0.04, 0.03, 0.005])
    for (const [i, one] of [0.03, 0.06, 0.06, 0.02].entries()) expect(right[i]).toBeCloseTo(one, 12)
  })

  test('never makes a chance smaller, never larger than times how many there are, and keeps their order', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { maxLength: 40 }), (chances) => {
        const right = putRightForMany(chances)
        for (const [i, chance] of chances.entries()) {
          expect(right[i]).toBeGreaterThanOrEqual(chance)
          expect(right[i]).toBeLessThanOrEqual(Math.min(1, chance * chances.length))
        }
        const byChance = chances.map((chance, i) => [chance, right[i] ?? 0] as const).sort(([a], [b]) => a - b)
        const after = byChance.map(([, one]) => one)
        expect(after).toEqual([...after].sort((a, b) => a - b))
      }),
    )
  })
})
