/**
 * Needs of a plan of one depot's bench, as plain numbers, and what each week costs a stick.
 *
 * Weeks are counted from the first one of the plan, which is 0. A stick is called in at the beginning of its week and
 * tested within it. So the last week that may be planned is the last one that ends by the due date.
 */
import { type CalendarDate, daysBetween } from '../calendar.ts'

export interface StickToPlan {
  readonly stickId: string
  readonly crewId: string
  readonly kind: string
  /** whole minutes at the bench */
  readonly benchMinutes: number
  /** weeks that its crew is without it, the way there and back among them; at least one */
  readonly weeksAway: number
  /** the last week that ends by its due date; below nought where none of the plan does */
  readonly lastWeek: number
  /** the week in the plan before this one; null where it had none */
  readonly earlierWeek: number | null
  /** the week somebody chose for it; null where nobody did */
  readonly pinnedWeek: number | null
}

/** A crew's sticks of kinds that stand in for each other. */
export interface CrewCover {
  readonly crewId: string
  readonly kinds: readonly string[]
  /** sticks that may be away at once, by week */
  readonly mayBeAway: readonly number[]
}

export interface PlanNeeds {
  /** bench minutes of each week, nought where it is closed; the plan has so many weeks */
  readonly capacityMinutes: readonly number[]
  /** weeks that stay as the earlier plan had them */
  readonly lockedWeeks: readonly number[]
  readonly cover: readonly CrewCover[]
  readonly sticks: readonly StickToPlan[]
  /** no stick is called in earlier than that before its last week, as long as a week there is open */
  readonly mostWeeksEarly: number
  /** weeks before the due date that are kept for a stick that fails: its refinishing and its next test */
  readonly marginWeeks: number
}

/** A stick and the week in which it is called in. */
export interface Placed {
  readonly stickId: string
  readonly week: number
}

/** Sticks that fall due after the plan's last week wait for a later plan. */
export function sticksWithin({ sticks, capacityMinutes }: PlanNeeds): StickToPlan[] {
  return sticks.filter(({ lastWeek }) => lastWeek < capacityMinutes.length)
}

/** A stick due before the first week ends is called in at once. */
const latestFor = ({ lastWeek }: StickToPlan): number => Math.max(0, lastWeek)

/**
 * The weeks a stick may be called in, in order, none after its last one. A lock stands above a pin, and the due date
 * above both.
 */
export function weeksOpenTo(stick: StickToPlan, needs: PlanNeeds): number[] {
  const latest = latestFor(stick)
  const { earlierWeek, pinnedWeek } = stick
  const isLocked = (week: number) => needs.lockedWeeks.includes(week)
  if (earlierWeek !== null && earlierWeek >= 0 && earlierWeek <= latest && isLocked(earlierWeek)) return [earlierWeek]
  if (pinnedWeek !== null && pinnedWeek >= 0 && pinnedWeek <= latest && !isLocked(pinnedWeek)) return [pinnedWeek]
  const unlocked = Array.from({ length: latest + 1 }, (_, week) => week).filter((week) => !isLocked(week))
  if (unlocked.length === 0) return [latest]
  const near = unlocked.filter((week) => week >= latest - needs.mostWeeksEarly)
  const isBenchOpen = (week: number) => (needs.capacityMinutes[week] ?? 0) > 0
  return near.some(isBenchOpen) || (near.length > 0 && !unlocked.some(isBenchOpen)) ? near : unlocked
}

/** The house's own figures: what a plan would rather not do, in weeks of an interval thrown away. */
const prices = { weekEarly: 1, weekOfMargin: 3, moved: 2 } as const

/** The cost of a week to a stick: the interval lost, the margin lost, and a move from the week that was told before. */
export function costOfWeek(stick: StickToPlan, week: number, { marginWeeks }: PlanNeeds): number {
  const best = Math.max(0, latestFor(stick) - marginWeeks)
  const off = week <= best ? prices.weekEarly * (best - week) : prices.weekOfMargin * (week - best)
  return off + (stick.earlierWeek === null || stick.earlierWeek === week ? 0 : prices.moved)
}

/** A stick that a crew lacks weighs as much as an hour that the bench lacks: the house's own figure. */
export const minutesPerStickLacking = 60

const daysPerWeek = 7

/** The last week that ends by a date, of weeks counted from a Monday; each ends with its Sunday. */
export function lastWeekBy(dueOn: CalendarDate, firstMonday: CalendarDate): number {
  return Math.floor((daysBetween(firstMonday, dueOn) + 1) / daysPerWeek) - 1
}

/** The week in which a day lies. */
export function weekOfDay(day: CalendarDate, firstMonday: CalendarDate): number {
  return Math.floor(daysBetween(firstMonday, day) / daysPerWeek)
}
