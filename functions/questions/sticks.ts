/** A stick, for those who may see it: how it stands, its history, its tests. */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import { localDateAt } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { registerIdPattern } from '../../shared-domain/identifier-pattern.ts'
import { may } from '../../shared-domain/rights.ts'
import { asKnownNow } from '../../shared-domain/state/known-now.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import { mustNotBeUsed } from '../../shared-domain/state/use.ts'
import { inOrder } from '../../shared-domain/state/when.ts'
import { notFound } from '../ground/errors.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { ToldTest } from './accounts.ts'
import type { Asker } from './asker.ts'
import { checkMayStick } from './rights.ts'
import { type SilentPerson, silentAbout } from './silent.ts'
import { rulesOn, standingToday, todayAt } from './today.ts'

/** The stick alone, where it exists and the caller may see it. */
export async function seenStick({ organisation, caller }: Asker, stickId: string): Promise<StoredStick> {
  const stored = await organisation.sticks.stored(stickId)
  if (stored === undefined) throw notFound({ is: 'none: stick', stick: stickId })
  checkMayStick(caller, 'read a stick', { crewId: stored.state.crewId, depotId: stored.depotId })
  return stored
}

/** The number of the stick that somebody typed, in whatever case they typed its letters. */
export async function stickCalled(
  { organisation, caller }: Asker,
  typed: string,
): Promise<{ readonly stickId: string } | 'unknown' | 'not yours'> {
  const spellings = [...new Set([typed, typed.toUpperCase(), typed.toLowerCase()])].filter((one) =>
    registerIdPattern.test(one),
  )
  const known = await organisation.sticks.known(spellings)
  const found = spellings.flatMap((one) => known.find(({ stickId }) => stickId === one) ?? [])[0]
  if (found === undefined) return 'unknown'
  const { stickId, depotId, state } = found
  return may(caller, 'read a stick', { crewId: state.crewId, depotId }) ? { stickId } : 'not yours'
}

export interface KnownStick {
  readonly stickId: string
  readonly state: StickState
  /** the depot where the stick lies */
  readonly depotId: string | null
}

export interface StickOnDay {
  readonly stick: KnownStick
  readonly standing: Standing
  /** the day that was asked for, else today where it lies */
  readonly day: CalendarDate
  /** the zone by whose clock the stick's days are told */
  readonly zone: string
}

export interface AsOf {
  /** the day by which facts had occurred */
  readonly on?: CalendarDate | undefined
  /** the day by which facts had been recorded */
  readonly asKnownOn?: CalendarDate | undefined
}

export async function stickFor(asker: Asker, stickId: string, { on, asKnownOn }: AsOf = {}): Promise<StickOnDay> {
  const stored = await seenStick(asker, stickId)
  const day = on ?? asKnownOn
  if (day === undefined) return asItStands(asker, stored)
  const { organisation } = asker
  const { zone } = await todayAt(asker, stored.depotId)
  const [binding, facts] = await Promise.all([rulesOn(organisation, day), organisation.sticks.facts(stickId)])
  const isKnown = ({ at }: { readonly at: Instant }) => asKnownOn === undefined || localDateAt(at, zone) <= asKnownOn
  const rules = { ...binding, recalls: binding.recalls.filter(isKnown) }
  const recorded = facts.filter((fact) => asKnownOn === undefined || localDateAt(fact.recordedAt, zone) <= asKnownOn)
  const known = asKnownNow(recorded)
  const [first] = inOrder(known.filter((fact) => fact.kind === 'registered'))
  if (first === undefined) throw notFound({ is: 'none: stick known on', stick: stickId, on: asKnownOn ?? day })
  // a judgement counts from when it is known, and moves no test in time; so does a correction
  const occurred = known.filter((fact) => fact.occurredOn <= day || fact.factId === first.fact.factId)
  // few ask for a day gone by: what folds a history is as long as all else here
  const { replay } = await import('../../shared-domain/state/fold.ts')
  const state = replay(occurred, stickId)
  return { stick: { ...stored, state }, standing: standingOn(state, day, rules), day, zone }
}

async function asItStands(asker: Asker, stick: StoredStick): Promise<StickOnDay> {
  const { standing, today, zone } = await standingToday(asker, stick)
  return { stick, standing, day: today, zone }
}

/** The stick's facts in the order of time. */
export async function historyFor(asker: Asker, stickId: string) {
  await seenStick(asker, stickId)
  return inOrder(await asker.organisation.sticks.facts(stickId))
}

interface WithHistory extends StickOnDay {
  /** facts as they were recorded, in no order */
  readonly facts: readonly RecordedFact[]
}

async function withHistory(asker: Asker, stickId: string): Promise<WithHistory> {
  const stored = await seenStick(asker, stickId)
  const [onDay, facts] = await Promise.all([asItStands(asker, stored), asker.organisation.sticks.facts(stickId)])
  return { ...onDay, facts }
}

export interface StickSheet extends WithHistory {
  /** the stick's newest test */
  readonly last: ToldTest | undefined
  /** people who were told that the stick must not be used, and have not confirmed that they know */
  readonly silent: readonly SilentPerson[]
}

/** All that is known of the stick today. */
export async function sheetFor(asker: Asker, stickId: string): Promise<StickSheet> {
  const known = await withHistory(asker, stickId)
  const { dueOn, status } = known.standing
  const [last, silent] = await Promise.all([
    toldTest(asker.organisation, { facts: known.facts, dueOn }),
    mustNotBeUsed(status) ? silentAbout(asker.organisation, known.stick) : [],
  ])
  return { ...known, last, silent }
}

/** The code that tells of a test is as long as all else here, and is loaded with the first test. */
const toldTest: typeof import('./accounts.ts')['toldTest'] = async (...asked) =>
  (await import('./accounts.ts')).toldTest(...asked)

export interface TestOfStick extends WithHistory {
  readonly test: ToldTest
}

export async function testFor(asker: Asker, stickId: string, factId: string): Promise<TestOfStick> {
  const known = await withHistory(asker, stickId)
  const { facts, standing } = known
  const test = await toldTest(asker.organisation, { facts, dueOn: standing.dueOn }, factId)
  if (test === undefined) throw notFound({ is: 'none: bench test', test: factId, stick: stickId })
  return { ...known, test }
}
