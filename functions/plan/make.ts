/**
 * Makes the plans that were asked for, depot by depot, and says how far it is after each. Whoever goes on begins where
 * the last one stopped. A depot whose solver has no answer gets the plan that needs none.
 */
import type { SQSBatchResponse, SQSRecord } from 'aws-lambda'
import type { Instant } from '../../shared-domain/calendar.ts'
import type { Solve } from '../../shared-domain/plan/bench-plan.ts'
import type { DepotPlan } from '../../shared-domain/plan/depot-plan.ts'
import type { WallClock } from '../ground/clock.ts'
import { describe, log } from '../ground/log.ts'
import type { Asker } from '../questions/asker.ts'
import { benchNow, depotPlanFor, noSolver, type PlanMaking } from '../questions/plans.ts'
import { takeEach } from '../store/handed-on.ts'
import { openOrganisation } from '../store/organisation.ts'
import {
  keepDepotPlan,
  keepPlanHead,
  newestDepotPlan,
  type PlanHead,
  planHead,
  planSettingsOf,
  type StoredPlanHead,
} from '../store/plans.ts'
import type { Table } from '../store/table.ts'

export interface PlanParts {
  readonly table: Table
  readonly clock: WallClock
  /** loaded with the first plan */
  readonly openSolver: () => Promise<Solve>
}

/** A depot is planned in at most so much, a large one in more: the rest of a run is for reading and writing. */
const effortFor = (sticks: number) => ({ gap: 0.005, seconds: 8 + Math.max(0, sticks - 500) / 150 })

/** Whoever plans for the house reads what an owner reads, whoever asked. */
const planner = { personId: 'plan', role: 'owner', depots: ['*'], crewId: null } as const

const askerOf = (parts: Pick<PlanParts, 'table' | 'clock'>, organisation: string): Asker => ({
  organisation: openOrganisation(parts.table, organisation),
  caller: planner,
  now: parts.clock(),
})

export const makeThose = (
  parts: PlanParts,
  records: readonly SQSRecord[],
  hasTime: () => boolean,
): Promise<SQSBatchResponse> =>
  takeEach(records, async (keys) => {
    for (const { pk, sk } of keys) {
      const organisation = /^ORG#([^#]+)#PLANS$/.exec(pk)?.[1]
      if (organisation !== undefined) await makePlan(parts, { organisation, id: sk }, hasTime)
    }
    return true
  })

interface NamedPlan {
  readonly organisation: string
  readonly id: string
}

async function makePlan(parts: PlanParts, { organisation, id }: NamedPlan, hasTime: () => boolean): Promise<void> {
  let head: StoredPlanHead | undefined = await planHead(openOrganisation(parts.table, organisation), id)
  while (head !== undefined && head.state !== 'planned') {
    const depotId = head.depotIds[head.places.length]
    const asker = askerOf(parts, organisation)
    if (depotId === undefined) head = await kept(asker, head, { state: 'planned' })
    else if (!hasTime()) {
      await kept(asker, head, { goesOn: true })
      return
    } else
      head = await kept(asker, head, {
        state: 'planning',
        places: [...head.places, await makeFor(parts, asker, { id, depotId })],
      })
  }
}

/** Undefined where somebody else goes on with it. */
async function kept(
  { organisation }: Asker,
  { revision, ...before }: StoredPlanHead,
  { goesOn = false, ...change }: Partial<PlanHead> & { readonly goesOn?: boolean },
): Promise<StoredPlanHead | undefined> {
  const { depotIds, places } = { ...before, ...change }
  const state = places.length === depotIds.length ? 'planned' : (change.state ?? before.state)
  const head = { ...before, ...change, state }
  const next = await keepPlanHead(organisation, { head, revision, goesOn })
  return next === undefined ? undefined : { ...head, revision: next }
}

interface OneDepot {
  readonly id: string
  readonly depotId: string
}

/** Answers where the depot's plan lies. */
async function makeFor(parts: PlanParts, asker: Asker, { id: planId, depotId }: OneDepot): Promise<number> {
  const { organisation } = asker
  const [bench, kept, solve] = await Promise.all([
    benchNow(asker, depotId),
    planSettingsOf(organisation, depotId),
    openedSafely(parts),
  ])
  const at: Instant = asker.now
  for (;;) {
    const newest = await newestDepotPlan(organisation, depotId)
    const making = {
      settings: kept?.settings,
      before: newest?.weeks ?? [],
      solve,
      effort: effortFor(bench.sticks.length),
    }
    const plan = planSafely(bench, making)
    const place = await keepDepotPlan(organisation, { ...plan, planId, depotId, at, on: bench.today }, newest)
    if (place !== undefined) return place
  }
}

async function openedSafely({ openSolver }: PlanParts): Promise<Solve> {
  try {
    return await openSolver()
  } catch (error) {
    log('error', 'a bench was planned without the solver', { trouble: describe(error) })
    return noSolver
  }
}

/** A solver is a large program of others, and may break off. */
function planSafely(bench: Parameters<typeof depotPlanFor>[0], making: PlanMaking): DepotPlan {
  try {
    return depotPlanFor(bench, making)
  } catch (error) {
    log('error', 'a bench was planned without the solver', { depot: bench.depotId, trouble: describe(error) })
    return depotPlanFor(bench, { ...making, solve: noSolver, effort: { gap: 0, seconds: 0 } })
  }
}
