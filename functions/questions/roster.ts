/**
 * The roster as it is read, for the API and the pages. Each depot keeps a list for each group of standings; a page is merged
 * from them, so it costs what it holds and not what the fleet holds. Status by status, the worst first; within each status:
 *
 * | | |
 * |---|---|
 * | overdue, due soon, in service | the oldest due date first |
 * | on hold | still in somebody's hands and not confirmed by them first; the newest first |
 * | awaiting first test, removed, scrapped | by number |
 * | lent out | the soonest to be back first, whatever the status |
 */
import { addDays, type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { dueSoonDays, type Rules } from '../../shared-domain/policy/rules.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { notAllowed, notFound } from '../ground/errors.ts'
import type { Organisation } from '../store/organisation.ts'
import { isCurrent, markOf } from '../store/reindexed.ts'
import {
  justAfter,
  lentUntil,
  noDueDate,
  placeIn,
  type StandingGroup,
  type StickPage,
  type StoredStick,
} from '../store/sticks.ts'
import { type Caller, maySee } from './identity.ts'

export interface RosterQuery {
  readonly status?: Status | undefined
  readonly depotId?: string | undefined
  readonly crewId?: string | undefined
  /** only what is lent out */
  readonly lent?: boolean
  /** the place of the last row seen, empty to begin */
  readonly after: string
  readonly limit: number
}

export interface RosterRow {
  readonly stored: StoredStick
  readonly standing: Standing
  /** the date at its depot */
  readonly today: CalendarDate
  /** where it stands in the list; the next page begins after it */
  readonly place: string
}

export interface RosterPage {
  readonly rows: RosterRow[]
  /** whether there is more */
  readonly more: boolean
}

type ListName = Status | 'lent'

/** The order in which a manager needs them. Unless asked for, what is out of use for good is on no list. */
const worstFirst: readonly Status[] = ['overdue', 'on hold', 'due soon', 'awaiting first test', 'in service']

/** A depot, or a crew: the lists that it has in the table, with the date that is today there. */
interface Shelf {
  readonly today: CalendarDate
  readonly rules: Rules
  /** its lists may lie by other rules than those that count */
  readonly stale: boolean
  readonly read: (group: StandingGroup | 'lent', from: string, to: string, limit: number) => Promise<StickPage>
  readonly count: (group: StandingGroup, range: Range, most: number) => Promise<number>
  /** where it is stale: all that is not out of use for good, read once for whoever asks in this request */
  readonly whole: () => Promise<readonly Whole[]>
}

type Whole = Pick<RosterRow, 'stored' | 'standing'>

type Range = readonly [from: string, to: string]

/** Part of a shelf in which sticks of one status lie. */
interface Stretch {
  readonly group: StandingGroup | 'lent'
  readonly range: Range
  /** it lies in the order of the list, so that reading it can stop; else it is read whole */
  readonly sorted: boolean
  /** whatever lies in it has the status; else each stick has to be asked */
  readonly sure: boolean
}

export async function readRoster(
  organisation: Organisation,
  caller: Caller,
  now: Instant,
  query: RosterQuery,
): Promise<RosterPage> {
  return pageOf(await shelvesFor(organisation, caller, now, query), query)
}

/** The first page with the counts beside it. */
export async function readRosterAndCount(
  organisation: Organisation,
  caller: Caller,
  now: Instant,
  query: RosterQuery,
): Promise<RosterPage & { readonly counts: RosterCounts }> {
  const shelves = await shelvesFor(organisation, caller, now, query)
  const [page, counts] = await Promise.all([pageOf(shelves, query), countsOn(shelves)])
  return { ...page, counts }
}

async function pageOf(shelves: readonly Shelf[], query: RosterQuery): Promise<RosterPage> {
  const lists = listsOf(query)
  const [list, key] = partsOf(query.after)
  const begin = Math.max(0, lists.indexOf(list as ListName))
  const rows: RosterRow[] = []
  const wanted = query.limit + 1
  for (const [i, name] of lists.slice(begin).entries()) {
    if (rows.length >= wanted) break
    const after = i === 0 && name === list ? key : ''
    rows.push(...(await readList(shelves, name, query.status, after, wanted - rows.length)))
  }
  return { rows: rows.slice(0, query.limit), more: rows.length > query.limit }
}

/** Whether such a query can have answered a row at this place. */
export function isPlaceIn(place: string, query: Pick<RosterQuery, 'status' | 'lent'>): boolean {
  const [list, key] = partsOf(place)
  return (
    listsOf(query).includes(list as ListName) &&
    /^(\d{4}-\d{2}-\d{2}|held#[01]#\d{14}|awaiting|removed|scrapped)#[\w.-]{1,64}$/.test(key)
  )
}

function listsOf({ status, lent }: Pick<RosterQuery, 'status' | 'lent'>): readonly ListName[] {
  if (lent) return ['lent']
  return status === undefined ? worstFirst : [status]
}

function partsOf(place: string): [list: string, key: string] {
  const at = place.indexOf('|')
  return at < 0 ? ['', ''] : [place.slice(0, at), place.slice(at + 1)]
}

async function readList(
  shelves: readonly Shelf[],
  list: ListName,
  asked: Status | undefined,
  after: string,
  wanted: number,
): Promise<RosterRow[]> {
  const read = shelves.flatMap((shelf) =>
    isReadWhole(shelf, list)
      ? [ofWhole(shelf, list, after)]
      : stretchesOf(shelf, list).map((stretch) => fill(shelf, stretch, list, asked, after, wanted)),
  )
  const found = new Map((await Promise.all(read)).flat().map((row) => [row.stored.stickId, row]))
  return [...found.values()].sort((a, b) => (a.place < b.place ? -1 : 1)).slice(0, wanted)
}

/** Its lists lie by other rules than those that count: a stick may be in any of them. */
function isReadWhole({ stale }: Shelf, list: ListName): boolean {
  return stale && list !== 'lent' && list !== 'removed from service' && list !== 'scrapped'
}

async function ofWhole(shelf: Shelf, list: ListName, after: string): Promise<RosterRow[]> {
  return (await shelf.whole()).flatMap(({ stored, standing }) => {
    const key = keyIn(list, stored, standing, shelf.rules)
    return standing.status === list && key > after
      ? [{ stored, standing, today: shelf.today, place: `${list}|${key}` }]
      : []
  })
}

/** The first `wanted` sticks of a stretch that truly belong to the list; it is read a page at a time. */
async function fill(
  shelf: Shelf,
  { group, range: [first, to], sorted }: Stretch,
  list: ListName,
  asked: Status | undefined,
  after: string,
  wanted: number,
): Promise<RosterRow[]> {
  const rows: RosterRow[] = []
  let from = sorted && after >= first ? justAfter(after) : first
  while (from <= to && (!sorted || rows.length < wanted)) {
    const page = await shelf.read(group, from, to, sorted ? wanted - rows.length : sticksOnPage)
    for (const stored of page.sticks) {
      const standing = standingOn(stored.state, shelf.today, shelf.rules)
      const key = keyIn(list, stored, standing, shelf.rules)
      const belongs =
        standing.status === list || (list === 'lent' && (asked === undefined || standing.status === asked))
      if (belongs && key > after) rows.push({ stored, standing, today: shelf.today, place: `${list}|${key}` })
    }
    if (page.next === null) break
    from = page.next
  }
  return rows
}

const sticksOnPage = 200

function keyIn(list: ListName, stored: StoredStick, standing: Standing, rules: Rules): string {
  return list === 'lent'
    ? `${lentUntil(stored.state) ?? noDueDate}#${stored.stickId}`
    : placeIn(groupsOf[list], stored, standing, rules)
}

const groupsOf: { readonly [status in Status]: StandingGroup } = {
  overdue: 'usable',
  'due soon': 'usable',
  'in service': 'usable',
  'on hold': 'held',
  'awaiting first test': 'awaiting',
  'removed from service': 'removed',
  scrapped: 'scrapped',
}

const everything: Range = ['0', '~']
/** By whatever date, or without one; in the list of a crew what must not be used lies behind them. */
const everyDate: Range = ['0', `${noDueDate}#~`]
/** Sticks written before any rules were in force lie there until the lists are rewritten. */
const undated: Range = [noDueDate, `${noDueDate}#~`]

function stretchesOf(shelf: Shelf, list: ListName): Stretch[] {
  const { today, rules } = shelf
  if (list === 'lent') return [{ group: 'lent', range: everything, sorted: true, sure: false }]
  const group = groupsOf[list]
  const own: Range = [`${group}#`, `${group}#~`]
  if (group === 'removed' || group === 'scrapped') return [{ group, range: own, sorted: true, sure: true }]
  if (!rules.entered) return list === 'on hold' ? [{ group, range: undated, sorted: true, sure: true }] : []
  const unsure = (of: StandingGroup, range: Range): Stretch => ({ group: of, range, sorted: false, sure: false })
  const byTime = heldByTime(rules, today)
  const range = group === 'usable' ? datesOf(list, today, rules) : own
  return [
    { group, range, sorted: true, sure: group !== 'usable' || byTime === null },
    unsure('held', undated),
    ...(list === 'on hold' && byTime !== null ? [unsure('usable', byTime)] : []),
  ]
}

/** The dates on which a stick of this status can be due. */
function datesOf(status: Status, today: CalendarDate, rules: Rules): Range {
  const soon = addDays(today, dueSoonDays(rules))
  if (status === 'overdue') return ['0', `${addDays(today, -1)}#~`]
  if (status === 'due soon') return [today, `${soon}#~`]
  return [addDays(soon, 1), everyDate[1]]
}

/** Where time alone puts sticks on hold nothing is written of it: they still lie by these dates among those in use. */
function heldByTime({ requirements }: Rules, today: CalendarDate): Range | null {
  if (requirements.some(({ shelfMonths }) => shelfMonths !== undefined)) return everyDate
  const rests = requirements.some(({ suspendedInStorageAfterMonths: months }) => months !== undefined)
  return rests ? ['0', `${addDays(today, -1)}#~`] : null
}

export type RosterCounts = { readonly [status in Status]: number | '1,000+' }

const mostCounted = 1000

/** How many there are of each status: where it can be, their keys alone are read. */
async function countsOn(shelves: readonly Shelf[]): Promise<RosterCounts> {
  const counted = statuses.map(async (status) => {
    const parts = await Promise.all(shelves.map((shelf) => countOn(shelf, status)))
    const sum = parts.reduce((all, one) => all + one, 0)
    return [status, sum > mostCounted ? '1,000+' : sum] as const
  })
  return Object.fromEntries(await Promise.all(counted)) as RosterCounts
}

async function countOn(shelf: Shelf, status: Status): Promise<number> {
  if (isReadWhole(shelf, status))
    return (await shelf.whole()).filter(({ standing }) => standing.status === status).length
  const stretches = stretchesOf(shelf, status)
  const sure = stretches.flatMap(({ group, range, sure: known }) =>
    known && group !== 'lent' ? [shelf.count(group, range, mostCounted + 1)] : [],
  )
  const asked = stretches
    .filter((stretch) => !stretch.sure)
    .map((stretch) => fill(shelf, stretch, status, undefined, '', mostCounted + 1))
  const rows = (await Promise.all(asked)).flat()
  const others = new Set(rows.map(({ stored }) => stored.stickId)).size
  return (await Promise.all(sure)).reduce((all, one) => all + one, others)
}

type Where = Pick<RosterQuery, 'depotId' | 'crewId'>

function shelvesFor(organisation: Organisation, caller: Caller, now: Instant, query: Where): Promise<Shelf[]> {
  if (caller.role !== 'crew') {
    if (query.crewId === undefined) return depotShelves(organisation, caller, now, query)
    return crewShelves(organisation, caller, now, query, query.crewId)
  }
  if (caller.crewId === null || (query.crewId !== undefined && query.crewId !== caller.crewId)) {
    throw notAllowed('A crew sees the roster of its own crew.')
  }
  return crewShelves(organisation, caller, now, query, caller.crewId)
}

async function depotShelves(
  organisation: Organisation,
  caller: Caller,
  now: Instant,
  { depotId }: Where,
): Promise<Shelf[]> {
  const depots = (await organisation.registers.heads('depot')).filter(
    ({ id }) => (depotId === undefined || id === depotId) && maySee(caller, { crewId: null, depotId: id }),
  )
  if (depotId !== undefined && depots.length === 0) throw notFound()
  const places: { id: string | null; zone: string }[] = depots.map(({ id, newest }) => ({
    id,
    zone: newest.body.timeZone,
  }))
  if (depotId === undefined) places.push({ id: null, zone: 'UTC' })
  const { sticks } = organisation
  return Promise.all(
    places.map(async ({ id, zone }) =>
      withWhole(['usable', 'held', 'awaiting'], {
        ...(await rulesAt(organisation, id, localDateAt(now, zone))),
        read: (group: StandingGroup | 'lent', from: string, to: string, limit: number) =>
          group === 'lent'
            ? sticks.lentPage(id, { from, to, limit })
            : sticks.standingPage(id, group, { from, to, limit }),
        count: (group: StandingGroup, range: Range, most: number) => sticks.standingCount(id, group, range, most),
      }),
    ),
  )
}

/** `groups`: which lists to read for all there is; those of a crew are one. */
function withWhole(groups: readonly StandingGroup[], shelf: Omit<Shelf, 'whole'>): Shelf {
  let found: Promise<readonly Whole[]> | undefined
  return {
    ...shelf,
    whole() {
      found ??= Promise.all(groups.map((group) => allOf(shelf, group))).then((all) => all.flat())
      return found
    },
  }
}

async function allOf({ read, today, rules }: Omit<Shelf, 'whole'>, group: StandingGroup): Promise<Whole[]> {
  const found: Whole[] = []
  for (let from: string | null = everything[0]; from !== null; ) {
    const page: StickPage = await read(group, from, everything[1], sticksOnPage)
    found.push(...page.sticks.map((stored) => ({ stored, standing: standingOn(stored.state, today, rules) })))
    from = page.next
  }
  return found
}

async function crewShelves(
  organisation: Organisation,
  caller: Caller,
  now: Instant,
  { depotId }: Where,
  crewId: string,
): Promise<Shelf[]> {
  const crew = (await organisation.registers.head('crew', crewId))?.newest.body
  if (crew === undefined) throw notFound()
  if (!maySee(caller, { crewId, depotId: crew.depotId }))
    throw notAllowed('This crew belongs to a depot that is not yours.')
  if (depotId !== undefined && depotId !== crew.depotId) return []
  const { sticks, zoneAt } = organisation
  const today = localDateAt(now, await zoneAt(crew.depotId))
  const ofCrew = ({ state }: StoredStick) => state.crewId === crewId
  return [
    withWhole(['usable'], {
      ...(await rulesAt(organisation, crew.depotId, today)),
      read: async (group, from, to, limit) => {
        if (group !== 'lent') return sticks.crewPage(crewId, { from, to, limit })
        const page = await sticks.lentPage(crew.depotId, { from, to, limit })
        return { ...page, sticks: page.sticks.filter(ofCrew) }
      },
      count: (_, range, most) => sticks.crewCount(crewId, range, most),
    }),
  ]
}

async function rulesAt(organisation: Organisation, depotId: string | null, today: CalendarDate) {
  const [rules, mark] = await Promise.all([
    organisation.rulesOn(today),
    markOf(organisation.table, organisation.keys, depotId),
  ])
  return { today, rules, stale: rules.entered && !isCurrent(mark, rules) }
}
