/** The employer's demonstration, an entry approved by two, that stands in place of what a rule asks of a test. */
import type { CalendarDate } from '../calendar.ts'
import type { Demonstration } from '../registers.ts'

/** The entry that a test names, as it was on the day of the test. */
export interface Demonstrated {
  readonly id: string
  readonly on: CalendarDate
  readonly body: Demonstration
}

/** Tells whether the demonstration is of this kind, is the one asked for, and still counts on the day of the test. */
export function isShown(kind: Demonstration['kind'], demonstrated: Demonstrated | undefined, id?: string): boolean {
  if (demonstrated === undefined || demonstrated.body.kind !== kind) return false
  const { until } = demonstrated.body
  return (id === undefined || demonstrated.id === id) && (until === undefined || demonstrated.on <= until)
}
