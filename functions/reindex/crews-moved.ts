/**
 * A crew that belongs to another depot now takes its sticks along: into that depot's lists, its mornings, and the hands of its
 * bench and managers. What lies in a store or at a bench stays there.
 */
import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { depotOf } from '../../shared-domain/state/whereabouts.ts'
import type { Organisation } from '../platform/organisation.ts'
import type { Item } from '../platform/table.ts'
import { type Outcome, rewriteAll, sticksOnPage } from './rewrite.ts'

export async function followCrews(organisation: Organisation, now: Instant, mayGoOn: () => boolean): Promise<Outcome> {
  const { registers, table, keys } = organisation
  const [crews, marks] = await Promise.all([
    registers.heads('crew'),
    table.all({ partition: ['pk', keys.crewsFollowed()], consistent: true }),
  ])
  const followed = new Map(marks.map(({ sk, depotId }: Item) => [sk, depotId]))
  let sticks = 0
  for (const { id, newest } of crews) {
    const today = localDateAt(now, await organisation.zoneAt(newest.body.depotId))
    const crew = await registers.inForce('crew', id, today)
    if (crew === undefined || followed.get(id) === crew.body.depotId) continue
    const outcome = await followCrew(organisation, { crewId: id, depotId: crew.body.depotId }, now, mayGoOn)
    sticks += outcome.sticks
    if (!outcome.finished) return { sticks, finished: false }
  }
  return { sticks, finished: true }
}

/** `depotId`: where the crew is now. */
async function followCrew(
  organisation: Organisation,
  { crewId, depotId }: { crewId: string; depotId: string },
  now: Instant,
  mayGoOn: () => boolean,
): Promise<Outcome> {
  const { table, keys } = organisation
  const today = localDateAt(now, await organisation.zoneAt(depotId))
  const policy = await organisation.policyOn(today)
  let sticks = 0
  let next: string | null = '0'
  while (next !== null) {
    if (!mayGoOn()) return { sticks, finished: false }
    const page = await organisation.sticks.crewPage(crewId, { from: next, to: '~', limit: sticksOnPage })
    sticks += await rewriteAll(organisation, page.sticks, ({ state, depotId: lies }) => {
      const belongs = depotOf(state, depotId)
      if (state.crewId !== crewId || lies === belongs) return null
      return { standing: standingOn(state, today, policy), policy, depotId: belongs }
    })
    next = page.next
  }
  await table.transact([table.put({ ...keys.crewFollowed(crewId), entity: 'crew followed', depotId })])
  return { sticks, finished: true }
}
