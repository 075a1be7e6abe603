/**
 * A year of the fleet, and what its tests teach of intervals and lots. Every stick is read once, as its lists have it,
 * a page at a time: a page is counted and forgotten.
 */
import { type CalendarDate, earliest } from '../../shared-domain/calendar.ts'
import { type Confirmations, confirmationsOf, hoursToConfirm } from '../../shared-domain/fleet/confirmations.ts'
import type { Period } from '../../shared-domain/fleet/overdue.ts'
import {
  countReliability,
  type FleetAdvice,
  fleetAdvice,
  noReliability,
  type Reliability,
} from '../../shared-domain/fleet/reliability.ts'
import { countInto, emptyYear, type YearOfFleet } from '../../shared-domain/fleet/year.ts'
import { standingGroups } from '../../shared-domain/listing.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import { may } from '../../shared-domain/rights.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { invalid, notFound } from '../ground/errors.ts'
import type { StickPage, StoredStick } from '../store/sticks.ts'
import type { Asker } from './asker.ts'
import { checkRole } from './rights.ts'
import { everything, sticksAtOnce } from './shelves.ts'
import { rulesOn, todayAt } from './today.ts'

/** The first year that is asked for: no record is older. */
export const firstYear = 1980

/**
 * The house's own figure: 19 of 20 sticks are to pass at the end of their interval, unless whoever asks wants another.
 */
export const usualTarget = 0.95

/** A function has twenty seconds, and counts no more sticks than it can read by then. A depot is asked for alone. */
export const mostSticks = 30_000

/** The part of a fleet that is asked for; all that the caller may read where it is empty. */
export interface FleetPart {
  readonly depotId?: string | undefined
}

interface Counted {
  /** today, by the register's own day */
  readonly today: CalendarDate
  /** the depots whose sticks are counted; where none was asked for, sticks of which nobody knows where they lie too */
  readonly depotIds: readonly string[]
  /** false where there are more sticks than one answer reads */
  readonly isAll: boolean
}

export interface YearAnswer extends Counted {
  readonly year: number
  readonly period: Period
  readonly counted: YearOfFleet
  readonly confirmations: Confirmations
}

export interface AdviceAnswer extends Counted, FleetAdvice {
  readonly target: number
  readonly sticks: number
}

/** A way to count each page of sticks. */
interface Counting {
  readonly today: CalendarDate
  readonly rules: Rules
  readonly part: FleetPart
  readonly count: (sticks: readonly StoredStick[]) => Promise<void> | void
}

export async function adviceFor(
  asker: Asker,
  { target, ...part }: FleetPart & { readonly target: number },
): Promise<AdviceAnswer> {
  const { today, rules } = await asOfToday(asker)
  const fleet = noReliability()
  const read = await eachPage(asker, { today, rules, part, count: (sticks) => countAll(fleet, sticks, rules) })
  return { ...read, today, target, sticks: fleet.sticks, ...fleetAdvice(fleet, target) }
}

function countAll(fleet: Reliability, sticks: readonly StoredStick[], rules: Rules): void {
  for (const { state, depotId } of sticks) countReliability(fleet, { state, depotId }, rules)
}

/** A year of a fleet, or of a depot; this year where none is named. */
export interface YearAsked extends FleetPart {
  readonly year?: number | undefined
}

export async function yearFor(asker: Asker, asked: YearAsked): Promise<YearAnswer> {
  const { counting, answer } = await yearCounting(asker, asked)
  return answer(await eachPage(asker, counting))
}

/** Year and advice of one reading, for the page that shows both. */
export async function yearAndAdviceFor(
  asker: Asker,
  asked: YearAsked,
): Promise<{ readonly year: YearAnswer; readonly advice: AdviceAnswer }> {
  const { counting, answer } = await yearCounting(asker, asked)
  const { today, rules, part } = counting
  const fleet = noReliability()
  const count = async (sticks: readonly StoredStick[]) => {
    countAll(fleet, sticks, rules)
    await counting.count(sticks)
  }
  const read = await eachPage(asker, { today, rules, part, count })
  const advice = { ...read, today, target: usualTarget, sticks: fleet.sticks, ...fleetAdvice(fleet, usualTarget) }
  return { year: answer(read), advice }
}

async function asOfToday(asker: Asker) {
  checkRole(asker.caller, 'read the fleet')
  const { today } = await todayAt(asker, null)
  return { today, rules: await rulesOn(asker.organisation, today) }
}

async function yearCounting(asker: Asker, { year: asked, ...part }: YearAsked) {
  const { today, rules } = await asOfToday(asker)
  const thisYear = Number(today.slice(0, 4))
  const year = asked ?? thisYear
  if (year > thisYear)
    throw invalid({
      in: 'query',
      pointer: '/year',
      came: String(year),
      expected: { is: 'right: a whole number from', from: firstYear, to: thisYear },
    })
  const end = `${year}-12-31` as CalendarDate
  const period: Period = { from: `${year}-01-01` as CalendarDate, to: earliest([end, today]) ?? today }
  const counted = emptyYear()
  const hours: (number | null)[] = []
  const count = async (sticks: readonly StoredStick[]) => {
    const held = sticks.filter(({ state }) =>
      countInto(counted, { state, dueOn: standingOn(state, today, rules).dueOn }, { period, rules }),
    )
    for (const of of await Promise.all(held.map((stick) => toConfirm(asker, stick, period))))
      hours.push(...hoursToConfirm(of))
  }
  const answer = (read: Omit<Counted, 'today'>): YearAnswer => ({
    ...read,
    today,
    year,
    period,
    counted,
    confirmations: confirmationsOf(hours),
  })
  return { counting: { today, rules, part, count }, answer }
}

/** The notices of a stick that were to be confirmed and came to be owed in the period. */
async function toConfirm({ organisation }: Asker, { stickId }: StoredStick, { from, to }: Period) {
  const notices = await organisation.notices.ofStick(stickId, from)
  return notices.flatMap(({ answer, owedAt, answeredAt }) =>
    answer === undefined || owedAt > `${to}~` ? [] : [{ about: answer.about, owedAt, answeredAt }],
  )
}

/** Reads the lists of the caller's depots one after the other. */
async function eachPage(asker: Asker, { part: { depotId: asked }, count }: Counting): Promise<Omit<Counted, 'today'>> {
  const { organisation, caller, now } = asker
  const depots = (await organisation.registers.depotsNow(now)).map(({ id }) => id)
  const depotIds = depots.filter(
    (depotId) => (asked ?? depotId) === depotId && may(caller, 'read the fleet', { crewId: null, depotId }),
  )
  if (asked !== undefined && depotIds.length === 0) throw notFound({ is: 'none: depot to read', depot: asked })
  let read = 0
  for (const depotId of asked === undefined ? [...depotIds, null] : depotIds) {
    for (const group of standingGroups) {
      const [first, to] = everything
      for (let from: string | null = first; from !== null; ) {
        if (read >= mostSticks) return { depotIds, isAll: false }
        const page: StickPage = await organisation.sticks.standingPage(depotId, group, {
          from,
          to,
          limit: Math.min(sticksAtOnce, mostSticks - read),
        })
        read += page.sticks.length
        await count(page.sticks)
        from = page.next
      }
    }
  }
  return { depotIds, isAll: true }
}
