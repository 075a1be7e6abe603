/**
 * Recalls: what a recall would call back, how far it is, and how each of its sticks stands. All of it is looked up as
 * it is now; nothing is counted beforehand.
 */
import { judgedWithError, type PutRight } from '../../shared-domain/bench-test/measured.ts'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { ThoseAround } from '../../shared-domain/notices/audience.ts'
import { mailboxesFor } from '../../shared-domain/notices/owed-for-recall.ts'
import { withRecalls } from '../../shared-domain/policy/rules.ts'
import { type Recall, type RecallCause, windowOf } from '../../shared-domain/recall/recall.ts'
import { may } from '../../shared-domain/rights.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { type Hold, recalledCode } from '../../shared-domain/state/hold.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import { type Suspect, suspectIn } from '../../shared-domain/state/suspect-verdicts.ts'
import { notFound } from '../ground/errors.ts'
import type { Organisation } from '../store/organisation.ts'
import { allRecalls, type KeptRecall, recallOf } from '../store/recalls.ts'
import type { BindingRecall } from '../store/recalls-binding.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { Asker } from './asker.ts'
import { checkRole } from './rights.ts'
import { type OrganisationNow, rulesOn, todayAt } from './today.ts'

/**
 * What became of a stick by the recall:
 * - held: it must not be used, by this recall;
 * - retested: its own evidence since has freed it;
 * - cleared: its readings pass also when they are put right;
 * - replaced: another full test stands in place of the suspect one since before the recall;
 * - removed: it is out of service for good.
 */
export const recallOutcomes = ['held', 'retested', 'cleared', 'replaced', 'removed'] as const
export type RecallOutcome = (typeof recallOutcomes)[number]

export interface StickOfRecall {
  readonly stored: StoredStick
  readonly standing: Standing
  readonly today: CalendarDate
  readonly outcome: RecallOutcome
  /** the hold of this recall, where it holds the stick */
  readonly hold?: Hold
  /** somebody who has it confirmed that it must not be used, or it is in nobody's hands */
  readonly isKnown: boolean
  /** it lies at a bench or in a store */
  readonly isIn: boolean
  readonly isMissing: boolean
  /** the highest readings put right, where the error is known */
  readonly readings: readonly PutRight[]
}

/** The numbers of the sticks that the cause may call back, in order and each once. */
export async function numbersBy({ sticks }: Organisation, cause: RecallCause): Promise<readonly string[]> {
  if ('instrumentId' in cause) return sticks.testedWithAfter(cause.instrumentId, cause.lastGoodOn)
  if ('order' in cause) return [...new Set(cause.stickIds)].sort()
  return (await sticks.numbersOfLot(cause.lot, mostOfLot)).stickIds.toSorted()
}

/** The house's own figure: no maker's lot and no fleet is as large. */
const mostOfLot = 100_000

/** A hundred sticks of 20 KB each are a small part of a function's memory. */
const sticksAtOnce = 100

/** The sticks of the recall as they stand today, from after a number on, a page at a time. */
export async function* sticksOfRecall(
  when: OrganisationNow,
  recall: Recall,
  after = '',
): AsyncGenerator<readonly StickOfRecall[]> {
  const numbers = (await numbersBy(when.organisation, recall.cause)).filter((one) => one > after)
  for (let i = 0; i < numbers.length; i += sticksAtOnce) {
    const known = await when.organisation.sticks.known(numbers.slice(i, i + sticksAtOnce))
    const ordered = known.toSorted((a, b) => (a.stickId < b.stickId ? -1 : 1))
    const stored = await Promise.all(ordered.map((one) => foldedAnew(when.organisation, one)))
    yield Promise.all(stored.map((one) => asOfRecall(when, recall, one)))
  }
}

export async function stickOfRecall(
  when: OrganisationNow,
  recall: Recall,
  stickId: string,
): Promise<StickOfRecall | undefined> {
  const stored = await when.organisation.sticks.stored(stickId)
  return stored && asOfRecall(when, recall, await foldedAnew(when.organisation, stored))
}

/** An earlier build did not keep by what a stick is fit. */
async function foldedAnew({ sticks }: Organisation, stored: StoredStick): Promise<StoredStick> {
  if (stored.shape === shapeOfState) return stored
  const state = replay(await sticks.facts(stored.stickId), stored.stickId)
  return { ...stored, state, shape: shapeOfState }
}

async function asOfRecall(when: OrganisationNow, recall: Recall, stored: StoredStick): Promise<StickOfRecall> {
  const { organisation } = when
  const { today } = await todayAt(when, stored.depotId)
  const rules = await rulesOn(organisation, today)
  const isSupposed = !rules.recalls.some(({ id }) => id === recall.id)
  const standing = standingOn(stored.state, today, isSupposed ? withRecalls(rules, [...rules.recalls, recall]) : rules)
  const hold = standing.holds.find(({ code, detail }) => code === recalledCode && detail?.recall === recall.id)
  const { custody, missing } = stored.state
  const isInHands = custody !== null && ('crewId' in custody || 'lentTo' in custody)
  return {
    stored,
    standing,
    today,
    outcome: outcomeOf(stored.state, recall, hold),
    ...(hold === undefined ? {} : { hold }),
    isKnown: !isInHands || stored.held?.confirmed === true,
    isIn: custody !== null && ('bench' in custody || 'store' in custody),
    isMissing: missing,
    readings: readingsOf(stored.state, recall),
  }
}

function outcomeOf(state: StickState, recall: Recall, hold: Hold | undefined): RecallOutcome {
  if (state.removed !== null || state.scrapped !== null) return 'removed'
  if (hold !== undefined) return 'held'
  if (state.lastPass !== null && state.lastPass > recall.at) return 'retested'
  return isStillSuspect(state, recall) ? 'cleared' : 'replaced'
}

/** The stick is fit by a test of the window, though it is not held. */
function isStillSuspect({ proof }: StickState, { cause, goodAgainOn }: Recall): boolean {
  if (proof === undefined || !('instrumentId' in cause) || proof.instrumentId !== cause.instrumentId) return false
  return windowOf({ cause, ...(goodAgainOn === undefined ? {} : { goodAgainOn }) }, proof.on) === 'suspect'
}

function readingsOf(state: StickState, recall: Recall): readonly PutRight[] {
  if (!('instrumentId' in recall.cause) || !isStillSuspect(state, recall)) return []
  const again = judgedWithError(state.proof?.measured, recall.cause.error)
  return again.passes === null ? [] : again.readings
}

export interface RecallCounts {
  readonly sticks: number
  readonly held: number
  /** of those held: known to whoever has them, brought in, missing, named as not found */
  readonly confirmed: number
  readonly broughtIn: number
  readonly missing: number
  readonly notFound: number
  readonly retested: number
  readonly cleared: number
  readonly replaced: number
  readonly removed: number
}

const none: RecallCounts = {
  ...{ sticks: 0, held: 0, confirmed: 0, broughtIn: 0, missing: 0, notFound: 0 },
  ...{ retested: 0, cleared: 0, replaced: 0, removed: 0 },
}

function counted(counts: RecallCounts, stick: StickOfRecall, notFound: ReadonlySet<string>): RecallCounts {
  const { outcome } = stick
  const isHeld = outcome === 'held'
  const more = (is: boolean) => (is ? 1 : 0)
  return {
    ...counts,
    sticks: counts.sticks + 1,
    [outcome]: counts[outcome] + 1,
    confirmed: counts.confirmed + more(isHeld && stick.isKnown),
    broughtIn: counts.broughtIn + more(isHeld && stick.isIn),
    missing: counts.missing + more(isHeld && stick.isMissing),
    notFound: counts.notFound + more(isHeld && notFound.has(stick.stored.stickId)),
  }
}

export interface RecallProgress {
  readonly recall: KeptRecall
  readonly counts: RecallCounts
  /** the first sticks that are still held, and those of whom nobody confirmed */
  readonly open: readonly StickOfRecall[]
  readonly unconfirmed: readonly StickOfRecall[]
  /** sticks removed for good that right readings would not have removed, or of which nobody knows */
  readonly removals: readonly SuspectRemoval[]
}

export interface SuspectRemoval {
  readonly stickId: string
  readonly removal: NonNullable<Suspect['removal']>
}

/** The house's own figure: as many as a page shows. */
const mostNamed = 100

export async function recallFor(asker: Asker, id: string): Promise<RecallProgress> {
  const { kept, recall } = await foundRecall(asker, id)
  const notFound = new Set(kept.closed?.notFound ?? [])
  let counts = none
  const open: StickOfRecall[] = []
  const unconfirmed: StickOfRecall[] = []
  const removals: SuspectRemoval[] = []
  for await (const page of sticksOfRecall(asker, recall)) {
    removals.push(...(await suspectRemovals(asker, recall, page)).slice(0, mostNamed - removals.length))
    for (const stick of page) {
      counts = counted(counts, stick, notFound)
      if (stick.outcome !== 'held') continue
      if (open.length < mostNamed) open.push(stick)
      if (!stick.isKnown && unconfirmed.length < mostNamed) unconfirmed.push(stick)
    }
  }
  return { recall: kept, counts, open, unconfirmed, removals }
}

/** A stick's whole history is read, so only of those that were removed. */
async function suspectRemovals(
  { organisation }: OrganisationNow,
  recall: Recall,
  page: readonly StickOfRecall[],
): Promise<SuspectRemoval[]> {
  const { cause } = recall
  if (!('instrumentId' in cause)) return []
  const found = page
    .filter(({ stored }) => stored.state.removed !== null)
    .map(async ({ stored: { stickId } }): Promise<SuspectRemoval[]> => {
      const { removal } = suspectIn(await organisation.sticks.facts(stickId), { ...recall, cause })
      return removal === null ? [] : [{ stickId, removal }]
    })
  return (await Promise.all(found)).flat()
}

async function foundRecall(asker: Asker, id: string): Promise<{ readonly kept: KeptRecall; readonly recall: Recall }> {
  checkRole(asker.caller, 'read recalls')
  const kept = await recallOf(asker.organisation, id)
  if (kept === undefined) throw notFound({ is: 'none: recall', recall: id })
  return { kept, recall: await asker.organisation.asItBinds(bindingOf(kept)) }
}

export const bindingOf = ({ id, cause, at }: KeptRecall): BindingRecall => ({ id, cause, at })

/** Recalls, the newest first. */
export async function recallsFor(asker: Asker): Promise<KeptRecall[]> {
  checkRole(asker.caller, 'read recalls')
  return (await allRecalls(asker.organisation)).sort((a, b) => (a.at < b.at ? 1 : -1))
}

/** A page of the recall's sticks by number, for whoever may read each of them. */
export async function sticksOfRecallFor(
  asker: Asker,
  { id, after, limit }: { readonly id: string; readonly after: string; readonly limit: number },
): Promise<{ readonly sticks: readonly StickOfRecall[]; readonly next: string | null }> {
  const { recall } = await foundRecall(asker, id)
  for await (const page of sticksOfRecall(asker, recall, after)) {
    const sticks = page.slice(0, limit).filter((one) => isSeen(asker, one))
    const last = page.slice(0, limit).at(-1)
    // a page that ends here may be the last one: the next request then finds none
    return { sticks, next: last === undefined ? null : last.stored.stickId }
  }
  return { sticks: [], next: null }
}

const isSeen = ({ caller }: Asker, { stored: { state, depotId } }: StickOfRecall) =>
  may(caller, 'read a stick', { crewId: state.crewId, depotId })

export interface RecallPreview {
  readonly counts: RecallCounts
  readonly open: readonly StickOfRecall[]
  /** the number of mailboxes that would be written to */
  readonly readers: number
}

/** What a recall would do that nobody has recorded. */
export async function recallPreviewFor(asker: Asker, cause: RecallCause): Promise<RecallPreview> {
  checkRole(asker.caller, 'open a recall')
  const recall = await asker.organisation.asItBinds({ id: supposedId, cause, at: asker.now })
  const readers = new Set<string>()
  let counts = none
  const open: StickOfRecall[] = []
  for await (const page of sticksOfRecall(asker, recall)) {
    for (const stick of page) counts = counted(counts, stick, new Set())
    const held = page.filter(({ outcome }) => outcome === 'held')
    open.push(...held.slice(0, mostNamed - open.length))
    const around = await Promise.all(held.map((one) => peopleAround(asker, one)))
    for (const mailbox of around.flatMap((who) => mailboxesFor({ who }))) readers.add(mailbox)
  }
  return { counts, open, readers: readers.size }
}

/** The people of the stick, by the registers as they are today. */
export async function peopleAround(
  { organisation, now }: OrganisationNow,
  { stored: { state, depotId } }: StickOfRecall,
): Promise<ThoseAround> {
  const [crew, people] = await Promise.all([
    state.crewId === null ? undefined : organisation.crewNow(state.crewId, now),
    organisation.peopleNow(now),
  ])
  return { crew: crew?.body ?? null, people, depotId }
}

/** A recall that is not recorded has no id of its own. */
const supposedId = 'supposed'
