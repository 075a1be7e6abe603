/** Plans of benches: what a plan of a depot is made of, and the plans that were made, for those who may read them. */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { registerIdPattern } from '../../shared-domain/identifier-pattern.ts'
import { type BenchPlan, benchPlan, type Solve, type SolverEffort } from '../../shared-domain/plan/bench-plan.ts'
import {
  type DepotPlan,
  depotPlanOf,
  type PlannedWeek,
  unplanned,
  weekOfEach,
} from '../../shared-domain/plan/depot-plan.ts'
import {
  type DepotBench,
  needsOfDepot,
  type PlanSettings,
  type StickOfDepot,
} from '../../shared-domain/plan/settings.ts'
import { may, mayAtAll } from '../../shared-domain/rights.ts'
import { isDated, mayBeUsed } from '../../shared-domain/state/use.ts'
import { notAllowed, notFound } from '../ground/errors.ts'
import {
  depotPlanAt,
  type KeptSettings,
  newestDepotPlan,
  newestPlans,
  planHead,
  planSettingsOf,
  type StoredDepotPlan,
  type StoredPlanHead,
} from '../store/plans.ts'
import type { Asker } from './asker.ts'
import { checkRole } from './rights.ts'
import { allOf, shelvesFor } from './shelves.ts'
import { todayAt } from './today.ts'

/** A bench as it is by now: what a plan is made of, but for the figures of its manager. */
export interface BenchNow extends Omit<DepotBench, 'settings' | 'measured' | 'earlier'> {
  readonly depotId: string
  /** null where no instrument or no procedure says by what a stick is measured */
  readonly measured: DepotBench['measured'] | null
}

/** Reads every stick of the depot that has a due date, with its crew and where it is. */
export async function benchNow(asker: Asker, depotId: string): Promise<BenchNow> {
  const [{ today }, shelves] = await Promise.all([todayAt(asker, depotId), shelvesFor(asker, { depotId })])
  const [all, measured] = await Promise.all([
    Promise.all(shelves.map((shelf) => (shelf.lies === 'as listed' ? allOf(shelf, 'usable') : shelf.whole()))),
    measuredOn(asker, today),
  ])
  const sticks = all.flat().flatMap(({ stored: { stickId, state }, standing }): StickOfDepot[] => {
    const entry = state.registrations.at(-1)?.stick
    const { status, dueOn } = standing
    if (entry === undefined || dueOn === null || !isDated(status)) return []
    return [
      {
        stickId,
        crewId: state.crewId,
        construction: entry.construction,
        workingLengthMetres: entry.workingLengthMetres,
        dueOn,
        isUsable: mayBeUsed(status),
        isAtBench: state.custody !== null && 'bench' in state.custody,
      },
    ]
  })
  return { depotId, today, sticks, measured }
}

/**
 * The shortest span of any instrument and the largest overlap of any procedure: no bench is thought quicker than it is.
 */
async function measuredOn({ organisation }: Asker, today: CalendarDate): Promise<BenchNow['measured']> {
  const [instruments, procedures] = await Promise.all([
    organisation.registers.allInForce('instrument', today),
    organisation.registers.allInForce('procedure', today),
  ])
  if (procedures.length === 0) return null
  const leastOverlapMetres = Math.max(...procedures.map(({ body }) => body.leastOverlapMetres))
  const spans = instruments.map(({ body }) => body.spanMetres).filter((span) => span > leastOverlapMetres)
  return spans.length === 0 ? null : { spanMetres: Math.min(...spans), leastOverlapMetres }
}

export interface PlanMaking {
  readonly settings: PlanSettings | undefined
  readonly before: readonly PlannedWeek[]
  readonly solve: Solve
  readonly effort: SolverEffort
}

/** A solver that never has an answer: the plan is then made by the due dates alone. */
export const noSolver: Solve = () => null

/** A plan is made of what is there now; nothing is written. */
export function depotPlanFor(bench: BenchNow, { settings, before, solve, effort }: PlanMaking): DepotPlan {
  const { today, measured, sticks } = bench
  if (settings === undefined) return unplanned('no hours')
  if (measured === null) return unplanned('nothing to measure by')
  const of = needsOfDepot({ today, settings, measured, sticks, earlier: weekOfEach(before) })
  const plan: BenchPlan = benchPlan(of.needs, solve, effort)
  const dueOn = new Map(sticks.map((one) => [one.stickId, one.dueOn]))
  return depotPlanOf({ of, plan, dueOn, today, before })
}

export interface PlanAnswer {
  readonly head: StoredPlanHead
  /** the plans of those depots that are made, in their order; undefined where newer ones were written over it */
  readonly depots: readonly { readonly depotId: string; readonly plan: StoredDepotPlan | undefined }[]
}

export async function planFor(asker: Asker, id: string): Promise<PlanAnswer> {
  checkRole(asker.caller, 'read a plan')
  const head = await planHead(asker.organisation, id)
  if (head === undefined) throw notFound({ is: 'none: name', name: JSON.stringify(id), things: 'plans' })
  const mine = head.depotIds.filter((depotId) => mayReadPlan(asker, depotId))
  if (mine.length === 0 && head.depotIds.length > 0) throw notAllowed({ is: 'not allowed: bench' })
  const depots = await Promise.all(
    head.depotIds.flatMap((depotId, i) => {
      const place = head.places[i]
      if (place === undefined || !mine.includes(depotId)) return []
      return [readAt(asker, { depotId, place, planId: id })]
    }),
  )
  return { head, depots }
}

async function readAt({ organisation }: Asker, at: Parameters<typeof depotPlanAt>[1]) {
  return { depotId: at.depotId, plan: await depotPlanAt(organisation, at) }
}

const mayReadPlan = ({ caller }: Asker, depotId: string) => may(caller, 'read a plan', { crewId: null, depotId })

/** Plans that are still being made are seldom more than one. */
const plansLookedAt = 5

export interface DepotPlanAnswer {
  readonly settings: KeptSettings | undefined
  readonly plan: StoredDepotPlan | undefined
  /** a newer one is being made */
  readonly underWay: StoredPlanHead | undefined
}

/** @throws where there is no such depot, or it is not the caller's */
export async function checkMayPlan(asker: Asker, action: 'plan a bench' | 'read a plan', depotId: string) {
  const { organisation, caller, now } = asker
  checkRole(caller, action)
  if (!may(caller, action, { crewId: null, depotId })) throw notAllowed({ is: 'not allowed: bench' })
  const isName = registerIdPattern.test(depotId)
  if (!isName || (await organisation.registers.depotNow(depotId, now)) === undefined)
    throw notFound({ is: 'none: depot to read', depot: depotId })
}

/** The newest plan of a depot, and whether a newer one is being made. */
export async function newestPlanFor(asker: Asker, depotId: string): Promise<DepotPlanAnswer> {
  const { organisation } = asker
  await checkMayPlan(asker, 'read a plan', depotId)
  const [settings, plan, heads] = await Promise.all([
    planSettingsOf(organisation, depotId),
    newestDepotPlan(organisation, depotId),
    newestPlans(organisation, plansLookedAt),
  ])
  const underWay = heads.find(({ state, depotIds }) => state !== 'planned' && depotIds.includes(depotId))
  return { settings, plan, underWay }
}

/** A bench as it is, for whoever tries something on it; undefined where too little is said of it. */
export async function benchFor(asker: Asker, depotId: string): Promise<DepotBench | undefined> {
  await checkMayPlan(asker, 'read a plan', depotId)
  const [kept, plan, { today, measured, sticks }] = await Promise.all([
    planSettingsOf(asker.organisation, depotId),
    newestDepotPlan(asker.organisation, depotId),
    benchNow(asker, depotId),
  ])
  if (kept === undefined || measured === null) return undefined
  return { today, settings: kept.settings, measured, sticks, earlier: weekOfEach(plan?.weeks ?? []) }
}

/** The depots whose benches the caller plans, or whose plans they read. */
export async function depotsPlannedBy(asker: Asker, action: 'plan a bench' | 'read a plan'): Promise<string[]> {
  const { organisation, caller, now } = asker
  if (!mayAtAll(caller.role, action)) return []
  const depots = await organisation.registers.depotsNow(now)
  return depots.map(({ id }) => id).filter((depotId) => may(caller, action, { crewId: null, depotId }))
}
