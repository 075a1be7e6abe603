/**
 * The days of a period on which a stick was overdue: past its due date, and neither tested yet nor out of use for
 * another reason. Due dates of before are worked out anew from its passes, by the rules that are asked by: what a
 * report says of days gone by is what these rules say of them.
 */
import { addDays, type CalendarDate, daysBetween, earliest } from '../calendar.ts'
import { clocksOf } from '../policy/clocks.ts'
import type { Rules } from '../policy/rules.ts'
import { isPastTest, type Past, type PastTest, pastOf } from '../state/past.ts'
import { registrationOn, type StickState } from '../state/state.ts'

export interface Period {
  readonly from: CalendarDate
  /** the last day of it */
  readonly to: CalendarDate
}

/** `dueOn` is the stick's due date as it stands now, by all that is known of it. */
export function daysOverdueIn(
  { state, dueOn }: { readonly state: StickState; readonly dueOn: CalendarDate | null },
  rules: Rules,
  period: Period,
): number {
  const past = pastOf(state)
  const passes = past.filter((one): one is PastTest => isPastTest(one) && one.verdict === 'pass')
  return passes.reduce((days, pass, i) => {
    const due = i === passes.length - 1 ? dueOn : dueAfter(state, pass, rules)
    if (due === null) return days
    const from = [addDays(due, 1), period.from].sort().at(-1) ?? period.from
    const to = earliest([endAfter({ ...state, past }, pass, period), period.to]) ?? period.to
    return days + Math.max(0, daysBetween(from, to) + 1)
  }, 0)
}

/** The last day on which the stick could be overdue after a pass: the day before whatever came next. */
interface Lived extends Pick<StickState, 'removed' | 'scrapped'> {
  readonly past: readonly Past[]
}

function endAfter({ past, removed, scrapped }: Lived, { on }: Past, { to }: Period): CalendarDate {
  const next = past.find((one) => one.on > on && (!isPastTest(one) || one.verdict !== 'invalid'))?.on
  const days = [next, removed?.since, scrapped?.since].filter((day) => day !== undefined && day > on)
  const first = earliest(days as CalendarDate[])
  return first === undefined ? to : addDays(first, -1)
}

/** A full test winds the clocks of an examination, a dry and a wet test, as `fold.ts` has it. */
function dueAfter(state: StickState, { on, stored }: PastTest, rules: Rules): CalendarDate | null {
  const stick = registrationOn(state, on)?.stick
  if (stick === undefined) return null
  const evidence = { examination: on, 'condition check': on, 'dry test': on, 'wet test': on }
  const custodySpells = [{ since: on, kind: stored ? ('store' as const) : ('crew' as const) }]
  const ends = clocksOf(stick, { evidence, custodySpells, uses: [] }, rules).flatMap((one) => one.dueOn ?? [])
  return earliest(ends) ?? null
}
