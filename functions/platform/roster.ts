/**
 * The roster as it is read, for the API and the pages: sticks by due date, the oldest first. Each depot keeps a list for
 * each group of standings; a page is merged from them, so it costs what it holds and not what the fleet holds.
 */
import { addDays, type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { dueSoonDays, type Policy } from '../../shared-domain/policy/policy.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import type { Status } from '../../shared-domain/words.ts'
import { notAllowed, notFound } from './errors.ts'
import { type Caller, maySee } from './identity.ts'
import type { Organisation } from './organisation.ts'
import { isCurrent, markOf } from './reindexed.ts'
import { justAfter, noDueDate, type StandingGroup, type StickPage, type StoredStick, standingGroups } from './sticks.ts'

export interface RosterQuery {
  readonly status?: Status | undefined
  readonly depotId?: string | undefined
  readonly crewId?: string | undefined
  /** the sort key of the last row seen, empty to begin */
  readonly after: string
  readonly limit: number
}

export interface RosterRow {
  readonly stored: StoredStick
  readonly standing: Standing
  /** the date at its depot */
  readonly today: CalendarDate
}

export interface RosterPage {
  readonly rows: RosterRow[]
  /** whether there is more */
  readonly more: boolean
}

/** A list in the table to read from, with the date that is today where its sticks lie. */
interface Lane {
  readonly today: CalendarDate
  readonly policy: Policy | null
  readonly from: string
  readonly to: string
  /** the list may lie by other dates than those that count: read from its beginning */
  readonly stale: boolean
  readonly read: (from: string, to: string, limit: number) => Promise<StickPage>
}

export async function readRoster(
  organisation: Organisation,
  caller: Caller,
  now: Instant,
  query: RosterQuery,
): Promise<RosterPage> {
  const lanes = await lanesFor(organisation, caller, now, query)
  const wanted = query.limit + 1
  const found = await Promise.all(lanes.map((lane) => fill(lane, query, wanted)))
  const rows = found.flat().sort((a, b) => (sortKey(a) < sortKey(b) ? -1 : 1))
  return { rows: rows.slice(0, query.limit), more: rows.length > query.limit }
}

/** Where a row stands in the list; the next page begins after it. */
export function sortKey({ stored, standing }: RosterRow): string {
  return `${standing.dueOn ?? noDueDate}#${stored.stickId}`
}

function lanesFor(organisation: Organisation, caller: Caller, now: Instant, query: RosterQuery): Promise<Lane[]> {
  if (caller.role !== 'crew') {
    if (query.crewId === undefined) return depotLanes(organisation, caller, now, query)
    return crewLanes(organisation, caller, now, query, query.crewId)
  }
  if (caller.crewId === null || (query.crewId !== undefined && query.crewId !== caller.crewId)) {
    throw notAllowed('A crew sees the roster of its own crew.')
  }
  return crewLanes(organisation, caller, now, query, caller.crewId)
}

async function depotLanes(
  organisation: Organisation,
  caller: Caller,
  now: Instant,
  { depotId, status }: RosterQuery,
): Promise<Lane[]> {
  const depots = (await organisation.registers.heads('depot')).filter(
    ({ id }) => (depotId === undefined || id === depotId) && maySee(caller, { crewId: null, depotId: id }),
  )
  if (depotId !== undefined && depots.length === 0) throw notFound()
  const places: { id: string | null; zone: string }[] = depots.map(({ id, newest }) => ({
    id,
    zone: newest.body.timeZone,
  }))
  if (depotId === undefined) places.push({ id: null, zone: 'UTC' })
  const lanes = places.map(async ({ id, zone }) => {
    const today = localDateAt(now, zone)
    const [policy, mark] = await Promise.all([
      organisation.policyOn(today),
      markOf(organisation.table, organisation.keys, id),
    ])
    const stale = policy !== null && !isCurrent(mark, policy)
    return groupsFor(status).map((group): Lane => {
      const [from, to] = stale
        ? everyDate
        : group === 'held' && status !== undefined && status !== 'on hold'
          ? withoutDate
          : range(status, today, policy)
      const read = (start: string, end: string, limit: number) =>
        organisation.sticks.standingPage(id, group, { from: start, to: end, limit })
      return { today, policy, from, to, stale, read }
    })
  })
  return (await Promise.all(lanes)).flat()
}

async function crewLanes(
  organisation: Organisation,
  caller: Caller,
  now: Instant,
  { depotId }: RosterQuery,
  crewId: string,
): Promise<Lane[]> {
  const crew = (await organisation.registers.head('crew', crewId))?.newest.body
  if (crew === undefined) throw notFound()
  if (!maySee(caller, { crewId, depotId: crew.depotId }))
    throw notAllowed('This crew belongs to a depot that is not yours.')
  if (depotId !== undefined && depotId !== crew.depotId) return []
  const today = localDateAt(now, await organisation.zoneAt(crew.depotId))
  const [policy, mark] = await Promise.all([
    organisation.policyOn(today),
    markOf(organisation.table, organisation.keys, crew.depotId),
  ])
  const stale = policy !== null && !isCurrent(mark, policy)
  const read = (from: string, to: string, limit: number) => organisation.sticks.crewPage(crewId, { from, to, limit })
  return [{ today, policy, from: '0', to: '~', stale, read }]
}

function groupsFor(status: Status | undefined): readonly StandingGroup[] {
  switch (status) {
    case undefined:
      return standingGroups.filter((group) => group !== 'removed' && group !== 'scrapped')
    case 'overdue':
    case 'due soon':
    case 'in service':
      // `held` too: sticks written before any policy was in force lie there without a date until the lists are rewritten.
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

const withoutDate = [noDueDate, '~'] as const
const everyDate = ['0', '~'] as const

/** Only the dates on which a stick of this status can be due. */
function range(status: Status | undefined, today: CalendarDate, policy: Policy | null): [from: string, to: string] {
  if (policy === null) return ['0', '~']
  const soon = addDays(today, dueSoonDays(policy))
  if (status === 'overdue') return ['0', `${addDays(today, -1)}#~`]
  if (status === 'due soon') return [today, `${soon}#~`]
  if (status === 'in service') return [addDays(soon, 1), '~']
  return ['0', '~']
}

/** The first `wanted` sticks of a lane that truly have the status; it is read a page at a time. */
async function fill(lane: Lane, { after, status }: RosterQuery, wanted: number): Promise<RosterRow[]> {
  const rows: RosterRow[] = []
  let from = !lane.stale && after >= lane.from ? justAfter(after) : lane.from
  while (rows.length < wanted && from <= lane.to) {
    const page = await lane.read(from, lane.to, wanted - rows.length)
    for (const stored of page.sticks) {
      const standing = standingOn(stored.state, lane.today, lane.policy)
      const row = { stored, standing, today: lane.today }
      if (listed(standing.status, status) && sortKey(row) > after) rows.push(row)
    }
    if (page.next === null) break
    from = page.next
  }
  return rows
}

/** Unless asked for, what is out of use for good is on no list. */
function listed(status: Status, asked: Status | undefined): boolean {
  return asked === undefined ? status !== 'removed from service' && status !== 'scrapped' : status === asked
}
