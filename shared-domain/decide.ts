/**
 * A stick from one fact to the next. Doors say what happened and the store keeps what is
 * decided here; nobody else decides what a fact makes of a stick, what speaks against recording it, and who is told.
 */
import { type CalendarDate, type Instant, localDateAt } from './calendar.ts'
import { knownSince, type RecordedFact } from './facts.ts'
import type { Expected } from './fault.ts'
import { type Held, type KeptStick, type Listing, listingOf } from './listing.ts'
import { revisionOf } from './notices/calendar-entry.ts'
import { knownAs, untoldBy } from './notices/change.ts'
import { earlierThanShown, labelToldBy, stillForward } from './notices/ladder.ts'
import type { WhoIsWhere } from './notices/morning.ts'
import type { OwedNotice } from './notices/notice.ts'
import { type Change, kindsOwed, owedAtOnce } from './notices/owed.ts'
import type { Belonging } from './notices/stick-line.ts'
import type { Rules } from './policy/rules.ts'
import type { Reason } from './reason.ts'
import type { Crew } from './registers.ts'
import type { Slip } from './slip.ts'
import { append, comesBefore, replay } from './state/fold.ts'
import { hourAskedFor, mayNeedAnHour } from './state/hour-asked.ts'
import { refusals } from './state/refusal.ts'
import { type Standing, standingOn } from './state/standing.ts'
import { initial, readByFirstEntry, type StickState } from './state/state.ts'
import { type UnfitUse, unfitUse, unfitUses } from './state/unfit-use.ts'
import { seenAs } from './state/use.ts'
import { positionOf } from './state/when.ts'
import { depotOf } from './state/whereabouts.ts'

/** Everything known beside the stick and the fact. */
export interface Known {
  /** today where the stick lies */
  readonly day: CalendarDate
  readonly now: Instant
  readonly rules: Rules
  /** the rules of the day on which the fact happened */
  readonly rulesThen: Rules
  /** the registers as they are today; what was not looked up yet is asked for */
  readonly registers: KnownRegisters
  /** the facts without this one, where they are at hand: they are asked for where they are needed */
  readonly history?: readonly RecordedFact[] | undefined
  /** the state is folded as an earlier build did: it is folded anew from the history */
  readonly isOutgrown?: boolean
  /** true for a fact carried over from before the service was used: nobody is told of what they knew long ago */
  readonly quiet?: boolean
  /** the import that the fact comes by: its digest tells of the sticks that must not be used any more */
  readonly importing?: string
}

export interface KnownRegisters {
  /** crews by number; undefined under a number that nobody entered */
  readonly crews: ReadonlyMap<string, Crew | undefined>
  readonly depotNames: ReadonlyMap<string, string | undefined>
  readonly people?: WhoIsWhere['people']
  /** the name of whoever recorded the fact */
  readonly reportedBy?: string | undefined
}

export type Missing =
  | { readonly missing: 'history' | 'people' }
  | { readonly missing: 'crew' | 'depot'; readonly id: string }

/** Nothing is decided, or nothing is taken. */
export type NotYet =
  /** nothing is decided before this is looked up */
  | ({ readonly outcome: 'incomplete' } & Missing)
  | { readonly outcome: 'refused'; readonly reasons: readonly Reason[] }
  /** the hour of the fact has to be stated; `expected` is what would be right in place of none */
  | { readonly outcome: 'hour asked'; readonly expected: Expected }

export type Decision = NotYet | ({ readonly outcome: 'accepted' } & Accepted)

export interface Accepted {
  readonly next: KeptStick
  readonly standing: Standing
  readonly owed: readonly OwedNotice[]
  /** uses that this fact shows to be of an unfit stick, itself or older ones */
  readonly unfitUses: readonly UnfitUse[]
  readonly listing: Listing
}

/** A stick of which nothing is known yet. */
export const nothingOf = (stickId: string): KeptStick => ({
  stickId,
  state: { ...initial, stickId },
  depotId: null,
  told: null,
  shownDueOn: null,
  broughtForwardFrom: null,
  recorded: 0,
})

export function decide(before: KeptStick, fact: RecordedFact, known: Known): Decision {
  const { state } = before
  const { day, rules, rulesThen } = known
  const folded = foldIn(state, fact, known)
  if (folded === null) return incomplete({ missing: 'history' })
  const after = readStanding(folded.after, day, rules)
  const justBefore = readByFirstEntry(folded.justBefore, after.state)
  const now = { state, standing: standingOn(readByFirstEntry(state, after.state), day, rules) }
  const atTheTime = readStanding(justBefore, fact.occurredOn, rulesThen)
  // a release needs the name of its recorder too, to tell whether they are a second person
  if (fact.kind === 'released' && known.registers.people === undefined) return incomplete({ missing: 'people' })
  const recorder = { personId: fact.placed?.by ?? fact.recordedBy, name: known.registers.reportedBy }
  const reasons = refusals({ atTheTime, now, after }, fact, recorder)
  if (reasons.length > 0) return { outcome: 'refused', reasons }
  const history = folded.facts ?? known.history
  if (history === undefined && mayNeedAnHour(state, fact)) return incomplete({ missing: 'history' })
  const expected = hourAskedFor(fact, localDateAt(knownSince(fact), fact.clock), { state, history: history ?? [] })
  if (expected !== null) return { outcome: 'hour asked', expected }
  const unfit = newlyUnfit(fact, { ...folded, justBefore }, rules)
  return accept({ before, standingBefore: now.standing, fact, after, unfitUses: unfit, recorded: fact.seq }, known)
}

/** A state, and how it reads on a day. */
export const readStanding = (state: StickState, day: CalendarDate, rules: Rules) => ({
  state,
  standing: standingOn(state, day, rules),
})

export const incomplete = (missing: Missing): NotYet => ({ outcome: 'incomplete', ...missing })

export interface Accepting {
  readonly before: KeptStick
  readonly standingBefore: Standing
  readonly fact: RecordedFact
  readonly after: { readonly state: StickState; readonly standing: Standing }
  readonly unfitUses: readonly UnfitUse[]
  /** the number of facts recorded of the stick with this one */
  readonly recorded: number
  /** the slip, where the fact puts one right */
  readonly slip?: Slip
}

/**
 * Everything that follows once nothing speaks against the fact: what is kept, who is told, where the stick is listed.
 */
export function accept(
  { before, standingBefore, fact, after, unfitUses, recorded, slip }: Accepting,
  known: Known,
): Decision {
  const { state, standing } = after
  const { day, rules, registers } = known
  const where = belonging(before.stickId, state, registers)
  if ('missing' in where) return incomplete(where)
  const change: Change = {
    before: asTold(before, standingBefore),
    after: standing,
    broughtForwardFrom: earlierThanShown(before.shownDueOn, standing),
    fact,
    day,
    unfitUses,
    passedOn: state.evidence['dry test'],
    isOlderThanPass: state.lastPass !== null && positionOf(fact).instant < state.lastPass,
    ...(registers.reportedBy === undefined ? {} : { reportedBy: registers.reportedBy }),
    ...(slip === undefined ? {} : { slip, isWithOthers: before.state.crewId !== state.crewId }),
  }
  const kinds = kindsOwed(change)
  const atOnce = known.importing === undefined ? kinds : kinds.filter((kind) => !isForDigest(kind))
  const waits = kinds.length > atOnce.length
  const isTold = !known.quiet && (atOnce.length > 0 || unfitUses.length > 0)
  const { people } = registers
  if (isTold && people === undefined) return incomplete({ missing: 'people' })
  const told = { ...where.belonging, revision: revisionOf(state, rules, day) }
  const { answerWithinHours } = rules
  const who = { crew: where.crew, people: people ?? [], depotId: where.depotId, answerWithinHours }
  const owed = isTold ? owedAtOnce(change, told, who).filter(({ kind }) => !(waits && isForDigest(kind))) : []
  const next: KeptStick = {
    ...before,
    state,
    depotId: where.depotId,
    ...(waits
      ? stillUnheard(before, standingBefore, known.importing)
      : { seen: seenAs(standing.status), untold: undefined }),
    shownDueOn: standing.dueOn,
    broughtForwardFrom: stillUntold(before, change),
    labelTold: labelToldBy(before.labelTold, standing, owed.length > 0 ? day : null),
    held: heldBy(before, owed, known.now),
    recorded,
  }
  const listing = listingOf(next, standing, { day, rules })
  return { outcome: 'accepted', next: { ...next, held: listing.held }, standing, owed, unfitUses, listing }
}

/**
 * The standing that the stick's people know, where other rules or a day have changed it since and this fact comes
 * before the word of that.
 */
function asTold(kept: KeptStick, standing: Standing): Standing {
  const now = seenAs(standing.status)
  const known = knownAs(kept, now)
  if (known === now) return standing
  return known === 'usable' ? { ...standing, status: 'in service', holds: [] } : { ...standing, status: known }
}

/** The notices of an import's sticks that are one a reader, and come with its last row. */
const isForDigest = (kind: OwedNotice['kind']): boolean => kind === 'hold' || kind === 'removal'

/** People know the stick as they did before. Of a hold that nobody was told of they know nothing. */
function stillUnheard(before: KeptStick, standing: Standing, importing = ''): Pick<KeptStick, 'seen' | 'untold'> {
  const seen = knownAs(before, seenAs(standing.status))
  const isUnheardOf = seen === 'on hold' && before.held?.about === undefined
  return { seen: isUnheardOf ? 'awaiting first test' : seen, untold: untoldBy(importing) }
}

/**
 * The later date, if any, that people have still to hear was brought forward. None is left where they are told at once
 * with this fact, or where it gives a later date again. Otherwise the date waits for the next digest.
 */
function stillUntold(before: KeptStick, { after, broughtForwardFrom }: Change): CalendarDate | null {
  return broughtForwardFrom == null ? stillForward(before.broughtForwardFrom, after) : null
}

/**
 * The hold as it is told anew with this fact, as it was held already, or as it comes with the fact and is told to
 * nobody.
 */
function heldBy(before: KeptStick, owed: readonly OwedNotice[], now: Instant): Held {
  const about = owed.find(({ answer }) => answer !== undefined)?.answer?.about
  if (about !== undefined) return { at: now, about, confirmed: false }
  return before.held ?? { at: now, confirmed: false }
}

interface Where {
  readonly crew: Crew | null
  readonly depotId: string | null
  readonly belonging: Omit<Belonging, 'revision'>
}

function belonging(stickId: string, state: StickState, { crews, depotNames }: KnownRegisters): Where | Missing {
  const { crewId } = state
  if (crewId !== null && !crews.has(crewId)) return { missing: 'crew', id: crewId }
  const crew = (crewId === null ? undefined : crews.get(crewId)) ?? null
  const depotId = depotOf(state, crew?.depotId ?? null)
  if (depotId !== null && !depotNames.has(depotId)) return { missing: 'depot', id: depotId }
  const depotName = (depotId === null ? undefined : depotNames.get(depotId)) ?? null
  const names = { crewId: crew === null ? null : crewId, crewName: crew?.name ?? null, depotName }
  return { crew, depotId, belonging: { stickId, ...names } }
}

interface Folded {
  readonly justBefore: StickState
  readonly after: StickState
  /** the history without the fact, where the state does not tell enough */
  readonly facts: readonly RecordedFact[] | null
}

/** The state with the fact in its place, and the state just before it there; null where that takes the history. */
function foldIn(state: StickState, fact: RecordedFact, { history, isOutgrown }: Known): Folded | null {
  const appended = isOutgrown || reachesBack(state, fact) ? null : append(state, fact)
  if (appended !== null) return { justBefore: state, after: appended, facts: null }
  if (history === undefined) return null
  const { stickId } = state
  const justBefore = replay(comesBefore(history, fact), stickId)
  return { justBefore, after: replay([...history, fact], stickId), facts: history }
}

/** A use of several days is judged by how the stick stood on each. A fact at the very end of a use counts for it. */
function reachesBack({ last }: StickState, fact: RecordedFact): boolean {
  if (last === null) return false
  if (fact.kind === 'used') return fact.use.days > 1 && last.instant > fact.within.earliest
  return positionOf(fact).instant === last.instant
}

function newlyUnfit(fact: RecordedFact, { facts, justBefore, after }: Folded, rules: Rules): UnfitUse[] {
  if (facts === null) {
    const found = fact.kind === 'used' ? unfitUse(fact, justBefore, rules) : null
    return found === null ? [] : [found]
  }
  const known = new Set(unfitUses(facts, after, rules).map(({ factId }) => factId))
  return unfitUses([...facts, fact], after, rules).filter(({ factId }) => !known.has(factId))
}
