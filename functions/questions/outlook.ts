/**
 * What falls due in the weeks ahead, by week and depot, and what is overdue, on hold or untested now. A week begins
 * with a Monday by the depot's own clock. The week of today counts from today on: what was due before is overdue.
 *
 * Of a depot whose lists are up to date the due dates alone are read, in order, so that an answer costs what is due and
 * not what the fleet holds.
 */
import { addDays, type CalendarDate, isoWeekOf, mondayOf } from '../../shared-domain/calendar.ts'
import { isDated } from '../../shared-domain/state/use.ts'
import type { Asker } from './asker.ts'
import { type Count, countsOn, listedElsewhere, mostCounted } from './roster.ts'
import { allOf, type ListedShelf, shelvesFor, type Whole } from './shelves.ts'
import { todayAt } from './today.ts'

export const weeksAhead = 52

export interface OutlookQuery {
  readonly depotId: string | undefined
  /** the place of the last week that was seen, empty to begin */
  readonly after: string
  readonly limit: number
}

/** A week of a depot; null where nobody knows where the sticks lie. */
export interface OutlookWeek {
  readonly depotId: string | null
  /** `2026-W10`, as ISO 8601 writes it */
  readonly week: string
  /** the days of the week that are counted, both ends among them */
  readonly from: CalendarDate
  readonly to: CalendarDate
  readonly sticks: Count
}

/** What no week ahead holds, of a depot or of the one crew that the caller sees. */
export interface OutlookNow {
  readonly depotId: string | null
  readonly crewId: string | null
  /** today there */
  readonly on: CalendarDate
  readonly overdue: Count
  readonly onHold: Count
  readonly awaitingFirstTest: Count
}

export interface Outlook {
  /** by week, and in each by depot */
  readonly weeks: readonly OutlookWeek[]
  /** the place to go on after; null when there is no more */
  readonly next: string | null
  readonly now: readonly OutlookNow[]
}

/** A list of due dates is read no further than this in one answer. */
const mostRead = 5000
const datesOnPage = 500

export async function outlookFor(asker: Asker, { depotId, after, limit }: OutlookQuery): Promise<Outlook> {
  const shelves = (await shelvesFor(asker, { depotId })).filter((shelf) => shelf.lies !== 'found')
  const [places, now] = await Promise.all([
    Promise.all(shelves.map((shelf) => placesOf(asker, shelf, after))),
    Promise.all(shelves.map(nowOn)),
  ])
  const weeks = places
    .flat()
    .flatMap(weeksOf)
    .filter((one) => placeOf(one) > after)
    .sort((a, b) => (placeOf(a) < placeOf(b) ? -1 : 1))
  const end = weeks.findIndex(({ sticks }) => sticks === null)
  const known = (end < 0 ? weeks : weeks.slice(0, end)) as OutlookWeek[] // every week before the end has its count
  const shown = known.slice(0, limit)
  const last = shown.at(-1)
  return { weeks: shown, next: shown.length === weeks.length || last === undefined ? null : placeOf(last), now }
}

/** Answers whether an earlier answer can have named this place. */
export function isPlaceInOutlook(place: string): boolean {
  return /^\d{4}-W\d{2}#(~|[\w.-]{1,64})$/.test(place)
}

/** Weeks of no depot come last. */
function placeOf({ week, depotId }: Pick<OutlookWeek, 'week' | 'depotId'>): string {
  return `${week}#${depotId ?? '~'}`
}

/** A depot's due dates from today on, week by week. */
interface DuePlace {
  readonly depotId: string | null
  readonly today: CalendarDate
  readonly counted: ReadonlyMap<string, number>
  /** the first week that was not read to its end; null where all were */
  readonly unread: string | null
}

type Week = Omit<OutlookWeek, 'sticks'> & { readonly sticks: Count | null }

function weeksOf({ depotId, today, counted, unread }: DuePlace): Week[] {
  return Array.from({ length: weeksAhead }, (_, i) => {
    const monday = addDays(mondayOf(today), 7 * i)
    const week = isoWeekOf(monday)
    const sticks = counted.get(week) ?? 0
    return {
      depotId,
      week,
      from: i === 0 ? today : monday,
      to: addDays(monday, 6),
      sticks: unread !== null && week >= unread ? null : sticks > mostCounted ? '1,000+' : sticks,
    }
  })
}

async function placesOf(asker: Asker, shelf: ListedShelf, after: string): Promise<DuePlace[]> {
  if ('crewId' in shelf.of) return placesOfCrew(asker, shelf, shelf.of.itsDepot)
  const { depotId } = shelf.of
  const [today] = shelf.days
  const others = countOf(aheadAmong(await listedElsewhere(shelf)))
  if (shelf.lies === 'anyhow' || !shelf.rules.entered) return [{ depotId, today, counted: others, unread: null }]
  const { counted, unread } = await inOrder(asker, depotId, daysAhead(today, after))
  for (const [week, sticks] of others) counted.set(week, sticks + (counted.get(week) ?? 0))
  return [{ depotId, today, counted, unread }]
}

interface Days {
  readonly from: CalendarDate
  readonly to: CalendarDate
}

/** The days from today, or from the week that was seen last, to the end of the weeks ahead. */
function daysAhead(today: CalendarDate, after: string): Days {
  const first = mondayOf(today)
  const [seen = ''] = after.split('#')
  const skipped = Array.from({ length: weeksAhead }, (_, i) => addDays(first, 7 * i)).filter(
    (monday) => isoWeekOf(monday) < seen,
  )
  const from = skipped.length === 0 ? today : addDays(first, 7 * skipped.length)
  return { from, to: addDays(first, 7 * weeksAhead - 1) }
}

/** Counting in a week ends where its number would not be told any more, and goes on with the next week. */
async function inOrder({ organisation }: Asker, depotId: string | null, { from, to }: Days) {
  const counted = new Map<string, number>()
  let read = 0
  for (let at: string | null = from; at !== null && at <= `${to}#~`; ) {
    if (read >= mostRead) return { counted, unread: isoWeekOf(at.slice(0, from.length) as CalendarDate) }
    const page: Awaited<ReturnType<typeof organisation.sticks.dueDates>> = await organisation.sticks.dueDates(depotId, {
      from: at,
      to: `${to}#~`,
      limit: datesOnPage,
    })
    read += page.dates.length
    for (const [week, sticks] of countOf(page.dates)) counted.set(week, sticks + (counted.get(week) ?? 0))
    const last = page.dates.at(-1)
    const isFull = last !== undefined && (counted.get(isoWeekOf(last)) ?? 0) > mostCounted
    at = page.next === null || !isFull ? page.next : addDays(mondayOf(last), 7)
  }
  return { counted, unread: null }
}

function countOf(dates: readonly CalendarDate[]): Map<string, number> {
  const counted = new Map<string, number>()
  for (const date of dates) {
    const week = isoWeekOf(date)
    counted.set(week, 1 + (counted.get(week) ?? 0))
  }
  return counted
}

/** The due dates that count and are still to come. */
function aheadAmong(sticks: readonly Whole[]): CalendarDate[] {
  return sticks.flatMap(({ standing: { status, dueOn }, today }) =>
    isDated(status) && dueOn !== null && dueOn >= today ? [dueOn] : [],
  )
}

/** A crew's stick may lie in any depot's store or at any bench. A crew has few, so they are read as they are. */
async function placesOfCrew(asker: Asker, shelf: ListedShelf, itsDepot: string): Promise<DuePlace[]> {
  const [earliest, latest] = shelf.days
  const onList = allOf(shelf, 'usable', [earliest, `${addDays(latest, 7 * weeksAhead)}#~`])
  const all = (await Promise.all([onList, listedElsewhere(shelf)])).flat()
  const sticks = [...new Map(all.map((one) => [one.stored.stickId, one])).values()]
  const depots = new Set([itsDepot, ...sticks.map(({ stored }) => stored.depotId)])
  return Promise.all(
    [...depots].map(async (depotId) => {
      const here = sticks.filter(({ stored }) => stored.depotId === depotId)
      return {
        depotId,
        today: (await todayAt(asker, depotId)).today,
        counted: countOf(aheadAmong(here)),
        unread: null,
      }
    }),
  )
}

async function nowOn(shelf: ListedShelf): Promise<OutlookNow> {
  const counts = await countsOn([shelf], ['overdue', 'on hold', 'awaiting first test'])
  const { overdue, 'on hold': onHold, 'awaiting first test': awaitingFirstTest } = counts
  const [on] = shelf.days
  const where =
    'crewId' in shelf.of ? { depotId: shelf.of.itsDepot, crewId: shelf.of.crewId } : { ...shelf.of, crewId: null }
  return { ...where, on, overdue, onHold, awaitingFirstTest }
}
