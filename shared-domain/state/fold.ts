/** `state = replay(facts)`: the stored state is only a cache of this. */

import type { Judgement } from '../bench-test/judge.ts'
import { worstFirst } from '../bench-test/worst-first.ts'
import { addDays, type CalendarDate } from '../calendar.ts'
import type { ConditionCheck, CorrectiveStep, Defect, Move, Removal, Use } from '../fact-bodies.ts'
import { isOfKnownKind, knownSince, type RecordedFact, seatOf, speaks } from '../facts.ts'
import type { Evidence } from '../policy/clocks.ts'
import type { Construction, StoppingEvent } from '../words.ts'
import {
  type Consequence,
  consequences,
  type Failure,
  type FoundFailure,
  outcomeOf,
  stageOf,
  type TestOutcome,
} from './failure.ts'
import { type Hold, hasCode, holdFor, type InShort, recordsRestoredCode, removedByDecisionCode } from './hold.ts'
import { asKnownNow } from './known-now.ts'
import { withUse } from './logged-uses.ts'
import { type PastReport, type PastTest, wasStored, withPast } from './past.ts'
import { type Custody, initial, registrationOn, type StickState, type TestProof, type Unmended } from './state.ts'
import { comparePositions, type FactInTime, inOrder, type Position, positionOf, stayedIn } from './when.ts'

/** The days kept are more than any window that a policy may look back over (730 days). */
const daysOfUseKept = 800

/**
 * Folds a whole history, in whatever order it is handed over. Facts do not name their stick: an order that calls sticks
 * back by number binds one whose number is not told.
 */
export function replay(facts: readonly RecordedFact[], stickId?: string): StickState {
  const begun = stickId === undefined ? initial : { ...initial, stickId }
  return inOrder(asKnownNow(facts)).reduce((state, { fact, place }) => evolve(state, fact, place), begun)
}

/**
 * Folds a newly recorded fact onto the state, or answers null where the whole history must be replayed:
 * - the fact belongs before facts already folded in;
 * - it is a judgement, or says that a test counts: that test lies back in time;
 * - it is a correction;
 * - it is a move to another clock, by which hours of before may be read.
 */
export function append(state: StickState, fact: RecordedFact): StickState | null {
  const { stays } = state
  const otherClock = fact.clockAfter !== undefined && stays.length > 0 && stays.at(-1)?.zone !== fact.clockAfter
  if (looksBack(fact) || fact.kind === 'corrected' || otherClock) return null
  const place = positionOf(fact)
  if (state.last !== null && comparePositions(place, state.last) < 0) return null
  return evolve(state, fact, place)
}

/** A fact about a test that lies back in time. */
const looksBack = ({ kind }: RecordedFact) => kind === 'judged again' || kind === 'test before counted'

/** The facts that lie before `fact` in time once it is folded in with them. */
export function comesBefore(facts: readonly RecordedFact[], fact: RecordedFact): RecordedFact[] {
  // without it, all else is as it was
  if (looksBack(fact)) return [...facts]
  const ordered = inOrder(asKnownNow([...facts, fact])).map((one) => one.fact)
  return ordered.slice(
    0,
    ordered.findIndex((one) => one.factId === fact.factId),
  )
}

/** The state one fact further. */
export function evolve(before: StickState, fact: RecordedFact, place: Position): StickState {
  const state: StickState = {
    ...before,
    last: place,
    facts: before.facts + 1,
    stays: stayedIn(before.stays, fact.clockAfter, place.instant),
    lastAgainst: stopsOrMends(fact) ? place.instant : before.lastAgainst,
  }
  if (!isOfKnownKind(fact)) return hold(state, holdFor.unknownFact(causeOf(fact)))
  switch (fact.kind) {
    case 'registered':
      return registered(state, fact)
    case 'tested':
      return { ...tested(state, fact, place), past: withPast(state.past, testAsPast(state, fact)) }
    case 'tested before':
      return testedBefore(state, fact, place)
    case 'corrective step':
      return corrected(state, fact, fact.step)
    case 'defect reported':
      return reported(defectReported(state, fact, fact.defect.kind), fact, fact.defect.kind)
    case 'moved':
      return moved(state, fact, fact.move)
    case 'released':
      return releasedByItsTester(state, fact) ? state : unawaited(state)
    case 'certificate received':
      return { ...state, evidence: { ...state.evidence, certificate: fact.occurredOn } }
    case 'condition checked':
      return conditionChecked(state, fact, fact.check)
    case 'used':
      return used(state, fact.use)
    case 'test before counted':
      return state
    case 'judged again':
    case 'corrected':
      return fact.undoes === undefined ? state : hold(state, holdFor.undone(causeOf(fact), fact.undoes))
    case 'removed':
      return { ...state, removed: state.removed ?? removedByDecision(causeOf(fact), fact.removal) }
    case 'records restored':
      return hold(state, holdFor.recordsRestored(causeOf(fact)))
    case 'paper looked at':
      return { ...state, holds: state.holds.filter(({ code }) => code !== recordsRestoredCode) }
    case 'label changed':
      return { ...state, label: { ...causeOf(fact), shows: fact.label.kind === 'fixed' ? fact.label.shows : null } }
  }
}

function testAsPast({ custodySpells }: StickState, fact: RecordedFact & { kind: 'tested' }): PastTest {
  const { verdict, cause } = fact.judgement
  return { on: fact.occurredOn, verdict, cause, reason: fact.test.reason, stored: wasStored(custodySpells) }
}

function reported(state: StickState, { occurredOn: on }: RecordedFact, as: PastReport['reported']): StickState {
  return { ...state, past: withPast(state.past, { on, reported: as }) }
}

/** Tells of a fact after which a pass, a cleaning, a waxing, a release or a sound look of that day needs its hour. */
export function stopsOrMends(fact: RecordedFact): boolean {
  return ['against', 'mends'].includes(speaks(fact))
}

function registered(state: StickState, fact: RecordedFact & { kind: 'registered' }): StickState {
  const { stick } = fact
  const { seq, occurredOn: effectiveFrom } = fact
  const seat = seatOf(fact)
  const registration = { seq, effectiveFrom, stick, ...(seat === seq ? {} : { seat }) }
  const before = registrationOn(state, fact.occurredOn)
  const named = before?.stick.crewId !== stick.crewId
  const crewId = named ? stick.crewId : undefined
  const custody = crewId === undefined ? {} : { ...inCustody(state, { crewId }, fact.occurredOn), crewId }
  return { ...state, ...custody, registrations: [...state.registrations, registration] }
}

function tested(before: StickState, fact: RecordedFact & { kind: 'tested' }, place: Position): StickState {
  const why = causeOf(fact)
  const unmended = stillUnmended(before.unmended, foundOpen(fact, place))
  const state = unmended === undefined ? before : { ...before, unmended }
  const maybeBeforeStep = state.lastStepBy !== null && fact.within.earliest <= state.lastStepBy
  const outcome = outcomeOf(fact.judgement, maybeBeforeStep)
  const short = inShort(fact.judgement)
  const at = { fact, place }
  switch (consequenceOf(state, outcome, fact.judgement)) {
    case 'counts: holds cleared, clocks wound':
      return passed(state, fact, place)
    case 'counts where nothing stands against it: clocks wound, no hold cleared':
      return examinedAlone(state, fact)
    case 'hold: failed':
      return hold(failed(state, at, true), holdFor.failedTest(why, short))
    case 'hold: failed, not counted':
      return hold(failed(state, at, false), holdFor.failedTest(why, short))
    case 'hold: failed before, and not for certain again':
      // the certain failure of before counts still, and another step is asked for
      return hold(failed(state, at, true), holdFor.failedTest(why, short))
    case 'hold: failed examination':
      return hold(unawaited(state), holdFor.failedExamination(why, short, unmended?.by ?? 'repair'))
    case 'hold: unproven':
      return hold(state, holdFor.unprovenTest(why, fact.judgement.verdict, short))
    case 'hold: no corrective step':
      return hold(
        fact.judgement.verdict === 'fail' ? hold(state, holdFor.failedTest(why, short)) : state,
        holdFor.noCorrectiveStep(why),
      )
    case 'hold: not mended':
      return hold(state, holdFor.notMended(why, unmended?.by ?? 'repair'))
    case 'remove for good':
      return { ...state, removed: decidedBefore(state) ?? failedAgain(why, short) }
  }
}

/** A defect that an examination found open is mended first, however well the stick reads since. */
function consequenceOf(
  state: StickState,
  outcome: TestOutcome,
  { removesOnlyAfter }: Judgement,
): Consequence | 'hold: not mended' {
  const passes = outcome === 'pass' || outcome === 'examined'
  if (passes && state.unmended?.mendedOn === null) return 'hold: not mended'
  const consequence = consequences[stageOf(state.failure)][outcome]
  const isOnlyCleaned = removesOnlyAfter !== undefined && !state.failure?.refinished
  return consequence === 'remove for good' && isOnlyCleaned ? 'hold: failed' : consequence
}

function failed(state: StickState, { fact, place }: FactInTime, counts: boolean): StickState {
  const { factId, occurredOn } = fact
  const found = foundIn(fact, place)
  return { ...unawaited(state), failure: { factId, failedOn: occurredOn, correctedOn: null, counts, found } }
}

const foundIn = (fact: RecordedFact, { instant }: Position): FoundFailure => ({
  instant,
  knownSince: knownSince(fact),
  seq: seatOf(fact),
})

/** A finding of before that is not mended yet is not forgotten over what is found now. */
function stillUnmended(before: Unmended | undefined, now: Unmended | undefined): Unmended | undefined {
  if (now === undefined || before === undefined || before.mendedOn !== null) return now ?? before
  return before.by === 'repair' ? { ...now, by: 'repair' } : now
}

function foundOpen(fact: RecordedFact & { kind: 'tested' }, place: Position): Unmended | undefined {
  const { judgement, test } = fact
  if (!judgement.reasons.some(({ code }) => code === 'open-defect' || code === 'gloss-lost')) return undefined
  const open = test.examination.defects.filter((one) => one.open)
  const dirtAlone =
    open.length > 0 && open.every(({ kind }) => kind === 'contamination') && test.examination.gloss === 'sound'
  const found = foundIn(fact, place)
  return { ...causeOf(fact), by: dirtAlone ? 'cleaning' : 'repair', mendedOn: null, found }
}

function passed(state: StickState, fact: RecordedFact & { kind: 'tested' }, { instant }: Position): StickState {
  return {
    ...waxLooked(mended(state), fact),
    ...(failedBefore(state)
      ? {
          toBeReleased: {
            ...causeOf(fact),
            testRecordedBy: fact.recordedBy,
            testedBy: fact.test.testedBy,
            ...judgedBy(fact),
            ...(fact.standsFor?.hands === undefined ? {} : { hands: fact.standsFor.hands }),
          },
        }
      : {}),
    failure: null,
    lastPass: instant,
    testedSeq: fact.pinned.stickSeq,
    proof: proofOf(fact),
    holds: state.holds.filter((one) => outlastsPass(one, state)),
    evidence: wind(state.evidence, fact, constructionJudged(state, fact)),
    custodySpells: state.custodySpells.slice(-1),
    uses: state.uses.filter(({ on }) => on >= addDays(fact.occurredOn, -daysOfUseKept)),
    events: [],
  }
}

function proofOf({ factId, occurredOn: on, test, pinned }: RecordedFact & { kind: 'tested' }): TestProof {
  const { measured } = pinned
  return { factId, on, instrumentId: test.instrumentId, ...(measured === undefined ? {} : { measured }) }
}

/**
 * A pass says nothing of where a missing stick is. Nor does it say that a stick whose records are lost was not removed
 * for good in between: nothing but the paper does. And nobody knows whether it says anything of what this build cannot
 * read.
 */
function outlastsPass({ code }: Hold, { missing }: StickState): boolean {
  return (missing && code === 'reported-missing') || code === recordsRestoredCode || code === 'unknown-fact'
}

/**
 * 29 CFR 1910.269(j)(2)(iii)(B): a sound tool is cleaned and waxed. Wax from before the test is on the stick where
 * nothing took it off since. The test's own cleaning takes it off, unless the waxing is of the day of the test.
 */
function waxLooked({ unwaxed: _, ...state }: StickState, fact: RecordedFact & { kind: 'tested' }): StickState {
  const { waxed, cleaned } = fact.test
  const { waxedOn } = state
  const isWaxed = waxed || (waxedOn !== null && (!cleaned || waxedOn === fact.occurredOn))
  if (isWaxed) return waxed ? { ...state, waxedOn: fact.occurredOn } : state
  return { ...state, waxedOn: null, unwaxed: { ...causeOf(fact), waxedBefore: waxedOn !== null } }
}

function mended({ unmended: _, ...state }: StickState): StickState {
  return state
}

function judgedBy({ judgedAgain }: RecordedFact & { kind: 'tested' }): { testJudgedBy?: string } {
  return judgedAgain === undefined ? {} : { testJudgedBy: judgedAgain.recordedBy }
}

function failedBefore({ failure, holds }: StickState): boolean {
  return failure !== null || hasCode(holds, 'open-defect')
}

/**
 * A release by the tester is refused when it comes in. But the test may turn out to be somebody else's than was
 * written, where that was a slip.
 */
function releasedByItsTester({ toBeReleased }: StickState, { recordedBy }: RecordedFact): boolean {
  if (toBeReleased?.hands === undefined) return false
  const { testRecordedBy, testedBy, testJudgedBy, hands } = toBeReleased
  const ids = [
    testRecordedBy,
    testJudgedBy,
    ...[testedBy, ...hands].map((one) => (typeof one === 'object' ? one.personId : undefined)),
  ]
  return ids.includes(recordedBy)
}

function unawaited({ toBeReleased: _, ...state }: StickState): StickState {
  return state
}

/**
 * An examination alone winds nothing for a stick that was never tested or has something against it: that stick is
 * tested.
 */
function examinedAlone(state: StickState, fact: RecordedFact & { kind: 'tested' }): StickState {
  if (state.holds.length > 0 || state.lastPass === null) {
    return hold(state, holdFor.unprovenTest(causeOf(fact), fact.judgement.verdict, inShort(fact.judgement)))
  }
  const day = fact.occurredOn
  const evidence = { ...state.evidence, examination: day, 'condition check': day, 'demonstrated examination': day }
  return { ...waxLooked(state, fact), evidence }
}

/**
 * A test from before has no readings: it clears no hold, says nothing of wax, and is no proof by which a stick leaves a
 * recall. One that failed holds the stick, and counts toward no removal. One that passed winds the clocks where two
 * people say so, nothing stood against the stick then, and no test of the service was before it.
 */
function testedBefore(before: StickState, fact: RecordedFact & { kind: 'tested before' }, place: Position): StickState {
  const { occurredOn: on, factId, counted } = fact
  const { passed } = fact.before
  const known = { on, factId, passed, countsFrom: before.testedBefore?.countsFrom ?? null }
  const state = { ...before, testedBefore: known }
  if (!passed) {
    // a certain failure, and what was done about it since, is not forgotten over what nobody can weigh
    const weighed = state.failure?.counts ? state : failed(state, { fact, place }, false)
    return hold(weighed, holdFor.failedBefore(causeOf(fact)))
  }
  const isClear = state.holds.length === 0 && state.failure === null && state.unmended === undefined
  if (counted === undefined || !isClear || state.lastPass !== null) return state
  const looked = { examination: on, 'condition check': on, 'dry test': on, 'wet test': on }
  return {
    ...state,
    testedBefore: { ...known, countsFrom: on },
    custodySpells: state.custodySpells.slice(-1),
    evidence: { ...state.evidence, ...looked },
  }
}

function constructionJudged(state: StickState, fact: RecordedFact & { kind: 'tested' }): Construction | undefined {
  const registration = state.registrations.find((one) => one.seq === fact.pinned.stickSeq)
  return (registration ?? registrationOn(state, fact.occurredOn))?.stick.construction
}

function wind(
  evidence: Evidence,
  { judgement, occurredOn: day }: RecordedFact & { kind: 'tested' },
  construction: Construction | undefined,
): Evidence {
  return {
    ...evidence,
    examination: day,
    'condition check': day,
    'dry test': day,
    ...(construction === 'wood' ? {} : { 'wet test': day }),
    ...(judgement.asNew ? { 'acceptance test': day } : {}),
  }
}

/**
 * A stick that is used does not rest, wherever it is recorded to lie: it is in use too from then on, until a new move.
 */
function used(state: StickState, { occurredOn: on, days, conditions }: Use): StickState {
  // a long use ends after a short one that began later
  const uses = withUse(state.uses, { on, days, conditions })
  if (state.custodySpells.at(-1)?.kind !== 'store') return { ...state, uses }
  return { ...state, uses, custodySpells: [...state.custodySpells, { since: on, kind: 'used from store' }] }
}

function defectReported(state: StickState, fact: RecordedFact, kind: Defect['kind']): StickState {
  const why = causeOf(fact)
  const suspected = happenedTo(state, 'suspicion', why)
  const after = kind === 'flashover' || kind === 'drop' ? happenedTo(suspected, 'incident', why) : suspected
  return hold(
    after,
    holdFor.defectReported(why, kind, { ...(fact.at === undefined ? {} : { at: fact.at }), by: fact.recordedBy }),
  )
}

function conditionChecked(state: StickState, fact: RecordedFact, { sound }: ConditionCheck): StickState {
  if (!sound) return reported(defectReported(state, fact, 'other'), fact, 'unsound')
  return { ...state, evidence: { ...state.evidence, 'condition check': fact.occurredOn } }
}

/** The first event of its kind stands, since it has kept the stick out of service for longest. */
function happenedTo(state: StickState, event: StoppingEvent, why: Cause): StickState {
  if (state.events.some((one) => one.event === event)) return state
  return { ...state, events: [...state.events, { event, ...why }] }
}

function inCustody(state: StickState, to: Custody, since: CalendarDate): Pick<StickState, 'custody' | 'custodySpells'> {
  const kind = 'crewId' in to ? 'crew' : 'store' in to ? 'store' : 'bench' in to ? 'bench' : 'lent'
  return { custody: to, custodySpells: [...state.custodySpells, { since, kind }] }
}

function corrected(before: StickState, fact: RecordedFact, { kind }: CorrectiveStep): StickState {
  const state = happenedTo(before, kind, causeOf(fact))
  if (kind === 'waxed') return waxed(state, fact.occurredOn)
  const failure = state.failure === null ? null : correctedBy(state.failure, fact, kind)
  const lastStepBy =
    state.lastStepBy !== null && state.lastStepBy > fact.within.latest ? state.lastStepBy : fact.within.latest
  const after = { ...mendedBy(state, kind, fact), failure, lastStepBy, waxedOn: null }
  const stepped =
    failure?.correctedOn === null
      ? after
      : { ...after, holds: after.holds.filter(({ code }) => code !== 'no-corrective-step') }
  return kind === 'cleaned' ? stepped : hold(stepped, holdFor.testAfterRepair(causeOf(fact), kind))
}

function correctedBy(failure: Failure, fact: RecordedFact, kind: 'cleaned' | 'refinished' | 'repaired'): Failure {
  if (!cameAfter(fact, failure.found)) return failure
  const correctedOn = failure.correctedOn ?? fact.occurredOn
  return { ...failure, correctedOn, refinished: failure.refinished || kind !== 'cleaned' }
}

function waxed({ unwaxed: _, ...state }: StickState, on: CalendarDate): StickState {
  return { ...state, waxedOn: on }
}

/**
 * A step must be proved later than what it mends. Without its hour it stands at its recording: a finding recorded
 * before the step had been made by then, and of a finding typed in after the step nobody knows.
 */
function cameAfter(fact: RecordedFact, found: FoundFailure): boolean {
  return fact.within.earliest > found.instant || (fact.at === undefined && wasToldAfter(fact, found))
}

function wasToldAfter(fact: RecordedFact, found: FoundFailure): boolean {
  const since = knownSince(fact)
  return since === found.knownSince ? seatOf(fact) > found.seq : since > found.knownSince
}

function mendedBy(state: StickState, kind: 'cleaned' | 'refinished' | 'repaired', fact: RecordedFact): StickState {
  const { unmended } = state
  if (unmended === undefined || (kind === 'cleaned' && unmended.by !== 'cleaning')) return state
  if (!cameAfter(fact, unmended.found)) return state
  return {
    ...state,
    unmended: { ...unmended, mendedOn: fact.occurredOn },
    holds: state.holds.filter(({ code }) => code !== 'not-mended'),
  }
}

function moved(state: StickState, fact: RecordedFact, { to }: Move): StickState {
  const why = causeOf(fact)
  if (to === 'scrapped') return { ...state, scrapped: state.scrapped ?? why }
  if (to === 'missing') return hold({ ...state, missing: true }, holdFor.reportedMissing(why))
  if (to === 'found') return found(state, why)
  return { ...state, ...inCustody(state, to, fact.occurredOn), ...crewToTell(to) }
}

function found(state: StickState, why: { since: CalendarDate; factId: string }): StickState {
  const holds = state.holds.filter((one) => one.code !== 'reported-missing')
  // the stick was found though nobody had missed it: so nobody knows where it was
  return hold({ ...state, missing: false, holds }, holdFor.found(why, state.missing))
}

function crewToTell(to: Custody): { crewId?: string | null } {
  if ('crewId' in to) return { crewId: to.crewId }
  return 'store' in to ? { crewId: null } : {}
}

/**
 * A code has one hold, and a kind of report from use has one. The oldest cause stands, told by the worst there is of
 * it.
 */
function hold(state: StickState, added: Hold): StickState {
  const known = state.holds.find(({ code, detail }) => code === added.code && detail?.defect === added.detail?.defect)
  if (known === undefined) return { ...state, holds: [...state.holds, added] }
  const merged = mergedHold(known, added)
  return merged === known ? state : { ...state, holds: state.holds.map((one) => (one === known ? merged : one)) }
}

function mergedHold(known: Hold, added: Hold): Hold {
  if (added.code === 'defect-reported') return holdFor.reportedAgain(known, added)
  if (!isWorseThan(known, added)) return known
  const { since, factId } = known
  return { ...added, since, factId }
}

/** A higher reading is worse, and so is a finding that only a repair mends where cleaning was enough before. */
function isWorseThan({ code, detail: was }: Hold, { detail: is }: Hold): boolean {
  if (code === 'open-defect') return was?.by === 'cleaning' && is?.by === 'repair'
  return (
    code === 'failed-test' &&
    (is?.reason?.leakageMicroamps ?? 0) > (was?.reason?.leakageMicroamps ?? Number.POSITIVE_INFINITY)
  )
}

type Cause = { readonly since: CalendarDate; readonly factId: string }

function causeOf(fact: RecordedFact): Cause {
  return { since: fact.occurredOn, factId: fact.factId }
}

function failedAgain(cause: Cause, detail: InShort): NonNullable<StickState['removed']> {
  return { ...cause, detail }
}

function removedByDecision(cause: Cause, { reason }: Removal): NonNullable<StickState['removed']> {
  return { ...cause, detail: { reason: { code: removedByDecisionCode, text: reason }, more: 0 } }
}

function decidedBefore({ removed }: StickState): StickState['removed'] {
  return removed?.detail?.reason?.code === removedByDecisionCode ? removed : null
}

/** People remember one place of many over the limit: the worst leads, not the first along the stick. */
function inShort(judgement: Judgement): InShort {
  const { verdict, reasons, byExaminationAlone } = judgement
  const told = byExaminationAlone && reasons.length === 0 ? [examinedOnly] : worstFirst(judgement)
  const [reason = { code: verdict, says: { is: 'verdict' as const, verdict } }, ...others] = told
  return { reason, more: others.length }
}

const examinedOnly = { code: 'examined-only', says: { is: 'examined only' as const } }
