/**
 * Settings of a depot's bench, as its manager entered them, and what a plan needs of them. A bench of which nobody said
 * how many hours it works gets no plan.
 */
import { addDays, type CalendarDate, daysBetween, mondayOf } from '../calendar.ts'
import type { Construction } from '../words.ts'
import { type BenchWork, benchMinutesFor, mayBeAwayIn } from './bench-minutes.ts'
import { type CrewCover, lastWeekBy, type PlanNeeds, type StickToPlan, weekOfDay } from './needs.ts'

export interface PlanSettings {
  /** bench minutes of a usual week */
  readonly weekMinutes: number
  /** weeks with other minutes, each by its Monday: closed, somebody away, or hours added */
  readonly weeks: readonly { readonly week: CalendarDate; readonly minutes: number }[]
  readonly work: Omit<BenchWork, 'spanMetres' | 'leastOverlapMetres'>
  /** weeks that a crew is without a stick, the way there and back among them */
  readonly weeksAway: number
  /** weeks before the due date that are kept for a stick that fails */
  readonly marginWeeks: number
  readonly mostWeeksEarly: number
  /** of a crew's sticks of one construction, the share that stays with it, where no row of `cover` says more */
  readonly keepPercent: number
  readonly cover: readonly {
    readonly crewId: string
    /** constructions that stand in for each other */
    readonly constructions: readonly Construction[]
    readonly least: number
    readonly loaners: number
  }[]
  readonly pins: readonly { readonly stickId: string; readonly week: CalendarDate }[]
  readonly lockedWeeks: readonly CalendarDate[]
}

/** The house's own figures, where the employer has no others: common practice at a bench, from no standard. */
export const usualWork: PlanSettings['work'] = {
  setUpMinutes: 10,
  readingMinutes: 0.5,
  wettingMinutes: 10,
  refinishingMinutes: 60,
  failingShare: 0.05,
}

/** A year of weeks. */
const weeksPlanned = 52

/** More than a depot has, and than one item of the table can hold; the earliest due are planned. */
const mostSticksPlanned = 4000

export interface StickOfDepot {
  readonly stickId: string
  readonly crewId: string | null
  readonly construction: Construction
  readonly workingLengthMetres: number
  readonly dueOn: CalendarDate
  /** a stick that is overdue covers nothing */
  readonly isUsable: boolean
  readonly isAtBench: boolean
}

export interface DepotBench {
  readonly today: CalendarDate
  readonly settings: PlanSettings
  readonly measured: Pick<BenchWork, 'spanMetres' | 'leastOverlapMetres'>
  readonly sticks: readonly StickOfDepot[]
  /** the week of each stick in the plan before */
  readonly earlier: ReadonlyMap<string, CalendarDate>
}

export interface NeedsOfDepot {
  readonly firstMonday: CalendarDate
  readonly needs: PlanNeeds
  /** sticks within the plan that found no room in it */
  readonly leftOut: number
}

export function needsOfDepot(bench: DepotBench): NeedsOfDepot {
  const { settings, sticks } = bench
  const firstMonday = mondayOf(bench.today)
  const weekOf = (day: CalendarDate | undefined) => {
    const week = day === undefined ? -1 : weekOfDay(day, firstMonday)
    return week < 0 ? null : week
  }
  const work = { ...settings.work, ...bench.measured }
  const pinned = new Map(settings.pins.map(({ stickId, week }) => [stickId, week]))
  const within = sticks
    .filter(({ dueOn }) => lastWeekBy(dueOn, firstMonday) < weeksPlanned)
    .sort((a, b) => (a.dueOn === b.dueOn ? (a.stickId < b.stickId ? -1 : 1) : a.dueOn < b.dueOn ? -1 : 1))
  const planned = within.slice(0, mostSticksPlanned).map(
    (one): StickToPlan => ({
      stickId: one.stickId,
      crewId: one.crewId ?? noCrew,
      kind: kindOf(one),
      benchMinutes: benchMinutesFor(one, work),
      weeksAway: settings.weeksAway,
      lastWeek: lastWeekBy(one.dueOn, firstMonday),
      earlierWeek: weekOf(bench.earlier.get(one.stickId)),
      pinnedWeek: weekOf(pinned.get(one.stickId)),
    }),
  )
  const needs: PlanNeeds = {
    capacityMinutes: capacityOf(settings, { firstMonday, today: bench.today }),
    lockedWeeks: settings.lockedWeeks.flatMap((day) => weekOf(day) ?? []),
    cover: coverOf(bench),
    sticks: planned,
    mostWeeksEarly: settings.mostWeeksEarly,
    marginWeeks: settings.marginWeeks,
  }
  return { firstMonday, needs, leftOut: within.length - planned.length }
}

/** A crew's number begins with a letter or a digit. */
const noCrew = '-'

/** What lies at the bench is away already, and what is overdue covers nothing: calling it in takes nothing more. */
const kindOf = ({ construction, isUsable, isAtBench }: StickOfDepot): string =>
  isUsable && !isAtBench ? construction : `${construction}, out of hands`

const workDays = 5
const daysOfWeek = 7

/** Minutes of each week. Of a usual week that has begun, those of the days from today to Friday. */
function capacityOf(
  { weekMinutes, weeks }: PlanSettings,
  { firstMonday, today }: { readonly firstMonday: CalendarDate; readonly today: CalendarDate },
): number[] {
  const said = new Map(weeks.map(({ week, minutes }) => [week, minutes]))
  const left = Math.max(0, workDays - daysBetween(firstMonday, today))
  const usual = (i: number) => (i === 0 ? Math.floor((weekMinutes * left) / workDays) : weekMinutes)
  return Array.from({ length: weeksPlanned }, (_, i) => said.get(addDays(firstMonday, daysOfWeek * i)) ?? usual(i))
}

function coverOf({ settings, sticks }: DepotBench): CrewCover[] {
  const usable = sticks.filter(({ isUsable, crewId }) => isUsable && crewId !== null)
  const isNamed = (one: StickOfDepot) =>
    settings.cover.some(
      ({ crewId, constructions }) => crewId === one.crewId && constructions.includes(one.construction),
    )
  const usual = Map.groupBy(
    usable.filter((one) => !isNamed(one)),
    ({ crewId, construction }) => `${crewId} ${construction}`,
  )
  const rows = [...usual.values()].flatMap((theirs) => {
    const [first] = theirs
    if (first?.crewId == null) return []
    const least = Math.floor((theirs.length * settings.keepPercent) / 100)
    return [{ crewId: first.crewId, constructions: [first.construction], least, loaners: 0 }]
  })
  return [...settings.cover, ...rows].map(({ crewId, constructions, least, loaners }) => {
    const theirs = usable.filter((one) => one.crewId === crewId && constructions.includes(one.construction))
    const atBench = theirs.filter(({ isAtBench }) => isAtBench).length
    const stock = { has: theirs.length, needs: least, loaners }
    const awayAlready = new Array<number>(settings.weeksAway).fill(atBench)
    return { crewId, kinds: [...constructions], mayBeAway: mayBeAwayIn(weeksPlanned, { ...stock, awayAlready }) }
  })
}

/** Weeks that are past say nothing any more, and neither does a pin to one. */
export function settingsFrom(settings: PlanSettings, today: CalendarDate): PlanSettings {
  const first = mondayOf(today)
  return {
    ...settings,
    weeks: settings.weeks.filter(({ week }) => week >= first),
    pins: settings.pins.filter(({ week }) => week >= first),
    lockedWeeks: settings.lockedWeeks.filter((week) => week >= first),
  }
}
