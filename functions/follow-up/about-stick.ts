/** How a stick stands today at its depot, and who is to know of it. */
import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { wholeAudience } from '../../shared-domain/notices/audience.ts'
import type { Addressee } from '../../shared-domain/notices/notice.ts'
import { mustNotBeUsed, standingOn } from '../../shared-domain/state/standing.ts'
import type { Organisation } from '../platform/organisation.ts'

export interface AboutStick {
  readonly day: CalendarDate
  readonly audience: readonly Addressee[]
  readonly mustNotBeUsed: boolean
}

export async function aboutStick(
  organisation: Organisation,
  stickId: string,
  now: Instant,
): Promise<AboutStick | null> {
  const { registers, sticks } = organisation
  const stored = await sticks.stored(stickId)
  if (stored === undefined) return null
  const { crewId } = stored.state
  const depot = stored.depotId === null ? undefined : await registers.head('depot', stored.depotId)
  const day = localDateAt(now, depot?.newest.body.timeZone ?? 'UTC')
  const { status } = standingOn(stored.state, day, await organisation.policyOn(day))
  const [crew, people] = await Promise.all([
    crewId === null ? undefined : registers.inForce('crew', crewId, day),
    registers.allInForce('person', day),
  ])
  return {
    day,
    audience: wholeAudience(crew?.body ?? null, people, stored.depotId),
    mustNotBeUsed: mustNotBeUsed(status),
  }
}
