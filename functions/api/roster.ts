/** The manager's list: what is overdue, held, due, where and with whom; the oldest due date first. */
import * as z from 'zod'
import { addDays, type CalendarDate, localDateAt } from '../../shared-domain/calendar.ts'
import { dueSoonDays, type Policy } from '../../shared-domain/policy/policy.ts'
import { registerId } from '../../shared-domain/registers.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { invalid, notAllowed, notFound } from '../platform/errors.ts'
import { maySee } from '../platform/identity.ts'
import { noDueDate, type StandingGroup, type StoredStick, standingGroups } from '../platform/sticks.ts'
import type { Page } from '../platform/table.ts'
import { list, stickAnswer } from './answers.ts'
import { everybody, type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'

const rosterQuery = z.strictObject({
  status: z.enum(statuses).optional(),
  depot: registerId.optional(),
  crew: registerId.optional(),
  cursor: z.string().max(400).optional(),
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

/** A list in the table to read from, with the date that is today where its sticks lie. */
interface Lane {
  readonly today: CalendarDate
  readonly policy: Policy | null
  readonly from: string
  readonly to: string
  readonly read: (from: string, to: string, limit: number) => Promise<Page>
}

type Row = ReturnType<typeof stickView>

async function roster(request: Request) {
  const { query, caller } = request
  const limit = Number(query.limit ?? '50')
  const status = query.status as Status | undefined
  const crewId = caller.role === 'crew' ? caller.crewId : (query.crew ?? null)
  if (caller.role === 'crew' && (crewId === null || (query.crew !== undefined && query.crew !== crewId))) {
    throw notAllowed('A crew sees the roster of its own crew.')
  }
  const lanes = crewId === null ? await depotLanes(request, status) : await crewLanes(request, crewId)
  const after = query.cursor === undefined ? '' : readCursor(query.cursor)
  const merged = await merge(lanes, after, limit + 1, status)
  const items = merged.slice(0, limit)
  const last = items.at(-1)
  return { status: 200, body: { items, next: merged.length > limit && last !== undefined ? cursorAfter(last) : null } }
}

async function depotLanes({ organisation, caller, query, now }: Request, status: Status | undefined): Promise<Lane[]> {
  const depots = (await organisation.registers.heads('depot')).filter(
    (depot) =>
      (query.depot === undefined || depot.id === query.depot) && maySee(caller, { crewId: null, depotId: depot.id }),
  )
  if (query.depot !== undefined && depots.length === 0) throw notFound()
  const places: { id: string | null; zone: string }[] = depots.map((depot) => ({
    id: depot.id,
    zone: depot.newest.body.timeZone,
  }))
  if (query.depot === undefined) places.push({ id: null, zone: 'UTC' })
  return Promise.all(
    places.map(async ({ id, zone }) => {
      const today = localDateAt(now, zone)
      const policy = await organisation.policyOn(today)
      return groupsFor(status).map((group): Lane => {
        const [from, to] = range(status, today, policy)
        return {
          today,
          policy,
          from,
          to,
          read: (start, end, limit) => organisation.sticks.standingPage(id, group, { from: start, to: end, limit }),
        }
      })
    }),
  ).then((lanes) => lanes.flat())
}

async function crewLanes({ organisation, caller, query, now }: Request, crewId: string): Promise<Lane[]> {
  const crew = (await organisation.registers.head('crew', crewId))?.newest.body
  if (crew === undefined) throw notFound()
  if (!maySee(caller, { crewId, depotId: crew.depotId }))
    throw notAllowed('This crew belongs to a depot that is not yours.')
  if (query.depot !== undefined && query.depot !== crew.depotId) return []
  const depot = await organisation.registers.head('depot', crew.depotId)
  const today = localDateAt(now, depot?.newest.body.timeZone ?? 'UTC')
  const policy = await organisation.policyOn(today)
  return [
    {
      today,
      policy,
      from: '0',
      to: '~',
      read: (from, to, limit) => organisation.sticks.crewPage(crewId, { from, to, limit }),
    },
  ]
}

function groupsFor(status: Status | undefined): readonly StandingGroup[] {
  switch (status) {
    case undefined:
      return standingGroups.filter((group) => group !== 'removed' && group !== 'scrapped')
    case 'overdue':
    case 'due soon':
    case 'in service':
      // `held` too: a policy put in force since may have let a stick go that its stored list still holds.
      return ['usable', 'held']
    case 'on hold':
      return ['held']
    case 'awaiting first test':
      return ['awaiting', 'held']
    case 'removed from service':
      return ['removed']
    case 'scrapped':
      return ['scrapped']
  }
}

/** Only the dates on which a stick of this status can be due, so that reads cost what the answer holds. */
function range(status: Status | undefined, today: CalendarDate, policy: Policy | null): [from: string, to: string] {
  if (policy === null) return ['0', '~']
  const soon = addDays(today, dueSoonDays(policy))
  if (status === 'overdue') return ['0', `${addDays(today, -1)}#~`]
  if (status === 'due soon') return [today, `${soon}#~`]
  if (status === 'in service') return [addDays(soon, 1), '~']
  return ['0', '~']
}

/** The first `wanted` sticks of all lanes together that truly have the status; each lane is read a page at a time. */
async function merge(
  lanes: readonly Lane[],
  after: string,
  wanted: number,
  status: Status | undefined,
): Promise<Row[]> {
  const heads = await Promise.all(lanes.map((lane) => fill(lane, after, wanted, status)))
  return heads
    .flat()
    .sort((a, b) => (sortKey(a) < sortKey(b) ? -1 : 1))
    .slice(0, wanted)
}

async function fill(lane: Lane, after: string, wanted: number, status: Status | undefined): Promise<Row[]> {
  const rows: Row[] = []
  let from = after >= lane.from ? `${after}\u0000` : lane.from
  while (rows.length < wanted && from <= lane.to) {
    const page = await lane.read(from, lane.to, wanted - rows.length)
    for (const item of page.items) {
      const stick = item as unknown as StoredStick
      const row = stickView(stick, standingOn(stick.state, lane.today, lane.policy), lane.today)
      if (status === undefined || row.status === status) rows.push(row)
    }
    const last = page.items.at(-1)
    if (page.next === undefined || last === undefined) break
    from = `${String(last.standingSort)}\u0000`
  }
  return rows
}

function sortKey(row: Row): string {
  return `${row.dueOn ?? noDueDate}#${row.stickId}`
}

function cursorAfter(row: Row): string {
  return Buffer.from(sortKey(row)).toString('base64url')
}

function readCursor(cursor: string): string {
  const text = Buffer.from(cursor, 'base64url').toString()
  if (/^\d{4}-\d{2}-\d{2}#[\w.-]+$/.test(text)) return text
  throw invalid({ pointer: '/cursor', came: cursor, expected: 'the `next` of an earlier answer' })
}
