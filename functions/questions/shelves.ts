/**
 * Where the sticks of a roster are read from. A depot and a crew have lists in the table, each in its order. Sticks
 * that are looked for by a part of their number, or by their lot, are found first.
 */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { StandingGroup } from '../../shared-domain/listing.ts'
import type { Morning } from '../../shared-domain/notices/morning.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import { may } from '../../shared-domain/rights.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import { seenAs } from '../../shared-domain/state/use.ts'
import { notFound } from '../ground/errors.ts'
import type { Organisation } from '../store/organisation.ts'
import { isCurrent, marksOfDepots, reindexProgressOf } from '../store/reindexed.ts'
import type { StickPage, StoredStick } from '../store/sticks.ts'
import type { Asker } from './asker.ts'
import { findSticks, type Searched, type Sought } from './found.ts'
import { checkMayCrew, notYours } from './rights.ts'
import { rulesOn, todayAt } from './today.ts'

/** The standing of a stick, and the day on which it stands so. */
interface Stands {
  readonly today: CalendarDate
  readonly standing: Standing
}

/** A depot, a crew, or what was looked for. */
export type Shelf = ListedShelf | FoundShelf

/** How the sticks there are read, and how they stand where they lie. */
interface Sticks {
  /** the day at the places where the sticks lie: the earliest and the latest, of one depot the same */
  readonly days: readonly [earliest: CalendarDate, latest: CalendarDate]
  readonly rules: Rules
  readonly standingOf: (stored: StoredStick) => Stands
  readonly read: (group: StandingGroup | 'lent', range: Stretched) => Promise<StickPage>
  readonly count: (group: StandingGroup, range: Stretched) => Promise<number>
  /** the found sticks, or those of its lists that are not out of use for good, read once for whoever asks */
  readonly whole: () => Promise<readonly Whole[]>
}

export interface ListedShelf extends Sticks {
  /** the depot whose lists these are, or the crew */
  readonly of: { readonly depotId: string | null } | { readonly crewId: string; readonly itsDepot: string }
  /** sticks that lie anyhow may be on any list, by other rules than those that count */
  readonly lies: 'as listed' | 'anyhow'
}

/** Sticks that were found are on no list. */
interface FoundShelf extends Sticks {
  readonly lies: 'found'
  /** how far was looked for them */
  readonly searched: Searched
}

export interface Whole extends Stands {
  readonly stored: StoredStick
}

type Stretched = Parameters<Organisation['sticks']['crewPage']>[1]

/** How many sticks are read at once where a list is read whole. */
export const sticksAtOnce = 200
export const everything: readonly [from: string, to: string] = ['0', '~']

/** The part of a fleet that is asked for; all that the caller may read where it is empty. */
export interface Where {
  readonly depotId?: string | undefined
  readonly crewId?: string | undefined
  /** any part of a stick's number, in capitals or not */
  readonly part?: string | undefined
  /** a maker's lot */
  readonly lot?: string | undefined
}

/** Rights to a crew are checked before it is asked whether there is such a crew. */
export async function shelvesFor(asker: Asker, where: Where): Promise<readonly Shelf[]> {
  const { crewId } = where
  const mayRead = (subject: Parameters<typeof may>[2]) => may(asker.caller, 'read the roster', subject)
  const seesDepots = mayRead({ crewId: null, depotId: null })
  const asked = crewId ?? (seesDepots ? undefined : asker.caller.crewId)
  if (asked === undefined) return shelvesOfDepots(asker, where)
  if (asked === null || !mayRead({ crewId: asked, depotId: null })) throw notYours('crew')
  return shelvesOfCrew(asker, asked, where)
}

const isSought = ({ part, lot }: Where) => part !== undefined || lot !== undefined

async function shelvesOfDepots(asker: Asker, where: Where): Promise<Shelf[]> {
  const depotIds = await depotsOf(asker, where.depotId)
  if (isSought(where)) return [await foundShelf(asker, { ...where, among: { depotIds } })]
  return Promise.all(depotIds.map((id) => depotShelf(asker, id)))
}

/** The depots asked for; `null` stands for sticks of which nobody knows where they lie. */
async function depotsOf(asker: Asker, depotId: string | undefined): Promise<(string | null)[]> {
  const { organisation, caller } = asker
  const depots = (await organisation.registers.depotsNow(asker.now)).filter(
    ({ id }) =>
      (depotId === undefined || id === depotId) && may(caller, 'read the roster', { crewId: null, depotId: id }),
  )
  if (depotId !== undefined && depots.length === 0) throw notFound({ is: 'none: depot to read', depot: depotId })
  const places: (string | null)[] = depots.map(({ id }) => id)
  if (depotId === undefined) places.push(null)
  return places
}

async function depotShelf(asker: Asker, id: string | null): Promise<ListedShelf> {
  const { organisation } = asker
  const { sticks } = organisation
  const { today } = await todayAt(asker, id)
  const [rules, mark] = await Promise.all([rulesOn(organisation, today), reindexProgressOf(organisation, id)])
  const isBehind =
    rules.entered && (!isCurrent(mark, rules) || (await isBehindTheDay(organisation, id, { day: today, rules })))
  return withWhole(['usable', 'held', 'awaiting'], {
    of: { depotId: id },
    days: [today, today],
    rules,
    standingOf: ({ state }) => ({ today, standing: standingOn(state, today, rules) }),
    lies: isBehind ? 'anyhow' : 'as listed',
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
function withWhole(groups: readonly StandingGroup[], shelf: Omit<ListedShelf, 'whole'>): ListedShelf {
  let found: Promise<readonly Whole[]> | undefined
  return {
    ...shelf,
    whole() {
      found ??= Promise.all(groups.map((group) => allOf(shelf, group))).then((all) => all.flat())
      return found
    },
  }
}

export async function allOf(
  { read, standingOf }: Pick<Shelf, 'read' | 'standingOf'>,
  group: StandingGroup,
  [first, to] = everything,
): Promise<Whole[]> {
  const found: Whole[] = []
  for (let from: string | null = first; from !== null; ) {
    const page: StickPage = await read(group, { from, to, limit: sticksAtOnce })
    found.push(...page.sticks.map((stored) => ({ stored, ...standingOf(stored) })))
    from = page.next
  }
  return found
}

async function shelvesOfCrew(asker: Asker, crewId: string, where: Where): Promise<Shelf[]> {
  const { organisation, caller } = asker
  const crew = (await organisation.crewNow(crewId, asker.now))?.body
  if (crew === undefined) throw notFound({ is: 'none: entry', entry: 'crew', id: crewId })
  checkMayCrew(caller, 'read the roster', { crewId, depotId: crew.depotId })
  const { depotId } = where
  if (depotId !== undefined && depotId !== crew.depotId) return []
  if (isSought(where)) return [await foundShelf(asker, { ...where, among: { crewId } })]
  const { sticks } = organisation
  const { depots, ...everywhere } = await whereverItLies(asker)
  return [
    withWhole(['usable'], {
      of: { crewId, itsDepot: crew.depotId },
      ...everywhere,
      lies: (await areAnyBehind(asker, depots)) ? 'anyhow' : 'as listed',
      read: async (group, range) => {
        if (group !== 'lent') return sticks.crewPage(crewId, range)
        const page = await sticks.lentPage(crew.depotId, range)
        return { ...page, sticks: page.sticks.filter(({ state }) => state.crewId === crewId) }
      },
      count: (_, range) => sticks.crewCount(crewId, range),
    }),
  ]
}

interface Place {
  readonly id: string | null
  readonly today: CalendarDate
  readonly rules: Rules
}

/** A crew's stick may lie in any depot's store or at any bench: its day is told by the clock there. */
async function whereverItLies(
  asker: Asker,
): Promise<Pick<Shelf, 'days' | 'rules' | 'standingOf'> & { readonly depots: readonly Place[] }> {
  const { organisation } = asker
  const heads = await organisation.registers.depotsNow(asker.now)
  const at = async (id: string | null): Promise<Place> => {
    const { today } = await todayAt(asker, id)
    return { id, today, rules: await rulesOn(organisation, today) }
  }
  const [nowhere, ...depots] = await Promise.all([at(null), ...heads.map(({ id }) => at(id))])
  const days = depots.map(({ today }) => today).sort()
  return {
    depots,
    days: [days[0] ?? nowhere.today, days.at(-1) ?? nowhere.today],
    rules: depots[0]?.rules ?? nowhere.rules,
    standingOf({ state, depotId }) {
      const { today, rules } = depots.find(({ id }) => id === depotId) ?? nowhere
      return { today, standing: standingOn(state, today, rules) }
    },
  }
}

/** Answers whether the lists of a crew may lie by other rules, or another day, than those of where its sticks are. */
async function areAnyBehind({ organisation }: Asker, depots: readonly Place[]): Promise<boolean> {
  const marks = await marksOfDepots(organisation)
  const late = await Promise.all(
    depots.map(
      async ({ id, today, rules }) => rules.entered && isBehindTheDay(organisation, id, { day: today, rules }),
    ),
  )
  const isBehind = depots.some(
    ({ id, rules }, i) => rules.entered && (late[i] || !isCurrent(marks.get(id ?? ''), rules)),
  )
  // rules that change with the day are not the same everywhere
  return isBehind || new Set(depots.map(({ rules }) => rules.id)).size > 1
}

/** Sticks that were looked for lie on no list: they are read as they are by now, and put in order by whoever asks. */
async function foundShelf(asker: Asker, sought: Sought): Promise<FoundShelf> {
  const { depots: _, ...everywhere } = await whereverItLies(asker)
  const found = await findSticks(asker, sought)
  const all = found.sticks.map((stored) => ({ stored, ...everywhere.standingOf(stored) }))
  return {
    ...everywhere,
    lies: 'found',
    searched: { looked: found.looked, isAll: found.isAll },
    whole: async () => all,
    read: async () => ({ sticks: [], next: null }),
    count: async () => 0,
  }
}
