/**
 * Calendar feeds of a crew, for those who keep them; and what a calendar fetches, for whoever holds a feed's address.
 */
import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { revisionOf } from '../../shared-domain/notices/calendar-entry.ts'
import type { StickLine } from '../../shared-domain/notices/notice.ts'
import { plannedWeekOf } from '../../shared-domain/notices/planned-week.ts'
import { stickLine } from '../../shared-domain/notices/stick-line.ts'
import { hasEnded } from '../../shared-domain/people.ts'
import type { Person } from '../../shared-domain/registers.ts'
import { isDated } from '../../shared-domain/state/use.ts'
import { notFound } from '../ground/errors.ts'
import { log } from '../ground/log.ts'
import { type Feed, feedBehind, feedsOf } from '../store/feeds.ts'
import { openOrganisation } from '../store/organisation.ts'
import { plannedSticks } from '../store/planned-sticks.ts'
import type { Table } from '../store/table.ts'
import type { Asker } from './asker.ts'
import { checkMayCrew } from './rights.ts'
import { type RosterRow, rosterFor } from './roster.ts'
import { rulesOn } from './today.ts'

export interface FeedWithMaker extends Feed {
  /** a feed is its crew's and stays; whether its maker took the address along is for others to say */
  readonly makerLeft: boolean
}

/** The crew's feeds, if the caller may keep them; the oldest first. */
export async function feedsFor(asker: Asker, crewId: string): Promise<readonly FeedWithMaker[]> {
  const feeds = await (await keptFeeds(asker, crewId)).ofCrew(crewId)
  return Promise.all(feeds.map((feed) => withMaker(asker, feed)))
}

export async function withMaker({ organisation, now }: Asker, feed: Feed): Promise<FeedWithMaker> {
  const today = localDateAt(now, 'UTC')
  const maker = await organisation.registers.inForce('person', feed.madeBy, today)
  return { ...feed, makerLeft: maker !== undefined && hasEnded(maker.body, today) }
}

/** The feeds as they lie in the table, once it is known that the caller may keep those of this crew. */
export async function keptFeeds(
  { organisation, caller, now }: Asker,
  crewId: string,
): Promise<ReturnType<typeof feedsOf>> {
  const crew = (await organisation.crewNow(crewId, now))?.body
  if (crew === undefined) throw notFound({ is: 'none: entry', entry: 'crew', id: crewId })
  checkMayCrew(caller, 'keep feeds', { crewId, depotId: crew.depotId })
  return feedsOf(organisation.table, organisation.keys, organisation.name)
}

export interface CrewCalendar {
  readonly organisation: string
  readonly crewName: string
  /** the language and units of whoever made the feed, where they asked for any */
  readonly reader: Pick<Person, 'language' | 'units'>
  readonly lines: readonly FeedLine[]
}

export interface FeedLine {
  readonly line: StickLine
  /** today where the stick lies */
  readonly knownOn: CalendarDate
}

/** A function may answer 6 MB at once, and an entry takes less than 2 KB; no crew carries so many sticks. */
const mostSticks = 2000

/**
 * Answers undefined alike for an address that never was one, that was tampered with, or that is revoked; the log alone
 * tells them apart. Whoever holds the secret reads as the crew does.
 */
export async function calendarFor(
  table: Table,
  { secret, now }: { readonly secret: string; readonly now: Instant },
): Promise<CrewCalendar | undefined> {
  const pointer = await feedBehind(table, secret)
  if (pointer === undefined) {
    log('info', 'feed asked for by an address that never was one')
    return undefined
  }
  const { crewId, feedId } = pointer
  const organisation = openOrganisation(table, pointer.organisation)
  const feed = await feedsOf(organisation.table, organisation.keys, organisation.name).one(crewId, feedId)
  if (feed === undefined || feed.revokedAt !== null) {
    log('info', 'feed asked for that is revoked', { feedId })
    return undefined
  }
  const asker: Asker = { organisation, now, caller: { personId: 'feed', role: 'crew', depots: [], crewId } }
  const [crew, maker, lines] = await Promise.all([
    organisation.crewNow(crewId, now),
    organisation.registers.inForce('person', feed.madeBy, localDateAt(now, 'UTC')),
    linesFor(asker, crewId),
  ])
  return {
    organisation: organisation.name,
    crewName: crew?.body.name ?? crewId,
    reader: maker?.body ?? {},
    lines,
  }
}

/** A stick that must not be used is left out: a calendar that follows a feed drops what is no longer in it. */
async function linesFor(asker: Asker, crewId: string): Promise<FeedLine[]> {
  const { rows, next } = await rosterFor(asker, { after: '', limit: mostSticks })
  if (next !== null) log('error', 'a feed does not hold all sticks of its crew', { crewId, after: next })
  return Promise.all(rows.filter(({ standing }) => isDated(standing.status)).map((row) => lineOf(asker, row)))
}

async function lineOf({ organisation, now }: Asker, { stored, standing, today }: RosterRow): Promise<FeedLine> {
  const { stickId, state, depotId } = stored
  const [policy, depot, plans] = await Promise.all([
    rulesOn(organisation, today),
    depotId === null ? undefined : organisation.registers.depotNow(depotId, now),
    plannedSticks(organisation, depotId === null ? [] : [depotId]),
  ])
  const belonging = {
    stickId,
    crewId: state.crewId,
    crewName: null,
    depotName: depot?.body.name ?? null,
    revision: revisionOf(state, policy, today),
    plannedOn: plannedWeekOf(plans, { stickId, dueOn: standing.dueOn, day: today }),
  }
  return { line: stickLine({ belonging, standing }, today), knownOn: today }
}
