/** The duty that a stick's due date brings. */
import type { CalendarDate } from '../calendar.ts'
import type { Clock } from '../policy/clocks.ts'

/** A bench test, or no more than a look at the stick where it lies. */
export type Duty = 'test' | 'look'

export function dutyOf({ evidence }: Pick<Clock, 'evidence'>): Duty {
  return evidence.every((kind) => kind === 'condition check') ? 'look' : 'test'
}

/**
 * The clock by which the stick is due. Of clocks that have run out a test comes before a look, for a look mends no
 * test.
 */
export function pressing(clocks: readonly Clock[], day: CalendarDate): Clock | undefined {
  const dated = clocks.filter(({ dueOn, since }) => dueOn !== null && since !== null)
  const runOut = dated.filter(({ dueOn }) => dueOn !== null && day > dueOn)
  return runOut.find((clock) => dutyOf(clock) === 'test') ?? dated[0]
}
