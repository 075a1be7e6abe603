/** The manager's list: what is overdue, held, due, where and with whom; the worst first. */
import * as z from 'zod'
import { registerId } from '../../shared-domain/identifiers.ts'
import { isDated } from '../../shared-domain/state/use.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { isPlaceIn, type RosterRow, rosterAndCountsFor, rosterFor } from '../questions/roster.ts'
import { cursorTo, pageAsked, pageFields } from './paging.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'

const rosterQuery = z.lazy(() =>
  z.strictObject({
    status: z.enum(statuses).optional(),
    depot: registerId.optional(),
    crew: registerId.optional(),
    /** only sticks that are lent out, of every status unless one is asked for; the soonest to be back first */
    lent: z.literal('true').optional(),
    ...pageFields(),
  }),
)

export const rosterRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/roster',
    summary:
      'Sticks, the worst first: overdue by due date, on hold those in hands and not confirmed first; by status, ' +
      'depot, crew or loan',
    action: 'read the roster',
    query: rosterQuery,
    answer: 'roster',
    handle: roster,
  }),
]

const usualLimit = '50'

async function roster(request: Request) {
  const { query } = request
  const asked = { status: query.status as Status | undefined, lent: query.lent === 'true' }
  const where = { depotId: query.depot, crewId: query.crew }
  const page = pageAsked({ limit: usualLimit, ...query }, (place) => isPlaceIn(place, asked))
  const listed = { ...asked, ...where, ...page }
  const { rows, next, counts } =
    page.after === ''
      ? await rosterAndCountsFor(request, listed)
      : { ...(await rosterFor(request, listed)), counts: undefined }
  return { status: 200, body: { items: rows.map(rowView), next: cursorTo(next), counts } }
}

/** A due date beside a stick that must not be used for another reason would read as leave to use it until then. */
function rowView({ stored, standing, today }: RosterRow) {
  return stickView(stored, isDated(standing.status) ? standing : { ...standing, dueOn: null, daysOverdue: 0 }, today)
}
