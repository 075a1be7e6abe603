/**
 * The next day on which time alone changes how a stick stands. Nothing is recorded then, so whoever looks after the
 * lists and tells people has to know the day beforehand.
 *
 * | what the day brings | it changes on |
 * |---|---|
 * | an entry on the register counts from its day | that day |
 * | the limit for lying on the shelf after a test | the day after it |
 * | a due date passes while the stick rests in store | the day after the later of it and the least time in store |
 * | the due date itself | none of these days: the ladder of due dates speaks of it, and its place in the lists stays |
 */
import { addDays, addMonths, type CalendarDate } from '../calendar.ts'
import type { Rules } from '../policy/rules.ts'
import { type Standing, standingOn } from './standing.ts'
import type { StickState } from './state.ts'
import { seenAs } from './use.ts'

/** The next day of change; null where none is in sight. `standing` is how the stick stands on `day`. */
export function nextChangeOn(
  state: StickState,
  standing: Standing,
  { day, rules }: { readonly day: CalendarDate; readonly rules: Rules },
): CalendarDate | null {
  if (state.scrapped !== null || state.removed !== null) return null
  const entries = state.registrations.flatMap(({ effectiveFrom }) => (effectiveFrom > day ? [effectiveFrom] : []))
  const standings = [standing, ...entries.map((on) => standingOn(state, on, rules))]
  const days = [...entries, ...standings.flatMap((one) => daysOf(one, state, rules))].filter((on) => on > day)
  const known = sumOf(standing)
  return [...new Set(days)].sort().find((on) => sumOf(standingOn(state, on, rules)) !== known) ?? null
}

/** The parts of a standing whose change no ladder speaks of. */
function sumOf({ status, dueOn }: Standing): string {
  return [seenAs(status), dueOn].join(' ')
}

function daysOf({ clocks }: Standing, { custodySpells }: StickState, { requirements }: Rules): CalendarDate[] {
  const spell = custodySpells.at(-1)
  return requirements.flatMap(({ id, shelfMonths, suspendedInStorageAfterMonths: rest }) => {
    const clock = clocks.find(({ requirement }) => requirement === id)
    if (clock?.since == null) return []
    const { since, dueOn } = clock
    const shelved = shelfMonths === undefined ? [] : [addDays(addMonths(since, shelfMonths), 1)]
    if (rest === undefined || dueOn === null || spell === undefined) return shelved
    const rested = addMonths(spell.since, rest)
    return [...shelved, addDays(laterOf(dueOn, rested), 1)]
  })
}

const laterOf = (a: CalendarDate, b: CalendarDate) => (a < b ? b : a)
