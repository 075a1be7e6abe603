/** The manager's list: what is overdue, held, due, where and with whom; the worst first. */
import * as z from 'zod'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { calendarDate } from '../../shared-domain/date-fields.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import { isDated } from '../../shared-domain/state/use.ts'
import { line } from '../../shared-domain/text.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { type DueWithin, isPlaceIn, type RosterRow, rosterAndCountsFor, rosterFor } from '../questions/roster.ts'
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
    /** only sticks that may be used, in the store of this depot */
    store: registerId.optional(),
    /**
     * only sticks that are due, or were, on one of these days; a stick that must not be used for another reason is due
     * on none
     */
    dueFrom: calendarDate.optional(),
    dueTo: calendarDate.optional(),
    /** only sticks of this maker's lot */
    lot: line(64).optional(),
    /** any part of a stick's number, in capitals or not; `searched` says how far was looked */
    q: z.string().min(1).max(64).optional(),
    ...pageFields(),
  }),
)

export const rosterRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/roster',
    summary:
      'Sticks, the worst first: overdue by due date, on hold those in hands and not confirmed first; by status, ' +
      'depot, crew, lot, store or loan, days on which they are due, or any part of a number',
    action: 'read the roster',
    query: rosterQuery,
    answer: 'roster',
    handle: roster,
  }),
]

const usualLimit = '50'

async function roster(request: Request) {
  const { query } = request
  const filter = {
    status: query.status as Status | undefined,
    depotId: query.depot,
    crewId: query.crew,
    lent: query.lent === 'true',
    ...{ store: query.store, lot: query.lot, part: query.q, due: dueWithin(query) },
  }
  const page = pageAsked({ limit: usualLimit, ...query }, (place) => isPlaceIn(place, filter))
  const listed = { ...filter, ...page }
  const { rows, next, searched, counts } =
    page.after === ''
      ? await rosterAndCountsFor(request, listed)
      : { ...(await rosterFor(request, listed)), counts: undefined }
  const how = searched && { sticks: searched.looked, all: searched.isAll }
  return { status: 200, body: { items: rows.map(rowView), next: cursorTo(next), counts, searched: how } }
}

/** The first and the last day of the calendar stand for an end that is not asked for. `rosterQuery` parsed both. */
function dueWithin({ dueFrom, dueTo }: Request['query']): DueWithin | undefined {
  if (dueFrom === undefined && dueTo === undefined) return undefined
  return { from: (dueFrom ?? '1900-01-01') as CalendarDate, to: (dueTo ?? '9999-12-31') as CalendarDate }
}

/** A due date beside a stick that must not be used for another reason would read as leave to use it until then. */
function rowView({ stored, standing, today }: RosterRow) {
  return stickView(stored, isDated(standing.status) ? standing : { ...standing, dueOn: null, daysOverdue: 0 }, today)
}
