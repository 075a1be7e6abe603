/**
 * The lessons of a fleet, from one look at each of its sticks: how many reach the end of their interval, by
 * construction, lot, service class and depot, and which lots fail more often than the rest.
 */
import { applies } from '../policy/clocks.ts'
import type { Requirement } from '../policy/requirement.ts'
import type { Rules } from '../policy/rules.ts'
import type { Stick } from '../registers.ts'
import { isPastTest, pastOf } from '../state/past.ts'
import type { StickState } from '../state/state.ts'
import { countEnd, type EndsCounted, endsOfIntervals, noEnds, usualMonths } from './ends.ts'
import { type IntervalAdvice, intervalAdvice } from './interval-advice.ts'
import { type LotsLookedAt, lotsStandingOut } from './standing-out.ts'

export const groupings = ['construction', 'lot', 'service class', 'depot'] as const
export type Grouping = (typeof groupings)[number]

interface Group {
  readonly by: Grouping
  readonly name: string
  readonly ends: EndsCounted
  /** the longest interval that the rules allow all its sticks; null where they state none for one of them */
  mostMonths: number | null
}

/** Sticks of a lot, or of the fleet, that were tested, and those among them that ever failed. */
interface EverFailed {
  found: number
  of: number
}

export interface Reliability {
  sticks: number
  readonly groups: Map<string, Group>
  readonly lots: Map<string, EverFailed>
  readonly tested: EverFailed
}

export const noReliability = (): Reliability => ({
  sticks: 0,
  groups: new Map(),
  lots: new Map(),
  tested: { found: 0, of: 0 },
})

export interface StickCounted {
  readonly state: StickState
  readonly depotId: string | null
}

export function countReliability(fleet: Reliability, { state, depotId }: StickCounted, rules: Rules): void {
  fleet.sticks++
  const stick = state.registrations.at(-1)?.stick
  if (stick === undefined) return
  const past = pastOf(state)
  const verdicts = past.filter(isPastTest).map(({ verdict }) => verdict)
  const hasFailed = verdicts.includes('fail')
  if (hasFailed || verdicts.includes('pass')) {
    countFailed(fleet.tested, hasFailed)
    if (stick.lot !== undefined) countFailed(lotOf(fleet, stick.lot), hasFailed)
  }
  for (const end of endsOfIntervals(past)) {
    const serviceClass = end.stored ? 'stored' : 'in use'
    const names = { construction: stick.construction, lot: stick.lot, 'service class': serviceClass, depot: depotId }
    const most = mostMonthsOf(stick, end.stored, rules)
    for (const by of groupings) {
      const name = names[by]
      if (name === undefined || name === null) continue
      const group = groupOf(fleet, { by, name, most })
      countEnd(group.ends, end)
      if (group.mostMonths !== null) group.mostMonths = most === null ? null : Math.min(group.mostMonths, most)
    }
  }
}

function countFailed(counted: EverFailed, hasFailed: boolean): void {
  counted.of++
  if (hasFailed) counted.found++
}

function lotOf({ lots }: Reliability, lot: string): EverFailed {
  const known = lots.get(lot) ?? { found: 0, of: 0 }
  lots.set(lot, known)
  return known
}

function groupOf(
  { groups }: Reliability,
  { by, name, most }: { readonly by: Grouping; readonly name: string; readonly most: number | null },
): Group {
  const key = JSON.stringify([by, name])
  const known = groups.get(key) ?? { by, name, ends: noEnds(), mostMonths: most }
  groups.set(key, known)
  return known
}

const daysPerMonth = 365.25 / 12

/** The shortest of the maxima that the rules state for tests of such a stick, in months. */
function mostMonthsOf(stick: Stick, stored: boolean, { requirements }: Rules): number | null {
  const months = requirements
    .filter((one) => one.legalMaximum && isOfTests(one) && applies(one, stick))
    .flatMap(({ interval, byClass }) => {
      const inClasses = byClass === undefined ? [] : stored ? [byClass.stored] : [byClass.frequent, byClass.occasional]
      const stated = inClasses.filter((one) => one !== undefined)
      return (stated.length === 0 ? [interval] : stated).flatMap((one) =>
        one === null || 'useDays' in one ? [] : 'months' in one ? [one.months] : [one.days / daysPerMonth],
      )
    })
  return months.length === 0 ? null : Math.min(...months)
}

const isOfTests = ({ evidence }: Requirement) => evidence.some((kind) => kind === 'dry test' || kind === 'wet test')

export interface GroupAdvice extends IntervalAdvice {
  readonly by: Grouping
  readonly name: string
}

export interface FleetAdvice {
  /** groups by kind, in each those first that are the furthest from the target */
  readonly groups: readonly GroupAdvice[]
  /** lots of which too little is known for a word each */
  readonly lotsWithTooFew: number
  readonly lots: LotsLookedAt
  readonly tested: EverFailed
}

export function fleetAdvice(fleet: Reliability, target: number): FleetAdvice {
  const all = [...fleet.groups.values()].map(({ by, name, ends, mostMonths }): GroupAdvice => {
    const seen = { found: ends.found, of: ends.of, months: usualMonths(ends) }
    return { by, name, ...intervalAdvice(seen, { target, mostMonths }) }
  })
  const isLeftOut = ({ by, says }: GroupAdvice) => by === 'lot' && says.is === 'too few'
  const order = (one: GroupAdvice) => groupings.indexOf(one.by)
  const lots = [...fleet.lots].map(([lot, { found, of }]) => ({ lot, found, of }))
  return {
    groups: all
      .filter((one) => !isLeftOut(one))
      .sort((a, b) => order(a) - order(b) || a.found / a.of - b.found / b.of || (a.name < b.name ? -1 : 1)),
    lotsWithTooFew: all.filter(isLeftOut).length,
    lots: lotsStandingOut(lots, fleet.tested),
    tested: fleet.tested,
  }
}
