/** `state = replay(facts)`: the stored state is only a cache of this. */

import type { Judgement } from '../bench-test/judge.ts'
import { addDays, type CalendarDate } from '../calendar.ts'
import type { ConditionCheck, CorrectiveStep, Defect, Move, RecordedFact, Use } from '../facts.ts'
import type { Evidence } from '../policy/clocks.ts'
import type { StoppingEvent } from '../policy/requirement.ts'
import type { Construction } from '../words.ts'
import { consequences, outcomeOf, stageOf } from './failure.ts'
import { type Hold, hasCode, holdFor, type InShort } from './hold.ts'
import { asJudgedNow } from './judged-again.ts'
import { type Custody, type Place, registrationOn, type StickState, unknown } from './state.ts'

/** Longer than any window that a policy may look back over (730 days). */
const daysOfUseKept = 800

/** Folds a whole history, in whatever order it is handed over. */
export function replay(facts: readonly RecordedFact[]): StickState {
  return inOrder(asJudgedNow(facts)).reduce((state, { fact, place }) => evolve(state, fact, place), unknown)
}

/** Where facts belong in time: by day, by hour if given, then as recorded. */
export function inOrder(facts: readonly RecordedFact[]): { fact: RecordedFact; place: Place }[] {
  const latestAt = new Map<CalendarDate, string>()
  return [...facts]
    .sort((a, b) => a.seq - b.seq)
    .map((fact) => {
      const at = hourOf(fact, latestAt.get(fact.occurredOn))
      if (at > (latestAt.get(fact.occurredOn) ?? '')) latestAt.set(fact.occurredOn, at)
      return { fact, place: { day: fact.occurredOn, at, seq: fact.seq } }
    })
    .sort((a, b) => comparePlaces(a.place, b.place))
}

/**
 * As stated; otherwise that of the fact of its day recorded before. What speaks against a stick may have happened at any
 * time until it was recorded: no test of an earlier hour, typed in later, clears it.
 */
function hourOf(fact: RecordedFact, latest = '00:00'): string {
  if (fact.at !== undefined) return fact.at
  const until = speaksAgainst(fact) ? (fact.byHour ?? endOfDay) : latest
  return until > latest ? until : latest
}

const endOfDay = '24:00'

function speaksAgainst(fact: RecordedFact): boolean {
  switch (fact.kind) {
    case 'defect reported':
      return true
    case 'condition checked':
      return !fact.check.sound
    case 'tested':
      return fact.judgement.verdict !== 'pass'
    case 'moved':
      return fact.move.to === 'found' || fact.move.to === 'missing'
    case 'registered':
    case 'corrective step':
    case 'used':
    case 'released':
    case 'certificate received':
    case 'judged again':
      return false
  }
}

/**
 * Folds a newly recorded fact onto the state, or answers null when it belongs before facts already folded in: then the
 * whole history must be replayed. So it must for a judgement, which is of a test that lies back in time.
 */
export function append(state: StickState, fact: RecordedFact): StickState | null {
  if (fact.kind === 'judged again') return null
  const { last } = state
  const at = hourOf(fact, last?.day === fact.occurredOn ? last.at : undefined)
  const place = { day: fact.occurredOn, at, seq: fact.seq }
  if (last !== null && comparePlaces(place, last) < 0) return null
  return evolve(state, fact, place)
}

/** The facts that lie before `fact` in time once it is folded in with them. */
export function comesBefore(facts: readonly RecordedFact[], fact: RecordedFact): RecordedFact[] {
  // a judgement is of a test that lies back in time: without it, all else is as it was
  if (fact.kind === 'judged again') return [...facts]
  const ordered = inOrder(asJudgedNow([...facts, fact])).map((one) => one.fact)
  return ordered.slice(
    0,
    ordered.findIndex((one) => one.factId === fact.factId),
  )
}

function comparePlaces(a: Place, b: Place): number {
  if (a.day !== b.day) return a.day < b.day ? -1 : 1
  if (a.at !== b.at) return a.at < b.at ? -1 : 1
  return a.seq - b.seq
}

function evolve(before: StickState, fact: RecordedFact, place: Place): StickState {
  const state = { ...before, last: place, facts: before.facts + 1 }
  switch (fact.kind) {
    case 'registered':
      return registered(state, fact)
    case 'tested':
      return tested(state, fact)
    case 'corrective step':
      return corrected(state, fact, fact.step)
    case 'defect reported':
      return defectReported(state, fact, fact.defect.kind)
    case 'moved':
      return moved(state, fact, fact.move)
    case 'released':
      return unawaited(state)
    case 'certificate received':
      return { ...state, evidence: { ...state.evidence, certificate: fact.occurredOn } }
    case 'condition checked':
      return conditionChecked(state, fact, fact.check)
    case 'used':
      return used(state, fact.use)
    case 'judged again':
      return state
  }
}

function registered(state: StickState, fact: RecordedFact & { kind: 'registered' }): StickState {
  const { stick } = fact
  const registration = { seq: fact.seq, effectiveFrom: fact.occurredOn, stick }
  const before = registrationOn(state, fact.occurredOn)
  const named = before?.stick.crewId !== stick.crewId
  const crewId = named ? stick.crewId : undefined
  const custody = crewId === undefined ? {} : { ...inCustody(state, { crewId }, fact.occurredOn), crewId }
  return { ...state, ...custody, registrations: [...state.registrations, registration] }
}

function tested(state: StickState, fact: RecordedFact & { kind: 'tested' }): StickState {
  const why = causeOf(fact)
  const consequence = consequences[stageOf(state.failure)][outcomeOf(fact.judgement)]
  switch (consequence) {
    case 'counts: holds cleared, clocks wound':
      return {
        ...state,
        ...(failedBefore(state)
          ? { toBeReleased: { ...why, testRecordedBy: fact.recordedBy, ...judgedBy(fact) } }
          : {}),
        failure: null,
        testedSeq: fact.pinned.stickSeq,
        holds: state.missing ? state.holds.filter((one) => one.code === 'reported-missing') : [],
        evidence: wind(state.evidence, fact, constructionJudged(state, fact)),
        custodySpells: state.custodySpells.slice(-1),
        uses: state.uses.filter(({ on }) => on >= addDays(fact.occurredOn, -daysOfUseKept)),
        events: [],
      }
    case 'counts where nothing stands against it: clocks wound, no hold cleared':
      return examinedAlone(state, fact)
    case 'hold: failed':
      return hold(
        { ...unawaited(state), failure: { factId: fact.factId, failedOn: fact.occurredOn, correctedOn: null } },
        holdFor.failedTest(why, inShort(fact.judgement)),
      )
    case 'hold: failed examination':
      return hold(unawaited(state), holdFor.failedExamination(why, inShort(fact.judgement)))
    case 'hold: unproven':
      return hold(state, holdFor.unprovenTest(why, fact.judgement.verdict, inShort(fact.judgement)))
    case 'hold: no corrective step':
      return hold(state, holdFor.noCorrectiveStep(why))
    case 'remove for good':
      return { ...state, removed: failedAgain(why, inShort(fact.judgement)) }
  }
}

function judgedBy({ judgedAgain }: RecordedFact & { kind: 'tested' }): { testJudgedBy?: string } {
  return judgedAgain === undefined ? {} : { testJudgedBy: judgedAgain.recordedBy }
}

function failedBefore({ failure, holds }: StickState): boolean {
  return failure !== null || hasCode(holds, 'open-defect')
}

function unawaited({ toBeReleased: _, ...state }: StickState): StickState {
  return state
}

/** A stick that was never tested, or has something against it, is tested: in doubt nothing is wound. */
function examinedAlone(state: StickState, fact: RecordedFact & { kind: 'tested' }): StickState {
  if (state.holds.length > 0 || state.evidence['dry test'] === undefined) {
    return hold(state, holdFor.unprovenTest(causeOf(fact), fact.judgement.verdict, inShort(fact.judgement)))
  }
  const day = fact.occurredOn
  const evidence = { ...state.evidence, examination: day, 'condition check': day, 'demonstrated examination': day }
  return { ...state, evidence }
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

/** What is used does not rest, wherever it is recorded to lie: in use too from then on, until a new move. */
function used(state: StickState, { occurredOn: on, days, conditions }: Use): StickState {
  const uses = [...state.uses, { on, days, conditions }]
  if (state.custodySpells.at(-1)?.kind !== 'store') return { ...state, uses }
  return { ...state, uses, custodySpells: [...state.custodySpells, { since: on, kind: 'used from store' }] }
}

function defectReported(state: StickState, fact: RecordedFact, kind: Defect['kind']): StickState {
  const why = causeOf(fact)
  const suspected = happenedTo(state, 'suspicion', why)
  const after = kind === 'flashover' || kind === 'drop' ? happenedTo(suspected, 'incident', why) : suspected
  return hold(after, holdFor.defectReported(why, kind))
}

function conditionChecked(state: StickState, fact: RecordedFact, { sound }: ConditionCheck): StickState {
  if (!sound) return defectReported(state, fact, 'other')
  return { ...state, evidence: { ...state.evidence, 'condition check': fact.occurredOn } }
}

/** The first of its kind stands, since it is what the stick has been out of service for longest. */
function happenedTo(state: StickState, event: StoppingEvent, why: Cause): StickState {
  if (state.events.some((one) => one.event === event)) return state
  return { ...state, events: [...state.events, { event, ...why }] }
}

function inCustody(state: StickState, to: Custody, since: CalendarDate): Pick<StickState, 'custody' | 'custodySpells'> {
  const kind = 'crewId' in to ? 'crew' : 'store' in to ? 'store' : 'bench' in to ? 'bench' : 'lent'
  return { custody: to, custodySpells: [...state.custodySpells, { since, kind }] }
}

function corrected(before: StickState, fact: RecordedFact, step: CorrectiveStep): StickState {
  const state = happenedTo(before, step.kind, causeOf(fact))
  const counts = step.kind !== 'waxed'
  const failure =
    counts && state.failure?.correctedOn === null ? { ...state.failure, correctedOn: fact.occurredOn } : state.failure
  const holds = counts ? state.holds.filter((one) => one.code !== 'no-corrective-step') : state.holds
  const after = { ...state, failure, holds }
  if (step.kind !== 'refinished' && step.kind !== 'repaired') return after
  return hold(after, holdFor.testAfterRepair(causeOf(fact), step.kind))
}

function moved(state: StickState, fact: RecordedFact, { to }: Move): StickState {
  const why = causeOf(fact)
  if (to === 'scrapped') return { ...state, scrapped: state.scrapped ?? why }
  if (to === 'missing') return hold({ ...state, missing: true }, holdFor.reportedMissing(why))
  if (to === 'found') return found(state, why)
  return { ...state, ...inCustody(state, to, fact.occurredOn), ...crewToTell(to) }
}

function found(state: StickState, why: { since: CalendarDate; factId: string }): StickState {
  if (!state.missing) return state
  const holds = state.holds.filter((one) => one.code !== 'reported-missing')
  return hold({ ...state, missing: false, holds }, holdFor.foundAgain(why))
}

function crewToTell(to: Custody): { crewId?: string | null } {
  if ('crewId' in to) return { crewId: to.crewId }
  return 'store' in to ? { crewId: null } : {}
}

/** One hold a code: the oldest cause stands, save that a report from use adds its own. */
function hold(state: StickState, added: Hold): StickState {
  if (added.code !== 'defect-reported' && hasCode(state.holds, added.code)) return state
  return { ...state, holds: [...state.holds, added] }
}

type Cause = { readonly since: CalendarDate; readonly factId: string }

function causeOf(fact: RecordedFact): Cause {
  return { since: fact.occurredOn, factId: fact.factId }
}

function failedAgain(cause: Cause, { text, detail }: InShort): NonNullable<StickState['removed']> {
  return { ...cause, why: `Failed again after it had been cleaned, refinished or repaired: ${text}`, detail }
}

function inShort({ verdict, reasons, byExaminationAlone }: Judgement): InShort {
  const [first = { code: verdict, text: verdict }, ...others] =
    byExaminationAlone && reasons.length === 0 ? [examinedOnly] : reasons
  const more = others.length
  return { text: more === 0 ? first.text : `${first.text} (and ${more} more)`, detail: { reason: first, more } }
}

const examinedOnly = { code: 'examined-only', text: 'examined, and not tested' }
