/**
 * Word that an instrument's calibration runs out goes to people before that holds good sticks up, since a test with the
 * instrument proves nothing then.
 *
 * | days before its last day | 30, 14, 7, 1, 0 |
 * |---|---|
 * | days after it | 1, 8, 15, 22; later it counts as laid aside |
 *
 * The days are the house's own.
 */
import { type CalendarDate, daysBetween } from '../calendar.ts'
import { sameMailbox } from '../mailbox.ts'
import type { Person } from '../registers.ts'
import { peopleInCharge } from './audience.ts'
import type { OwedNotice } from './notice.ts'

const stepsDays = [-22, -15, -8, -1, 0, 1, 7, 14, 30] as const

const mostDaysLate = 28

/** The days before the last day from which on anybody hears of it at all. */
export const firstCalibrationStepDays = 30

interface Calibrated {
  readonly instrumentId: string
  /** the last day on which tests with the instrument count */
  readonly through: CalendarDate
}

/** The step that has come by this day: a morning that was missed heals itself. */
function stepOn({ through }: Calibrated, day: CalendarDate): number | undefined {
  const left = daysBetween(day, through)
  const step = stepsDays.find((one) => left <= one)
  return left < -mostDaysLate ? undefined : step
}

/** The readers are the bench and the managers, whichever depot they have; the owners where there is nobody of these. */
export function owedForCalibration(calibrated: Calibrated, day: CalendarDate, people: readonly Person[]): OwedNotice[] {
  const step = stepOn(calibrated, day)
  if (step === undefined) return []
  const { instrumentId, through } = calibrated
  const concerned = people.filter(({ role }) => role === 'bench' || role === 'manager')
  const readers = concerned.length > 0 ? concerned : people.filter(({ role }) => role === 'owner')
  return peopleInCharge(readers).map((to) => ({
    kind: 'calibration',
    key: ['calibration', instrumentId, through, step, sameMailbox(to.email)].join('|'),
    to,
    day,
    lines: [],
    calibration: { instrumentId, through, daysLeft: daysBetween(day, through) },
  }))
}
