/** Tries other hours, loaners and intervals on a bench, and reckons what each plan comes to. Nothing is stored. */
import { addDays, type CalendarDate, daysBetween } from '../calendar.ts'
import { benchPlan } from './bench-plan.ts'
import type { PlanNeeds } from './needs.ts'
import { type DepotBench, needsOfDepot } from './settings.ts'

export interface Tried {
  readonly weekMinutes?: number | undefined
  readonly closed?: { readonly from: CalendarDate; readonly weeks: number } | undefined
  /** more sticks of each construction, for each crew */
  readonly loaners?: number | undefined
  /** weeks by which every due date is earlier */
  readonly earlierByWeeks?: number | undefined
}

/** What a plan comes to. */
export interface Coming {
  /** minutes that the bench lacks */
  readonly overtimeMinutes: number
  /** sticks that crews lack, added up over the weeks */
  readonly crewsLack: number
  /** weeks that sticks are called in before their last one, added up */
  readonly weeksLost: number
  /** days overdue in all where the bench works no longer than its hours */
  readonly daysOverdue: number
}

const daysOfWeek = 7

/** A bench as it would be. */
export function triedOn(bench: DepotBench, { weekMinutes, closed, earlierByWeeks = 0 }: Tried): DepotBench {
  const { settings } = bench
  const said = new Map(settings.weeks.map(({ week, minutes }) => [week, minutes]))
  for (let i = 0; i < (closed?.weeks ?? 0); i++)
    if (closed !== undefined) said.set(addDays(closed.from, daysOfWeek * i), 0)
  return {
    ...bench,
    settings: {
      ...settings,
      weekMinutes: weekMinutes ?? settings.weekMinutes,
      weeks: [...said].map(([week, minutes]) => ({ week, minutes })),
    },
    sticks: bench.sticks.map((one) => ({ ...one, dueOn: addDays(one.dueOn, -daysOfWeek * earlierByWeeks) })),
  }
}

/** The plan by due dates alone: both sides of a trial are reckoned so, and are alike in that. */
export function comesTo(bench: DepotBench, { loaners = 0 }: Tried): Coming {
  const { needs: asked, firstMonday } = needsOfDepot(bench)
  const cover = asked.cover.map((one) => ({ ...one, mayBeAway: one.mayBeAway.map((most) => most + loaners) }))
  const needs = { ...asked, cover }
  const { placed, reckoning } = benchPlan(needs, () => null, { gap: 0, seconds: 0 })
  const lastWeek = new Map(needs.sticks.map((one) => [one.stickId, one.lastWeek]))
  const lacking = reckoning.lacking
  return {
    overtimeMinutes: lacking.reduce((sum, one) => sum + (one.is === 'bench short' ? one.minutes : 0), 0),
    crewsLack: lacking.reduce((sum, one) => sum + (one.is === 'crew short' ? one.sticks : 0), 0),
    weeksLost: placed.reduce((sum, { stickId, week }) => sum + Math.max(0, (lastWeek.get(stickId) ?? 0) - week), 0),
    daysOverdue: daysOverdueIn(bench, needs, firstMonday),
  }
}

/** The earliest due first, one after the other, through the hours that there are; a stick is done by its week's end. */
function daysOverdueIn({ sticks }: DepotBench, needs: PlanNeeds, firstMonday: CalendarDate): number {
  const dueOn = new Map(sticks.map((one) => [one.stickId, one.dueOn]))
  const last = needs.capacityMinutes.length - 1
  const inOrder = needs.sticks
    .map((one) => ({ minutes: one.benchMinutes, dueOn: dueOn.get(one.stickId) ?? firstMonday }))
    .sort((a, b) => (a.dueOn < b.dueOn ? -1 : a.dueOn > b.dueOn ? 1 : 0))
  let [week, left, days] = [0, needs.capacityMinutes[0] ?? 0, 0]
  for (const { minutes, dueOn: due } of inOrder) {
    let asked = minutes
    while (asked > left && week < last) {
      asked -= left
      week += 1
      left = needs.capacityMinutes[week] ?? 0
    }
    left -= asked
    const done = addDays(firstMonday, daysOfWeek * week + daysOfWeek - 1)
    days += Math.max(0, daysBetween(due, done))
  }
  return days
}
