/** Minutes of a stick at the bench, and sticks of a crew that may be away: from the procedure and the registers. */
import type { Construction } from '../words.ts'

/** Figures of the employer, in minutes. */
export interface BenchWork {
  /** minutes to unpack, examine and clean a stick, and to write it up */
  readonly setUpMinutes: number
  /** minutes for one reading, moving the electrodes on among it */
  readonly readingMinutes: number
  /** minutes to wet a stick and let it drain before its wet readings */
  readonly wettingMinutes: number
  /** minutes to refinish a stick that fails */
  readonly refinishingMinutes: number
  /** the share of sticks that fail, between nought and one */
  readonly failingShare: number
  readonly spanMetres: number
  readonly leastOverlapMetres: number
}

const quarterTurns = 4
const millimetresPerMetre = 1000
const whole = (metres: number) => Math.round(metres * millimetresPerMetre)

/** Spans that cover a length where each reaches so far into the one before. @lintignore tried by itself */
export function spansOver(lengthMetres: number, work: Pick<BenchWork, 'spanMetres' | 'leastOverlapMetres'>): number {
  const [length, span, overlap] = [whole(lengthMetres), whole(work.spanMetres), whole(work.leastOverlapMetres)]
  return Math.max(1, Math.ceil((length - overlap) / (span - overlap)))
}

export interface StickAtBench {
  readonly construction: Construction
  readonly workingLengthMetres: number
}

/**
 * Whole minutes to reckon with, rounded up: a survey at each quarter turn, dry and then wet; wood is read dry alone. A
 * share of the sticks fails, is refinished and read again.
 */
export function benchMinutesFor({ construction, workingLengthMetres }: StickAtBench, work: BenchWork): number {
  const survey = spansOver(workingLengthMetres, work) * quarterTurns * work.readingMinutes
  const readings = construction === 'wood' ? survey : 2 * survey + work.wettingMinutes
  const again = work.failingShare * (work.refinishingMinutes + readings)
  // a whole number but for the last digit of a double stays it
  return Math.ceil(work.setUpMinutes + readings + again - 1e-9)
}

export interface CrewStock {
  /** sticks of the kinds that stand in for each other */
  readonly has: number
  readonly needs: number
  readonly loaners: number
  /** sticks away already, by week; nought where the list ends */
  readonly awayAlready: readonly number[]
}

export function mayBeAwayIn(weeks: number, { has, needs, loaners, awayAlready }: CrewStock): number[] {
  return Array.from({ length: weeks }, (_, week) => Math.max(0, has + loaners - needs - (awayAlready[week] ?? 0)))
}
