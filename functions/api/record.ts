/** How a fact about a stick enters: guard, today's date at its depot, the rules, one transaction; a lost race begins again. */
import { addDays, type CalendarDate, daysBetween, localDateAt, localTimeAt } from '../../shared-domain/calendar.ts'
import type { Happening, RecordedFact } from '../../shared-domain/facts.ts'
import { wholeAudience } from '../../shared-domain/notices/audience.ts'
import { revisionOf } from '../../shared-domain/notices/calendar-entry.ts'
import { earlierThanShown, stillForward } from '../../shared-domain/notices/ladder.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { type Change, kindsOwed, owedAtOnce } from '../../shared-domain/notices/owed.ts'
import { answerHoursWithoutPolicy, type Policy } from '../../shared-domain/policy/policy.ts'
import { append, comesBefore, replay } from '../../shared-domain/state/fold.ts'
import { refusals } from '../../shared-domain/state/refusal.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import { type StickState, unknown } from '../../shared-domain/state/state.ts'
import { depotOf } from '../../shared-domain/state/whereabouts.ts'
import { invalid, notAllowed, notFound, Refused, refused } from '../platform/errors.ts'
import { maySee } from '../platform/identity.ts'
import type { Organisation } from '../platform/organisation.ts'
import { bodyHash, type StoredStick, shapeOfState } from '../platform/sticks.ts'
import type { Request } from './request.ts'
import { checkStateFits } from './room.ts'

/** What a door hands over: when it happened, under which id, and how to make the fact once the stick is known. */
export interface Entry {
  readonly factId: string
  readonly occurredOn: CalendarDate
  /** the name of the date in the body, for its faults */
  readonly dateField: string
  readonly at?: string | undefined
  readonly kind: Happening['kind']
  readonly body: unknown
  /** a registration may be the first that is heard of a stick; it will lie at the depot of its crew, if it has one */
  readonly createsStick?: { readonly depotId: string | null }
  readonly happening: (found: { state: StickState; today: CalendarDate }) => Promise<Happening>
}

export interface Outcome {
  readonly fact: RecordedFact
  readonly stick: { stickId: string; state: StickState; depotId: string | null }
  readonly standing: Standing
  readonly today: CalendarDate
  readonly news: boolean
}

export async function record(request: Request<unknown>, stickId: string, entry: Entry): Promise<Outcome> {
  for (let tries = 0; tries < 8; tries++) {
    const outcome = await attempt(request, stickId, entry)
    if (outcome !== 'lost') return outcome
    request.organisation.registers.readAnew()
  }
  throw new Refused({ kind: 'try again' })
}

async function attempt(request: Request<unknown>, stickId: string, entry: Entry): Promise<Outcome | 'lost'> {
  const { organisation, now } = request
  const hash = bodyHash(entry.kind, stickId, entry.body)
  // a report owes notices nearly always: whom they may go to is read together with the stick
  if (entry.kind === 'defect reported') organisation.registers.heads('person').catch(() => undefined)
  const [known, guard] = await Promise.all([
    knownStick(request, stickId, entry),
    organisation.sticks.guard(entry.factId),
  ])
  const { before, today, policy } = known
  if (guard !== undefined) {
    if (guard.bodyHash !== hash) throw alreadyUsed(entry.factId)
    return again(organisation, guard, before, today, policy)
  }
  if (entry.occurredOn > today) {
    const expected = `a date not after ${today}, today at the stick's depot`
    throw invalid({ pointer: `/${entry.dateField}`, came: entry.occurredOn, expected })
  }
  const { fact, after, atTheTime, standingBefore, standing } = await following(request, stickId, entry, known)

  const belongs = await belonging(organisation, after, today)
  const change: Change = {
    atTheTime,
    before: standingBefore,
    after: standing,
    broughtForwardFrom: before === undefined ? null : earlierThanShown(before.shownDueOn, standing),
    fact,
    day: today,
  }
  const stored: StoredStick = {
    stickId,
    state: after,
    told: before?.told ?? null,
    shownDueOn: standing.dueOn,
    // told at once with this fact, or for the next digest still
    broughtForwardFrom: stillUntold(before, change),
    policyEdition: policy?.edition ?? null,
    depotId: belongs.depotId,
    shape: shapeOfState,
    version: (before?.version ?? 0) + 1,
  }
  const revision = revisionOf(after, policy, today)
  const notices = await noticesFor(
    organisation,
    change,
    stickId,
    { ...belongs, revision },
    policy?.answerWithinHours ?? answerHoursWithoutPolicy,
  )
  const outcome = await organisation.sticks.record({
    before,
    after: stored,
    fact,
    bodyHash: hash,
    standing,
    policy,
    notices,
    now,
  })
  return outcome === 'lost' ? 'lost' : { fact, stick: stored, standing, today, news: true }
}

/** Days: nobody plans further, and dates beyond year 9999 have no form. */
const furthestAheadDays = 36_525

/** What would follow from a fact that is not recorded; one of a later day is asked on that day. */
export async function wouldFollow(request: Request<unknown>, stickId: string, entry: Entry) {
  const known = await knownStick(request, stickId, entry)
  if (entry.occurredOn > addDays(known.today, furthestAheadDays)) {
    const expected = `a date not after ${addDays(known.today, furthestAheadDays)}`
    throw invalid({ pointer: `/${entry.dateField}`, came: entry.occurredOn, expected })
  }
  const liesAhead = daysBetween(known.today, entry.occurredOn) > 0
  const day = liesAhead ? entry.occurredOn : known.today
  const policy = await request.organisation.policyOn(day)
  const { fact, after, standing } = await following(request, stickId, entry, { ...known, today: day, policy })
  const { depotId } = await belonging(request.organisation, after, day)
  return { fact, stick: { stickId, state: after, depotId }, standing, day }
}

interface Known {
  readonly before: StoredStick | undefined
  readonly today: CalendarDate
  /** at its depot */
  readonly localTime: string
  readonly policy: Policy | null
}

/** As it is stored, if this caller may act on it; with the date and the rules at its depot. */
async function knownStick(request: Request<unknown>, stickId: string, { createsStick }: Entry): Promise<Known> {
  const { organisation, caller } = request
  const before = await organisation.sticks.stored(stickId)
  if (before === undefined && !createsStick) throw notFound()
  if (before !== undefined && !maySee(caller, { crewId: before.state.crewId, depotId: before.depotId })) {
    throw notAllowed('This stick belongs to another crew or depot.')
  }
  const crewId = before?.state.crewId
  const [{ today, localTime, policy }] = await Promise.all([
    atItsDepot(request, (before ?? createsStick)?.depotId ?? null),
    // most facts leave a stick with its crew, which is needed further on: asked for together with its depot
    crewId == null ? undefined : organisation.registers.head('crew', crewId),
  ])
  return { before, today, localTime, policy }
}

/** The fact in its place and how the stick stands with it, or the reasons why it may not be. */
async function following(request: Request<unknown>, stickId: string, entry: Entry, known: Known) {
  const { before, today, localTime, policy } = known
  const { organisation, caller, now } = request
  const state = before?.state ?? unknown
  const happening = await entry.happening({ state, today })
  const fact: RecordedFact = {
    factId: entry.factId,
    seq: state.facts + 1,
    occurredOn: entry.occurredOn,
    ...(entry.at === undefined ? {} : { at: entry.at }),
    ...(entry.at === undefined && entry.occurredOn === today ? { byHour: localTime } : {}),
    recordedAt: now,
    recordedBy: caller.personId,
    ...happening,
  }
  checkSize(fact)
  const current = before === undefined || before.shape === shapeOfState
  const folded = await foldIn(organisation, stickId, current ? state : null, fact)
  const after = folded.after
  checkStateFits(state, after, happening)
  const justBefore = readByFirstEntry(folded.justBefore, after)
  const atTheTime = standingOn(justBefore, fact.occurredOn, policy)
  const standingBefore = standingOn(readByFirstEntry(state, after), today, policy)
  const standing = standingOn(after, today, policy)
  const found = {
    atTheTime: { state: justBefore, standing: atTheTime },
    now: { state, standing: standingBefore },
    after: { state: after, standing },
  }
  const against = refusals(found, happening, caller.personId)
  if (against.length > 0) throw refused(...against)
  return { fact, after, atTheTime, standingBefore, standing }
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
  guard: { stickId: string; seq: number },
  present: StoredStick | undefined,
  today: CalendarDate,
  policy: Policy | null,
): Promise<Outcome | 'lost'> {
  const fact = await organisation.sticks.fact(guard.stickId, guard.seq)
  if (fact === undefined || present === undefined) return 'lost'
  return { fact, stick: present, standing: standingOn(present.state, today, policy), today, news: false }
}

function alreadyUsed(factId: string): Refused {
  return refused({
    code: 'fact-id-used',
    text: `The factId ${factId} already stands for another fact. Nothing was changed.`,
  })
}

/** Its first entry on the register covers the days before too. */
function readByFirstEntry(before: StickState, { registrations }: StickState): StickState {
  return before.registrations.length > 0 ? before : { ...before, registrations }
}

/** The state with the fact in its place, and the state just before it there. */
async function foldIn(organisation: Organisation, stickId: string, state: StickState | null, fact: RecordedFact) {
  const appended = state === null ? null : append(state, fact)
  if (state !== null && appended !== null) return { justBefore: state, after: appended }
  const facts = await organisation.sticks.facts(stickId)
  return { justBefore: replay(comesBefore(facts, fact)), after: replay([...facts, fact]) }
}

async function atItsDepot({ organisation, now }: Request<unknown>, depotId: string | null) {
  const zone = await organisation.zoneAt(depotId)
  const today = localDateAt(now, zone)
  return { today, localTime: localTimeAt(now, zone), policy: await organisation.policyOn(today) }
}

interface Belongs {
  readonly depotId: string | null
  readonly depotName: string | null
  readonly crew: { id: string; name: string; recipients: Parameters<typeof wholeAudience>[0] } | null
}

async function belonging(organisation: Organisation, state: StickState, today: CalendarDate): Promise<Belongs> {
  const { crewId } = state
  const crew = crewId === null ? undefined : (await organisation.registers.inForce('crew', crewId, today))?.body
  const depotId = depotOf(state, crew?.depotId ?? null)
  const depot = depotId === null ? undefined : (await organisation.registers.head('depot', depotId))?.newest.body
  return {
    depotId,
    depotName: depot?.name ?? null,
    crew: crewId === null || crew === undefined ? null : { id: crewId, name: crew.name, recipients: crew },
  }
}

async function noticesFor(
  organisation: Organisation,
  change: Change,
  stickId: string,
  belongs: Belongs & { revision: number },
  answerWithinHours: number,
): Promise<OwedNotice[]> {
  if (kindsOwed(change).length === 0) return []
  const people = await organisation.registers.allInForce('person', change.day)
  const audience = wholeAudience(belongs.crew?.recipients ?? null, people, belongs.depotId)
  const { crew, depotName, revision } = belongs
  const belonging = { stickId, crewId: crew?.id ?? null, crewName: crew?.name ?? null, depotName, revision }
  return owedAtOnce(change, belonging, audience, answerWithinHours)
}
