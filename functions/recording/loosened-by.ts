/**
 * The ways in which an edit would loosen. What the edit stands among and what bears on it is looked up here, and
 * weighed in the domain.
 */
import { type CalendarDate, localDateAt } from '../../shared-domain/calendar.ts'
import { inForce, notTakenBack } from '../../shared-domain/in-force.ts'
import { type Edit as Weighable, waysOfLoosening } from '../../shared-domain/loosening/loosening.ts'
import { isTakenBack } from '../../shared-domain/loosening/taken-back.ts'
import { contentOfWay, type Dated, type Pair, type Way } from '../../shared-domain/loosening/way.ts'
import { rulesFrom } from '../../shared-domain/policy/rules.ts'
import type { Stick } from '../../shared-domain/registers.ts'
import type { RegisterKind } from '../store/keys.ts'
import { employerPolicyId } from '../store/organisation.ts'
import type { Bodies, Edition } from '../store/registers.ts'
import type { Actor } from './actor.ts'

export interface Loosened {
  readonly ways: readonly Way[]
  /** the edition that it takes back, as its author may */
  readonly takesBack?: string
  /** the number of editions that the entry had when it was weighed */
  readonly editions: number
}

interface Weighed<K extends RegisterKind> {
  readonly kind: K
  readonly id: string
  readonly body: Bodies[K]
  readonly effectiveFrom: CalendarDate
}

export async function loosenedBy<K extends RegisterKind>(by: Actor, one: Weighed<K>): Promise<Loosened> {
  const { kind, id, body, effectiveFrom } = one
  const { registers } = by.organisation
  const editions = await registers.countOf(kind, id)
  const all = editions === 0 ? [] : await registers.editions(kind, id)
  const before = notTakenBack(all)
  const after = { effectiveFrom, body }
  const weighable = { kind, id, before, after, known: await knownFor(by, one) }
  const ways = waysOfLoosening(weighable as unknown as Weighable) // the kind decides the rest
  const slip = await slipPutRight(by, one, before)
  return slip === undefined ? { ways, editions } : { ways: [], editions, takesBack: slip }
}

/** An edition that was a slip, and what is to stand in its place. */
export interface EditionSlip<K extends RegisterKind> {
  readonly kind: K
  readonly id: string
  readonly slip: Edition<Bodies[K]>
  readonly instead: Dated<Bodies[K]>
  /** editions that stand, the slip among them */
  readonly before: readonly Edition<Bodies[K]>[]
}

/**
 * The ways in which the edition instead would be milder: on the day of the slip, on its own day, and beside the slip
 * itself.
 */
export async function editionSlipLoosenedBy<K extends RegisterKind>(by: Actor, one: EditionSlip<K>): Promise<Way[]> {
  const { kind, id, slip, instead, before } = one
  const known = await knownFor(by, { kind, id, ...instead })
  const others = before.filter(({ edition }) => edition !== slip.edition)
  const after = [...others, instead].sort((a, b) => (a.effectiveFrom < b.effectiveFrom ? -1 : 1))
  const days = [...new Set([slip.effectiveFrom, instead.effectiveFrom])]
  const pairs = days.flatMap((day) => {
    const [was, is] = [inForce(before, day), inForce(after, day)]
    return was === undefined || is === undefined ? [] : [[was, { effectiveFrom: day, body: is.body }] as const]
  })
  const ways = [[slip, instead] as const, ...pairs].flatMap(([was, is]) => {
    const weighable = { kind, id, before: [was], after: is, known } as unknown as Weighable // the kind decides the rest
    return waysOfLoosening(weighable)
  })
  return eachOnce(ways)
}

/** Answers what else bears on an edit, by the kind of entry. */
async function knownFor<K extends RegisterKind>(by: Actor, { kind, id }: Weighed<K>): Promise<object> {
  const today = localDateAt(by.now, 'UTC')
  if (kind === 'depot') return { today }
  if (kind === 'crew') return { today, zones: await zonesByDepot(by, today) }
  if (kind === 'policy') return { pinned: await pinnedPacks(by, today) }
  if (kind === 'procedure') return { others: await bodiesFrom(by, 'procedure', id) }
  return {}
}

/** Packs that any of the organisation's entries pins, of the one in force and those to come. */
async function pinnedPacks({ organisation: { registers, name } }: Actor, today: CalendarDate): Promise<string[]> {
  const entries = await registers.inForceFrom('organisation', name, today)
  return [...new Set(entries.flatMap(({ body }) => body.packs))]
}

async function zonesByDepot(by: Actor, today: CalendarDate): Promise<ReadonlyMap<string, readonly string[]>> {
  const { registers } = by.organisation
  const depots = await registers.depotsNow(by.now)
  const zones = depots.map(async ({ id }) => {
    const all = await registers.inForceFrom('depot', id, today)
    return [id, all.map(({ body }) => body.timeZone)] as const
  })
  return new Map(await Promise.all(zones))
}

/** Bodies of every entry but one: those in force and those to come. */
async function bodiesFrom<K extends RegisterKind>({ organisation: { registers }, now }: Actor, kind: K, but?: string) {
  const today = localDateAt(now, 'UTC')
  const ids = (await registers.allInForce(kind, today)).map(({ id }) => id).filter((id) => id !== but)
  const all = await Promise.all(ids.map((id) => registers.inForceFrom(kind, id, today)))
  return all.flat().map(({ body }) => body)
}

/** The ways in which an edit of a stick's entry would loosen. */
export async function stickLoosenedBy(
  by: Actor,
  one: { readonly stickId: string; readonly body: Stick; readonly today: CalendarDate },
): Promise<Loosened> {
  const { stickId: id, body, today } = one
  const stored = await by.organisation.sticks.stored(id)
  if (stored === undefined) return { ways: [], editions: 0 }
  const { registrations } = stored.state
  const after = { effectiveFrom: body.effectiveFrom ?? today, body }
  const before = registrations.map(({ effectiveFrom, stick }) => ({ effectiveFrom, body: stick }))
  const ways = waysOfLoosening({ kind: 'stick', id, before, after, known: await knownOfStick(by, today) })
  const isSlip = ways.length > 0 && (await isEntrySlip(by, id, after))
  return { ways: isSlip ? [] : ways, editions: registrations.length }
}

/**
 * An entry of a stick that was a slip: what it says beside what is to be read in its place, and the same on each day
 * that matters.
 */
interface EntrySlip {
  readonly stickId: string
  readonly pairs: readonly Pair<Dated<Stick>>[]
}

/**
 * The ways in which what is read in place of a stick's entry that was a slip is milder, whenever that entry was made.
 */
export async function slipLoosenedBy(by: Actor, { stickId: id, pairs }: EntrySlip): Promise<readonly Way[]> {
  const known = await knownOfStick(by, localDateAt(by.now, 'UTC'))
  return eachOnce(
    pairs.flatMap(({ before, after }) => waysOfLoosening({ kind: 'stick', id, before: [before], after, known })),
  )
}

const eachOnce = (ways: readonly Way[]) => [...new Map(ways.map((way) => [contentOfWay(way), way])).values()]

async function knownOfStick(by: Actor, today: CalendarDate) {
  const policies = await by.organisation.registers.inForceFrom('policy', employerPolicyId, today)
  return {
    requirements: policies.flatMap((policy) => rulesFrom(policy.body, policy.edition).requirements),
    procedures: await bodiesFrom(by, 'procedure'),
  }
}

/**
 * Answers as for the registers whether an edit puts its author's slip right; a stick's facts themselves tell whether
 * anything came since.
 */
async function isEntrySlip(by: Actor, stickId: string, after: Dated<Stick>): Promise<boolean> {
  const facts = await by.organisation.sticks.facts(stickId)
  const entered = facts.flatMap((one) =>
    one.kind === 'registered'
      ? [
          {
            effectiveFrom: one.occurredOn,
            body: one.stick,
            by: one.recordedBy,
            enteredOn: localDateAt(one.recordedAt, 'UTC'),
          },
        ]
      : [],
  )
  const newest = facts.at(-1)
  const recordedUnder = newest?.kind !== 'registered' || newest.standsFor !== undefined
  return isTakenBack(entered, after, { by: by.caller.personId, today: localDateAt(by.now, 'UTC'), recordedUnder })
}

/**
 * Answers the edition that is put right as a slip: the newest, taken back by its author on the day they made it, where
 * nothing was judged by it yet.
 */
async function slipPutRight<K extends RegisterKind>(
  by: Actor,
  { kind, body, effectiveFrom }: Weighed<K>,
  before: readonly Edition<Bodies[K]>[],
): Promise<string | undefined> {
  const entered = [...before]
    .sort((a, b) => a.number - b.number)
    .map((one) => ({ ...one, by: one.recordedBy, enteredOn: localDateAt(one.recordedAt, 'UTC') }))
  const newest = entered.at(-1)
  // an edition in place of a slip was weighed beside that slip, which is no longer there to be seen
  if (newest === undefined || newest.takesBack !== undefined) return undefined
  const today = localDateAt(by.now, 'UTC')
  const taking = { by: by.caller.personId, today, recordedUnder: false }
  if (!isTakenBack(entered, { effectiveFrom, body }, taking)) return undefined
  return (await isJudgedBy(by, kind, newest)) ? undefined : newest.edition
}

/**
 * Answers whether anything was judged by the edition. Tests are found by their instrument. By a policy and by a day far
 * more than tests is judged, so of other entries it is taken for granted.
 */
async function isJudgedBy(
  by: Actor,
  kind: RegisterKind,
  { edition, effectiveFrom }: Edition<unknown>,
): Promise<boolean> {
  if (kind !== 'procedure' && kind !== 'instrument') return true
  const { registers, sticks } = by.organisation
  const instruments = await registers.allInForce('instrument', localDateAt(by.now, 'UTC'))
  const tests = await Promise.all(instruments.map(({ id }) => sticks.testsFrom(id, effectiveFrom)))
  return tests
    .flat()
    .some((fact) => fact.pinned.procedureEdition === edition || fact.pinned.instrumentEditions.includes(edition))
}
