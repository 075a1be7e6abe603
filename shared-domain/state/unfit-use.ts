/** Uses of a stick that must not be used: judged for every day of the use, by all that is known of that day by now. */
import { addDays, type CalendarDate, endOfDay, type Instant } from '../calendar.ts'
import type { RecordedFact } from '../facts.ts'
import type { Rules } from '../policy/rules.ts'
import type { Status } from '../words.ts'
import { evolve } from './fold.ts'
import { asKnownNow } from './known-now.ts'
import { standingOn } from './standing.ts'
import { initial, readByFirstEntry, type StickState } from './state.ts'
import { mayBeUsed } from './use.ts'
import { inOrder, positionOf } from './when.ts'

export interface UnfitUse {
  readonly factId: string
  /** the first day of the use */
  readonly usedOn: CalendarDate
  /** the first of its days on which the stick was not fit, and how it stood then */
  readonly unfitOn: CalendarDate
  readonly status: Status
}

type UseFact = RecordedFact & { kind: 'used' }

const isUse = (fact: RecordedFact): fact is UseFact => fact.kind === 'used'

/** A moment by which a use is judged: the end of each of its days, and its own end. */
interface Moment {
  readonly instant: Instant
  readonly day: CalendarDate
  readonly fact: UseFact
}

function momentsOf(fact: UseFact): Moment[] {
  const { occurredOn, days } = fact.use
  const end = positionOf(fact).instant
  return Array.from({ length: days }, (_, i) => {
    const day = addDays(occurredOn, i)
    return { fact, day, instant: i === days - 1 ? end : earlier(endOfDay(day, fact.clock), end) }
  })
}

const earlier = (a: Instant, b: Instant) => (a < b ? a : b)

/** The unfit uses of a stick's whole history; `final` is the state after all of it. */
export function unfitUses(facts: readonly RecordedFact[], final: StickState, rules: Rules): UnfitUse[] {
  const known = asKnownNow(facts)
  const moments = known
    .filter(isUse)
    .flatMap(momentsOf)
    .sort((a, b) => (a.instant < b.instant ? -1 : a.instant > b.instant ? 1 : 0))
  if (moments.length === 0) return []
  const ordered = inOrder(known)
  const unfit = new Map<string, UnfitUse>()
  let state: StickState = final.stickId === undefined ? initial : { ...initial, stickId: final.stickId }
  let at = 0
  for (const moment of moments) {
    const { instant, fact } = moment
    // facts of that very instant count: in doubt the stick was not fit
    for (let next = ordered[at]; next !== undefined && next.place.instant <= instant; next = ordered[at]) {
      state = evolve(state, next.fact, next.place)
      at += 1
    }
    if (unfit.has(fact.factId)) continue
    const found = unfitAt(moment, readByFirstEntry(state, final), rules)
    if (found !== null) unfit.set(fact.factId, found)
  }
  return [...unfit.values()]
}

/** The unfit use, if it is one, of a use whose days all came after everything else that is known. */
export function unfitUse(fact: UseFact, before: StickState, rules: Rules): UnfitUse | null {
  for (const moment of momentsOf(fact)) {
    const found = unfitAt(moment, before, rules)
    if (found !== null) return found
  }
  return null
}

/** Nobody knew of a recall that was recorded later: the use was of a stick that was fit by all that bound then. */
function unfitAt({ fact: { factId, use }, day, instant }: Moment, state: StickState, rules: Rules): UnfitUse | null {
  const recalls = rules.recalls.filter(({ at }) => at <= instant)
  const { status } = standingOn(state, day, { ...rules, recalls })
  return mayBeUsed(status) ? null : { factId, usedOn: use.occurredOn, unfitOn: day, status }
}
