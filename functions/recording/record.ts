/** How a fact about a stick enters: guard, today's date at its depot, the rules, one transaction; a lost race begins again. */
import { addDays, type CalendarDate, daysBetween, endOfDay, isCalendarDate } from '../../shared-domain/calendar.ts'
import type { Happening, RecordedFact } from '../../shared-domain/facts.ts'
import { revisionOf } from '../../shared-domain/notices/calendar-entry.ts'
import { earlierThanShown, stillForward } from '../../shared-domain/notices/ladder.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { type Change, kindsOwed, owedAtOnce } from '../../shared-domain/notices/owed.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import { type Crew, registerId } from '../../shared-domain/registers.ts'
import { may } from '../../shared-domain/rights.ts'
import { append, comesBefore, replay } from '../../shared-domain/state/fold.ts'
import { hourAskedFor } from '../../shared-domain/state/hour-asked.ts'
import { refusals } from '../../shared-domain/state/refusal.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import { readByFirstEntry, registrationOn, type StickState, unknown } from '../../shared-domain/state/state.ts'
import { type UnfitUse, unfitUse, unfitUses } from '../../shared-domain/state/unfit-use.ts'
import { placeOf, staysThrough } from '../../shared-domain/state/when.ts'
import { depotOf } from '../../shared-domain/state/whereabouts.ts'
import { invalid, notFound, Refused, refused } from '../ground/errors.ts'
import { notYours } from '../questions/rights.ts'
import { rulesOn, todayAt } from '../questions/today.ts'
import type { Organisation } from '../store/organisation.ts'
import { bodyHash, type Guard, type StoredStick, shapeOfState } from '../store/sticks.ts'
import type { Actor } from './actor.ts'
import type { Entry, Remark } from './entry.ts'
import { standsAtRecording, timeOf, withFaults } from './hours.ts'
import { checkStateFits } from './room.ts'

export interface Outcome {
  readonly fact: RecordedFact
  readonly stick: { stickId: string; state: StickState; depotId: string | null }
  readonly standing: Standing
  readonly today: CalendarDate
  readonly news: boolean
  /** whether the caller may see how the stick stands */
  readonly maySee: boolean
  readonly remarks: readonly Remark[]
}

/** Twenty who write about one stick at one moment are all heard; each waits by chance, so that they do not meet again. */
const mostTries = 30
const longestWaitMillis = 15

const sleep = (millis: number) => new Promise((done) => setTimeout(done, millis))

export async function record(by: Actor, stickId: string, entry: Entry): Promise<Outcome> {
  for (let tries = 1; tries <= mostTries; tries++) {
    const outcome = await attempt(by, stickId, entry)
    if (outcome !== 'lost') return outcome
    by.organisation.registers.readAnew()
    await sleep(Math.random() * Math.min(tries, 10) * longestWaitMillis)
  }
  throw new Refused({ kind: 'try again' })
}

async function attempt(by: Actor, stickId: string, entry: Entry): Promise<Outcome | 'lost'> {
  const { organisation, now } = by
  const hash = entry.waited?.bodyHash ?? bodyHash(entry.kind, stickId, entry.body)
  // a report owes notices nearly always: whom they may go to is read together with the stick
  if (entry.danger) organisation.registers.heads('person').catch(() => undefined)
  const [known, guard, copyOf] = await Promise.all([
    knownStick(by, stickId, entry),
    entry.waited === undefined ? organisation.sticks.guard(entry.factId) : undefined,
    entry.likeness === undefined ? undefined : organisation.sticks.copyOf(stickId, entry.likeness),
  ])
  const { before, today, rules, maySee } = known
  if (guard !== undefined) {
    if (guard.bodyHash !== hash) throw alreadyUsed(entry.factId)
    // it waits still for somebody to say which stick it is about, though one of this number has come since
    if (guard.stickId === undefined) throw notFound()
    return again(organisation, guard, known, entry)
  }
  if (copyOf !== undefined) throw sameTest(copyOf)
  if (before !== undefined && entry.isKnown?.(before.state, entry.occurredOn as CalendarDate))
    return unchanged(organisation, before, known)
  const { fact, after, standingBefore, standing, unfitUses, remarks } = await following(by, stickId, entry, known)
  if (!maySee && !entry.danger && unfitUses.length === 0) throw notYours('stick')

  const belongs = await belonging(organisation, after, today)
  const change: Change = {
    before: standingBefore,
    after: standing,
    broughtForwardFrom: before === undefined ? null : earlierThanShown(before.shownDueOn, standing),
    fact,
    day: today,
    unfitUses,
    passedOn: after.evidence['dry test'],
    isOlderThanPass: after.lastPass !== null && placeOf(fact).instant < after.lastPass,
  }
  const stored: StoredStick = {
    stickId,
    state: after,
    told: before?.told ?? null,
    shownDueOn: standing.dueOn,
    // told at once with this fact, or for the next digest still
    broughtForwardFrom: stillUntold(before, change),
    writtenUnder: rules.id,
    depotId: belongs.depotId,
    shape: shapeOfState,
    version: (before?.version ?? 0) + 1,
  }
  const revision = revisionOf(after, rules, today)
  const notices = await noticesFor(organisation, change, stickId, { ...belongs, revision }, rules.answerWithinHours)
  const outcome = await organisation.sticks.record({
    before,
    after: stored,
    fact,
    bodyHash: hash,
    likeness: entry.likeness,
    placed: entry.waited?.placed,
    standing,
    rules,
    notices,
    now,
  })
  return outcome === 'lost' ? 'lost' : { fact, stick: stored, standing, today, news: true, maySee, remarks }
}

/** Days: nobody plans further, and dates beyond year 9999 have no form. */
const furthestAheadDays = 36_525

/** What would follow from a fact that is not recorded; one of a later day is asked at the end of that day. */
export async function wouldFollow(by: Actor, stickId: string, entry: Entry) {
  const known = await knownStick(by, stickId, entry)
  if (!known.maySee) throw notYours('stick')
  const { occurredOn, days = 1 } = entry
  const furthest = addDays(known.today, furthestAheadDays)
  if (isCalendarDate(occurredOn) && occurredOn > furthest) {
    throw invalid({ pointer: `/${entry.dateField}`, came: occurredOn, expected: `a date not after ${furthest}` })
  }
  const lastDay = isCalendarDate(occurredOn) ? addDays(occurredOn, days - 1) : known.today
  const liesAhead = daysBetween(known.today, lastDay) > 0
  const day = liesAhead ? lastDay : known.today
  const now = liesAhead ? endOfDay(day, known.zone) : by.now
  const rules = await rulesOn(by.organisation, day)
  const supposed = { ...known, today: day, rules }
  const { fact, after, standing } = await following({ ...by, now }, stickId, entry, supposed)
  const { depotId } = await belonging(by.organisation, after, day)
  return { fact, stick: { stickId, state: after, depotId }, standing, day }
}

interface Known {
  readonly before: StoredStick | undefined
  readonly today: CalendarDate
  /** at its depot */
  readonly zone: string
  readonly rules: Rules
  readonly maySee: boolean
}

/** As it is stored, with the date and the rules at its depot; what no report of danger is stops at the rights of the caller. */
async function knownStick(by: Actor, stickId: string, entry: Entry): Promise<Known> {
  const { organisation, caller } = by
  const { createsStick } = entry
  // what is no identifier is the number of no stick
  const before = registerId.safeParse(stickId).success ? await organisation.sticks.stored(stickId) : undefined
  if (before === undefined && !createsStick) throw notFound()
  const subject = before && { crewId: before.state.crewId, depotId: before.depotId }
  const sees = subject === undefined || may(caller, 'read a stick', subject)
  if (!sees && !entry.danger && entry.kind !== 'used') throw notYours('stick')
  const crewId = before?.state.crewId
  const [atDepot] = await Promise.all([
    atItsDepot(by, (before ?? createsStick)?.depotId ?? null),
    // most facts leave a stick with its crew, which is needed further on: asked for together with its depot
    crewId == null ? undefined : organisation.registers.head('crew', crewId),
  ])
  return { before, ...atDepot, maySee: sees }
}

/** The fact in its place and how the stick stands with it, or the reasons why it may not be. */
async function following(by: Actor, stickId: string, entry: Entry, known: Known) {
  const { before, today, zone, rules } = known
  const { organisation, caller, now } = by
  const state = before?.state ?? unknown
  const recordedAt = entry.waited?.recordedAt ?? now
  const stays = staysThrough(state.stays, zone, state.last?.instant)
  const { when, remarks, faults } = timeOf(entry, stays, recordedAt)
  const happening = await withFaults(faults, () => entry.happening({ state, today }))
  const stood = when.fault === null
  const fact: RecordedFact = {
    factId: entry.factId,
    seq: state.facts + 1,
    occurredOn: stood ? (entry.occurredOn as CalendarDate) : when.today,
    ...(entry.at === undefined || !stood ? {} : { at: entry.at }),
    within: when.within,
    clock: when.zone,
    ...(await clockAfter(organisation, happening, state, known.zone)),
    recordedAt,
    recordedBy: entry.waited?.recordedBy ?? caller.personId,
    ...(entry.waited === undefined ? {} : { placed: { by: caller.personId, at: now } }),
    ...happening,
  }
  checkSize(fact)
  const current = before === undefined || before.shape === shapeOfState
  const folded = await foldIn(organisation, stickId, current ? state : null, fact)
  const { after } = folded
  checkStateFits(state, after, happening)
  const justBefore = readByFirstEntry(folded.justBefore, after)
  const rulesThen = await rulesOn(organisation, fact.occurredOn)
  const found = {
    atTheTime: { state: justBefore, standing: standingOn(justBefore, fact.occurredOn, rulesThen) },
    now: { state, standing: standingOn(readByFirstEntry(state, after), today, rules) },
    after: { state: after, standing: standingOn(after, today, rules) },
  }
  const against = refusals(found, happening, caller.personId)
  if (against.length > 0) throw refused(...against)
  const asked = hourAskedFor(
    fact,
    when.today,
    state,
    folded.facts ?? (await lateFacts(organisation, stickId, state, fact)),
  )
  if (asked !== null) throw invalid({ pointer: '/at', came: null, expected: asked })
  return {
    fact,
    after,
    standingBefore: found.now.standing,
    standing: found.after.standing,
    unfitUses: newlyUnfit(fact, folded, after, justBefore, rules),
    remarks: [...(entry.remarks ?? []), ...remarks],
  }
}

/** What happened on its day is looked up only where something may stand there that it has to come after. */
async function lateFacts(
  organisation: Organisation,
  stickId: string,
  { lastAgainst, toBeReleased }: StickState,
  { at, within, kind, occurredOn }: RecordedFact,
): Promise<readonly RecordedFact[]> {
  const maySpeakAgainst = lastAgainst !== null && lastAgainst >= within.earliest
  const mayPass = kind === 'released' && toBeReleased?.since === occurredOn
  return at === undefined && (maySpeakAgainst || mayPass) ? organisation.sticks.facts(stickId) : []
}

/** Uses that this fact shows to be of an unfit stick, itself or older ones. */
function newlyUnfit(
  fact: RecordedFact,
  { facts }: Folded,
  after: StickState,
  justBefore: StickState,
  rules: Rules,
): UnfitUse[] {
  if (facts === null) {
    const found = fact.kind === 'used' ? unfitUse(fact, justBefore, rules) : null
    return found === null ? [] : [found]
  }
  const known = new Set(unfitUses(facts, after, rules).map(({ factId }) => factId))
  return unfitUses([...facts, fact], after, rules).filter(({ factId }) => !known.has(factId))
}

/**
 * Whatever moves a stick says by whose clock its days are counted from then on, also where that is the same: a move recorded
 * late must not reach beyond it. All else says it only where its depot has changed without a move.
 */
async function clockAfter(
  organisation: Organisation,
  happening: Happening,
  state: StickState,
  home: string,
): Promise<{ clockAfter?: string }> {
  const crewId = goesToCrew(happening, state)
  const crew = crewId === undefined ? undefined : await organisation.registers.head('crew', crewId)
  const depotId = crew?.newest.body.depotId ?? layingDepot(happening)
  if (depotId !== undefined) return { clockAfter: await organisation.zoneAt(depotId) }
  return state.stays.at(-1)?.zone === home ? {} : { clockAfter: home }
}

function layingDepot(happening: Happening): string | undefined {
  if (happening.kind !== 'moved' || typeof happening.move.to === 'string') return undefined
  const { to } = happening.move
  return 'store' in to ? to.store : 'bench' in to ? to.bench : undefined
}

function goesToCrew(happening: Happening, { registrations }: StickState): string | undefined {
  if (happening.kind === 'registered') {
    const named = happening.stick.crewId
    return named === registrations.at(-1)?.stick.crewId ? undefined : named
  }
  if (happening.kind !== 'moved' || typeof happening.move.to === 'string') return undefined
  return 'crewId' in happening.move.to ? happening.move.to.crewId : undefined
}

/** For the next digest, unless this fact told it at once or gave the stick a later date again. */
function stillUntold(before: StoredStick | undefined, { after, broughtForwardFrom }: Change): CalendarDate | null {
  return broughtForwardFrom == null ? stillForward(before?.broughtForwardFrom ?? null, after) : null
}

/** DynamoDB keeps 400 KB an item; a survey of a stick of 20 m, every reading over its limit, is about 250 KB. */
const largestFact = 390_000

function checkSize(fact: RecordedFact): void {
  const bytes = Buffer.byteLength(JSON.stringify(fact))
  if (bytes <= largestFact) return
  const detail = `With its verdict the record takes ${bytes} bytes; at most ${largestFact} can be kept.`
  throw new Refused({ kind: 'too large', detail })
}

/** The same fact again: the stored outcome with the present state, and nothing written. */
async function again(
  organisation: Organisation,
  guard: Guard,
  { before: present, today, rules, maySee }: Known,
  entry: Entry,
): Promise<Outcome | 'lost'> {
  const { stickId = '', seq = 0 } = guard
  const fact = await organisation.sticks.fact(stickId, seq)
  if (fact === undefined || present === undefined) return 'lost'
  // placed with another stick than that of the number it came in under
  if (stickId !== present.stickId) return elsewhere(fact, stickId, present, { today, rules })
  const standing = standingOn(present.state, today, rules)
  const asStated = fact.occurredOn === entry.occurredOn && fact.at === entry.at
  const remarks = [...(entry.remarks ?? []), ...(asStated ? [] : [standsAtRecording(entry)])]
  return { fact, stick: present, standing, today, news: false, maySee, remarks }
}

function elsewhere(
  fact: RecordedFact,
  stickId: string,
  present: StoredStick,
  { today, rules }: Pick<Known, 'today' | 'rules'>,
): Outcome {
  const standing = standingOn(present.state, today, rules)
  return { fact, stick: { ...present, stickId }, standing, today, news: false, maySee: false, remarks: [] }
}

/** An entry that the register has already: the fact is the one that brought it. */
async function unchanged(
  organisation: Organisation,
  present: StoredStick,
  { today, rules, maySee }: Known,
): Promise<Outcome | 'lost'> {
  const seq = registrationOn(present.state, today)?.seq
  const fact = seq === undefined ? undefined : await organisation.sticks.fact(present.stickId, seq)
  if (fact === undefined) return 'lost'
  const standing = standingOn(present.state, today, rules)
  return { fact, stick: present, standing, today, news: false, maySee, remarks: [] }
}

function alreadyUsed(factId: string): Refused {
  return refused({
    code: 'fact-id-used',
    text: `The factId ${factId} already stands for another fact. Nothing was changed.`,
  })
}

/** A copy would count as a second failure; a test that was truly repeated has another hour. */
function sameTest(factId: string): Refused {
  return refused({
    code: 'same-test',
    text: `This test stands already, under the factId ${factId}. A test that was repeated has an hour of its own. Nothing was changed.`,
  })
}

interface Folded {
  readonly justBefore: StickState
  readonly after: StickState
  /** the history without the fact, where it had to be read */
  readonly facts: readonly RecordedFact[] | null
}

/** The state with the fact in its place, and the state just before it there. */
async function foldIn(
  organisation: Organisation,
  stickId: string,
  state: StickState | null,
  fact: RecordedFact,
): Promise<Folded> {
  const appended = state === null || reachesBack(state, fact) ? null : append(state, fact)
  if (state !== null && appended !== null) return { justBefore: state, after: appended, facts: null }
  const facts = await organisation.sticks.facts(stickId)
  return { justBefore: replay(comesBefore(facts, fact)), after: replay([...facts, fact]), facts }
}

/** A use of several days is judged by how the stick stood on each; and what comes at the very end of a use counts for it. */
function reachesBack({ last }: StickState, fact: RecordedFact): boolean {
  if (last === null) return false
  if (fact.kind === 'used') return fact.use.days > 1 && last.instant > fact.within.earliest
  return placeOf(fact).instant === last.instant
}

async function atItsDepot(by: Actor, depotId: string | null) {
  const { zone, today } = await todayAt(by, depotId)
  return { today, zone, rules: await rulesOn(by.organisation, today) }
}

interface Belongs {
  readonly depotId: string | null
  readonly depotName: string | null
  readonly crew: { readonly id: string; readonly name: string; readonly body: Crew } | null
}

async function belonging(organisation: Organisation, state: StickState, today: CalendarDate): Promise<Belongs> {
  const { crewId } = state
  const crew = crewId === null ? undefined : (await organisation.registers.inForce('crew', crewId, today))?.body
  const depotId = depotOf(state, crew?.depotId ?? null)
  const depot = depotId === null ? undefined : (await organisation.registers.head('depot', depotId))?.newest.body
  return {
    depotId,
    depotName: depot?.name ?? null,
    crew: crewId === null || crew === undefined ? null : { id: crewId, name: crew.name, body: crew },
  }
}

async function noticesFor(
  organisation: Organisation,
  change: Change,
  stickId: string,
  belongs: Belongs & { revision: number },
  answerWithinHours: number,
): Promise<OwedNotice[]> {
  if (kindsOwed(change).length === 0 && (change.unfitUses ?? []).length === 0) return []
  const { crew, depotName, depotId, revision } = belongs
  const [people, reporter] = await Promise.all([
    organisation.registers.allInForce('person', change.day),
    organisation.registers.inForce('person', change.fact.recordedBy, change.day),
  ])
  const belonging = { stickId, crewId: crew?.id ?? null, crewName: crew?.name ?? null, depotName, revision }
  const named = reporter === undefined ? change : { ...change, reportedBy: reporter.body.name }
  return owedAtOnce(named, belonging, { crew: crew?.body ?? null, people, depotId }, answerWithinHours)
}
