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
import { lentUntil, noDueDate, placeIn, type StandingGroup } from '../../shared-domain/listing.ts'
import type { Morning } from '../../shared-domain/notices/morning.ts'
import { dueSoonDays, type Rules } from '../../shared-domain/policy/rules.ts'
import { may } from '../../shared-domain/rights.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import { mustNotBeUsed, seenAs } from '../../shared-domain/state/use.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { notFound } from '../ground/errors.ts'
import type { Organisation } from '../store/organisation.ts'
import { isCurrent, marksOfDepots, reindexProgressOf } from '../store/reindexed.ts'
import { justAfter, type StickPage, type StoredStick } from '../store/sticks.ts'
import type { Asker } from './asker.ts'
import { checkMayCrew, notYours } from './rights.ts'
import { type SilentPerson, silentAbout } from './silent.ts'
import { rulesOn, todayAt } from './today.ts'

export interface RosterQuery {
  readonly status?: Status | undefined
  readonly depotId?: string | undefined
  readonly crewId?: string | undefined
  /** only sticks that are lent out */
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
  /** the row's place in the list; the next page begins after it */
  readonly place: string
}

export interface RosterPage {
  readonly rows: RosterRow[]
  /** the place to go on after; null when there is no more */
  readonly next: string | null
}

type ListName = Status | 'lent'

/**
 * The order in which a manager needs them. Sticks that are out of use for good are on no list unless they are asked
 * for.
 */
const worstFirst: readonly Status[] = ['overdue', 'on hold', 'due soon', 'awaiting first test', 'in service']

/** The standing of a stick, and the day on which it stands so. */
interface Stands {
  readonly today: CalendarDate
  readonly standing: Standing
}

/** A depot or a crew: the lists that it has in the table, and how sticks on them stand where they lie. */
interface Shelf {
  /** the day at the places where the sticks lie: the earliest and the latest, of one depot the same */
  readonly days: readonly [earliest: CalendarDate, latest: CalendarDate]
  readonly rules: Rules
  readonly standingOf: (stored: StoredStick) => Stands
  /** the lists may lie by other rules than those that count */
  readonly stale: boolean
  readonly read: (group: StandingGroup | 'lent', range: Stretched) => Promise<StickPage>
  readonly count: (group: StandingGroup, range: Stretched) => Promise<number>
  /** the sticks of a stale shelf that are not out of use for good, read once for whoever asks in this request */
  readonly whole: () => Promise<readonly Whole[]>
}

type Whole = Pick<RosterRow, 'stored' | 'standing' | 'today'>

type Range = readonly [from: string, to: string]
type Stretched = Parameters<Organisation['sticks']['crewPage']>[1]

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
  return pageOf(await shelvesFor(asker, query), query)
}

/** The first page with the counts beside it. */
export async function rosterAndCountsFor(
  asker: Asker,
  query: RosterQuery,
): Promise<RosterPage & { readonly counts: RosterCounts }> {
  const shelves = await shelvesFor(asker, query)
  const [page, counts] = await Promise.all([pageOf(shelves, query), countsOn(shelves)])
  return { ...page, counts }
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

/** The part of a list that is wanted: the first so many after a place in it. */
interface Wanted {
  readonly list: ListName
  /** the status to which a list of loans is narrowed */
  readonly asked: Status | undefined
  readonly after: string
  readonly wanted: number
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
    rows.push(...(await readList(shelves, { list: name, asked: query.status, after, wanted: wanted - rows.length })))
  }
  const shown = rows.slice(0, query.limit)
  return { rows: shown, next: rows.length > query.limit ? (shown.at(-1)?.place ?? null) : null }
}

/** Answers whether such a query can have answered a row at this place. */
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

async function readList(shelves: readonly Shelf[], wanted: Wanted): Promise<RosterRow[]> {
  const read = shelves.flatMap((shelf) =>
    isReadWhole(shelf, wanted.list)
      ? [ofWhole(shelf, wanted)]
      : stretchesOf(shelf, wanted.list).map((stretch) => fill(shelf, stretch, wanted)),
  )
  const found = new Map((await Promise.all(read)).flat().map((row) => [row.stored.stickId, row]))
  return [...found.values()].sort((a, b) => (a.place < b.place ? -1 : 1)).slice(0, wanted.wanted)
}

/**
 * Answers whether the shelf is read whole. Lists that lie by other rules than those that count may have a stick in any
 * of them.
 */
function isReadWhole({ stale }: Shelf, list: ListName): boolean {
  return stale && list !== 'lent' && list !== 'removed from service' && list !== 'scrapped'
}

async function ofWhole(shelf: Shelf, { list, after }: Wanted): Promise<RosterRow[]> {
  return (await shelf.whole()).flatMap((one) => {
    const key = keyIn(list, one, shelf.rules)
    return one.standing.status === list && key > after ? [{ ...one, place: `${list}|${key}` }] : []
  })
}

/** The first sticks of a stretch that truly belong to the list; it is read a page at a time. */
async function fill(
  shelf: Shelf,
  { group, range: [first, to], sorted }: Stretch,
  { list, asked, after, wanted }: Wanted,
): Promise<RosterRow[]> {
  const rows: RosterRow[] = []
  let from = sorted && after >= first ? justAfter(after) : first
  while (from <= to && (!sorted || rows.length < wanted)) {
    const page = await shelf.read(group, { from, to, limit: sorted ? wanted - rows.length : sticksOnPage })
    for (const stored of page.sticks) {
      const one = { stored, ...shelf.standingOf(stored) }
      const key = keyIn(list, one, shelf.rules)
      const { status } = one.standing
      const belongs = status === list || (list === 'lent' && (asked === undefined || status === asked))
      if (belongs && key > after) rows.push({ ...one, place: `${list}|${key}` })
    }
    if (page.next === null) break
    from = page.next
  }
  return rows
}

const sticksOnPage = 200

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

const everything: Range = ['0', '~']
/** Sticks of any due date, or without one. In the list of a crew those that must not be used lie behind them. */
const everyDate: Range = ['0', `${noDueDate}#~`]
/** Sticks written before any rules were in force lie there until the lists are rewritten. */
const undated: Range = [noDueDate, `${noDueDate}#~`]

function stretchesOf(shelf: Shelf, list: ListName): Stretch[] {
  const { days, rules } = shelf
  if (list === 'lent') return [{ group: 'lent', range: everything, sorted: true, sure: false }]
  const group = groupsOf[list]
  const own: Range = [`${group}#`, `${group}#~`]
  if (group === 'removed' || group === 'scrapped') return [{ group, range: own, sorted: true, sure: true }]
  if (!rules.entered) return list === 'on hold' ? [{ group, range: undated, sorted: true, sure: true }] : []
  const unsure = (of: StandingGroup, range: Range): Stretch => ({ group: of, range, sorted: false, sure: false })
  const range = group === 'usable' ? datesOf(list, days, rules) : own
  const isOneDay = days[0] === days[1]
  return [{ group, range, sorted: true, sure: group !== 'usable' || isOneDay }, unsure('held', undated)]
}

/** The dates on which a stick of this status can be due. */
function datesOf(status: Status, [earliest, latest]: Shelf['days'], rules: Rules): Range {
  const soonFrom = (today: CalendarDate) => addDays(today, dueSoonDays(rules))
  if (status === 'overdue') return ['0', `${addDays(latest, -1)}#~`]
  if (status === 'due soon') return [earliest, `${soonFrom(latest)}#~`]
  return [addDays(soonFrom(earliest), 1), everyDate[1]]
}

export type RosterCounts = { readonly [status in Status]: number | '1,000+' }

const mostCounted = 1000

/** Counts the sticks of each status; where it can be, their keys alone are read. */
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
    known && group !== 'lent' ? [shelf.count(group, { from: range[0], to: range[1], limit: mostCounted + 1 })] : [],
  )
  const asked = stretches
    .filter((stretch) => !stretch.sure)
    .map((stretch) => fill(shelf, stretch, { list: status, asked: undefined, after: '', wanted: mostCounted + 1 }))
  // counts and rows are awaited at once: a count that fails while something else is waited for would end the process
  const [rows, counts] = await Promise.all([Promise.all(asked), Promise.all(sure)])
  const others = new Set(rows.flat().map(({ stored }) => stored.stickId)).size
  return counts.reduce((all, one) => all + one, others)
}

type Where = Pick<RosterQuery, 'depotId' | 'crewId'>

/** Rights to a crew are checked before it is asked whether there is such a crew. */
function shelvesFor(asker: Asker, { depotId, crewId }: Where): Promise<Shelf[]> {
  const mayRead = (subject: Parameters<typeof may>[2]) => may(asker.caller, 'read the roster', subject)
  const seesDepots = mayRead({ crewId: null, depotId: null })
  const asked = crewId ?? (seesDepots ? undefined : asker.caller.crewId)
  if (asked === undefined) return depotShelves(asker, depotId)
  if (asked === null || !mayRead({ crewId: asked, depotId: null })) throw notYours('crew')
  return crewShelves(asker, asked, depotId)
}

async function depotShelves(asker: Asker, depotId: string | undefined): Promise<Shelf[]> {
  const { organisation, caller } = asker
  const depots = (await organisation.registers.depotsNow(asker.now)).filter(
    ({ id }) =>
      (depotId === undefined || id === depotId) && may(caller, 'read the roster', { crewId: null, depotId: id }),
  )
  if (depotId !== undefined && depots.length === 0) throw notFound({ is: 'none: depot to read', depot: depotId })
  const places: (string | null)[] = depots.map(({ id }) => id)
  if (depotId === undefined) places.push(null)
  return Promise.all(places.map((id) => depotShelf(asker, id)))
}

async function depotShelf(asker: Asker, id: string | null): Promise<Shelf> {
  const { organisation } = asker
  const { sticks } = organisation
  const { today } = await todayAt(asker, id)
  const [rules, mark] = await Promise.all([rulesOn(organisation, today), reindexProgressOf(organisation, id)])
  const isBehind =
    rules.entered && (!isCurrent(mark, rules) || (await isBehindTheDay(organisation, id, { day: today, rules })))
  return withWhole(['usable', 'held', 'awaiting'], {
    days: [today, today],
    rules,
    standingOf: ({ state }) => ({ today, standing: standingOn(state, today, rules) }),
    stale: isBehind,
    read: (group, range) => (group === 'lent' ? sticks.lentPage(id, range) : sticks.standingPage(id, group, range)),
    count: (group, range) => sticks.standingCount(id, group, range),
  })
}

/**
 * Answers whether a day has come that alone changes how some stick stands, and the morning's round has not been there
 * yet. Each such stick carries that day, and no others are read.
 */
async function isBehindTheDay(
  { sticks }: Organisation,
  depotId: string | null,
  { day, rules }: Morning,
): Promise<boolean> {
  const due = await sticks.dueToChange(depotId, day)
  return due.some(({ state, seen, shownDueOn, untold }) => {
    const { status, dueOn } = standingOn(state, day, rules)
    return dueOn !== shownDueOn || (untold === undefined && seen !== undefined && seen !== seenAs(status))
  })
}

/** `groups` are the lists to read for all there is; a crew has one. */
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

async function allOf({ read, standingOf }: Omit<Shelf, 'whole'>, group: StandingGroup): Promise<Whole[]> {
  const found: Whole[] = []
  for (let from: string | null = everything[0]; from !== null; ) {
    const page: StickPage = await read(group, { from, to: everything[1], limit: sticksOnPage })
    found.push(...page.sticks.map((stored) => ({ stored, ...standingOf(stored) })))
    from = page.next
  }
  return found
}

async function crewShelves(asker: Asker, crewId: string, depotId: string | undefined): Promise<Shelf[]> {
  const { organisation, caller } = asker
  const crew = (await organisation.crewNow(crewId, asker.now))?.body
  if (crew === undefined) throw notFound({ is: 'none: entry', entry: 'crew', id: crewId })
  checkMayCrew(caller, 'read the roster', { crewId, depotId: crew.depotId })
  if (depotId !== undefined && depotId !== crew.depotId) return []
  const { sticks } = organisation
  return [
    withWhole(['usable'], {
      ...(await whereverItLies(asker)),
      read: async (group, range) => {
        if (group !== 'lent') return sticks.crewPage(crewId, range)
        const page = await sticks.lentPage(crew.depotId, range)
        return { ...page, sticks: page.sticks.filter(({ state }) => state.crewId === crewId) }
      },
      count: (_, range) => sticks.crewCount(crewId, range),
    }),
  ]
}

/** A crew's stick may lie in any depot's store or at any bench: its day is told by the clock there. */
async function whereverItLies(asker: Asker): Promise<Pick<Shelf, 'days' | 'rules' | 'standingOf' | 'stale'>> {
  const { organisation } = asker
  const [heads, marks] = await Promise.all([organisation.registers.depotsNow(asker.now), marksOfDepots(organisation)])
  const at = async (id: string | null) => {
    const { today } = await todayAt(asker, id)
    return { id, today, rules: await rulesOn(organisation, today) }
  }
  const [nowhere, ...depots] = await Promise.all([at(null), ...heads.map(({ id }) => at(id))])
  const days = depots.map(({ today }) => today).sort()
  const late = await Promise.all(
    depots.map(
      async ({ id, today, rules }) => rules.entered && isBehindTheDay(organisation, id, { day: today, rules }),
    ),
  )
  const isBehind = depots.some(
    ({ id, rules }, i) => rules.entered && (late[i] || !isCurrent(marks.get(id ?? ''), rules)),
  )
  return {
    days: [days[0] ?? nowhere.today, days.at(-1) ?? nowhere.today],
    rules: depots[0]?.rules ?? nowhere.rules,
    standingOf({ state, depotId }) {
      const { today, rules } = depots.find(({ id }) => id === depotId) ?? nowhere
      return { today, standing: standingOn(state, today, rules) }
    },
    // rules that change with the day are not the same everywhere
    stale: isBehind || new Set(depots.map(({ rules }) => rules.id)).size > 1,
  }
}
