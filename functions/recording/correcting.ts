/**
 * A fact that was recorded of a stick was a slip: it is withdrawn, replaced, or moved to the stick that it was about.
 * Each stick has a decision of its own, and one transaction writes both. A correction that ends a hold, or takes back
 * what spoke against a stick, waits for a second person.
 */
import { type CalendarDate, localDateAt } from '../../shared-domain/calendar.ts'
import { type Correcting, type Corrects, decideCorrection } from '../../shared-domain/correcting.ts'
import type { Correction } from '../../shared-domain/fact-bodies.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { KeptStick } from '../../shared-domain/listing.ts'
import { contentOfWay, type Way } from '../../shared-domain/loosening/way.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { type Slip, slipNames } from '../../shared-domain/slip.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { stands } from '../../shared-domain/state/policy-change.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { registrationOn } from '../../shared-domain/state/state.ts'
import { invalid, Refused, refused } from '../ground/errors.ts'
import { fieldsOf } from '../ground/fields.ts'
import { sleep } from '../ground/sleep.ts'
import { checkMayStick, checkRole } from '../questions/rights.ts'
import { rulesOn, todayAt } from '../questions/today.ts'
import { bodyHash, type Recorded, type StoredStick } from '../store/sticks.ts'
import type { Actor, Sending } from './actor.ts'
import { alreadyUsed, orWhatStands, sameTest } from './already.ts'
import { untilDecided } from './decided.ts'
import type { Approved, FactEntry } from './entry.ts'
import { likenessOf } from './fact-kinds.ts'
import { factOf } from './fact-of.ts'
import { entryInstead, judgedBySlip, saysTheSame, slipOf } from './instead.ts'
import { slipLoosenedBy } from './loosened-by.ts'
import type { Outcome } from './outcome.ts'
import { type Proposed, propose, proposedAlready } from './proposals.ts'
import { checkFactFits, checkStateFits } from './room.ts'

const mostTries = 30
const longestWaitMillis = 15

export interface CorrectedStick extends Pick<Outcome, 'stick' | 'standing' | 'today'> {}

export interface CorrectionDone {
  readonly correction: RecordedFact & { kind: 'corrected' }
  /** the fact that stands in the slip's place */
  readonly instead: RecordedFact | undefined
  /** the sticks, first the one whose fact was a slip */
  readonly sticks: readonly CorrectedStick[]
  readonly news: boolean
}

export type CorrectionResult =
  | ({ readonly outcome: 'recorded' } & CorrectionDone)
  | ({ readonly outcome: 'proposed' } & Proposed)

/** The slip, what stands instead of it, and the stick to which that belongs. */
interface Asked {
  readonly body: Correction
  readonly slip: RecordedFact
  readonly here: string
  readonly there: string
  readonly instead: FactEntry | undefined
  readonly approved?: Approved | undefined
  /** the ways in which the correction loosens, as the second person was told */
  readonly said?: readonly Way[]
}

/** Corrects a fact; the same correction sent again is answered by what stands. */
export async function correct(by: Sending<Correction>): Promise<CorrectionResult> {
  return orWhatStands(
    () => whatStands(by),
    async () => correctNow(by, await asked(by, by.body)),
  )
}

async function whatStands(by: Sending<Correction>): Promise<CorrectionResult | undefined> {
  const { factId } = by.body
  const known = await by.organisation.sticks.guard(factId)
  if (known === undefined) return undefined
  if (known.bodyHash !== bodyHash('corrected', '', by.body)) throw alreadyUsed(factId)
  if (known.stickId === undefined) return { outcome: 'proposed', ...(await proposedAlready(by, factId)) }
  return { outcome: 'recorded', ...(await asDone(by, known.stickId, known.seq ?? 0)) }
}

/** Corrects a fact as a second person approved, who was told of the ways in `said`; `also` is written with it. */
export async function correctApproved(
  by: Actor,
  body: Correction,
  { said, ...approved }: Approved & { readonly said: readonly Way[] },
): Promise<void> {
  await correctNow(by, { ...(await asked(by, body, approved)), said })
}

const hasChanged = {
  code: 'proposal-fallen',
  refuses: { is: 'refused: changed since' },
} as const

async function asked(by: Actor, body: Correction, approved?: Approved): Promise<Asked> {
  checkRole(by.caller, 'correct a fact')
  const { slip, stickId: here } = await slipOf(by.organisation, body.corrects)
  const there = body.stickId ?? here
  const instead = await entryInstead(by, { body, slip, isMoved: there !== here })
  if (instead !== undefined && [body.factId, slip.factId].includes(instead.factId))
    throw invalid({ pointer: '/replacement/factId', came: instead.factId, expected: { is: 'right: an id of its own' } })
  await checkDestination(by, instead)
  if (there === here && instead !== undefined && saysTheSame(instead, slip))
    throw invalid({ pointer: '/replacement', came: 'the same', expected: { is: 'right: something else' } })
  return { body, slip, here, there, instead, approved }
}

/** A stick goes to no crew and no depot that is not the caller's, as by its entry and its moves. */
async function checkDestination({ organisation, caller, now }: Actor, instead: FactEntry | undefined): Promise<void> {
  const body = fieldsOf(instead?.body)
  const { crewId = body.crewId, store, bench } = fieldsOf(body.to)
  const crew = typeof crewId === 'string' ? await organisation.crewNow(crewId, now) : undefined
  for (const depotId of [crew?.body.depotId, store, bench])
    if (typeof depotId === 'string') checkMayStick(caller, 'correct a fact', { crewId: null, depotId })
}

async function correctNow(by: Actor, one: Asked): Promise<CorrectionResult> {
  for (let tries = 1; tries <= mostTries; tries++) {
    const outcome = await attempt(by, one)
    if (outcome !== 'lost') return outcome
    await checkIdsAreFree(by, one)
    by.organisation.registers.readAnew()
    await sleep(Math.random() * Math.min(tries, 10) * longestWaitMillis)
  }
  throw new Refused({ kind: 'try again' })
}

async function attempt(by: Actor, one: Asked): Promise<CorrectionResult | 'lost'> {
  const { organisation, now } = by
  const { body, slip, approved, here, there } = one
  const found = await Promise.all([...new Set([here, there])].map((stickId) => stickToCorrect(by, stickId)))
  const decided = await decidedFor(by, one, found)
  const [first] = decided
  if (first === undefined) throw new Error('a correction of no stick')
  const hash = bodyHash('corrected', '', body)
  const ways = [...first.ways, ...(await waysOfEntry(by, one, first))]
  if (
    approved !== undefined &&
    !ways.every((way) => one.said?.some((said) => contentOfWay(said) === contentOfWay(way)))
  )
    throw refused(hasChanged)
  if (ways.length > 0 && approved === undefined) return proposedFor(by, one, { ...first, ways })
  const written = decided.map(
    (each): Recorded => ({
      ...each.accepted,
      before: each.stick.before,
      rules: each.stick.rules,
      notices: each.accepted.owed,
      facts: each.accepted.facts.map((fact) => newFact(fact, one, hash)),
    }),
  )
  const also = [
    ...organisation.sticks.struckWrites(here, {
      slip,
      likeness: slip.kind === 'tested' ? likenessOf(slip.test) : undefined,
      correctedBy: body.factId,
    }),
    ...(approved?.also ?? []),
  ]
  if ((await organisation.sticks.recordTogether(written, { now, also })) === 'lost') return 'lost'
  const facts = decided.flatMap(({ accepted }) => accepted.facts)
  return { outcome: 'recorded', ...doneWith(facts, decided.map(asShown)), news: true }
}

/** An entry of the stick is weighed besides as any edit of one is, on each day that either bears on. */
async function waysOfEntry(by: Actor, { slip, here: stickId }: Asked, { stick, accepted }: Decided) {
  if (slip.kind !== 'registered') return []
  const instead = accepted.facts.find((fact) => fact.kind === 'registered')
  const days = [slip.occurredOn, instead?.occurredOn ?? slip.occurredOn, stick.today]
  const read = days.flatMap((day) => {
    const [was, is] = [stick.before.state, accepted.next.state].map((state) => registrationOn(state, day)?.stick)
    return was === undefined || is === undefined ? [] : [{ day, was, is }]
  })
  const itself = instead === undefined ? [] : [{ day: instead.occurredOn, was: slip.stick, is: instead.stick }]
  return slipLoosenedBy(by, {
    stickId,
    pairs: [...itself, ...read].map(({ day: effectiveFrom, was, is }) => ({
      before: { effectiveFrom, body: was },
      after: { effectiveFrom, body: is },
    })),
  })
}

interface Decided {
  readonly stick: StickToCorrect
  readonly accepted: Corrects
  readonly ways: readonly Way[]
}

const asShown = ({ stick: { today }, accepted: { next, standing } }: Decided): CorrectedStick => ({
  stick: next,
  standing,
  today,
})

function doneWith(facts: readonly RecordedFact[], sticks: readonly CorrectedStick[]) {
  const correction = facts.find((fact) => fact.kind === 'corrected')
  if (correction === undefined) throw new Error('a correction without its fact')
  return { correction, instead: facts.find(({ factId }) => factId === correction.instead?.factId), sticks }
}

function newFact(fact: RecordedFact, { body, instead, there, approved }: Asked, hash: string) {
  if (fact.factId === body.factId) return { fact, bodyHash: hash, hasWaited: approved !== undefined }
  if (instead === undefined || fact.factId !== instead.factId) return { fact, bodyHash: hash }
  return { fact, bodyHash: bodyHash(instead.kind, there, instead.body), likeness: instead.likeness }
}

interface StickToCorrect {
  readonly before: StoredStick
  readonly history: readonly RecordedFact[]
  readonly today: CalendarDate
  readonly zone: string
  readonly rules: Rules
}

async function stickToCorrect(by: Actor, stickId: string): Promise<StickToCorrect> {
  const { organisation, caller } = by
  const [before, history] = await Promise.all([organisation.sticks.stored(stickId), organisation.sticks.facts(stickId)])
  if (before === undefined)
    throw invalid({ pointer: '/stickId', came: stickId, expected: { is: 'right: stick on the register' } })
  checkMayStick(caller, 'correct a fact', { crewId: before.state.crewId, depotId: before.depotId })
  const { zone, today } = await todayAt(by, before.depotId)
  // a state that an earlier build folded is folded anew before anything is compared with it
  const state = before.shape === shapeOfState ? before.state : replay(history, before.stickId)
  return { before: { ...before, state }, history, zone, today, rules: await rulesOn(organisation, today) }
}

/** Decisions for the sticks, first for the one whose fact was a slip. */
async function decidedFor(by: Actor, one: Asked, [here, there]: readonly StickToCorrect[]): Promise<Decided[]> {
  if (here === undefined) return []
  const { body, slip } = one
  const told: Slip = {
    what: slipNames[slip.kind],
    on: slip.occurredOn,
    reason: body.reason,
    by: await nameOf(by, one.approved?.proposer ?? by.caller.personId),
  }
  const correction = correctionOf(by, one, here)
  const history = [...here.history, correction]
  const without = { ...here.before, state: replay(history, one.here), recorded: correction.seq }
  const insteadHere = there === undefined ? await insteadOn(by, one, { ...here, kept: without }) : undefined
  const known = [...history, ...(insteadHere === undefined ? [] : [insteadHere])]
  const judged = await judgedBySlip(by, {
    stickId: one.here,
    slip,
    correction,
    facts: known,
    firstSeq: (insteadHere ?? correction).seq + 1,
  })
  const first = await decideOn(by, here, {
    correction,
    ...(insteadHere === undefined ? {} : { instead: insteadHere }),
    judged,
    told: there === undefined ? told : { ...told, to: one.there },
  })
  if (there === undefined) return [first]
  const instead = await insteadOn(by, one, { ...there, kept: there.before })
  if (instead === undefined) throw new Error('a move of nothing')
  return [first, await decideOn(by, there, { instead, judged: [], told: { ...told, from: one.here } })]
}

function correctionOf({ now, caller }: Actor, one: Asked, here: StickToCorrect): RecordedFact & { kind: 'corrected' } {
  const { body, slip, instead, there, approved } = one
  return {
    kind: 'corrected',
    factId: body.factId,
    seq: here.before.recorded + 1,
    occurredOn: here.today,
    within: { earliest: now, latest: now },
    clock: here.zone,
    recordedAt: now,
    recordedBy: approved?.proposer ?? caller.personId,
    ...(approved === undefined ? {} : { approvedBy: caller.personId }),
    corrects: slip.factId,
    reason: body.reason,
    instead: instead === undefined ? null : { factId: instead.factId, stickId: there },
  }
}

async function insteadOn(
  by: Actor,
  { instead, approved }: Asked,
  { kept, today, zone, rules }: StickToCorrect & { readonly kept: KeptStick },
): Promise<RecordedFact | undefined> {
  if (instead === undefined) return undefined
  const entry = approved === undefined ? instead : { ...instead, approved }
  const { fact } = await inReplacement(() =>
    factOf(by, entry, { kept, today, zone, rules, isOutgrown: false, maySee: true }),
  )
  checkFactFits(fact)
  return fact
}

async function decideOn(by: Actor, stick: StickToCorrect, correcting: Correcting): Promise<Decided> {
  const { before, history, today: day, rules } = stick
  const fact = correcting.correction ?? correcting.instead
  if (fact === undefined) throw new Error('a correction of nothing')
  const rulesThen = await rulesOn(by.organisation, (correcting.instead ?? fact).occurredOn)
  const accepted = await inReplacement(() =>
    untilDecided<Corrects>(by, { before, fact, earlier: [] }, (found) =>
      decideCorrection(before, correcting, { ...found, history, day, rules, rulesThen, now: by.now }),
    ),
  )
  checkStateFits(before.state, accepted.next.state, correcting.instead ?? fact)
  return { stick, accepted, ways: accepted.ways }
}

/** Faults of what stands instead are named from the top of the correction. */
async function inReplacement<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    if (!(error instanceof Refused) || error.refusal.kind !== 'invalid') throw error
    throw invalid(...error.refusal.faults.map((one) => ({ ...one, pointer: `/replacement${one.pointer}` })))
  }
}

async function proposedFor(
  by: Actor,
  { body, here }: Asked,
  { stick, accepted, ways }: Decided,
): Promise<CorrectionResult> {
  const { before, today, rules } = stick
  const hash = bodyHash('corrected', '', body)
  const proposed = await propose(by, {
    kind: 'correction',
    id: here,
    body,
    ways,
    editions: 0,
    proposalId: body.factId,
    fleet: {
      of: 'stick',
      inForce: stands(standingOn(before.state, today, rules)),
      proposed: stands(accepted.standing),
    },
    also: [by.organisation.sticks.waitingWrite(body.factId, hash)],
  })
  return { outcome: 'proposed', ...proposed }
}

async function asDone(by: Actor, stickId: string, seq: number): Promise<CorrectionDone> {
  const { organisation } = by
  const correction = await organisation.sticks.fact(stickId, seq)
  if (correction?.kind !== 'corrected') throw alreadyUsed(correction?.factId ?? '')
  const { instead } = correction
  const ids = [...new Set([stickId, ...(instead === null ? [] : [instead.stickId])])]
  const sticks = await Promise.all(ids.map((id) => stickToCorrect(by, id)))
  const facts = sticks.flatMap(({ history }) => history)
  return {
    correction,
    instead: facts.find(({ factId }) => factId === instead?.factId),
    sticks: sticks.map(({ before: stick, today, rules }) => ({
      stick,
      today,
      standing: standingOn(stick.state, today, rules),
    })),
    news: false,
  }
}

/**
 * Refuses where a race was lost not to somebody who wrote to these sticks, but since an id or the same test was there
 * before.
 */
async function checkIdsAreFree({ organisation }: Actor, { body, instead, there, approved }: Asked): Promise<void> {
  const ids = [...(approved === undefined ? [body.factId] : []), ...(instead === undefined ? [] : [instead.factId])]
  const guards = await Promise.all(ids.map((id) => organisation.sticks.guard(id)))
  const used = ids.find((_, i) => guards[i] !== undefined)
  if (used !== undefined) throw alreadyUsed(used)
  const copy = instead?.likeness === undefined ? undefined : await organisation.sticks.copyOf(there, instead.likeness)
  if (copy !== undefined) throw sameTest(copy)
}

async function nameOf({ organisation, now }: Actor, personId: string): Promise<string> {
  const day = localDateAt(now, 'UTC')
  return (await organisation.registers.inForce('person', personId, day))?.body.name ?? personId
}
