/** The weeks in which the benches of some depots call their sticks in, for whoever tells of due dates. */
import type { PlannedSticks } from '../../shared-domain/notices/planned-week.ts'
import type { Organisation } from './organisation.ts'
import { newestDepotPlan } from './plans.ts'

/** Each plan is read once, with the registers. A depot without a plan has none to tell. */
export async function plannedSticks(organisation: Organisation, depotIds: readonly string[]): Promise<PlannedSticks> {
  const { readOnce } = organisation.registers
  const all = await Promise.all(
    depotIds.map((depotId) => readOnce(`planned at ${depotId}`, () => plannedAt(organisation, depotId))),
  )
  const [only, ...others] = all
  return only !== undefined && others.length === 0 ? only : new Map(all.flatMap((one) => [...one]))
}

async function plannedAt(organisation: Organisation, depotId: string): Promise<PlannedSticks> {
  const plan = await newestDepotPlan(organisation, depotId)
  const planned = (plan?.weeks ?? []).flatMap(({ week, sticks }) =>
    sticks.map(({ stickId, dueOn }) => [stickId, { week, dueOn }] as const),
  )
  return new Map(planned)
}
