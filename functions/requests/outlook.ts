/** The weeks ahead: what falls due in each at every depot, and what is overdue, on hold or untested now. */
import * as z from 'zod'
import { registerId } from '../../shared-domain/identifiers.ts'
import { cursorTo, pageAsked, pageFields } from './paging.ts'
import { type Request, type Route, route } from './request.ts'

const outlookQuery = z.lazy(() => z.strictObject({ depot: registerId.optional(), ...pageFields() }))

export const outlookRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/outlook',
    summary:
      'Sticks due by week and depot for 52 weeks from today; weeks run from Monday to Sunday by the depot’s ' +
      'clock. A busy fleet comes in parts, to be gone on with by `?cursor=`',
    action: 'read the roster',
    query: outlookQuery,
    answer: 'outlook',
    handle: outlook,
  }),
]

/** A figure that nobody stated would be read as the bench's own. */
const noMinutes = 'No procedure and no policy states how many minutes a stick takes at the bench.'

async function outlook(request: Request) {
  const { query } = request
  const { isPlaceInOutlook, outlookFor } = await import('../questions/outlook.ts')
  const { weeks, next, now } = await outlookFor(request, {
    depotId: query.depot,
    ...pageAsked(query, isPlaceInOutlook),
  })
  const items = weeks.map((week) => ({ ...week, minutes: null }))
  return { status: 200, body: { items, next: cursorTo(next), now, minutesUnknown: noMinutes } }
}
