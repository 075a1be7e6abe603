/** `state = replay(facts)`: the stored state is only a cache of this. */

import type { Judgement } from '../bench-test/judge.ts'
import type { CalendarDate } from '../calendar.ts'
import type { CorrectiveStep, Move, RecordedFact } from '../facts.ts'
import type { Evidence } from '../policy/clocks.ts'
import type { Construction } from '../words.ts'
import { consequences, outcomeOf, stageOf } from './failure.ts'
import { type Hold, hasCode, holdFor } from './hold.ts'
import { type Custody, type Place, registrationOn, type StickState, unknown } from './state.ts'

/** Folds a whole history, in whatever order it is handed over. */
export function replay(facts: readonly RecordedFact[]): StickState {
  return inOrder(facts).reduce((state, { fact, place }) => evolve(state, fact, place), unknown)
}

/** Where facts belong in time: by day, by hour if given, then as recorded. */
export function inOrder(facts: readonly RecordedFact[]): { fact: RecordedFact; place: Place }[] {
  const latestAt = new Map<CalendarDate, string>()
  return [...facts]
    .sort((a, b) => a.seq - b.seq)
    .map((fact) => {
      const at = fact.at ?? latestAt.get(fact.occurredOn) ?? '00:00'
      if (at > (latestAt.get(fact.occurredOn) ?? '')) latestAt.set(fact.occurredOn, at)
      return { fact, place: { day: fact.occurredOn, at, seq: fact.seq } }
    })
    .sort((a, b) => comparePlaces(a.place, b.place))
}

/**
 * Folds a newly recorded fact onto the state, or answers null when it belongs before facts already folded in: then the
 * whole history must be replayed.
 */
export function append(state: StickState, fact: RecordedFact): StickState | null {
  const { last } = state
  const at = fact.at ?? (last?.day === fact.occurredOn ? last.at : '00:00')
  const place = { day: fact.occurredOn, at, seq: fact.seq }
  if (last !== null && comparePlaces(place, last) < 0) return null
  return evolve(state, fact, place)
}

/** The facts that lie before `fact` in time once it is folded in with them. */
export function comesBefore(facts: readonly RecordedFact[], fact: RecordedFact): RecordedFact[] {
  const ordered = inOrder([...facts, fact]).map((one) => one.fact)
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
      return hold(state, holdFor.defectReported(causeOf(fact), fact.defect.kind))
    case 'moved':
      return moved(state, fact, fact.move)
    case 'released':
      return unawaited(state)
    case 'used':
      return state
  }
}

function registered(state: StickState, fact: RecordedFact & { kind: 'registered' }): StickState {
  const { stick } = fact
  const registration = { seq: fact.seq, effectiveFrom: fact.occurredOn, stick }
  const before = registrationOn(state, fact.occurredOn)
  const named = before?.stick.crewId !== stick.crewId
  const custody = named && stick.crewId !== undefined ? { custody: { crewId: stick.crewId }, crewId: stick.crewId } : {}
  return { ...state, ...custody, registrations: [...state.registrations, registration] }
}

function tested(state: StickState, fact: RecordedFact & { kind: 'tested' }): StickState {
  const why = causeOf(fact)
  const consequence = consequences[stageOf(state.failure)][outcomeOf(fact.judgement)]
  switch (consequence) {
    case 'counts: holds cleared, clocks wound':
      return {
        ...state,
        ...(failedBefore(state) ? { toBeReleased: { ...why, testRecordedBy: fact.recordedBy } } : {}),
        failure: null,
        holds: state.missing ? state.holds.filter((one) => one.code === 'reported-missing') : [],
        evidence: wind(state.evidence, fact.occurredOn, constructionJudged(state, fact)),
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
      return {
        ...state,
        removed: {
          since: fact.occurredOn,
          factId: fact.factId,
          why: `Failed again after it had been cleaned, refinished or repaired: ${inShort(fact.judgement)}`,
        },
      }
  }
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
  return { ...state, evidence: { ...state.evidence, examination: day, 'demonstrated examination': day } }
}

function constructionJudged(state: StickState, fact: RecordedFact & { kind: 'tested' }): Construction | undefined {
  const registration = state.registrations.find((one) => one.seq === fact.pinned.stickSeq)
  return (registration ?? registrationOn(state, fact.occurredOn))?.stick.construction
}

function wind(evidence: Evidence, day: CalendarDate, construction: Construction | undefined): Evidence {
  const wound: Evidence = { ...evidence, examination: day, 'dry test': day }
  return construction === 'wood' ? wound : { ...wound, 'wet test': day }
}

function corrected(state: StickState, fact: RecordedFact, step: CorrectiveStep): StickState {
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
  return { ...state, custody: to, ...crewToTell(to) }
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

function causeOf(fact: RecordedFact): { since: CalendarDate; factId: string } {
  return { since: fact.occurredOn, factId: fact.factId }
}

function inShort(judgement: Judgement): string {
  if (judgement.byExaminationAlone) return 'examined, and not tested'
  const [first, ...more] = judgement.reasons
  if (first === undefined) return judgement.verdict
  return more.length === 0 ? first.text : `${first.text} (and ${more.length} more)`
}
