/** Worked examples of published documents, and agreement with a general-purpose library. */
import fc from 'fast-check'
import { TheilSenRegression } from 'ml-regression-theil-sen'
import { describe, expect, test } from 'vitest'
import { mannKendall, theilSen } from '../../shared-domain/theil-sen.ts'

const pointsOf = (xs: readonly number[], ys: readonly number[]) => xs.map((x, index) => ({ x, y: ys[index] ?? NaN }))
const oneTo = (n: number) => Array.from({ length: n }, (_, index) => index + 1)

/** Every order of the values, each as often as it comes about. */
function ordersOf(values: readonly number[]): number[][] {
  if (values.length < 2) return [[...values]]
  return values.flatMap((first, at) =>
    ordersOf(values.filter((_, index) => index !== at)).map((rest) => [first, ...rest]),
  )
}

/** S over every order of y against x: what chance alone does. */
const chanceOf = (xs: readonly number[], ys: readonly number[]) =>
  ordersOf(ys).map((order) => mannKendall(pointsOf(xs, order)).s)

/**
 * Sen (1968), J. Am. Stat. Assoc. 63, 1379–1389, the example of seven points and its 93 % limits as printed, to two
 * decimals. Data and figures were read in a second copy, the tests of SciPy, not in the paper.
 */
describe('Sen (1968), the example', () => {
  const sen = pointsOf([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78])

  test('slope 4.0, and intercept 4.0 from the medians', () => {
    expect(theilSen(sen, 0.93)).toMatchObject({ slope: 4, intercept: 4 })
  })

  test('the printed limits 3.71 and 4.38 are the 4th and 18th of 21 slopes, where the exact chance of S is 7 %', () => {
    const exact = chanceOf(oneTo(7), oneTo(7))
    expect(exact.filter((s) => Math.abs(s) >= 13).length / exact.length).toBeCloseTo(0.07, 2)

    // the confidence at which the normal distribution puts C at 13, so that the ranks are 4 and 18
    const line = theilSen(sen, 0.949119)
    expect(line?.lower).toBeCloseTo(3.71, 2)
    expect(line?.upper).toBeCloseTo(4.375, 3)
  })

  test('interpolated ranks of the normal distribution lie a little inside them at 93 %', () => {
    const line = theilSen(sen, 0.93)
    // worked out by hand: ranks 4.468 and 17.532
    expect(line?.lower).toBeCloseTo(3.731, 3)
    expect(line?.upper).toBeCloseTo(4.2846, 4)
  })
})

/**
 * USEPA, Statistical Analysis of Groundwater Monitoring Data at RCRA Facilities, Unified Guidance (EPA 530-R-09-007,
 * March
 * 2009). Data of both examples, and the results of the first, were read in a second copy, the R package EnvStats 3.1.0.
 */
describe('USEPA Unified Guidance (2009)', () => {
  const sulfate = pointsOf(
    [
      89.6, 89.8, 90.1, 90.3, 90.6, 90.8, 91.1, 91.3, 91.6, 91.8, 92.1, 92.6, 93.1, 93.6, 94.1, 94.6, 95.1, 95.6, 95.8,
      96.1, 96.3, 96.6, 96.8,
    ],
    [480, 450, 490, 520, 485, 510, 510, 530, 510, 560, 560, 540, 590, 550, 600, 700, 570, 610, 650, 620, 830, 720, 590],
  )

  test('Example 17-6, sulfate: tau .7667984 (S of the pairs), z 5.107322, p 3.267574e-07', () => {
    const { s, variance, z, p } = mannKendall(sulfate)
    expect(sulfate).toHaveLength(23)
    expect(s / 253).toBeCloseTo(0.7667984, 7)
    expect(z).toBeCloseTo(5.107322, 6)
    expect(p * 1e7).toBeCloseTo(3.267574, 6)
    // worked out by hand from the ties of 3, 2 and 2
    expect([s, variance]).toEqual([194, 1428])
  })

  test('Example 17-6, sulfate: slope 26.6666667 a year, intercept -1909.3333333, 95 % limits 20 and 35.71182', () => {
    const line = theilSen(sulfate, 0.95)
    expect(line?.slope).toBeCloseTo(26.6666667, 7)
    expect(line?.intercept).toBeCloseTo(-1909.3333333, 7)
    expect(line?.lower).toBeCloseTo(20, 5)
    expect(line?.upper).toBeCloseTo(35.71182, 5)
  })

  /**
   * The results were worked out by hand from the published data; the slope is said to be printed as 1.33, not checked.
   */
  test('Example 17-7, sodium: slope 1.333333, S 25, z 2.146625, p .031823, 95 % limits .399208 and 2.333333', () => {
    const sodium = pointsOf(
      [89.6, 90.1, 90.8, 91.1, 92.1, 93.1, 94.1, 95.6, 96.1, 96.3],
      [56, 53, 51, 55, 52, 60, 62, 59, 61, 63],
    )
    const { s, variance, z, p } = mannKendall(sodium)
    expect([s, variance]).toEqual([25, 125])
    expect(z).toBeCloseTo(2.146625, 6)
    expect(p).toBeCloseTo(0.031823, 6)
    const line = theilSen(sodium, 0.95)
    expect(line?.slope).toBeCloseTo(1.333333, 6)
    expect(line?.intercept).toBeCloseTo(-65.966667, 6)
    expect(line?.lower).toBeCloseTo(0.399208, 6)
    expect(line?.upper).toBeCloseTo(2.333333, 6)
  })
})

describe('the line', () => {
  test('an even number of slopes has the mean of the middle two; y 0, 1, 1 at x 0, 1, 2 gives .5 and .5', () => {
    expect(theilSen(pointsOf([0, 1, 2], [0, 1, 1]), 0.95)).toMatchObject({ slope: 0.5, intercept: 0.5 })
    expect(theilSen(pointsOf([0, 1, 1, 2], [0, 1, 2, 4]), 0.95)).toMatchObject({ slope: 2, intercept: -0.5 })
  })

  test.each([
    ['no point', []],
    ['one point', [{ x: 1, y: 1 }]],
    ['every x the same', pointsOf([3, 3, 3], [1, 2, 9])],
  ])('there is none with %s', (_, points) => {
    expect(theilSen(points, 0.95)).toBeNull()
  })

  test('five points have no limits at 95 %, six have the least and the greatest slope', () => {
    expect(theilSen(pointsOf(oneTo(5), [1, 2, 3, 4, 9]), 0.95)).toMatchObject({ lower: -Infinity, upper: Infinity })
    const line = theilSen(pointsOf(oneTo(6), [1, 2, 3, 4, 5, 9]), 0.95)
    expect(line?.lower).toBeCloseTo(1, 9)
    expect(line?.upper).toBeLessThan(4)
  })
})

describe('the chance of S', () => {
  test.each([
    ['no ties', [1, 2, 3, 4, 5, 6], [1, 2, 3, 4, 5, 6]],
    ['equal y', [1, 2, 3, 4, 5], [1, 1, 1, 2, 2]],
    ['equal x', [1, 1, 2, 2, 3], [1, 2, 3, 4, 5]],
    ['equal x and equal y', [1, 1, 1, 2, 3, 3], [5, 5, 5, 5, 6, 7]],
    ['every y the same', [1, 1, 2, 3], [4, 4, 4, 4]],
    ['two points at one place', [1, 1], [2, 2]],
  ])('Kendall (1975): with %s the variance is that of S over every order', (_, xs, ys) => {
    const every = chanceOf(xs, ys)
    const variance = every.reduce((sum, s) => sum + s * s, 0) / every.length
    expect(mannKendall(pointsOf(xs, ys)).variance).toBeCloseTo(variance, 9)
  })

  test.each([4, 5, 6, 7])(
    'of %d points without ties, p falls below 5 %% for just those S for which the exact chance does',
    (n) => {
      const orders = ordersOf(oneTo(n)).map((order) => mannKendall(pointsOf(oneTo(n), order)))
      for (const [s, same] of Map.groupBy(orders, (one) => one.s)) {
        const exact = orders.filter((other) => Math.abs(other.s) >= Math.abs(s)).length / orders.length
        expect((same[0]?.p ?? NaN) < 0.05, `S ${s}`).toBe(exact < 0.05)
      }
    },
  )

  test('nothing rises or falls among equal readings', () => {
    expect(mannKendall(pointsOf(oneTo(6), [3, 3, 3, 3, 3, 3]))).toEqual({ s: 0, variance: 0, z: 0, p: 1 })
    expect(mannKendall([])).toEqual({ s: 0, variance: 0, z: 0, p: 1 })
  })
})

describe('random points', () => {
  const seeded = { seed: 1968, numRuns: 500 }
  const coordinate = fc.oneof(
    fc.integer({ min: 0, max: 12 }),
    fc.integer({ min: -50_000, max: 50_000 }).map((thousandths) => thousandths / 1000),
  )
  const anyPoints = fc
    .array(fc.record({ x: coordinate, y: coordinate }), { minLength: 2, maxLength: 25 })
    .filter((points) => points.some(({ x }) => x !== points[0]?.x))
  const slopeElsewhere = (points: readonly { x: number; y: number }[]) =>
    new TheilSenRegression(
      points.map(({ x }) => x),
      points.map(({ y }) => y),
    ).slope

  /**
   * Of an even number of slopes that library takes the lower of the middle two; of the same points upside down that is
   * the upper, so half of both is the median. Its intercept is another (the median of y less slope times x), so not
   * compared.
   */
  test('the slope is that of ml-regression-theil-sen', () => {
    fc.assert(
      fc.property(anyPoints, (points) => {
        const upsideDown = points.map(({ x, y }) => ({ x, y: -y }))
        const other = (slopeElsewhere(points) - slopeElsewhere(upsideDown)) / 2
        const apart = Math.abs((theilSen(points, 0.95)?.slope ?? NaN) - other)
        expect(apart).toBeLessThanOrEqual(1e-12 * Math.max(1, Math.abs(other)))
      }),
      seeded,
    )
  })

  test('the order of the points changes nothing, and the slope lies within its limits', () => {
    fc.assert(
      fc.property(anyPoints, fc.array(fc.nat(), { minLength: 25, maxLength: 25 }), (points, keys) => {
        const mixed = points
          .map((point, index) => ({ point, key: keys[index] ?? 0 }))
          .sort((one, other) => one.key - other.key)
          .map(({ point }) => point)
        const line = theilSen(points, 0.95)
        expect(theilSen(mixed, 0.95)).toEqual(line)
        expect(mannKendall(mixed)).toEqual(mannKendall(points))
        expect(line?.lower).toBeLessThanOrEqual(line?.slope ?? NaN)
        expect(line?.upper).toBeGreaterThanOrEqual(line?.slope ?? NaN)
      }),
      seeded,
    )
  })
})
