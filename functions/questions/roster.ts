/**
 * The roster as it is read, for the API, the pages and the feeds. Each depot keeps a list for each group of standings.
 * A page is merged from these lists, so it costs what it holds and not what the fleet holds. Statuses come one after
 * another, the worst first. The order within each status:
 *
 * | | |
 * |---|---|
 * | overdue, due soon, in service | the oldest due date first |
 * | on hold | still in somebody's hands and not confirmed by them first; the newest first |
 * | awaiting first test, removed, scrapped | by number |
 * | lent out | the soonest to be back first, whatever the status |
 *
 * The day and the rules of the depot where a stick lies tell how it stands, on every list.
 */
import { addDays, type CalendarDate } from '../../shared-domain/calendar.ts'
import { registerIdPattern } from '../../shared-domain/identifier-pattern.ts'
import { lentUntil, noDueDate, placeIn, type StandingGroup } from '../../shared-domain/listing.ts'
import { dueSoonDays, type Rules } from '../../shared-domain/policy/rules.ts'
import { may } from '../../shared-domain/rights.ts'
import { isDated, mayBeUsed, mustNotBeUsed } from '../../shared-domain/state/use.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { justAfter, type StickPage } from '../store/sticks.ts'
import type { Asker } from './asker.ts'
import type { Searched } from './found.ts'
import {
  allOf,
  everything,
  type ListedShelf,
  type Shelf,
  shelvesFor,
  sticksAtOnce,
  type Where,
  type Whole,
} from './shelves.ts'
import { type SilentPerson, silentAbout } from './silent.ts'

export interface RosterFilter extends Where {
  readonly status?: Status | undefined
  /** only sticks that are lent out */
  readonly lent?: boolean | undefined
  /** only sticks that lie at a bench, whatever their status */
  readonly atBench?: boolean | undefined
  /** only sticks that may be used, in the store of this depot */
  readonly store?: string | undefined
  /** only sticks whose due date is one of these days, both ends among them */
  readonly due?: DueWithin | undefined
}

export interface DueWithin {
  readonly from: CalendarDate
  readonly to: CalendarDate
}

/** The place of the row after which a page begins, empty for the first page; or of the row before which it ends. */
export type Edge = { readonly after: string } | { readonly before: string }

export type RosterQuery = RosterFilter & Edge & { readonly limit: number }

export interface RosterRow extends Whole {
  /** the row's place in the list, by which pages begin and end */
  readonly place: string
}

export interface RosterPage {
  readonly rows: readonly RosterRow[]
  /** the place to go on after; null when there is no more */
  readonly next: string | null
  /** the place to go back before; null on the first page */
  readonly previous: string | null
  /** how far was looked for sticks of such a number or lot */
  readonly searched?: Searched | undefined
}

type ListName = Status | 'lent'

/**
 * The order in which a manager needs them. Sticks that are out of use for good are on no list unless they are asked
 * for.
 */
const worstFirst: readonly Status[] = ['overdue', 'on hold', 'due soon', 'awaiting first test', 'in service']

type Range = readonly [from: string, to: string]

/** Part of a shelf in which sticks of one status lie. */
interface Stretch {
  readonly group: StandingGroup | 'lent'
  readonly range: Range
  /** the stretch lies in the order of the list, so that reading it can stop; else it is read whole */
  readonly sorted: boolean
  /** every stick in the stretch has the status; else each has to be asked */
  readonly sure: boolean
}

export async function rosterFor(asker: Asker, query: RosterQuery): Promise<RosterPage> {
  return pageOf(await shelvesFor(asker, whereOf(query)), query)
}

/** The first page with the counts beside it: of the depot or crew asked for, or of what was looked for. */
export async function rosterAndCountsFor(
  asker: Asker,
  query: RosterQuery,
): Promise<RosterPage & { readonly counts: RosterCounts }> {
  const shelves = await shelvesFor(asker, whereOf(query))
  const [page, counts] = await Promise.all([pageOf(shelves, query), countsOn(shelves, statuses)])
  return { ...page, counts }
}

/** A page with what a manager's morning begins with. */
export interface RosterMorning extends RosterPage {
  readonly band: Band
  /** the number of all rows of the list; null where it is not known */
  readonly total: Count | null
  /** of what was looked for, what is on no list since it is out of use for good, unless that was asked for */
  readonly gone: RosterCounts<(typeof goneStatuses)[number]> | null
}

/** Numbers of a depot or crew, or of all that the caller may read, whatever else the list is narrowed by. */
export interface Band extends RosterCounts<(typeof bandStatuses)[number]> {
  /** of those on hold: still in somebody's hands, and not confirmed by them */
  readonly urgent: Count
  /** the number of days before its due date from which a stick is due soon; null where no rules are entered */
  readonly soonDays: number | null
}

const goneStatuses = ['removed from service', 'scrapped'] as const
const bandStatuses = ['overdue', 'on hold', 'due soon', 'awaiting first test'] as const

export async function morningFor(asker: Asker, query: RosterQuery): Promise<RosterMorning> {
  const { depotId, crewId } = query
  const shelves = await shelvesFor(asker, whereOf(query))
  const isWhole = query.part === undefined && query.lot === undefined && query.store === undefined
  const ofAll = isWhole ? shelves : await shelvesFor(asker, { depotId, crewId })
  const [page, counts, urgent, total, gone] = await Promise.all([
    pageOf(shelves, query),
    countsOn(ofAll, bandStatuses),
    counted(ofAll, countUrgent),
    totalOf(shelves, query),
    goneAmong(shelves, query),
  ])
  const [shelf] = ofAll
  return {
    ...page,
    total,
    gone,
    band: { ...counts, urgent, soonDays: shelf?.rules.entered ? dueSoonDays(shelf.rules) : null },
  }
}

/** What is out of use for good is due on no day. */
async function goneAmong(shelves: readonly Shelf[], { status, due }: RosterFilter): Promise<RosterMorning['gone']> {
  const isAsked = status === undefined && due === undefined && shelves.some(({ lies }) => lies === 'found')
  return isAsked ? countsOn(shelves, goneStatuses) : null
}

/** Answers the stick that is asked for by its whole number, in capitals or not, and by nothing besides. */
export async function exactlyOne(
  { organisation, caller }: Asker,
  { part, ...others }: RosterFilter,
): Promise<string | undefined> {
  if (part === undefined || !registerIdPattern.test(part) || Object.values(others).some(Boolean)) return undefined
  const known = await organisation.sticks.known([part, part.toUpperCase(), part.toLowerCase()])
  const [one, ...more] = known.filter(({ state: { crewId }, depotId }) =>
    may(caller, 'read a stick', { crewId, depotId }),
  )
  return more.length === 0 ? one?.stickId : undefined
}

/** The store asked for is a depot's, and so the depot. Where another depot is asked for besides, nothing lies there. */
function whereOf({ depotId, crewId, part, lot, store }: RosterFilter): Where {
  return { depotId: store ?? depotId, crewId, part, lot }
}

/** Answers for each stick of a page that must not be used who was told so, and has not confirmed that they know. */
export async function silentOn(
  { organisation }: Asker,
  rows: readonly RosterRow[],
): Promise<ReadonlyMap<string, readonly SilentPerson[]>> {
  const held = rows.filter(({ standing }) => mustNotBeUsed(standing.status)).map(({ stored }) => stored)
  return new Map(
    await Promise.all(held.map(async (stored) => [stored.stickId, await silentAbout(organisation, stored)] as const)),
  )
}

/** The part of a list that is wanted: so many from an edge on, or back from it. */
interface Wanted {
  readonly list: ListName
  readonly filter: RosterFilter
  /** the key of a row that is left out; empty where the list begins, or ends */
  readonly edge: string
  readonly back: boolean
  readonly wanted: number
}

/** Rows with the place where the search for more of them stopped, where it went no further. */
interface Filled {
  readonly rows: readonly RosterRow[]
  readonly stop: string | null
}

async function pageOf(shelves: readonly Shelf[], query: RosterQuery): Promise<RosterPage> {
  const back = 'before' in query
  const edge = back ? query.before : query.after
  const { rows, stop } = await readLists(shelves, { filter: query, edge, back, wanted: query.limit + 1 })
  const isMore = rows.length > query.limit
  const shown = back ? rows.slice(isMore ? 1 : 0) : rows.slice(0, query.limit)
  const [first, last] = [shown.at(0)?.place ?? null, shown.at(-1)?.place ?? null]
  const further = isMore ? (back ? first : last) : stop
  const { searched } = shelves.find((shelf) => shelf.lies === 'found') ?? {}
  return {
    rows: shown,
    next: back ? last : further,
    previous: back ? further : edge === '' ? null : first,
    searched,
  }
}

/** Lists are read one after the other, from the one that holds the edge on, or back from it. */
async function readLists(shelves: readonly Shelf[], asked: Omit<Wanted, 'list'>): Promise<Filled> {
  const { back, edge, wanted } = asked
  const [list, key] = partsOf(edge)
  const lists = listsOf(asked.filter)
  const order = back ? lists.toReversed() : lists
  let rows: readonly RosterRow[] = []
  for (const name of order.slice(Math.max(0, order.indexOf(list as ListName)))) {
    if (rows.length >= wanted) break
    const part = { ...asked, list: name, edge: name === list ? key : '', wanted: wanted - rows.length }
    const filled = await readList(shelves, part)
    rows = back ? [...filled.rows, ...rows] : [...rows, ...filled.rows]
    if (filled.stop !== null) return { rows, stop: filled.stop }
  }
  return { rows, stop: null }
}

/** Answers whether such a query can have answered a row at this place. */
export function isPlaceIn(place: string, query: RosterFilter): boolean {
  const [list, key] = partsOf(place)
  return (
    listsOf(query).includes(list as ListName) &&
    /^(\d{4}-\d{2}-\d{2}|held#[01]#\d{14}|awaiting|removed|scrapped)#[\w.-]{1,64}$/.test(key)
  )
}

/** A stick lies in one place. Of those in a store only what may be used is asked for. Few statuses have a due date. */
function listsOf({ status, lent, atBench, store, depotId, due }: RosterFilter): readonly ListName[] {
  if (atBench && (lent || store !== undefined)) return []
  if (store !== undefined && (lent || (depotId !== undefined && depotId !== store))) return []
  if (lent) return ['lent']
  const asked = status === undefined ? worstFirst : [status]
  return asked.filter((one) => (store === undefined || mayBeUsed(one)) && (due === undefined || isDated(one)))
}

function partsOf(place: string): [list: string, key: string] {
  const at = place.indexOf('|')
  return at < 0 ? ['', ''] : [place.slice(0, at), place.slice(at + 1)]
}

async function readList(shelves: readonly Shelf[], wanted: Wanted): Promise<Filled> {
  const { back } = wanted
  const read = shelves.flatMap((shelf) =>
    isReadWhole(shelf, wanted.list)
      ? [ofWhole(shelf, wanted)]
      : stretchesOf(shelf, wanted.list, wanted.filter.due).map((stretch) => fill(shelf, stretch, wanted)),
  )
  const filled = await Promise.all(read)
  const [stop = null] = filled.flatMap((one) => one.stop ?? []).sort((a, b) => (a < b === back ? 1 : -1))
  const found = new Map(filled.flatMap(({ rows }) => rows).map((row) => [row.stored.stickId, row]))
  const rows = [...found.values()]
    .filter(({ place }) => stop === null || (back ? place >= stop : place <= stop))
    .sort((a, b) => (a.place < b.place ? -1 : 1))
  return { rows: back ? rows.slice(-wanted.wanted) : rows.slice(0, wanted.wanted), stop }
}

/**
 * Answers whether the shelf is read whole. Lists that lie by other rules than those that count may have a stick in any
 * of them.
 */
function isReadWhole({ lies }: Shelf, list: ListName): boolean {
  if (lies === 'found') return true
  return lies === 'anyhow' && list !== 'lent' && list !== 'removed from service' && list !== 'scrapped'
}

async function ofWhole(shelf: Shelf, wanted: Wanted): Promise<Filled> {
  return { rows: (await shelf.whole()).flatMap((one) => rowOf(one, shelf, wanted)), stop: null }
}

/** The stick as a row where it belongs to the list, on the wanted side of the edge. */
function rowOf(one: Whole, { rules }: Shelf, { list, filter, edge, back }: Wanted): RosterRow[] {
  const key = keyIn(list, one, rules)
  const isBeyond = edge === '' || (back ? key < edge : key > edge)
  return isBeyond && belongs(list, filter, one) ? [{ ...one, place: `${list}|${key}` }] : []
}

function belongs(list: ListName, filter: RosterFilter, { stored, standing }: Whole): boolean {
  const { status: asked, atBench, store, due } = filter
  const { status } = standing
  const { custody } = stored.state
  if (atBench && (custody === null || !('bench' in custody))) return false
  if (store !== undefined && (custody === null || !('store' in custody) || custody.store !== store)) return false
  if (!isDueWithin(standing, due)) return false
  if (list !== 'lent') return status === list
  return lentUntil(stored.state) !== null && (asked === undefined || status === asked)
}

/** A stick without a due date that counts is due on no day. */
function isDueWithin({ status, dueOn }: Whole['standing'], due: DueWithin | undefined): boolean {
  return due === undefined || (isDated(status) && dueOn !== null && due.from <= dueOn && dueOn <= due.to)
}

/** Whoever looks for what few sticks of a list are, looks through so many for a page of them. */
const mostLooked = 2000

/** The first sticks of a stretch, or the last, that truly belong to the list; it is read a page at a time. */
async function fill(shelf: Shelf, stretch: Stretch, wanted: Wanted): Promise<Filled> {
  const { group, sorted } = stretch
  const { list, filter } = wanted
  const back = wanted.back && sorted
  const rows: RosterRow[] = []
  // loans lie by the day on which they are to be back
  const isSieved = filter.atBench || filter.store !== undefined || (filter.due !== undefined && list === 'lent')
  const isDone = () => sorted && rows.length >= wanted.wanted
  let looked = 0
  let range = rangeFrom(stretch, wanted)
  while (range !== null && !isDone()) {
    const limit = sorted && !isSieved ? wanted.wanted - rows.length : sticksAtOnce
    const page: StickPage = await shelf.read(group, { from: range[0], to: range[1], limit, back })
    const sticks = page.sticks.map((stored) => ({ stored, ...shelf.standingOf(stored) }))
    rows.push(...sticks.flatMap((one) => rowOf(one, shelf, wanted)))
    range = page.next === null ? null : back ? [range[0], page.next] : [page.next, range[1]]
    looked += sticks.length
    const last = sticks.at(-1)
    if (isSieved && sorted && looked >= mostLooked && range !== null && !isDone() && last !== undefined)
      return { rows, stop: `${list}|${keyIn(list, last, shelf.rules)}` }
  }
  return { rows, stop: null }
}

/** The part of a stretch on the wanted side of the edge; one that lies in no order is read whole. */
function rangeFrom({ range: [first, last], sorted }: Stretch, { edge, back }: Wanted): Range | null {
  const isBounded = sorted && edge !== ''
  const from = isBounded && !back && edge >= first ? justAfter(edge) : first
  const to = isBounded && back && edge < last ? edge : last
  return from <= to ? [from, to] : null
}

function keyIn(list: ListName, { stored, standing }: Whole, rules: Rules): string {
  return list === 'lent'
    ? `${lentUntil(stored.state) ?? noDueDate}#${stored.stickId}`
    : placeIn(groupsOf[list], { ...stored, dueOn: standing.dueOn }, rules)
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

/** Sticks of any due date, or without one. In the list of a crew those that must not be used lie behind them. */
const everyDate: Range = ['0', `${noDueDate}#~`]
/** Sticks written before any rules were in force lie there until the lists are rewritten. */
const undated: Range = [noDueDate, `${noDueDate}#~`]

function stretchesOf(shelf: Shelf, list: ListName, due?: DueWithin): Stretch[] {
  const { days, rules } = shelf
  if (list === 'lent') return [{ group: 'lent', range: everything, sorted: true, sure: false }]
  const group = groupsOf[list]
  const own: Range = [`${group}#`, `${group}#~`]
  if (group === 'removed' || group === 'scrapped') return [{ group, range: own, sorted: true, sure: true }]
  if (!rules.entered) return list === 'on hold' ? [{ group, range: undated, sorted: true, sure: true }] : []
  const unsure = (of: StandingGroup, range: Range): Stretch => ({ group: of, range, sorted: false, sure: false })
  const range = group === 'usable' ? within(datesOf(list, days, rules), due) : own
  const isOneDay = days[0] === days[1]
  return [{ group, range, sorted: true, sure: group !== 'usable' || isOneDay }, unsure('held', undated)]
}

function within([first, last]: Range, due: DueWithin | undefined): Range {
  if (due === undefined) return [first, last]
  const to = `${due.to}#~`
  return [due.from > first ? due.from : first, to < last ? to : last]
}

/** The dates on which a stick of this status can be due. */
function datesOf(status: Status, [earliest, latest]: Shelf['days'], rules: Rules): Range {
  const soonFrom = (today: CalendarDate) => addDays(today, dueSoonDays(rules))
  if (status === 'overdue') return ['0', `${addDays(latest, -1)}#~`]
  if (status === 'due soon') return [earliest, `${soonFrom(latest)}#~`]
  return [addDays(soonFrom(earliest), 1), everyDate[1]]
}

export type Count = number | '1,000+'
export type RosterCounts<Counted extends Status = Status> = { readonly [status in Counted]: Count }

export const mostCounted = 1000

/** Counts the sticks of each status; where it can be, their keys alone are read. */
export async function countsOn<Counted extends Status>(
  shelves: readonly Shelf[],
  asked: readonly Counted[],
): Promise<RosterCounts<Counted>> {
  const all = asked.map(async (status) => [status, await counted(shelves, (shelf) => countOn(shelf, status))] as const)
  return Object.fromEntries(await Promise.all(all)) as RosterCounts<Counted>
}

const shelvesAtOnce = 8

/** Shelves are counted a few at a time, until it is known that there are more than anybody is told of. */
async function counted(shelves: readonly Shelf[], count: (shelf: Shelf) => Promise<number>): Promise<Count> {
  let sum = 0
  for (let i = 0; i < shelves.length && sum <= mostCounted; i += shelvesAtOnce) {
    const parts = await Promise.all(shelves.slice(i, i + shelvesAtOnce).map(count))
    sum = parts.reduce((all, one) => all + one, sum)
  }
  return sum > mostCounted ? '1,000+' : sum
}

/** Counts the rows of a list, where that is the count of one status, or where all of them were read. */
async function totalOf(shelves: readonly Shelf[], filter: RosterFilter): Promise<Count | null> {
  const { status, lent, atBench, store, due } = filter
  const lists = listsOf(filter)
  if (shelves.every(({ lies }) => lies === 'found')) {
    const whole = (await Promise.all(shelves.map((shelf) => shelf.whole()))).flat()
    return whole.filter((one) => lists.some((list) => belongs(list, filter, one))).length
  }
  if (lent || atBench || store !== undefined || due !== undefined || status === undefined) return null
  return counted(shelves, (shelf) => countOn(shelf, status))
}

/** Those on hold that come first: still in somebody's hands and not confirmed by them. */
async function countUrgent(shelf: Shelf): Promise<number> {
  const [from, to] = ['held#0#', 'held#0#~']
  if (!isReadWhole(shelf, 'on hold')) return shelf.count('held', { from, to, limit: mostCounted + 1 })
  const whole = await shelf.whole()
  return whole.filter((one) => one.standing.status === 'on hold' && keyIn('on hold', one, shelf.rules).startsWith(from))
    .length
}

async function countOn(shelf: Shelf, status: Status): Promise<number> {
  if (isReadWhole(shelf, status))
    return (await shelf.whole()).filter(({ standing }) => standing.status === status).length
  const stretches = stretchesOf(shelf, status)
  const sure = stretches.flatMap(({ group, range, sure: known }) =>
    known && group !== 'lent' ? [shelf.count(group, { from: range[0], to: range[1], limit: mostCounted + 1 })] : [],
  )
  const all = { list: status, filter: {}, edge: '', back: false, wanted: mostCounted + 1 }
  const asked = stretches.filter((stretch) => !stretch.sure).map((stretch) => fill(shelf, stretch, all))
  // counts and rows are awaited at once: a count that fails while something else is waited for would end the process
  const [filled, counts] = await Promise.all([Promise.all(asked), Promise.all(sure)])
  const others = new Set(filled.flatMap(({ rows }) => rows).map(({ stored }) => stored.stickId)).size
  return counts.reduce((sum, one) => sum + one, others)
}

/**
 * Sticks that may be due by a date, and lie on another list than that of their date: of lists that lie anyhow all there
 * are, of others those written before there were any rules.
 */
export async function listedElsewhere(shelf: ListedShelf): Promise<readonly Whole[]> {
  if (shelf.lies === 'anyhow') return shelf.whole()
  return shelf.rules.entered ? allOf(shelf, 'held', undated) : []
}
