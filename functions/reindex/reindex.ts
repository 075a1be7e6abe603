/**
 * After a change of the rules, or of a crew's depot, the lists are written anew, page by page: every answer about a stick
 * already goes by the new rules, the lists by date follow here. Each page can run again; what is written already is left.
 */

import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import type { StandingGroup } from '../../shared-domain/listing.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { depotPointers } from '../store/registers.ts'
import { isWritten, markOf, setMark } from '../store/reindexed.ts'
import type { Table } from '../store/table.ts'
import { followCrews } from './crews-moved.ts'
import { type Outcome, rewriteAll, sticksOnPage } from './rewrite.ts'

/** What is out of service for good keeps its place. */
const groups: readonly StandingGroup[] = ['usable', 'held', 'awaiting']

interface Place {
  readonly depotId: string | null
  readonly today: CalendarDate
}

/** `mayGoOn` is asked before each page: what is left waits for the next run. */
export async function reindex(table: Table, now: Instant, mayGoOn: () => boolean): Promise<Outcome> {
  const pointers = await depotPointers(table, now)
  const organisations = Map.groupBy(pointers, ({ organisation }) => organisation)
  let sticks = 0
  for (const [name, depots] of organisations) {
    const organisation = openOrganisation(table, name)
    const places = [
      ...depots.map(({ depotId, timeZone }) => ({ depotId, today: localDateAt(now, timeZone) })),
      { depotId: null, today: localDateAt(now, 'UTC') },
    ]
    const steps = [
      ...places.map((place) => () => reindexDepot(organisation, place, mayGoOn)),
      () => followCrews(organisation, now, mayGoOn),
    ]
    for (const step of steps) {
      const outcome = await step()
      sticks += outcome.sticks
      if (!outcome.finished) return { sticks, finished: false }
    }
  }
  return { sticks, finished: true }
}

async function reindexDepot(
  organisation: Organisation,
  { depotId, today }: Place,
  mayGoOn: () => boolean,
): Promise<Outcome> {
  const rules = await organisation.rulesOn(today)
  const mark = await markOf(organisation, depotId)
  if (rules.edition === undefined || isWritten(mark, rules)) return { sticks: 0, finished: true }
  const { id } = rules
  let sticks = 0
  let next = mark?.rules === id ? mark.next : { group: 'usable' as StandingGroup, after: '0' }
  while (next !== null) {
    if (!mayGoOn()) return { sticks, finished: false }
    const page = await organisation.sticks.standingPage(depotId, next.group, {
      from: next.after,
      to: '~',
      limit: sticksOnPage,
    })
    sticks += await rewriteAll(organisation, page.sticks, (one) =>
      // a fact that comes in meanwhile is written under the new rules itself
      one.writtenUnder === id ? null : { standing: standingOn(one.state, today, rules), rules },
    )
    next = page.next === null ? afterGroup(next.group) : { group: next.group, after: page.next }
    await setMark(organisation, depotId, { rules: id, next })
  }
  return { sticks, finished: true }
}

function afterGroup(group: StandingGroup): { group: StandingGroup; after: string } | null {
  const next = groups[groups.indexOf(group) + 1]
  return next === undefined ? null : { group: next, after: '0' }
}
