/** The newest mail must never say that a stick may be used which may not by now. */
import type { Instant } from '../../shared-domain/calendar.ts'
import type { NoticeKind, StickLine } from '../../shared-domain/notices/notice.ts'
import { stillHolds } from '../../shared-domain/notices/undelivered.ts'
import { mayBeUsed } from '../../shared-domain/state/use.ts'
import type { Status } from '../../shared-domain/words.ts'
import type { Notice } from '../platform/notices.ts'
import type { Organisation } from '../platform/organisation.ts'
import { standingToday } from '../platform/standing-today.ts'

/** Those that tell somebody until when a stick may be used; a hold that is over does no harm. */
const tellOfUse: readonly NoticeKind[] = ['return', 'digest', 'date brought forward']

/** Without the sticks of which it is no longer true; null where none is left. */
export async function asItStands(organisation: Organisation, notice: Notice, now: Instant): Promise<Notice | null> {
  const { kind, lines } = notice
  if (!tellOfUse.includes(kind)) return notice
  const stored = await organisation.sticks.fresh([...new Set(lines.map(({ stickId }) => stickId))])
  const standings = await Promise.all(
    stored.map(async (one) => [one.stickId, (await standingToday(organisation, one, now)).status] as const),
  )
  const statuses = new Map(standings)
  const left = lines.filter((line) => {
    const status = statuses.get(line.stickId)
    return status === undefined || (stillHolds(kind, { ...line, status }) && !saidToBeFit(line, status))
  })
  if (left.length === 0) return null
  return left.length === lines.length ? notice : { ...notice, lines: left }
}

/** A loan is told of whatever the status; but none that this mail would call fit and that is not. */
function saidToBeFit({ status }: StickLine, now: Status): boolean {
  return mayBeUsed(status) && !mayBeUsed(now) && now !== 'overdue'
}
