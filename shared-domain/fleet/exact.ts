/**
 * Exact probabilities of counts: the limits of a share, and whether a part fails more often than the rest. Nothing here
 * takes a normal distribution in place of the counts.
 */

export interface Limits {
  readonly low: number
  readonly high: number
}

/** Things that were looked at, and those among them that are so. */
export interface Counted {
  readonly found: number
  readonly of: number
}

/**
 * The exact limits of a share (Clopper and Pearson 1934): at the low one as many or more are found by chance in
 * (1 − confidence)/2 of cases, and at the high one as many or fewer.
 */
export function binomialLimits({ found, of }: Counted, confidence: number): Limits {
  const tail = (1 - confidence) / 2
  return { low: lowLimit({ found, of }, tail), high: 1 - lowLimit({ found: of - found, of }, tail) }
}

/**
 * The limit is found by halving between nought and the share itself: the tail rises with the chance all the way, and 80
 * halvings leave less than a double can tell apart.
 */
function lowLimit({ found, of }: Counted, tail: number): number {
  if (found === 0) return 0
  const ways = lnChoose(of, found)
  let low = 0
  let high = found / of
  for (let halving = 0; halving < 80; halving++) {
    const middle = (low + high) / 2
    const first = Math.exp(ways + found * Math.log(middle) + (of - found) * Math.log1p(-middle))
    const odds = middle / (1 - middle)
    const asMany = sumOf(first, (i) => ((of - found - i) / (found + i + 1)) * odds)
    if (asMany > tail) high = middle
    else low = middle
  }
  return (low + high) / 2
}

/** A lot, and all that are not of it. */
export interface LotAndRest {
  readonly lot: Counted
  readonly rest: Counted
}

/**
 * Fisher's exact test (1935), one-sided: how likely chance alone puts so many failures, or more, into the lot, given
 * how many there are in all.
 */
export function chanceOfAsMany({ lot, rest }: LotAndRest): number {
  const all = lot.of + rest.of
  const failed = lot.found + rest.found
  const most = Math.min(lot.of, failed)
  if (lot.found === 0) return 1
  const others = all - lot.of - failed
  const withFailures = (count: number) =>
    Math.exp(lnChoose(lot.of, count) + lnChoose(rest.of, failed - count) - lnChoose(all, failed))
  // summing begins where the terms fall: above what is to be expected upwards, below it downwards
  if (lot.found * all > lot.of * failed) {
    const from = lot.found
    return sumOf(withFailures(from), (i) => {
      const count = from + i
      return count >= most ? 0 : ((lot.of - count) * (failed - count)) / ((count + 1) * (others + count + 1))
    })
  }
  const from = lot.found - 1
  if (failed - from > rest.of) return 1
  const fewer = sumOf(withFailures(from), (i) => {
    const count = from - i
    return (count * (others + count)) / ((lot.of - count + 1) * (failed - count + 1))
  })
  return Math.max(0, 1 - fewer)
}

/** Sums terms of which each is the one before times a ratio, until they say nothing any more. */
function sumOf(first: number, ratio: (index: number) => number): number {
  let sum = first
  let term = first
  for (let index = 0; term > sum * 1e-18; index++) {
    term *= ratio(index)
    sum += term
  }
  return Math.min(1, sum)
}

/** The logarithm of the number of ways to choose so many of all. */
function lnChoose(all: number, chosen: number): number {
  const fewer = Math.min(chosen, all - chosen)
  let sum = 0
  for (let i = 1; i <= fewer; i++) sum += Math.log((all - fewer + i) / i)
  return sum
}

/**
 * Chances put right for how many were looked at (Holm 1979, Scandinavian Journal of Statistics 6, 65 to 70): the
 * smallest counts as often as there are chances, the next once less, and none less than one before it. Whoever takes
 * those at most 5 % is wrong about any of them in at most 5 % of cases. Holm's way finds all that Bonferroni's does,
 * and assumes no more.
 */
export function putRightForMany(chances: readonly number[]): number[] {
  const inOrder = chances.map((chance, at) => ({ chance, at })).sort((a, b) => a.chance - b.chance)
  const right = new Array<number>(chances.length).fill(1)
  let least = 0
  for (const [i, { chance, at }] of inOrder.entries()) {
    least = Math.max(least, Math.min(1, (chances.length - i) * chance))
    right[at] = least
  }
  return right
}
