/** The plan of one depot as it is kept and told: its weeks, what breaks, and what changed since the plan before. */
import { addDays, type CalendarDate } from '../calendar.ts'
import type { BenchPlan } from './bench-plan.ts'
import type { PlanNeeds } from './needs.ts'
import type { Lacking } from './reckoning.ts'
import type { NeedsOfDepot } from './settings.ts'

export interface PlannedStick {
  readonly stickId: string
  readonly dueOn: CalendarDate
  readonly minutes: number
}

export interface PlannedWeek {
  /** its Monday */
  readonly week: CalendarDate
  readonly capacityMinutes: number
  readonly sticks: readonly PlannedStick[]
}

/** Parts of a plan that cannot be kept with what there is, the least of them; the same amount mends each. */
export type Broken =
  | { readonly is: 'no hours' }
  | { readonly is: 'nothing to measure by' }
  | { readonly is: 'overdue'; readonly stickIds: readonly string[] }
  | { readonly is: 'due this week'; readonly stickIds: readonly string[] }
  | {
      readonly is: 'bench short'
      readonly week: CalendarDate
      readonly minutes: number
      readonly stickIds: readonly string[]
    }
  | {
      readonly is: 'crew short'
      readonly crewId: string
      readonly kinds: readonly string[]
      readonly weeks: readonly CalendarDate[]
      readonly sticks: number
    }
  | { readonly is: 'pin given up' | 'lock given up'; readonly stickIds: readonly string[] }
  | { readonly is: 'sticks left out'; readonly sticks: number }

/** Why a stick is in another week than in the plan before. */
export type ChangeWhy =
  | 'new in the plan'
  | 'no longer to be planned'
  | 'due date moved'
  | 'somebody chose'
  | 'its week has fewer minutes'
  | 'its week is past'
  | 'makes room'

export interface PlanChange {
  readonly stickId: string
  readonly from: CalendarDate | null
  readonly to: CalendarDate | null
  readonly why: ChangeWhy
}

export interface DepotPlan {
  readonly weeks: readonly PlannedWeek[]
  readonly broken: readonly Broken[]
  readonly changes: readonly PlanChange[]
  /** changes in all; the first of them are kept */
  readonly changed: number
  readonly by: BenchPlan['by']
  /** weeks of interval given away, with what the margin and moves cost; null where there is no plan */
  readonly value: number | null
  readonly bound: number | null
}

/** A depot of which too little is said to plan its bench. */
export const unplanned = (is: 'no hours' | 'nothing to measure by'): DepotPlan => ({
  ...{ weeks: [], broken: [{ is }], changes: [], changed: 0, by: 'greedy', value: null, bound: null },
})

interface Made {
  readonly of: NeedsOfDepot
  readonly plan: BenchPlan
  readonly dueOn: ReadonlyMap<string, CalendarDate>
  readonly today: CalendarDate
  readonly before: readonly PlannedWeek[]
}

const daysOfWeek = 7

export function depotPlanOf({ of, plan, dueOn, today, before }: Made): DepotPlan {
  const { firstMonday, needs, leftOut } = of
  const mondayAt = (week: number) => addDays(firstMonday, daysOfWeek * week)
  const sticks = new Map(needs.sticks.map((one) => [one.stickId, one]))
  const called = Map.groupBy(plan.placed, ({ week }) => week)
  const weeks = needs.capacityMinutes.map((capacityMinutes, week) => ({
    week: mondayAt(week),
    capacityMinutes,
    sticks: (called.get(week) ?? [])
      .map(({ stickId }) => ({
        stickId,
        dueOn: dueOn.get(stickId) ?? today,
        minutes: sticks.get(stickId)?.benchMinutes ?? 0,
      }))
      .sort((a, b) => (a.dueOn === b.dueOn ? (a.stickId < b.stickId ? -1 : 1) : a.dueOn < b.dueOn ? -1 : 1)),
  }))
  const changes = changesSince(before, weeks, needs)
  return {
    weeks,
    broken: [
      ...brokenOf(plan.reckoning.lacking, { weeks, today, dueOn }),
      ...(leftOut > 0 ? [{ is: 'sticks left out' as const, sticks: leftOut }] : []),
    ],
    changes: changes.slice(0, mostChangesKept),
    changed: changes.length,
    by: plan.by,
    value: plan.reckoning.cost,
    bound: plan.bound,
  }
}

const mostChangesKept = 100

interface Beside {
  readonly weeks: readonly PlannedWeek[]
  readonly today: CalendarDate
  readonly dueOn: ReadonlyMap<string, CalendarDate>
}

type LackingOf<Is extends Lacking['is']> = Extract<Lacking, { readonly is: Is }>

function brokenOf(lacking: readonly Lacking[], { weeks, today, dueOn }: Beside): Broken[] {
  const of = <Is extends Lacking['is']>(...kinds: readonly Is[]) =>
    lacking.filter((one): one is LackingOf<Is> => (kinds as readonly string[]).includes(one.is))
  const idsOf = (all: readonly { readonly stickId: string }[]) => all.map(({ stickId }) => stickId).sort()
  const late = of('due before the first week ends')
  const isOverdue = ({ stickId }: { readonly stickId: string }) => (dueOn.get(stickId) ?? today) < today
  const listed = (is: 'overdue' | 'due this week' | 'pin given up' | 'lock given up', stickIds: readonly string[]) =>
    stickIds.length === 0 ? [] : [{ is, stickIds }]
  return [
    ...listed('overdue', idsOf(late.filter(isOverdue))),
    ...listed('due this week', idsOf(late.filter((one) => !isOverdue(one)))),
    ...of('bench short').map(({ week, minutes }) => ({
      is: 'bench short' as const,
      week: weeks[week]?.week ?? today,
      minutes,
      stickIds: idsOf(weeks[week]?.sticks ?? []),
    })),
    ...crewsShort(of('crew short'), weeks),
    ...listed('pin given up', idsOf(of('pin after the due date', 'pin in a locked week'))),
    ...listed('lock given up', idsOf(of('lock gave way to the due date'))),
  ]
}

function crewsShort(lacking: readonly LackingOf<'crew short'>[], weeks: readonly PlannedWeek[]): Broken[] {
  const byCrew = Map.groupBy(lacking, ({ crewId, kinds }) => JSON.stringify([crewId, kinds]))
  return [...byCrew.values()].flatMap((all) => {
    const [first] = all
    if (first === undefined) return []
    return [
      {
        is: 'crew short' as const,
        crewId: first.crewId,
        kinds: first.kinds,
        weeks: all.flatMap(({ week }) => weeks[week]?.week ?? []),
        sticks: Math.max(...all.map(({ sticks }) => sticks)),
      },
    ]
  })
}

interface Placed extends PlannedStick {
  readonly week: CalendarDate
}

const placedIn = (weeks: readonly PlannedWeek[]): Map<string, Placed> =>
  new Map(weeks.flatMap(({ week, sticks }) => sticks.map((one) => [one.stickId, { ...one, week }])))

/** The week of each stick that is still to come, for the plan that follows. */
export const weekOfEach = (weeks: readonly PlannedWeek[]): Map<string, CalendarDate> =>
  new Map([...placedIn(weeks)].map(([stickId, { week }]) => [stickId, week]))

/** What is told of a first plan is the plan itself. */
function changesSince(before: readonly PlannedWeek[], after: readonly PlannedWeek[], needs: PlanNeeds): PlanChange[] {
  if (before.length === 0) return []
  const [then, now] = [placedIn(before), placedIn(after)]
  const [first] = after
  const minutesThen = new Map(before.map(({ week, capacityMinutes }) => [week, capacityMinutes]))
  const minutesNow = new Map(after.map(({ week, capacityMinutes }) => [week, capacityMinutes]))
  const chosen = new Set(needs.sticks.filter(({ pinnedWeek }) => pinnedWeek !== null).map(({ stickId }) => stickId))
  const gone = [...then.values()]
    .filter(({ stickId }) => !now.has(stickId))
    .map(({ stickId, week }): PlanChange => ({ stickId, from: week, to: null, why: 'no longer to be planned' }))
  const others = [...now.values()].flatMap(({ stickId, week: to, dueOn }): PlanChange[] => {
    const was = then.get(stickId)
    if (was === undefined) return [{ stickId, from: null, to, why: 'new in the plan' }]
    if (was.week === to) return []
    return [{ stickId, from: was.week, to, why: whyMoved(was, dueOn) }]
  })
  function whyMoved({ stickId, week, dueOn: dueThen }: Placed, dueOn: CalendarDate): ChangeWhy {
    if (dueThen !== dueOn) return 'due date moved'
    if (chosen.has(stickId)) return 'somebody chose'
    if (first !== undefined && week < first.week) return 'its week is past'
    return (minutesNow.get(week) ?? 0) < (minutesThen.get(week) ?? 0) ? 'its week has fewer minutes' : 'makes room'
  }
  const order = ({ to, from }: PlanChange) => to ?? from ?? ''
  return [...others, ...gone].sort((a, b) => (order(a) < order(b) ? -1 : order(a) > order(b) ? 1 : 0))
}
