/**
 * Asks for a new plan of every bench each night, by the depot's own clock. It looks for depots that have none of today,
 * so a night that was missed is made up for, and a run that comes twice finds nothing to do.
 */
import { localDateAt, localHourAt } from '../../shared-domain/calendar.ts'
import { describe, log } from '../ground/log.ts'
import { openOrganisation } from '../store/organisation.ts'
import { keepPlanHead, newestDepotPlan, newestPlans, planSettingsOf } from '../store/plans.ts'
import { type DepotPointer, depotPointers } from '../store/registers.ts'
import type { PlanParts } from './make.ts'

/** The hour after which a new day's plan is made: before anybody is at the bench. */
const fromHour = 3

interface Asked {
  readonly depots: number
  readonly failed: number
}

export async function askForNight(parts: Pick<PlanParts, 'table' | 'clock'>): Promise<Asked> {
  const now = parts.clock()
  const pointers = await depotPointers(parts.table, now)
  const due = pointers.filter(({ timeZone }) => localHourAt(now, timeZone) >= fromHour)
  let depots = 0
  let failed = 0
  for (const [name, theirs] of Map.groupBy(due, ({ organisation }) => organisation)) {
    try {
      depots += await askFor(parts, name, theirs)
    } catch (error) {
      failed += 1
      log('error', 'a night’s plan was not asked for', { organisation: name, trouble: describe(error) })
    }
  }
  return { depots, failed }
}

/** Plans of an organisation that are looked through for one of today. */
const plansLookedAt = 100

async function askFor(
  { table, clock }: Pick<PlanParts, 'table' | 'clock'>,
  name: string,
  depots: readonly DepotPointer[],
): Promise<number> {
  const now = clock()
  const organisation = openOrganisation(table, name)
  const plans = await newestPlans(organisation, plansLookedAt)
  const wanted: string[] = []
  for (const { depotId, timeZone } of depots) {
    const today = localDateAt(now, timeZone)
    const isAsked = plans.some(({ at, depotIds }) => depotIds.includes(depotId) && localDateAt(at, timeZone) >= today)
    if (isAsked || (await planSettingsOf(organisation, depotId)) === undefined) continue
    const newest = await newestDepotPlan(organisation, depotId)
    if (newest === undefined || newest.on < today) wanted.push(depotId)
  }
  if (wanted.length === 0) return 0
  const id = `${now.replaceAll(/[^\dTZ]/g, '')}-night`
  const head = { id, by: null, at: now, state: 'waiting', depotIds: wanted, places: [] } as const
  await keepPlanHead(organisation, { head, revision: 0, goesOn: true })
  return wanted.length
}
