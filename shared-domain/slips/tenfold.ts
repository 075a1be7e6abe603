/** Figures with a decimal out of place. */

/** The house's own figure: what was read twice at one place, within this factor, agrees. Nought agrees with nothing. */
const factor = 1.5

export function agree(one: number, other: number): boolean {
  return one > 0 && one <= factor * other && other <= factor * one
}

/** The figures that may have been meant, one decimal place off. */
export function tenfold(figure: number): number[] {
  return [rounded(figure / 10), rounded(figure * 10)]
}

/** The same digits with the decimal where it comes nearest to what is usual; none where one of both is nought. */
export function meantBy(figure: number, usual: number): number | undefined {
  if (figure === 0 || usual === 0) return undefined
  return rounded(figure / 10 ** Math.round(Math.log10(figure / usual)))
}

/** A figure without what binary fractions add: 4.2 / 10 is 0.42000000000000004. */
export function rounded(figure: number, digits = 12): number {
  return Number(figure.toPrecision(digits))
}
