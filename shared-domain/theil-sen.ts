/**
 * A straight line through points that a few wild ones cannot pull aside, and whether the points rise at all.
 *
 * Line and trend rest on ranks alone: Theil (1950) and Sen (1968) for the line, Mann (1945) and Kendall (1975) for the
 * trend.
 */

interface Point {
  readonly x: number
  readonly y: number
}

interface Line {
  /** the median of the slopes between every two points of different x */
  readonly slope: number
  /** median y less slope times median x (Conover) */
  readonly intercept: number
  /** confidence limits of the slope; infinite where there are too few points for any at that confidence */
  readonly lower: number
  readonly upper: number
}

/**
 * The limits stand at the ranks M₁ = (N′ − C)/2 and M₂ + 1 = (N′ + C)/2 + 1 among the N′ slopes, and between two slopes
 * where a rank is no whole number (Gilbert 1987, 16.5). C is the normal quantile times the standard deviation of S.
 * Others round the ranks, so their limits differ by up to the step to the next slope.
 */
export function theilSen(points: readonly Point[], confidence: number): Line | null {
  const slopes = pairs(points)
    .filter(([one, other]) => one.x !== other.x)
    .map(([one, other]) => (other.y - one.y) / (other.x - one.x))
    .sort((one, other) => one - other)
  if (slopes.length === 0) return null

  const slope = median(slopes)
  const across = normalQuantile((1 + confidence) / 2) * Math.sqrt(mannKendall(points).variance)
  return {
    slope,
    intercept: median(points.map((point) => point.y)) - slope * median(points.map((point) => point.x)),
    lower: atRank(slopes, (slopes.length - across) / 2),
    upper: atRank(slopes, (slopes.length + across) / 2 + 1),
  }
}

interface Monotony {
  /** pairs that rise less pairs that fall */
  readonly s: number
  readonly variance: number
  readonly z: number
  /** two-sided */
  readonly p: number
}

/**
 * The variance is Kendall's (1975), corrected for equal y and for equal x alike: a stick can be tested twice in a day.
 * S moves in whole steps, so z is taken one step nearer to nothing; p is that of the normal distribution.
 */
export function mannKendall(points: readonly Point[]): Monotony {
  const s = pairs(points).reduce(
    (sum, [one, other]) => sum + Math.sign(other.x - one.x) * Math.sign(other.y - one.y),
    0,
  )
  const variance = varianceOfS(
    points.length,
    tiesAmong(points.map((point) => point.x)),
    tiesAmong(points.map((point) => point.y)),
  )
  const z = s === 0 ? 0 : (s - Math.sign(s)) / Math.sqrt(variance)
  return { s, variance, z, p: 2 * normalTail(Math.abs(z)) }
}

function varianceOfS(n: number, ties: readonly number[], others: readonly number[]): number {
  const sumOver = (counts: readonly number[], term: (t: number) => number) =>
    counts.reduce((sum, count) => sum + term(count), 0)
  const together = (term: (t: number) => number) => sumOver(ties, term) * sumOver(others, term)
  const single = (t: number) => t * (t - 1) * (2 * t + 5)
  const double = (t: number) => t * (t - 1)
  const triple = (t: number) => t * (t - 1) * (t - 2)
  const terms = [
    (single(n) - sumOver(ties, single) - sumOver(others, single)) / 18,
    n < 3 ? 0 : together(triple) / (9 * triple(n)),
    n < 2 ? 0 : together(double) / (2 * double(n)),
  ]
  // the terms cancel where every y or every x is the same, but for a hair of binary fractions
  return Math.max(
    0,
    terms.reduce((sum, term) => sum + term, 0),
  )
}

/** Counts the values that share each value, for values that more than one has. */
function tiesAmong(values: readonly number[]): number[] {
  return [...Map.groupBy(values, (value) => value).values()].map((same) => same.length).filter((count) => count > 1)
}

function pairs(points: readonly Point[]): [Point, Point][] {
  const inOrder = [...points].sort((one, other) => one.x - other.x || one.y - other.y)
  return inOrder.flatMap((one, index) => inOrder.slice(index + 1).map((other): [Point, Point] => [one, other]))
}

function median(values: readonly number[]): number {
  const inOrder = [...values].sort((one, other) => one - other)
  return atRank(inOrder, (inOrder.length + 1) / 2)
}

/** The value at a rank counted from 1, in proportion between two; beyond the first and the last there is none. */
function atRank(inOrder: readonly number[], rank: number): number {
  const below = inOrder[Math.floor(rank) - 1]
  const above = inOrder[Math.ceil(rank) - 1]
  if (below === undefined || above === undefined) return rank < 1 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY
  return below + (above - below) * (rank - Math.floor(rank))
}

/**
 * The normal probability above z ≥ 0 (Abramowitz and Stegun 1964): the series 26.2.11 while it subtracts little, the
 * continued fraction 26.2.14 beyond, so that small probabilities keep their digits.
 */
function normalTail(z: number): number {
  const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)
  if (z > 2) return density / continuedFraction(z)
  let term = z
  let sum = z
  for (let odd = 3; odd < 80; odd += 2) {
    term *= (z * z) / odd
    sum += term
  }
  return 0.5 - density * sum
}

function continuedFraction(z: number): number {
  let fraction = z
  for (let step = 200; step > 0; step--) fraction = z + step / fraction
  return fraction
}

/**
 * The quantile is found by halving: the tail falls all the way, and 60 halvings leave less than a double can tell
 * apart.
 */
function normalQuantile(probability: number): number {
  let low = 0
  let high = 40
  for (let halving = 0; halving < 60; halving++) {
    const middle = (low + high) / 2
    if (normalTail(middle) > 1 - probability) low = middle
    else high = middle
  }
  return (low + high) / 2
}
