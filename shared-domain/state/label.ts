/** The label on a stick: which date it shows, and whether somebody could go by it longer than the stick may be used. */
import type { CalendarDate } from '../calendar.ts'
import type { Clock } from '../policy/clocks.ts'
import type { Status } from '../words.ts'
import { dutyOf } from './duty.ts'
import type { StickState } from './state.ts'
import { isDated, mayBeUsed } from './use.ts'

/** The label on a day. */
export interface LabelOnDay {
  /** null: the label was taken off */
  readonly shows: CalendarDate | null
  readonly since: CalendarDate
  /**
   * true where the label shows a later date than the stick is due, or is on a stick that must not be used whatever its
   * date
   */
  readonly isWrong: boolean
}

/** The parts of a standing that a label is held against. */
export interface LabelDue {
  readonly status: Status
  readonly dueOn: CalendarDate | null
  readonly clocks: readonly Clock[]
}

/** The label on a day; undefined where nobody recorded one, so that nothing is known of it. */
export function labelOnDay({ label }: Pick<StickState, 'label'>, due: LabelDue): LabelOnDay | undefined {
  if (label === undefined) return undefined
  const { shows, since } = label
  return { shows, since, isWrong: shows !== null && (!isDated(due.status) || isLater(shows, due)) }
}

/** The date that a label printed today would show; null where it would show none. */
export function dateForLabel(due: LabelDue): CalendarDate | null {
  return mayBeUsed(due.status) ? latestToShow(due) : null
}

function isLater(shows: CalendarDate, due: LabelDue): boolean {
  const latest = latestToShow(due)
  return latest !== null && shows > latest
}

/**
 * A label shows when a test is due. A look that is due before it is no matter of the label, unless nothing else is
 * asked.
 */
function latestToShow({ dueOn, clocks }: LabelDue): CalendarDate | null {
  if (dueOn === null) return null
  const tests = clocks.flatMap((clock) => (dutyOf(clock) === 'test' && clock.dueOn !== null ? [clock.dueOn] : []))
  return tests.sort()[0] ?? dueOn
}
