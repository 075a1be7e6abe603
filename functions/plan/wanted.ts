/** A plan as people ask for it, in dates and metres, and what it comes to in weeks and minutes. */
import * as z from 'zod'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { addDays } from '../../shared-domain/calendar.ts'
import { calendarDate, monday } from '../../shared-domain/date-fields.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import { benchMinutesFor, mayBeAwayIn } from '../../shared-domain/plan/bench-minutes.ts'
import type { BenchPlan } from '../../shared-domain/plan/bench-plan.ts'
import { lastWeekBy, type PlanNeeds, weekOfDay } from '../../shared-domain/plan/needs.ts'
import { lengthInMetres, noughtOrMore, spanInMetres } from '../../shared-domain/quantity-fields.ts'
import { constructions } from '../../shared-domain/words.ts'

const kind = z.string().min(1).max(64)
const count = z.int().min(0).max(10_000)
/** Half a year without a stick is a slip of the keyboard: the house's own figure. */
const mostWeeksAway = 26

/** Two years of weeks. */
const mostWeeks = 104

export const planWanted = z.strictObject({
  firstMonday: monday,
  /** minutes of each week, nought where the bench is closed */
  capacityMinutes: z.array(z.int().min(0).max(100_000)).min(1).max(mostWeeks),
  lockedMondays: z.array(monday).max(mostWeeks).default([]),
  mostWeeksEarly: z.int().min(0).max(mostWeeks),
  marginWeeks: z.int().min(0).max(mostWeeks),
  work: z
    .strictObject({
      setUpMinutes: noughtOrMore(600),
      readingMinutes: noughtOrMore(60),
      wettingMinutes: noughtOrMore(600),
      refinishingMinutes: noughtOrMore(600),
      failingShare: noughtOrMore(1),
      spanMetres: spanInMetres(),
      leastOverlapMetres: noughtOrMore(10),
    })
    .refine(
      ({ spanMetres, leastOverlapMetres }) => leastOverlapMetres < spanMetres,
      'an overlap shorter than the span',
    ),
  cover: z.array(
    z.strictObject({
      crewId: registerId,
      kinds: z.array(kind).min(1),
      has: count,
      needs: count,
      loaners: count.default(0),
      awayAlready: z.array(count).max(mostWeeks).default([]),
    }),
  ),
  sticks: z
    .array(
      z.strictObject({
        stickId: registerId,
        crewId: registerId,
        kind,
        construction: z.enum(constructions),
        workingLengthMetres: lengthInMetres(),
        dueOn: calendarDate,
        weeksAway: z.int().min(1).max(mostWeeksAway).default(1),
        plannedOn: calendarDate.nullable().default(null),
        pinnedOn: calendarDate.nullable().default(null),
      }),
    )
    .refine((sticks) => new Set(sticks.map(({ stickId }) => stickId)).size === sticks.length, 'each stick once'),
})

export type PlanWanted = z.infer<typeof planWanted>

export function needsFor({ firstMonday, lockedMondays, work, cover, sticks, ...same }: PlanWanted): PlanNeeds {
  const week = (day: CalendarDate | null) => (day === null ? null : weekOfDay(day, firstMonday))
  return {
    ...same,
    lockedWeeks: lockedMondays.map((one) => weekOfDay(one, firstMonday)),
    cover: cover.map(({ crewId, kinds, ...stock }) => ({
      crewId,
      kinds,
      mayBeAway: mayBeAwayIn(same.capacityMinutes.length, stock),
    })),
    sticks: sticks.map((stick) => ({
      stickId: stick.stickId,
      crewId: stick.crewId,
      kind: stick.kind,
      benchMinutes: benchMinutesFor(stick, work),
      weeksAway: stick.weeksAway,
      lastWeek: lastWeekBy(stick.dueOn, firstMonday),
      earlierWeek: week(stick.plannedOn),
      pinnedWeek: week(stick.pinnedOn),
    })),
  }
}

/** The plan in dates again: each week that somebody comes in, and what is lacking. */
export function planInDates({ firstMonday, capacityMinutes }: PlanWanted, needs: PlanNeeds, plan: BenchPlan) {
  const mondayOfWeek = (week: number) => addDays(firstMonday, 7 * week)
  const minutesOf = new Map(needs.sticks.map(({ stickId, benchMinutes }) => [stickId, benchMinutes]))
  const byWeek = Map.groupBy(plan.placed, ({ week }) => week)
  return {
    by: plan.by,
    weeks: [...byWeek]
      .sort(([a], [b]) => a - b)
      .map(([week, placed]) => ({
        monday: mondayOfWeek(week),
        minutes: placed.reduce((sum, { stickId }) => sum + (minutesOf.get(stickId) ?? 0), 0),
        capacityMinutes: capacityMinutes[week] ?? 0,
        stickIds: placed.map(({ stickId }) => stickId).sort(),
      })),
    lacking: plan.reckoning.lacking.map((one) => ('week' in one ? { ...one, week: mondayOfWeek(one.week) } : one)),
    value: plan.reckoning.cost,
    bound: plan.bound,
  }
}
