/**
 * The consequence of a bench test, by how many times the stick has failed electrically and whether anything was done
 * about it since.
 * - A first failure may be dirt outside.
 * - A second failure after cleaning or refinishing means that the inside is suspect: the stick leaves service for good
 *   (common practice).
 * - Waxing alone hides leakage and counts as no step.
 */
import type { Judgement } from '../bench-test/judge.ts'
import type { CalendarDate, Instant } from '../calendar.ts'

/** The failure a stick has not yet been cleared of. */
export interface Failure {
  readonly factId: string
  readonly failedOn: CalendarDate
  /** the day of the first cleaning, refinishing or repair since, or null */
  readonly correctedOn: CalendarDate | null
  /** true where the stick was refinished or repaired since, and not only cleaned; earlier builds did not keep it */
  readonly refinished?: boolean
  readonly found: FoundFailure
  /** true where the next failure after a step removes the stick for good */
  readonly counts: boolean
}

/** A finding that has to be mended: its instant, since when it is known, and its place among the stick's facts. */
export interface FoundFailure {
  readonly instant: Instant
  readonly knownSince: Instant
  readonly seq: number
}

export type FailureStage = 'none' | 'failed' | 'corrected' | 'doubtful' | 'doubtful, corrected'

/**
 * A failure is doubtful where it counts toward no removal:
 * - a reading inside the guard band may be within the limit;
 * - where the hour of the test or of the step is not known, the failure may have come before the step.
 */
export type TestOutcome =
  | 'pass'
  | 'examined'
  | 'electrical failure'
  | 'doubtful failure'
  | 'examination failure'
  | 'invalid'
  | 'incomplete'

export type Consequence =
  | 'counts: holds cleared, clocks wound'
  | 'counts where nothing stands against it: clocks wound, no hold cleared'
  | 'hold: failed'
  | 'hold: failed, not counted'
  | 'hold: failed before, and not for certain again'
  | 'hold: failed examination'
  | 'hold: unproven'
  | 'hold: no corrective step'
  | 'remove for good'

/** The table is total by its type: every stage against every outcome. */
export const consequences: { readonly [stage in FailureStage]: { readonly [outcome in TestOutcome]: Consequence } } = {
  none: {
    pass: 'counts: holds cleared, clocks wound',
    examined: 'counts where nothing stands against it: clocks wound, no hold cleared',
    'electrical failure': 'hold: failed',
    'doubtful failure': 'hold: failed, not counted',
    'examination failure': 'hold: failed examination',
    invalid: 'hold: unproven',
    incomplete: 'hold: unproven',
  },
  failed: {
    pass: 'hold: no corrective step',
    examined: 'hold: unproven',
    'electrical failure': 'hold: no corrective step',
    'doubtful failure': 'hold: no corrective step',
    'examination failure': 'hold: failed examination',
    invalid: 'hold: unproven',
    incomplete: 'hold: unproven',
  },
  corrected: {
    pass: 'counts: holds cleared, clocks wound',
    examined: 'hold: unproven',
    'electrical failure': 'remove for good',
    'doubtful failure': 'hold: failed before, and not for certain again',
    'examination failure': 'hold: failed examination',
    invalid: 'hold: unproven',
    incomplete: 'hold: unproven',
  },
  doubtful: {
    pass: 'hold: no corrective step',
    examined: 'hold: unproven',
    'electrical failure': 'hold: failed',
    'doubtful failure': 'hold: no corrective step',
    'examination failure': 'hold: failed examination',
    invalid: 'hold: unproven',
    incomplete: 'hold: unproven',
  },
  'doubtful, corrected': {
    pass: 'counts: holds cleared, clocks wound',
    examined: 'hold: unproven',
    'electrical failure': 'hold: failed',
    'doubtful failure': 'hold: failed, not counted',
    'examination failure': 'hold: failed examination',
    invalid: 'hold: unproven',
    incomplete: 'hold: unproven',
  },
}

export function stageOf(failure: Failure | null): FailureStage {
  if (failure === null) return 'none'
  if (failure.counts) return failure.correctedOn === null ? 'failed' : 'corrected'
  return failure.correctedOn === null ? 'doubtful' : 'doubtful, corrected'
}

/** `maybeBeforeStep`: the stick may have been cleaned, refinished or repaired only after this test. */
export function outcomeOf(
  { verdict, cause, byExaminationAlone, inGuardBand }: Judgement,
  maybeBeforeStep: boolean,
): TestOutcome {
  switch (verdict) {
    case 'pass':
      return byExaminationAlone ? 'examined' : 'pass'
    case 'fail':
      if (cause === 'examination') return 'examination failure'
      return maybeBeforeStep || inGuardBand ? 'doubtful failure' : 'electrical failure'
    case 'invalid':
      return 'invalid'
    case 'incomplete':
      return 'incomplete'
  }
}
