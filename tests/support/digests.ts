/** The digests of sticks that are all at hand, for readers with room for them all. */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { type DueStick, gatherDigests } from '../../shared-domain/notices/digest.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'

export function digestsOwed(due: readonly DueStick[], day: CalendarDate, round: string): OwedNotice[] {
  const digests = gatherDigests(day, round, { most: Number.POSITIVE_INFINITY, sizeOf: () => 1 })
  for (const stick of due) digests.add(stick)
  return digests.owed()
}
