/**
 * Everything to say of one bench test beyond its verdict: where it reads high, what that is likely to mean, where it
 * tends.
 */
import type { CalendarDate } from '../calendar.ts'
import type { BenchTest } from './bench-test.ts'
import { isShown } from './demonstration.ts'
import { type InPhaseShare, inPhaseShares } from './in-phase.ts'
import type { JudgedBy, Judgement } from './judge.ts'
import { type Likely, likelyCauses } from './pattern.ts'
import { type Strip, stripsOf } from './strip.ts'
import { earlierTestAdvised, type Trend, trendsOf } from './trend.ts'
import { notShownAlive } from './trust.ts'

export interface JudgedTest {
  readonly test: BenchTest
  readonly by: JudgedBy
  readonly judgement: Judgement
}

export interface Analysis {
  readonly strips: readonly Strip[]
  /** common practice, and never proof */
  readonly likely: readonly Likely[]
  /** dry readings, against the stick's first dry test that passed */
  readonly inPhase: readonly InPhaseShare[]
  /** places that rise significantly */
  readonly rising: readonly Trend[]
  /**
   * rising places that would meet their limit before `dueOn`, the earliest first: advice to test earlier, never later
   */
  readonly meetsLimitBeforeDue: readonly Trend[]
  /** the employer's demonstration by which readings stand in place of the rule's withstand test */
  readonly equivalence?: string
}

/** `history` is every test of the stick up to this one, in order of time; the last of them is the one told of. */
export function analysisOf(history: readonly JudgedTest[], dueOn: CalendarDate | null): Analysis {
  const last = history.at(-1)
  if (last === undefined) return { strips: [], likely: [], inPhase: [], rising: [], meetsLimitBeforeDue: [] }
  const surveys = history
    .map(({ test, by, judgement }) => ({ testedOn: test.testedOn, strips: stripsOf(test, by), judgement }))
    .filter(({ strips }) => strips.length > 0)
  const strips = stripsOf(last.test, last.by)
  const before = surveys.filter(({ judgement }) => judgement !== last.judgement && wasAlive(judgement)).at(-1)
  const baseline = surveys.find(({ judgement }) => judgement.verdict === 'pass')
  // a test that proves nothing shows no tendency either
  const trends = trendsOf(surveys.filter(({ judgement }) => judgement.verdict !== 'invalid'))
  const { demonstrated } = last.by
  const equivalence = isShown('readings for withstand', demonstrated)
    ? `${demonstrated?.id}: ${demonstrated?.body.by}, ${demonstrated?.body.grounds}`
    : undefined
  const rising = trends.filter((trend) => trend.significant && trend.microampsPerYear > 0)
  return {
    strips,
    likely: wasAlive(last.judgement) ? likelyCauses(strips, before?.strips ?? null) : [],
    inPhase:
      baseline === undefined || baseline.judgement === last.judgement || !wasAlive(last.judgement)
        ? []
        : inPhaseShares(strips, baseline.strips),
    rising,
    meetsLimitBeforeDue: dueOn === null ? [] : earlierTestAdvised(rising, dueOn),
    ...(equivalence === undefined || strips.length === 0 ? {} : { equivalence }),
  }
}

/** Figures of a dead instrument hint at nothing, and nothing rises from them. */
function wasAlive({ reasons }: Judgement): boolean {
  return !reasons.some(({ code }) => code === notShownAlive)
}
