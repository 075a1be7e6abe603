/**
 * The effect that another policy would have on a fleet, before it is in force: stick by stick, and how many run out
 * when.
 */
import type { CalendarDate } from '../calendar.ts'
import type { Rules } from '../policy/rules.ts'
import { type Hold, saidOfHold } from './hold.ts'
import { type Standing, standingOn } from './standing.ts'
import type { StickState } from './state.ts'
import { mayBeUsed } from './use.ts'

/** How a stick would stand, with all that is said of why. */
export interface Stands extends Pick<Standing, 'status' | 'dueOn' | 'why' | 'removedFor'> {
  readonly holds: readonly Pick<Hold, 'code' | 'detail'>[]
}

/** A thing by the rules in force, and by those proposed. */
interface BySideOf<Thing> {
  readonly inForce: Thing
  readonly proposed: Thing
}

export type Effect = BySideOf<Stands>

/** A stick on one day under the rules in force and under those proposed. */
export function effectOf(state: StickState, day: CalendarDate, { inForce, proposed }: BySideOf<Rules>): Effect {
  return { inForce: stands(standingOn(state, day, inForce)), proposed: stands(standingOn(state, day, proposed)) }
}

export const stands = ({ status, dueOn, why, removedFor, holds }: Standing): Stands => ({
  status,
  dueOn,
  why,
  ...(removedFor === undefined ? {} : { removedFor }),
  holds: holds.map(saidOfHold),
})

export function changes({ inForce, proposed }: Effect): boolean {
  return inForce.status !== proposed.status || inForce.dueOn !== proposed.dueOn
}

export interface Tally {
  readonly sticks: number
  readonly changed: number
  readonly dueEarlier: number
  readonly dueLater: number
  /** sticks that may be used under the rules in force and could not be under the proposed ones */
  readonly noLongerFit: number
  /** sticks that must not be used under the rules in force and could be under the proposed ones */
  readonly newlyFit: number
  /** sticks with a due date, by the month in which they run out: `{ "2027-03": { "inForce": 4, "proposed": 9 } }` */
  readonly dueInMonth: Readonly<Record<string, { readonly inForce: number; readonly proposed: number }>>
}

export function tallyOf(effects: readonly Effect[]): Tally {
  const count = (holds: (effect: Effect) => boolean) => effects.filter(holds).length
  const moved = (before: CalendarDate | null, after: CalendarDate | null) =>
    before !== null && after !== null && before < after
  return {
    sticks: effects.length,
    changed: count(changes),
    dueEarlier: count(({ inForce, proposed }) => moved(proposed.dueOn, inForce.dueOn)),
    dueLater: count(({ inForce, proposed }) => moved(inForce.dueOn, proposed.dueOn)),
    noLongerFit: count(({ inForce, proposed }) => mayBeUsed(inForce.status) && !mayBeUsed(proposed.status)),
    newlyFit: count(({ inForce, proposed }) => !mayBeUsed(inForce.status) && mayBeUsed(proposed.status)),
    dueInMonth: byMonth(effects),
  }
}

function byMonth(effects: readonly Effect[]): Tally['dueInMonth'] {
  const dated = (which: 'inForce' | 'proposed') => effects.flatMap((effect) => effect[which].dueOn?.slice(0, 7) ?? [])
  const [inForce, proposed] = [dated('inForce'), dated('proposed')]
  const months = [...new Set([...inForce, ...proposed])].sort()
  const among = (all: readonly string[], month: string) => all.filter((one) => one === month).length
  return Object.fromEntries(
    months.map((month) => [month, { inForce: among(inForce, month), proposed: among(proposed, month) }]),
  )
}
