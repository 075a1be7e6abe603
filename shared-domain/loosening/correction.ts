/**
 * A correction loosens, and so waits for a second person, in these cases:
 * - a hold, a removal or an end of service ends with the slip;
 * - the slip spoke against the stick, and nothing as bad stands in its place;
 * - a test would be judged more mildly, or an earlier failure would count less;
 * - with none of these, the stick would read fitter or be due later.
 * A fact in place of the slip needs no more people than recording it would: a hold that it clears as a test of its day
 * is no way. Nothing that stands beside the slip hides what ends.
 */
import type { Judgement } from '../bench-test/judge.ts'
import type { CalendarDate } from '../calendar.ts'
import { type RecordedFact, speaks } from '../facts.ts'
import { slipNames } from '../slip.ts'
import { type FailureStage, stageOf } from '../state/failure.ts'
import { type Hold, saidOfHold } from '../state/hold.ts'
import type { Standing } from '../state/standing.ts'
import type { StickState } from '../state/state.ts'
import { mayBeUsed } from '../state/use.ts'
import { positionOf } from '../state/when.ts'
import { isMilder } from './effect.ts'
import type { Way } from './way.ts'

export interface StateAndStanding {
  readonly state: StickState
  readonly standing: Standing
}

export interface CorrectionEffect {
  /** the stick as it stands today; then without the slip alone; then with all that is put right */
  readonly before: StateAndStanding
  readonly without: StateAndStanding
  readonly after: StateAndStanding
  /** the slip as it is judged by now */
  readonly slip: RecordedFact
  /** the fact in place of the slip, on the same stick */
  readonly instead: RecordedFact | undefined
  /** every test whose verdict the correction changes: what it was, and what it is */
  readonly verdicts: readonly { readonly was: Judgement; readonly is: Judgement }[]
}

/** The ways in which a correction loosens; none where it needs no second person. */
export function waysOfCorrection(corrected: CorrectionEffect): Way[] {
  const ways = [
    ...endsForGood(corrected),
    ...takesBack(corrected),
    ...milderVerdicts(corrected),
    ...countsLess(corrected),
    ...holdsEnded(corrected),
  ]
  return ways.length > 0 ? ways : readsFitter(corrected)
}

/** The end of a removal or of a scrapping counts, whatever else keeps the stick out of service. */
function endsForGood({ before, after }: CorrectionEffect): Way[] {
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

function takesBack({ slip, instead }: CorrectionEffect): Way[] {
  if (!isAgainst(slip) || (instead !== undefined && isAsBad(instead, slip))) return []
  return [{ code: 'takes-back', says: { is: 'takes back', what: slipNames[slip.kind], on: slip.occurredOn } }]
}

/**
 * A fact in place of the slip is as bad where it speaks against the stick too, at the same hour or later, since a fact
 * dated back may be cleared by what came after. A test must also be no milder than the test it stands for.
 */
function isAsBad(instead: RecordedFact, slip: RecordedFact): boolean {
  if (!isAgainst(instead) || positionOf(instead).instant < positionOf(slip).instant) return false
  if (instead.kind === 'tested' && slip.kind === 'tested') return !isMilder(instead.judgement, slip.judgement)
  return true
}

/** A verdict that speaks less against the stick than it did. */
function milderVerdicts({ verdicts }: CorrectionEffect): Way[] {
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

/** An earlier failure counts toward removal until a test clears it. */
function countsLess({ before, without, after, instead }: CorrectionEffect): Way[] {
  const rankOf = ({ state }: { readonly state: StickState }) => ranks[stageOf(state.failure)]
  const was = rankOf(before)
  if (rankOf(after) >= was) return []
  if (isCleared(instead) && rankOf(without) >= was) return []
  return [{ code: 'counts-less', says: { is: 'counts less' } }]
}

const isCleared = (instead: RecordedFact | undefined) => instead !== undefined && speaks(instead) === 'for'

function holdsEnded({ before, without, after, instead }: CorrectionEffect): Way[] {
  return before.standing.holds
    .filter((hold) => !has(after.standing.holds, hold))
    .filter((hold) => !(isCleared(instead) && has(without.standing.holds, hold)))
    .map((hold) => ({ code: 'ends-hold', says: { is: 'ends hold' }, hold: saidOfHold(hold) }))
}

function has(holds: readonly Hold[], hold: Hold): boolean {
  const nameOf = ({ code, detail }: Hold) =>
    [code, detail?.defect, detail?.identity, detail?.event, detail?.recall].join('|')
  return holds.some((one) => nameOf(one) === nameOf(hold))
}

/**
 * A stick can read fitter though no hold ends: a use that is taken back, for one, can move its due date. Fresh evidence
 * in place of the slip may do so, as it would if it were recorded anew.
 */
function readsFitter({ before, without, after, instead }: CorrectionEffect): Way[] {
  const [was, alone, is] = [before.standing, without.standing, after.standing]
  const asAnew = isCleared(instead)
  const isFitter = !mayBeUsed(was.status) && mayBeUsed(is.status) && !(asAnew && !mayBeUsed(alone.status))
  if (isFitter) return [{ code: 'reads-fitter', says: { is: 'reads fitter', becomes: is.status, was: was.status } }]
  const [from, to] = [dueBy(was), dueBy(asAnew ? alone : is)]
  const isLater = from !== null && dueBy(is) !== null && to !== null && to > from
  return isLater ? [{ code: 'due-later', says: { is: 'due later', to, from } }] : []
}

/** The first date on which any clock of the stick runs out, whatever holds the stick. */
function dueBy({ clocks }: Standing): CalendarDate | null {
  const dates = clocks.flatMap(({ dueOn }) => dueOn ?? [])
  return [...dates].sort()[0] ?? null
}
