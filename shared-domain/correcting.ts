/**
 * A slip put right: what was recorded of a stick and was wrong, what stands in its place, and what follows. All of it
 * is decided as one, so that nobody is told of what only stood between.
 */
import { localDateAt } from './calendar.ts'
import { type Accepted, accept, incomplete, type Known, type NotYet, readStanding } from './decide.ts'
import { knownSince, type RecordedFact, type Undone } from './facts.ts'
import type { KeptStick } from './listing.ts'
import { waysOfCorrection } from './loosening/correction.ts'
import type { Way } from './loosening/way.ts'
import type { Slip } from './slip.ts'
import { comesBefore, replay } from './state/fold.ts'
import { hourAskedFor } from './state/hour-asked.ts'
import { asKnownNow, type CorrectedFact } from './state/known-now.ts'
import { refusals } from './state/refusal.ts'
import { readByFirstEntry, type StickState } from './state/state.ts'
import { unfitUses } from './state/unfit-use.ts'

export type JudgedAgainFact = RecordedFact & { kind: 'judged again' }

/** The facts that are recorded together of one stick, and the slip that its people are told of. */
export interface Correcting {
  /** the correction, on the stick whose fact was a slip */
  readonly correction?: CorrectedFact
  /** the fact in place of the slip, where that is this stick's */
  readonly instead?: RecordedFact
  /** tests that were judged by the slip */
  readonly judged: readonly JudgedAgainFact[]
  readonly told: Slip
}

export type CorrectionDecision = NotYet | ({ readonly outcome: 'accepted' } & Corrects)

export interface Corrects extends Accepted {
  /** the facts as they are to be kept */
  readonly facts: readonly RecordedFact[]
  /** the ways in which the correction loosens; none where one person is enough */
  readonly ways: readonly Way[]
}

export function decideCorrection(before: KeptStick, one: Correcting, known: Known): CorrectionDecision {
  const { history, day, rules } = known
  if (history === undefined) return incomplete({ missing: 'history' })
  const { correction, instead, judged, told } = one
  const slip =
    correction === undefined ? undefined : asKnownNow(history).find((fact) => fact.factId === correction.corrects)
  if (correction !== undefined && slip === undefined) return { outcome: 'refused', reasons: [noLongerStands] }
  const { stickId } = before
  const against =
    instead === undefined ? null : againstInstead(instead, { ...one, slip, stickId }, { ...known, history })
  if (against !== null) return against
  const later = [...(instead === undefined ? [] : [instead]), ...judged]
  const stateBefore = before.state
  const folded = replay([...history, ...(correction === undefined ? [] : [correction]), ...later], stickId)
  const undoes = undone(stateBefore, folded)
  const [head, ...others] = [...(correction === undefined ? [] : [correction]), ...later]
  const facts = head === undefined ? [] : [{ ...head, ...(undoes && { undoes }) }, ...others]
  const [first] = facts
  const last = facts.at(-1)
  if (first === undefined || last === undefined) throw new RangeError('a correction of nothing')
  const after = readStanding(undoes === undefined ? folded : replay([...history, ...facts], stickId), day, rules)
  const now = readStanding(readByFirstEntry(stateBefore, after.state), day, rules)
  const decision = accept(
    {
      before,
      standingBefore: now.standing,
      fact: first,
      after,
      unfitUses: newlyUnfit(history, facts, { after: after.state, rules }),
      recorded: last.seq,
      slip: told,
    },
    known,
  )
  if (decision.outcome !== 'accepted') return decision
  if (correction === undefined || slip === undefined) return { ...decision, facts, ways: [] }
  const without = readStanding(replay([...history, correction], stickId), day, rules)
  const verdicts = verdictsBy(history, facts)
  return { ...decision, facts, ways: waysOfCorrection({ before: now, without, after, slip, instead, verdicts }) }
}

export const noLongerStands = {
  code: 'no-longer-stands',
  refuses: { is: 'refused: fact corrected' },
} as const

/** The verdicts of every test that stands before and after. */
function verdictsBy(history: readonly RecordedFact[], facts: readonly RecordedFact[]) {
  const is = new Map(asKnownNow([...history, ...facts]).map((fact) => [fact.factId, fact]))
  return asKnownNow(history).flatMap((fact) => {
    const now = is.get(fact.factId)
    return fact.kind === 'tested' && now?.kind === 'tested' ? [{ was: fact.judgement, is: now.judgement }] : []
  })
}

/** The removal or end of service that stood before and stands no more. */
export function undone(before: StickState, after: StickState): Undone | undefined {
  if (before.removed !== null && after.removed === null) return 'removal'
  return before.scrapped !== null && after.scrapped === null ? 'end of service' : undefined
}

/**
 * A fact in place of a slip is refused as it would be anew. On the same stick it had been recorded already, and is
 * judged by its own time alone.
 */
function againstInstead(
  instead: RecordedFact,
  {
    correction,
    slip,
    stickId,
  }: Pick<Correcting, 'correction'> & {
    readonly slip: RecordedFact | undefined
    readonly stickId: string
  },
  known: Known & { readonly history: readonly RecordedFact[] },
): NotYet | null {
  const { day, rules, rulesThen, registers } = known
  const history = [...known.history, ...(correction === undefined ? [] : [correction])]
  const state = replay(history, stickId)
  const justBefore = readByFirstEntry(replay(comesBefore(history, instead), stickId), state)
  const atTheTime = readStanding(justBefore, instead.occurredOn, rulesThen)
  if (instead.kind === 'released' && registers.people === undefined) return incomplete({ missing: 'people' })
  const recorder = { personId: instead.recordedBy, name: registers.reportedBy }
  const anew = {
    atTheTime,
    now: readStanding(state, day, rules),
    after: readStanding(replay([...history, instead], stickId), day, rules),
  }
  const isSameStick = slip !== undefined
  const found = isSameStick ? { atTheTime, now: atTheTime, after: atTheTime } : anew
  const reasons = refusals(found, instead, recorder)
  if (reasons.length > 0) return { outcome: 'refused', reasons }
  const toldOn = localDateAt(knownSince(instead), instead.clock)
  const expected = hourAskedFor(instead, toldOn, { state, history })
  return expected === null ? null : { outcome: 'hour asked', expected }
}

/** Uses that only the correction shows to be of a stick that was not fit. */
function newlyUnfit(
  history: readonly RecordedFact[],
  facts: readonly RecordedFact[],
  { after, rules }: { readonly after: StickState; readonly rules: Known['rules'] },
) {
  const known = new Set(unfitUses(history, after, rules).map(({ factId }) => factId))
  return unfitUses([...history, ...facts], after, rules).filter(({ factId }) => !known.has(factId))
}
