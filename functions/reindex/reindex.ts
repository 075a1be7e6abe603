/**
 * After a change of the rules the lists are written anew, page by page: every answer about a stick already goes by the new
 * rules, the lists by date follow here. Each page can run again; a stick already written under the new edition is left.
 */

import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import type { Policy } from '../../shared-domain/policy/policy.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { type Organisation, openOrganisation } from '../platform/organisation.ts'
import { depotPointers } from '../platform/registers.ts'
import { isWritten, markOf, setMark } from '../platform/reindexed.ts'
import type { StandingGroup, StoredStick } from '../platform/sticks.ts'
import type { Table } from '../platform/table.ts'

/** What is out of service for good keeps its place. */
const groups: readonly StandingGroup[] = ['usable', 'held', 'awaiting']
const sticksOnPage = 50
/** An item holds 400 KB at the most, a transaction 4 MB. */
const sticksAtOnce = 10

interface Place {
  readonly depotId: string | null
  readonly today: CalendarDate
}

/** `mayGoOn` is asked before each page: what is left waits for the next run. */
export async function reindex(
  table: Table,
  now: Instant,
  mayGoOn: () => boolean,
): Promise<{ sticks: number; finished: boolean }> {
  const pointers = await depotPointers(table)
  const organisations = Map.groupBy(pointers, ({ organisation }) => organisation)
  let sticks = 0
  for (const [name, depots] of organisations) {
    const organisation = openOrganisation(table, name)
    const places = [
      ...depots.map(({ depotId, timeZone }) => ({ depotId, today: localDateAt(now, timeZone) })),
      { depotId: null, today: localDateAt(now, 'UTC') },
    ]
    for (const place of places) {
      const outcome = await reindexDepot(organisation, place, mayGoOn)
      sticks += outcome.sticks
      if (!outcome.finished) return { sticks, finished: false }
    }
  }
  return { sticks, finished: true }
}

async function reindexDepot(organisation: Organisation, { depotId, today }: Place, mayGoOn: () => boolean) {
  const { table, keys } = organisation
  const policy = await organisation.policyOn(today)
  const mark = await markOf(table, keys, depotId)
  if (policy?.edition === undefined || isWritten(mark, policy)) return { sticks: 0, finished: true }
  const { edition } = policy
  let sticks = 0
  let next = mark?.edition === edition ? mark.next : { group: 'usable' as StandingGroup, after: '0' }
  while (next !== null) {
    if (!mayGoOn()) return { sticks, finished: false }
    const page = await organisation.sticks.standingPage(depotId, next.group, {
      from: next.after,
      to: '~',
      limit: sticksOnPage,
    })
    const stale = page.sticks.filter((one) => one.policyEdition !== edition)
    await rewriteAll(organisation, stale, policy, today)
    sticks += stale.length
    next = page.next === null ? afterGroup(next.group) : { group: next.group, after: page.next }
    await setMark(table, keys, depotId, { edition, next })
  }
  return { sticks, finished: true }
}

function afterGroup(group: StandingGroup): { group: StandingGroup; after: string } | null {
  const next = groups[groups.indexOf(group) + 1]
  return next === undefined ? null : { group: next, after: '0' }
}

/** Several in one transaction; one by one where somebody else wrote to any of them. */
async function rewriteAll(
  organisation: Organisation,
  stale: readonly StoredStick[],
  policy: Policy,
  today: CalendarDate,
): Promise<void> {
  const { sticks, table } = organisation
  for (let i = 0; i < stale.length; i += sticksAtOnce) {
    const some = stale.slice(i, i + sticksAtOnce)
    const writes = some.map((one) => sticks.reindexWrite(one, standingOn(one.state, today, policy), policy))
    if ((await table.transact(writes)).done) continue
    for (const stored of some) await rewrite(organisation, stored, policy, today)
  }
}

/** A fact that comes in meanwhile is written under the new rules itself. */
async function rewrite(
  { sticks, table }: Organisation,
  found: StoredStick,
  policy: Policy,
  today: CalendarDate,
): Promise<void> {
  let stored: StoredStick | undefined = found
  for (let tries = 0; tries < 5; tries++) {
    if (stored === undefined || stored.policyEdition === policy.edition) return
    const write = sticks.reindexWrite(stored, standingOn(stored.state, today, policy), policy)
    if ((await table.transact([write])).done) return
    stored = await sticks.stored(stored.stickId)
  }
  // its page is not done then, and the next run begins with it again
  throw new Error(`stick ${found.stickId} was being written to`)
}
