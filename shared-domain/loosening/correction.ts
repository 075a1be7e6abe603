/**
 * How a correction loosens, and so waits for a second person: where a hold, a removal or an end of service ends with the slip, where
 * what is taken back spoke against the stick, or where the stick would be due later without it. What stands instead needs no more
 * people than recording it would: what it clears as a test of its day would is no way. Nothing that stands beside it hides what ends.
 */
import type { Judgement } from '../bench-test/judge.ts'
import type { CalendarDate } from '../calendar.ts'
import { type RecordedFact, speaks } from '../facts.ts'
import { slipNames } from '../notices/slip.ts'
import { type FailureStage, stageOf } from '../state/failure.ts'
import { type Hold, saidOfHold } from '../state/hold.ts'
import type { Standing } from '../state/standing.ts'
import type { StickState } from '../state/state.ts'
import { mayBeUsed } from '../state/use.ts'
import { placeOf } from '../state/when.ts'
import { isMilder } from './effect.ts'
import type { Way } from './way.ts'

export interface Stands {
  readonly state: StickState
  readonly standing: Standing
}

export interface Corrected {
  /** how the stick stands today; without the slip alone; and with all that is put right */
  readonly before: Stands
  readonly without: Stands
  readonly after: Stands
  /** as it is judged by now */
  readonly slip: RecordedFact
  /** what stands in its place on the same stick */
  readonly instead: RecordedFact | undefined
  /** of every test whose verdict is another by it: what it was, and what it is */
  readonly verdicts: readonly { readonly was: Judgement; readonly is: Judgement }[]
}

/** None where it needs no second person. */
export function waysOfCorrection(corrected: Corrected): Way[] {
  const ways = [
    ...endsForGood(corrected),
    ...takesBack(corrected),
    ...milderVerdicts(corrected),
    ...countsLess(corrected),
    ...holdsEnded(corrected),
  ]
  return ways.length > 0 ? ways : readsFitter(corrected)
}

/** It would be kept again, whatever else keeps it out of service. */
function endsForGood({ before, after }: Corrected): Way[] {
  const { status } = after.standing
  return [
    ...(before.state.removed !== null && after.state.removed === null
      ? [{ code: 'ends-removal', says: { is: 'ends removal' as const, status } }]
      : []),
    ...(before.state.scrapped !== null && after.state.scrapped === null
      ? [{ code: 'ends-end-of-service', says: { is: 'ends end of service' as const, status } }]
      : []),
  ]
}

const isAgainst = (fact: RecordedFact) => speaks(fact) === 'against' || speaks(fact) === 'mends'

function takesBack({ slip, instead }: Corrected): Way[] {
  if (!isAgainst(slip) || (instead !== undefined && isAsBad(instead, slip))) return []
  return [{ code: 'takes-back', says: { is: 'takes back', what: slipNames[slip.kind], on: slip.occurredOn } }]
}

/** A failure that stays one, a report that stays one; of the same hour or later, since what was dated back may be cleared. */
function isAsBad(instead: RecordedFact, slip: RecordedFact): boolean {
  if (!isAgainst(instead) || placeOf(instead).instant < placeOf(slip).instant) return false
  if (instead.kind === 'tested' && slip.kind === 'tested') return !isMilder(instead.judgement, slip.judgement)
  return true
}

/** A verdict that speaks less against the stick than it did. */
function milderVerdicts({ verdicts }: Corrected): Way[] {
  const milder = verdicts.filter(({ was, is }) => isMilder(is, was)).length
  if (milder === 0) return []
  return [{ code: 'judged-milder', says: { is: 'judged milder', tests: milder } }]
}

const ranks: { readonly [stage in FailureStage]: number } = {
  none: 0,
  doubtful: 1,
  'doubtful, corrected': 1,
  failed: 2,
  corrected: 2,
}

/** What failed before counts toward removal, until a test clears it. */
function countsLess({ before, without, after, instead }: Corrected): Way[] {
  const [was, alone, is] = [before, without, after].map(({ state }) => ranks[stageOf(state.failure)])
  if (was === undefined || alone === undefined || is === undefined || is >= was) return []
  if (isCleared(instead) && alone >= was) return []
  return [{ code: 'counts-less', says: { is: 'counts less' } }]
}

const isCleared = (instead: RecordedFact | undefined) => instead !== undefined && speaks(instead) === 'for'

function holdsEnded({ before, without, after, instead }: Corrected): Way[] {
  return before.standing.holds
    .filter((hold) => !has(after.standing.holds, hold))
    .filter((hold) => !(isCleared(instead) && has(without.standing.holds, hold)))
    .map((hold) => ({ code: 'ends-hold', says: { is: 'ends hold' }, hold: saidOfHold(hold) }))
}

function has(holds: readonly Hold[], hold: Hold): boolean {
  const nameOf = ({ code, detail }: Hold) => [code, detail?.defect, detail?.identity, detail?.event].join('|')
  return holds.some((one) => nameOf(one) === nameOf(hold))
}

/** With no hold that ends: what is taken back, such as a use, can move its due date. Fresh evidence may, as anew. */
function readsFitter({ before, without, after, instead }: Corrected): Way[] {
  const [was, alone, is] = [before.standing, without.standing, after.standing]
  const asAnew = isCleared(instead)
  const isFitter = !mayBeUsed(was.status) && mayBeUsed(is.status) && !(asAnew && !mayBeUsed(alone.status))
  if (isFitter) return [{ code: 'reads-fitter', says: { is: 'reads fitter', becomes: is.status, was: was.status } }]
  const [from, to] = [dueBy(was), dueBy(asAnew ? alone : is)]
  const isLater = from !== null && dueBy(is) !== null && to !== null && to > from
  return isLater ? [{ code: 'due-later', says: { is: 'due later', to, from } }] : []
}

/** The first date on which any of its clocks runs out, whatever holds it. */
function dueBy({ clocks }: Standing): CalendarDate | null {
  const dates = clocks.flatMap(({ dueOn }) => dueOn ?? [])
  return [...dates].sort()[0] ?? null
}
