/** A stick as it is found when a fact comes in, and what is answered of the fact. */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { KeptStick } from '../../shared-domain/listing.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import type { Remark } from './entry.ts'

/** A stick as it is found when a fact comes in. */
export interface There {
  readonly kept: KeptStick
  /** the state was folded by an earlier build */
  readonly isOutgrown: boolean
  readonly today: CalendarDate
  /** the zone at the stick's depot */
  readonly zone: string
  readonly rules: Rules
  readonly maySee: boolean
}

export interface Outcome {
  readonly fact: RecordedFact
  readonly stick: Pick<KeptStick, 'stickId' | 'state' | 'depotId'>
  readonly standing: Standing
  readonly today: CalendarDate
  readonly news: boolean
  /** the caller may see how the stick stands */
  readonly maySee: boolean
  readonly remarks: readonly Remark[]
}
