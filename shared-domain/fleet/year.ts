/**
 * A year of the fleet in numbers: sticks, tests, what they came to, ages, overdue days. Every stick is counted once.
 */
import { type CalendarDate, earliest } from '../calendar.ts'
import type { Rules } from '../policy/rules.ts'
import { isPastTest, type Past, type PastReport, type PastTest, pastOf } from '../state/past.ts'
import { inOrderOfEffect, registrationOn, type StickState } from '../state/state.ts'
import { type Construction, constructions, testReasons, type Verdict, verdicts } from '../words.ts'
import { daysOverdueIn, type Period } from './overdue.ts'

type Counts<Word extends string> = { [word in Word]: number }

export interface YearOfFleet {
  readonly sticks: {
    /** sticks known by the end of the period, and neither removed nor scrapped by then */
    atEnd: number
    /** known since a day of the period */
    entered: number
    removed: number
    scrapped: number
    readonly byConstruction: Counts<Construction>
  }
  /** tests by their reason and by what they came to */
  readonly tests: { readonly [reason in PastTest['reason']]: Counts<Verdict> }
  /** failures by their cause */
  readonly failures: Counts<NonNullable<PastTest['cause']>>
  readonly reports: Map<PastReport['reported'], number>
  /** sticks at the end of the period by whole years in service, in steps of five; `unknown` has no first day */
  readonly ages: { readonly steps: number[]; unknown: number }
  readonly overdue: { sticks: number; days: number }
}

/** Years in service in one step of the ages, and the number of steps; the last one is open. */
export const yearsInStep = 5
const steps = 7

const counts = <Word extends string>(words: readonly Word[]) =>
  Object.fromEntries(words.map((word) => [word, 0])) as Counts<Word>

export function emptyYear(): YearOfFleet {
  return {
    sticks: { atEnd: 0, entered: 0, removed: 0, scrapped: 0, byConstruction: counts(constructions) },
    tests: Object.fromEntries(testReasons.map((reason) => [reason, counts(verdicts)])) as YearOfFleet['tests'],
    failures: counts(['electrical', 'examination']),
    reports: new Map(),
    ages: { steps: new Array<number>(steps).fill(0), unknown: 0 },
    overdue: { sticks: 0, days: 0 },
  }
}

export interface StickInYear {
  readonly state: StickState
  /** the due date as it stands now */
  readonly dueOn: CalendarDate | null
}

/** Counts one stick into the year. Answers whether anything happened to it in the period that could have held it. */
export function countInto(year: YearOfFleet, stick: StickInYear, { period, rules }: InYear): boolean {
  const { state } = stick
  const isIn = (day: CalendarDate | undefined) => day !== undefined && period.from <= day && day <= period.to
  const all = pastOf(state)
  const first = firstKnown(state, all)
  if (first === undefined || first > period.to) return false
  if (isIn(first)) year.sticks.entered++
  if (isIn(state.removed?.since)) year.sticks.removed++
  if (isIn(state.scrapped?.since)) year.sticks.scrapped++
  countAtEnd(year, state, period.to)
  const past = all.filter(({ on }) => isIn(on))
  for (const one of past) {
    if (!isPastTest(one)) {
      year.reports.set(one.reported, (year.reports.get(one.reported) ?? 0) + 1)
      continue
    }
    year.tests[one.reason][one.verdict]++
    if (one.verdict === 'fail' && one.cause !== null) year.failures[one.cause]++
  }
  const days = daysOverdueIn(stick, rules, period)
  if (days > 0) year.overdue.sticks++
  year.overdue.days += days
  return past.some((one) => !isPastTest(one) || one.verdict !== 'pass') || isIn(state.removed?.since)
}

/** A fleet is older than its records: a stick is known from its first day of service, or from its first test. */
function firstKnown({ registrations }: StickState, past: readonly Past[]): CalendarDate | undefined {
  const since = registrations.at(-1)?.stick.inServiceSince
  const entered = inOrderOfEffect(registrations)[0]?.effectiveFrom
  return earliest([entered, since, past[0]?.on].filter((day) => day !== undefined))
}

interface InYear {
  readonly period: Period
  readonly rules: Rules
}

function countAtEnd(year: YearOfFleet, state: StickState, day: CalendarDate): void {
  const isGone = [state.removed, state.scrapped].some((gone) => gone !== null && gone.since <= day)
  const stick = registrationOn(state, day)?.stick
  if (isGone || stick === undefined) return
  year.sticks.atEnd++
  year.sticks.byConstruction[stick.construction]++
  const since = stick.inServiceSince
  if (since === undefined || since > day) {
    year.ages.unknown++
    return
  }
  const step = Math.min(steps - 1, Math.floor(wholeYears(since, day) / yearsInStep))
  year.ages.steps[step] = (year.ages.steps[step] ?? 0) + 1
}

function wholeYears(since: CalendarDate, day: CalendarDate): number {
  const years = Number(day.slice(0, 4)) - Number(since.slice(0, 4))
  return day.slice(4) < since.slice(4) ? years - 1 : years
}

/** The sum of all reasons. */
export function testsInAll({ tests }: YearOfFleet): Counts<Verdict> {
  const all = counts(verdicts)
  for (const of of Object.values(tests)) for (const verdict of verdicts) all[verdict] += of[verdict]
  return all
}
