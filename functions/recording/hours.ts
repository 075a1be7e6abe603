/** The day and hour of what comes in, as the caller is told of them: what cannot be, and what was kept all the same. */
import { addDays, type CalendarDate, type Instant } from '../../shared-domain/calendar.ts'
import type { Fault } from '../../shared-domain/fault.ts'
import { type Stay, type TimeFault, type When, whenOf } from '../../shared-domain/state/when.ts'
import { invalid, Refused } from '../ground/errors.ts'
import type { FactEntry, Remark } from './entry.ts'

interface Timed {
  readonly when: When
  readonly faults: readonly Fault[]
  readonly remarks: readonly Remark[]
}

/**
 * Answers when the entry happened. In a report of danger nothing is a fault: what cannot be is kept as stated, and the
 * answer says where it stands.
 */
export function timeOf(entry: FactEntry, stays: readonly Stay[], now: Instant): Timed {
  const { occurredOn: day, at, days = 1 } = entry
  if (entry.danger) {
    const when = whenOf({ day, at, aheadSeconds: 0 }, stays, now)
    return { when, faults: [], remarks: when.fault === null ? [] : [standsAtRecording(entry)] }
  }
  const when = whenOf({ day, at }, stays, now)
  if (when.fault !== null) return { when, faults: [faultOf(when.fault, entry, when.today)], remarks: [] }
  if (days === 1) return { when, faults: [], remarks: [] }
  const end = whenOf({ day: addDays(day as CalendarDate, days - 1) }, stays, now)
  const within = { earliest: when.within.earliest, latest: end.within.latest }
  if (end.fault === null) return { when: { ...end, within }, faults: [], remarks: [] }
  const expected = { is: 'right: so few days', last: when.today } as const
  return { when, faults: [{ pointer: '/days', came: days, expected }], remarks: [] }
}

export function standsAtRecording({ dateField, at }: FactEntry): Remark {
  const pointer = at === undefined ? `/${dateField}` : '/at'
  return {
    pointer,
    text: 'Kept as stated. There is no such time, or it is still to come: it stands at the hour of its recording.',
  }
}

function faultOf(fault: TimeFault, { occurredOn, dateField, at }: FactEntry, today: CalendarDate): Fault {
  switch (fault) {
    case 'no such day':
    case 'day to come':
      return {
        pointer: `/${dateField}`,
        came: occurredOn,
        expected: { is: 'right: not after, at the stick', last: today },
      }
    case 'hour to come':
      return {
        pointer: '/at',
        came: at,
        expected: { is: 'right: an hour that has come' },
      }
    case 'no such hour':
      return {
        pointer: '/at',
        came: at,
        expected: { is: 'right: an hour of that day', on: occurredOn },
      }
  }
}

/** Faults of the time and of what the body refers to come in one answer. */
export async function withFaults<T>(faults: readonly Fault[], work: () => Promise<T>): Promise<T> {
  if (faults.length === 0) return work()
  const others = await work().then(
    () => [],
    (error: unknown) => {
      if (error instanceof Refused && error.refusal.kind === 'invalid') return error.refusal.faults
      throw error
    },
  )
  throw invalid(...faults, ...others)
}
