/** How a stick stands today, where it lies. */
import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import type { Organisation } from '../store/organisation.ts'
import type { StoredStick } from '../store/sticks.ts'

export async function standingToday(
  { zoneAt, rulesOn }: Organisation,
  { depotId, state }: StoredStick,
  now: Instant,
): Promise<Standing> {
  const today = localDateAt(now, await zoneAt(depotId))
  return standingOn(state, today, await rulesOn(today))
}
