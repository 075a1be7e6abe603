/**
 * The effect on the fleet of an edit that would loosen, counted when it is proposed, so that whoever approves knows
 * what hangs on it.
 */
import { type Editions, judgeByEditions } from '../bench-test/editions.ts'
import type { Judgement } from '../bench-test/judge.ts'
import type { CalendarDate } from '../calendar.ts'
import type { RecordedFact } from '../facts.ts'
import type { Rules } from '../policy/rules.ts'
import type { Instrument, Procedure, Stick } from '../registers.ts'
import { severity } from '../state/judged-again.ts'
import { type Stands, stands, type Tally } from '../state/policy-change.ts'
import { standingOn } from '../state/standing.ts'
import type { StickState } from '../state/state.ts'

interface Counted {
  readonly sticks: number
  /** false where only the first so many sticks were counted */
  readonly isWhole: boolean
}

export type FleetEffect =
  | ({ readonly of: 'rules' } & Tally & Counted)
  /**
   * sticks last tested by the entry, so many of whose tests would have been judged more mildly; what was judged stays
   */
  | ({ readonly of: 'tests'; readonly milder: number } & Counted)
  | ({ readonly of: 'sticks' } & Counted)
  | { readonly of: 'stick'; readonly inForce: Stands; readonly proposed: Stands }

/**
 * A judgement is milder where a pass was none before, where a failure is none any more, or where a failure counts for
 * less.
 */
export function isMilder(is: Judgement, was: Judgement): boolean {
  const against = (one: Judgement) => (one.verdict === 'pass' ? -1 : severity(one))
  return against(is) < against(was)
}

/** `instead` is the edition that would have judged the test in place of the one that did. */
export function wouldBeMilder(
  { test, judgement }: RecordedFact & { kind: 'tested' },
  editions: Editions,
  instead: { readonly procedure: Procedure } | { readonly instrument: Instrument },
): boolean {
  const others =
    'procedure' in instead
      ? { procedure: instead.procedure }
      : { instruments: [...editions.instruments, { effectiveFrom: test.testedOn, body: instead.instrument }] }
  return isMilder(judgeByEditions(test, { ...editions, ...others }), judgement)
}

interface EditedStick {
  readonly stick: Stick
  readonly from: CalendarDate
  readonly day: CalendarDate
  readonly rules: Rules
}

/** The stick as it stands on a day, and as it would stand by the edited entry. */
export function stickEffect(state: StickState, { stick, from, day, rules }: EditedStick): FleetEffect {
  const edition = { seq: state.facts + 1, effectiveFrom: from, stick }
  const edited = { ...state, registrations: [...state.registrations, edition] }
  const standing = (one: StickState) => stands(standingOn(one, day, rules))
  return { of: 'stick', inForce: standing(state), proposed: standing(edited) }
}
