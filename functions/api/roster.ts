/** The manager's list: what is overdue, held, due, where and with whom; the oldest due date first. */
import * as z from 'zod'
import { registerId } from '../../shared-domain/registers.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { invalid } from '../platform/errors.ts'
import { type RosterRow, readRoster, sortKey } from '../platform/roster.ts'
import { list, stickAnswer } from './answers.ts'
import { everybody, type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'

export const rosterCursor = z.string().max(400)

const rosterQuery = z.strictObject({
  status: z.enum(statuses).optional(),
  depot: registerId.optional(),
  crew: registerId.optional(),
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
    summary: 'Sticks by due date, the oldest first; by status, depot or crew',
    allowed: everybody,
    query: rosterQuery,
    answer: list(stickAnswer),
    handle: roster,
  }),
]

async function roster({ organisation, caller, now, query }: Request) {
  const { rows, more } = await readRoster(organisation, caller, now, {
    status: query.status as Status | undefined,
    depotId: query.depot,
    crewId: query.crew,
    after: cursorOf(query.cursor),
    limit: Number(query.limit ?? '50'),
  })
  const items = rows.map(({ stored, standing, today }) => stickView(stored, standing, today))
  return { status: 200, body: { items, next: more ? nextCursor(rows) : null } }
}

/** To go on after the last of these rows. */
export function nextCursor(rows: readonly RosterRow[]): string | null {
  const last = rows.at(-1)
  return last === undefined ? null : Buffer.from(sortKey(last)).toString('base64url')
}

/** The place in the list that a cursor names; empty where none was sent. */
export function cursorOf(cursor: string | undefined): string {
  if (cursor === undefined) return ''
  const text = Buffer.from(cursor, 'base64url').toString()
  if (/^\d{4}-\d{2}-\d{2}#[\w.-]{1,64}$/.test(text)) return text
  throw invalid({ pointer: '/cursor', came: cursor, expected: 'the `next` of an earlier answer' })
}
