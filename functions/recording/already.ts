/** A fact that was recorded already is not recorded again: it is answered by what stands. */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import { registrationOn } from '../../shared-domain/state/state.ts'
import { notFound, type Refused, refused } from '../ground/errors.ts'
import { bodyHash, type Guard } from '../store/sticks.ts'
import type { Actor } from './actor.ts'
import type { FactEntry } from './entry.ts'
import { standsAtRecording } from './hours.ts'
import type { Outcome, There } from './outcome.ts'

/** An entry beside what is known of its id, and of another test that is its copy. */
export interface Presented {
  readonly entry: FactEntry
  readonly hash: string
  readonly guard: Guard | undefined
  readonly copyOf: string | undefined
}

/**
 * `mayStand`: something spoke against writing the entry, which may be that it stands already. Otherwise the guard's own
 * condition will tell.
 */
export async function presented(
  { organisation }: Actor,
  { stickId, entry, mayStand }: { readonly stickId: string; readonly entry: FactEntry; readonly mayStand: boolean },
): Promise<Presented> {
  const { waited, likeness, factId } = entry
  const [guard, copyOf] = await Promise.all([
    waited === undefined && mayStand ? organisation.sticks.guard(factId) : undefined,
    likeness === undefined ? undefined : organisation.sticks.copyOf(stickId, likeness),
  ])
  return { entry, guard, copyOf, hash: waited?.bodyHash ?? bodyHash(entry.kind, stickId, entry.body) }
}

/**
 * Answers what stands of the entry: undefined where it is news, `lost` where somebody else is writing it at this
 * moment.
 */
export async function already(by: Actor, one: Presented, there: There): Promise<Outcome | 'lost' | undefined> {
  const { entry, guard, hash, copyOf } = one
  if (guard !== undefined) {
    if (guard.bodyHash !== hash) throw alreadyUsed(entry.factId)
    // the report still waits for somebody to say which stick it is about, though one of this number has come since
    if (guard.stickId === undefined) throw notFound({ is: 'none: stick of a report', report: entry.factId })
    return again(by, { guard, entry }, there)
  }
  if (copyOf !== undefined) throw sameTest(copyOf)
  const day = entry.occurredOn as CalendarDate // a door whose facts may be known already has checked it
  if (there.kept.recorded === 0 || !entry.isKnown?.(there.kept.state, day)) return undefined
  return unchanged(by, day, there)
}

/** The same fact again: the stored outcome with the present state. */
async function again(
  { organisation }: Actor,
  { guard: { stickId = '', seq = 0 }, entry }: Pick<Presented, 'entry'> & { readonly guard: Guard },
  there: There,
): Promise<Outcome | 'lost'> {
  const fact = await organisation.sticks.fact(stickId, seq)
  if (fact === undefined || there.kept.recorded === 0) return 'lost'
  // the report was placed with another stick than that of the number it came in under
  if (stickId !== there.kept.stickId)
    return { ...asItStands(fact, there), stick: { ...there.kept, stickId }, maySee: false }
  const asStated = fact.occurredOn === entry.occurredOn && fact.at === entry.at
  const remarks = [...(entry.remarks ?? []), ...(asStated ? [] : [standsAtRecording(entry)])]
  return { ...asItStands(fact, there), remarks }
}

/** An entry that the register has already: the fact is the one that brought it. */
async function unchanged({ organisation }: Actor, day: CalendarDate, there: There): Promise<Outcome | 'lost'> {
  const { kept } = there
  const seq = registrationOn(kept.state, day)?.seq
  const fact = seq === undefined ? undefined : await organisation.sticks.fact(kept.stickId, seq)
  return fact === undefined ? 'lost' : asItStands(fact, there)
}

function asItStands(fact: RecordedFact, { kept, today, rules, maySee }: There): Outcome {
  const standing: Standing = standingOn(kept.state, today, rules)
  return { fact, stick: kept, standing, today, news: false, maySee, remarks: [] }
}

/** Answers by what stands both what is sent again later and what fails because the same is sent at this moment. */
export async function orWhatStands<T>(stands: () => Promise<T | undefined>, work: () => Promise<T>): Promise<T> {
  const known = await stands()
  if (known !== undefined) return known
  try {
    return await work()
  } catch (error) {
    const meanwhile = await stands()
    if (meanwhile === undefined) throw error
    return meanwhile
  }
}

export function alreadyUsed(factId: string): Refused {
  return refused({
    code: 'fact-id-used',
    refuses: { is: 'refused: fact id used', fact: factId },
  })
}

/** A copy would count as a second failure; a test that was truly repeated has another hour. */
export function sameTest(factId: string): Refused {
  return refused({
    code: 'same-test',
    refuses: { is: 'refused: same test', fact: factId },
  })
}
