/**
 * Plans of benches in the table. How far a plan is lies in one item, each depot's plan in another. A depot keeps its
 * newest plan and the last ones beside it, in turn: what nobody looks at any more is written over. The settings of a
 * bench keep every edition.
 */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { DepotPlan, PlannedStick } from '../../shared-domain/plan/depot-plan.ts'
import type { PlanSettings } from '../../shared-domain/plan/settings.ts'
import { is, isNew, onlyIf } from './change.ts'
import type { OrganisationTable } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import { plansQueue } from './table-shape.ts'

export type PlanState = 'waiting' | 'planning' | 'planned'

export interface PlanHead {
  readonly id: string
  /** whoever asked for it; null for the clock */
  readonly by: string | null
  readonly at: Instant
  readonly state: PlanState
  readonly depotIds: readonly string[]
  /** where each depot's plan lies, as far as they are made */
  readonly places: readonly number[]
}

export interface StoredPlanHead extends PlanHead {
  /** rises with every write, so that of two who go on with it one stops */
  readonly revision: number
}

export interface StoredDepotPlan extends DepotPlan {
  readonly planId: string
  readonly depotId: string
  readonly at: Instant
  /** the day of the depot as of which it is made */
  readonly on: CalendarDate
  /** counts the plans of the depot */
  readonly round: number
}

export interface KeptSettings {
  readonly number: number
  readonly recordedAt: Instant
  readonly recordedBy: string
  readonly settings: PlanSettings
}

const asHead = readerOf<StoredPlanHead>('plan', {
  id: 'text',
  by: ['text', 'null'],
  at: 'text',
  state: 'text',
  depotIds: 'list',
  places: 'list',
  revision: 'number',
})

/** A stick of a week as one text, since a plan has thousands of them. */
type Packed = Omit<StoredDepotPlan, 'weeks'> & {
  readonly weeks: readonly (Omit<DepotPlan['weeks'][number], 'sticks'> & { readonly sticks: readonly string[] })[]
}

const asPacked = readerOf<Packed>('depot plan', {
  planId: 'text',
  depotId: 'text',
  at: 'text',
  on: 'text',
  round: 'number',
  weeks: 'list',
  broken: 'list',
  changes: 'list',
  changed: 'number',
  by: 'text',
  value: ['number', 'null'],
  bound: ['number', 'null'],
})

const asSettings = readerOf<KeptSettings>('plan settings', {
  number: 'number',
  recordedAt: 'text',
  recordedBy: 'text',
  settings: 'map',
})

const packedStick = ({ stickId, dueOn, minutes }: PlannedStick) => `${stickId} ${dueOn} ${minutes}`
function unpackedStick(text: string): PlannedStick {
  const [stickId = '', dueOn = '', minutes = '0'] = text.split(' ')
  return { stickId, dueOn: dueOn as CalendarDate, minutes: Number(minutes) } // its writer put a date there
}

function asDepotPlan(item: unknown): StoredDepotPlan {
  const { planId, depotId, at, on, round, weeks, broken, changes, changed, by, value, bound } = asPacked(item)
  return {
    ...{ planId, depotId, at, on, round, broken, changes, changed, by, value, bound },
    weeks: weeks.map(({ week, capacityMinutes, sticks }) => ({
      week,
      capacityMinutes,
      sticks: sticks.map(unpackedStick),
    })),
  }
}

export async function planHead({ table, keys }: OrganisationTable, id: string): Promise<StoredPlanHead | undefined> {
  const item = await table.get(keys.plan(id))
  return item === undefined ? undefined : asHead(item)
}

/** The newest first; their numbers begin with when they came. */
export async function newestPlans({ table, keys }: OrganisationTable, limit: number): Promise<StoredPlanHead[]> {
  const { items } = await table.page({ partition: ['pk', keys.plans()], descending: true, limit })
  return readEach(items, asHead)
}

interface Keeping {
  readonly head: PlanHead
  /** the revision that it was read with; nought for a new one */
  readonly revision: number
  /** hands it on to whoever makes it */
  readonly goesOn?: boolean
}

/** Answers the new revision; undefined where somebody else wrote it meanwhile. */
export async function keepPlanHead(
  { table, keys }: OrganisationTable,
  { head, revision, goesOn = false }: Keeping,
): Promise<number | undefined> {
  // what was read from the table has the queue's attributes too, and waits there no more
  const { id, by, at, state, depotIds, places } = head
  const item = {
    ...keys.plan(id),
    entity: 'plan' as const,
    ...{ id, by, at, state, depotIds, places },
    revision: revision + 1,
    ...(goesOn ? { queue: plansQueue, queueAt: head.at } : {}),
  }
  const condition = revision === 0 ? isNew : is('revision', revision)
  const { done } = await table.transact([table.put(item, onlyIf(condition))])
  return done ? revision + 1 : undefined
}

export async function newestDepotPlan(
  { table, keys }: OrganisationTable,
  depotId: string,
): Promise<StoredDepotPlan | undefined> {
  const item = await table.get(keys.depotPlan(depotId, 'NEWEST'))
  return item === undefined ? undefined : asDepotPlan(item)
}

/** A depot's plan of one asking; undefined where newer ones were written over it. */
export async function depotPlanAt(
  { table, keys }: OrganisationTable,
  { depotId, place, planId }: { readonly depotId: string; readonly place: number; readonly planId: string },
): Promise<StoredDepotPlan | undefined> {
  const item = await table.get(keys.depotPlan(depotId, place))
  const found = item === undefined ? undefined : asDepotPlan(item)
  return found?.planId === planId ? found : undefined
}

/** Plans of a depot that are kept beside the newest. */
const placesOfDepot = 16

/** Answers where it lies; undefined where another plan of the depot was written meanwhile. */
export async function keepDepotPlan(
  { table, keys }: OrganisationTable,
  plan: Omit<StoredDepotPlan, 'round'>,
  before: StoredDepotPlan | undefined,
): Promise<number | undefined> {
  const round = (before?.round ?? 0) + 1
  const place = round % placesOfDepot
  const weeks = plan.weeks.map((one) => ({ ...one, sticks: one.sticks.map(packedStick) }))
  const item = { entity: 'depot plan' as const, ...plan, weeks, round }
  const condition = onlyIf(before === undefined ? isNew : is('round', before.round))
  const { done } = await table.transact([
    table.put({ ...keys.depotPlan(plan.depotId, 'NEWEST'), ...item }, condition),
    table.put({ ...keys.depotPlan(plan.depotId, place), ...item }),
  ])
  return done ? place : undefined
}

export async function planSettingsOf(
  { table, keys }: OrganisationTable,
  depotId: string,
): Promise<KeptSettings | undefined> {
  const partition = ['pk', keys.planSettings(depotId)] as const
  const { items } = await table.page({ partition, descending: true, limit: 1, consistent: true })
  const [newest] = items
  return newest === undefined ? undefined : asSettings(newest)
}

/** False where another edition came first. */
export async function keepPlanSettings(
  { table, keys }: OrganisationTable,
  depotId: string,
  kept: KeptSettings,
): Promise<boolean> {
  const key = keys.planSettingsEdition(depotId, kept.number)
  const { done } = await table.transact([table.putNew({ ...key, entity: 'plan settings', ...kept })])
  return done
}
