/** The manager's list: what is overdue, held, due, where and with whom; the worst first. */
import * as z from 'zod'
import { registerId } from '../../shared-domain/registers.ts'
import { isDated } from '../../shared-domain/state/use.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { invalid } from '../ground/errors.ts'
import { everybody } from '../questions/identity.ts'
import { isPlaceIn, type RosterRow, readRoster, readRosterAndCount } from '../questions/roster.ts'
import { rosterAnswer } from './answer-schemas.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'

export const rosterCursor = z.string().max(400)

const rosterQuery = z.strictObject({
  status: z.enum(statuses).optional(),
  depot: registerId.optional(),
  crew: registerId.optional(),
  /** only what is lent out, whatever its status unless one is asked for; the soonest to be back first */
  lent: z.literal('true').optional(),
  cursor: rosterCursor.optional(),
  limit: z
    .string()
    .regex(/^([1-9]|[1-9]\d|1\d\d|200)$/, { error: 'a whole number from 1 to 200' })
    .optional(),
})

export const rosterRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/roster',
    summary:
      'Sticks, the worst first: overdue by due date, on hold those in hands and not confirmed first; by status, depot, crew or loan',
    allowed: everybody,
    query: rosterQuery,
    answer: rosterAnswer,
    handle: roster,
  }),
]

async function roster({ organisation, caller, now, query }: Request) {
  const asked = { status: query.status as Status | undefined, lent: query.lent === 'true' }
  const where = { depotId: query.depot, crewId: query.crew }
  const after = cursorOf(query.cursor, asked)
  const listed = { ...asked, ...where, after, limit: Number(query.limit ?? '50') }
  const page =
    after === ''
      ? await readRosterAndCount(organisation, caller, now, listed)
      : { ...(await readRoster(organisation, caller, now, listed)), counts: undefined }
  const { rows, more, counts } = page
  return { status: 200, body: { items: rows.map(rowView), next: more ? nextCursor(rows) : null, counts } }
}

/** Beside what must not be used for another reason a due date would read as leave to use it until then. */
function rowView({ stored, standing, today }: RosterRow) {
  return stickView(stored, isDated(standing.status) ? standing : { ...standing, dueOn: null, daysOverdue: 0 }, today)
}

/** To go on after the last of these rows. */
export function nextCursor(rows: readonly RosterRow[]): string | null {
  const last = rows.at(-1)
  return last === undefined ? null : Buffer.from(last.place).toString('base64url')
}

/** The place in the list that a cursor names; empty where none was sent. */
export function cursorOf(cursor: string | undefined, asked: Parameters<typeof isPlaceIn>[1] = {}): string {
  if (cursor === undefined) return ''
  const place = Buffer.from(cursor, 'base64url').toString()
  if (isPlaceIn(place, asked)) return place
  throw invalid({ pointer: '/cursor', came: cursor, expected: 'the `next` of an earlier answer to the same question' })
}
