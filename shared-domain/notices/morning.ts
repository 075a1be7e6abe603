/** Everything known of a stick and of its people when a morning comes. */
import type { CalendarDate } from '../calendar.ts'
import type { Rules } from '../policy/rules.ts'
import type { Crew, Person } from '../registers.ts'
import type { StickState } from '../state/state.ts'
import type { Seen } from '../state/use.ts'
import type { LabelTold, LoanTold, ToldSoFar } from './ladder.ts'
import type { PlannedSticks } from './planned-week.ts'

export interface MorningStick extends ToldSoFar {
  readonly stickId: string
  readonly state: StickState
  readonly depotId: string | null
  readonly loanTold?: LoanTold | undefined
  /** the last word of a label that is wrong */
  readonly labelTold?: LabelTold | undefined
  /** the standing that its people were told last, or had to know; not kept by earlier builds */
  readonly seen?: Seen | undefined
  /**
   * the name of the changed rules by which the stick stands otherwise, or of the import, where its people have not
   * heard of that
   */
  readonly untold?: string | undefined
  /** the notices that told of a stick that must not be used; none where nobody was told */
  readonly held?: { readonly about?: string } | undefined
  /** the due date under which the stick was last shown */
  readonly shownDueOn: CalendarDate | null
  readonly broughtForwardFrom: CalendarDate | null
}

/** The registers as they are on the day. */
export interface WhoIsWhere {
  readonly crews: ReadonlyMap<string, Crew>
  readonly depotNames: ReadonlyMap<string, string>
  readonly people: readonly Person[]
  /** the plans of the depots' benches, as far as there are any */
  readonly plans?: PlannedSticks
}

/** A day that begins, and the rules of it. */
export interface Morning {
  readonly day: CalendarDate
  readonly rules: Rules
}
