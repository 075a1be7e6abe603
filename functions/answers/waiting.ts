/** Sticks that wait for the reader of a notice besides its own: not to be used, and confirmed by nobody. */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import type { StickLine } from '../../shared-domain/notices/notice.ts'
import { listTo, newestNotices } from '../store/notice-lists.ts'
import type { Notice } from '../store/notices.ts'
import type { Organisation } from '../store/organisation.ts'

/** Links are good for thirty days, and nobody reads more than so many on a phone. */
const daysBack = 30
const mostRead = 100
const mostShown = 20

/** Each stick once, by the newest that this person was told of it; none that somebody has confirmed, or that is fit. */
export async function stillWaiting(
  organisation: Organisation,
  { to, lines: settled }: Notice,
  now: Instant,
): Promise<readonly StickLine[]> {
  const { notices } = await newestNotices(organisation, {
    lists: [listTo(organisation.keys, to.email)],
    since: addSeconds(now, -daysBack * 86_400),
    after: null,
    limit: mostRead,
    isAskedFor: (notice) => notice.answerKey !== undefined && notice.answeredAt === undefined,
  })
  const told = notices.flatMap(({ lines }) => lines).filter((line) => !settled.some(isSame(line)))
  const each = told.filter((line, i) => told.findIndex(isSame(line)) === i)
  const known = await organisation.sticks.known(each.map(({ stickId }) => stickId))
  const open = new Set(known.flatMap(({ stickId, held }) => (held === undefined || held.confirmed ? [] : [stickId])))
  return each.filter(({ stickId }) => open.has(stickId)).slice(0, mostShown)
}

const isSame =
  ({ stickId }: StickLine) =>
  (other: StickLine) =>
    other.stickId === stickId
