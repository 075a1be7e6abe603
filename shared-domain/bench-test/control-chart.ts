/**
 * The control chart of single readings and of the step from each to the next (NIST/SEMATECH e-Handbook of Statistical
 * Methods, 6.3.2.2). It shows whether an instrument still reads a known piece as it did: long before a reading leaves
 * what the procedure allows, which is asked beside it and not here.
 */

/** The mean step between two readings of one spread is 1.128 times that spread (6.3.2.2: d₂ of two readings). */
const stepsToSpread = 1.128

/** Readings stay within three spreads of their mean: 3/1.128 is 2.66 times the mean step (6.3.2.2). */
const spreads = 3

/** Steps stay below 3.267 times the mean step (6.3.2.1, its table of factors: D₄ of two readings). */
const mostSteps = 3.267

/** The house's own figure: the worked example of 6.3.2.2 has ten readings, and fewer make no limits worth the name. */
export const leastReadings = 10

/** The house's own figure: below it the limits still move with every reading. */
const settledReadings = 20

/**
 * The rules by which readings within the limits show that something changed (6.3.2, the rules and the trend rules of
 * its list): eight in a row on one side of the mean; six in a row that each rise, or each fall.
 */
const rowOnOneSide = 8
const rowOfSteps = 6

export const chartRules = [
  'reading-outside',
  'step-outside',
  'above-the-mean',
  'below-the-mean',
  'rising',
  'falling',
] as const
export type ChartRule = (typeof chartRules)[number]

/** A rule that readings break, from the first of them to the last. */
export interface ChartWarning {
  readonly rule: ChartRule
  readonly from: number
  readonly to: number
}

export interface ControlChart {
  readonly mean: number
  readonly low: number
  readonly high: number
  readonly meanStep: number
  readonly highStep: number
  /** the steps from each reading to the next; one fewer than readings */
  readonly steps: readonly number[]
  /** there are enough readings for limits, and not yet enough for them to stay where they are */
  readonly isPreliminary: boolean
  /** rules that are broken, by where that begins */
  readonly warnings: readonly ChartWarning[]
}

/** Readings in their order, the oldest first; null where they are too few. */
export function controlChart(readings: readonly number[]): ControlChart | null {
  if (readings.length < leastReadings) return null
  const steps = readings.slice(1).map((reading, i) => Math.abs(reading - (readings[i] ?? reading)))
  const [mean, meanStep] = [meanOf(readings), meanOf(steps)]
  const away = (spreads * meanStep) / stepsToSpread
  const chart = { mean, low: mean - away, high: mean + away, meanStep, highStep: mostSteps * meanStep }
  const warnings = [
    ...alone('reading-outside', readings, (one) => one < under(chart.low) || one > over(chart.high)),
    ...alone('step-outside', steps, (one) => one > over(chart.highStep)).map(({ from, to, rule }) => ({
      rule,
      from: from + 1,
      to: to + 1,
    })),
    ...inRow('above-the-mean', readings, { least: rowOnOneSide, holds: (one) => one > over(mean) }),
    ...inRow('below-the-mean', readings, { least: rowOnOneSide, holds: (one) => one < under(mean) }),
    ...inRow('rising', readings, { least: rowOfSteps, goesOn: (one, before) => one > before }),
    ...inRow('falling', readings, { least: rowOfSteps, goesOn: (one, before) => one < before }),
  ]
  return {
    ...chart,
    steps,
    isPreliminary: readings.length < settledReadings,
    warnings: warnings.sort((a, b) => a.from - b.from || a.to - b.to),
  }
}

const meanOf = (values: readonly number[]) => values.reduce((sum, one) => sum + one, 0) / values.length

/** The sum of equal readings can miss them by a hair of binary fractions, and no reading is that exact. */
const hair = 1e-9
const over = (value: number) => value + Math.abs(value) * hair
const under = (value: number) => value - Math.abs(value) * hair

function alone(rule: ChartRule, values: readonly number[], isOutside: (value: number) => boolean): ChartWarning[] {
  return values.flatMap((value, i) => (isOutside(value) ? [{ rule, from: i, to: i }] : []))
}

interface Row {
  readonly least: number
  /** the mark of each reading of the row, alone or beside the one before it */
  readonly holds?: (value: number) => boolean
  readonly goesOn?: (value: number, before: number) => boolean
}

function inRow(rule: ChartRule, readings: readonly number[], row: Row): ChartWarning[] {
  const { least, holds = () => true, goesOn = () => true } = row
  const found: ChartWarning[] = []
  for (let from = 0; from < readings.length; ) {
    let end = from
    while (end < readings.length && holds(at(readings, end)) && (end === from || stepGoesOn(end))) end++
    if (end - from >= least) found.push({ rule, from, to: end - 1 })
    // a reading that ends one rise can begin the next
    from = Math.max(from + 1, row.goesOn === undefined ? end : end - 1)
  }
  return found

  function stepGoesOn(index: number): boolean {
    return goesOn(at(readings, index), at(readings, index - 1))
  }
}

const at = (readings: readonly number[], index: number) => readings[index] ?? Number.NaN
