/**
 * What follows from a bench test, by how many times the stick has failed electrically and whether anything was done about
 * it since. A first failure may be dirt outside; after cleaning or refinishing a second one means that its inside is
 * suspect, and it leaves service for good (common practice). Waxing alone hides leakage and counts as no step.
 */
import type { Judgement } from '../bench-test/judge.ts'
import type { CalendarDate } from '../calendar.ts'

/** The failure a stick has not yet been cleared of. */
export interface Failure {
  readonly factId: string
  readonly failedOn: CalendarDate
  /** the day of the first cleaning, refinishing or repair since, or null */
  readonly correctedOn: CalendarDate | null
}

export type FailureStage = 'none' | 'failed' | 'corrected'

export type Outcome = 'pass' | 'examined' | 'electrical failure' | 'examination failure' | 'invalid' | 'incomplete'

export type Consequence =
  | 'counts: holds cleared, clocks wound'
  | 'counts where nothing stands against it: clocks wound, no hold cleared'
  | 'hold: failed'
  | 'hold: failed examination'
  | 'hold: unproven'
  | 'hold: no corrective step'
  | 'remove for good'

/** Total by its type: every stage against every outcome. */
export const consequences: { readonly [stage in FailureStage]: { readonly [outcome in Outcome]: Consequence } } = {
  none: {
    pass: 'counts: holds cleared, clocks wound',
    examined: 'counts where nothing stands against it: clocks wound, no hold cleared',
    'electrical failure': 'hold: failed',
    'examination failure': 'hold: failed examination',
    invalid: 'hold: unproven',
    incomplete: 'hold: unproven',
  },
  failed: {
    pass: 'hold: no corrective step',
    examined: 'hold: unproven',
    'electrical failure': 'hold: no corrective step',
    'examination failure': 'hold: failed examination',
    invalid: 'hold: unproven',
    incomplete: 'hold: unproven',
  },
  corrected: {
    pass: 'counts: holds cleared, clocks wound',
    examined: 'hold: unproven',
    'electrical failure': 'remove for good',
    'examination failure': 'hold: failed examination',
    invalid: 'hold: unproven',
    incomplete: 'hold: unproven',
  },
}

export function stageOf(failure: Failure | null): FailureStage {
  if (failure === null) return 'none'
  return failure.correctedOn === null ? 'failed' : 'corrected'
}

export function outcomeOf({ verdict, cause, byExaminationAlone }: Judgement): Outcome {
  switch (verdict) {
    case 'pass':
      return byExaminationAlone ? 'examined' : 'pass'
    case 'fail':
      return cause === 'examination' ? 'examination failure' : 'electrical failure'
    case 'invalid':
      return 'invalid'
    case 'incomplete':
      return 'incomplete'
  }
}
