/** Looks up what `decide` asks for, until it has decided. Nothing is decided here. */
import { localDateAt } from '../../shared-domain/calendar.ts'
import {
  type Accepted,
  decide,
  type Known,
  type KnownRegisters,
  type Missing,
  type NotYet,
} from '../../shared-domain/decide.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { KeptStick } from '../../shared-domain/listing.ts'
import type { Crew } from '../../shared-domain/registers.ts'
import { invalid, refused } from '../ground/errors.ts'
import type { Actor } from './actor.ts'
import { crewGoneTo } from './clock-after.ts'

/** The stick, and the fact of it that is decided about. */
interface About {
  readonly before: KeptStick
  readonly fact: RecordedFact
  /** facts recorded together with this one, before it */
  readonly earlier: readonly RecordedFact[]
}

export interface Deciding extends About, Omit<Known, 'registers' | 'history' | 'now'> {}

type Found = Pick<Known, 'registers' | 'history'>

export async function decided(by: Actor, deciding: Deciding): Promise<Accepted> {
  const { before, fact, earlier: _, ...known } = deciding
  return untilDecided(by, deciding, (found) => decide(before, fact, { ...known, ...found, now: by.now }))
}

export async function untilDecided<Taken extends Accepted>(
  by: Actor,
  about: About,
  decideBy: (found: Found) => NotYet | ({ readonly outcome: 'accepted' } & Taken),
): Promise<Taken> {
  let found = await atHand(by, about)
  for (;;) {
    const decision = decideBy(found)
    switch (decision.outcome) {
      case 'accepted':
        return decision
      case 'refused':
        throw refused(...decision.reasons)
      case 'hour asked':
        throw invalid({ pointer: '/at', came: null, expected: decision.expected })
      case 'incomplete':
        found = await lookedUp(by, about, { ...found, ...decision })
    }
  }
}

/** The crews and the depot that `decide` will most likely ask for, known already from the way the stick was found. */
async function atHand(by: Actor, { before: { state, depotId }, fact }: About): Promise<Found> {
  const ids = [...new Set([state.crewId, crewGoneTo(fact, state)])].filter((id) => id != null)
  const [crews, name] = await Promise.all([
    Promise.all(ids.map(async (id) => [id, await crewNow(by, id)] as const)),
    depotId === null ? undefined : depotName(by, depotId),
  ])
  return {
    registers: { crews: new Map(crews), depotNames: new Map(depotId === null ? [] : [[depotId, name]]) },
  }
}

async function crewNow({ organisation, now }: Actor, id: string): Promise<Crew | undefined> {
  return (await organisation.crewNow(id, now))?.body
}

async function depotName({ organisation, now }: Actor, id: string): Promise<string | undefined> {
  return (await organisation.registers.depotNow(id, now))?.body.name
}

async function lookedUp(by: Actor, about: About, { registers, ...found }: Found & Missing): Promise<Found> {
  const { history } = found
  switch (found.missing) {
    case 'history':
      return { registers, history: await historyOf(by, about) }
    case 'people':
      return { history, registers: { ...registers, ...(await peopleNow(by, about)) } }
    case 'crew': {
      const crew = await crewNow(by, found.id)
      return { history, registers: { ...registers, crews: new Map([...registers.crews, [found.id, crew]]) } }
    }
    case 'depot': {
      const name = await depotName(by, found.id)
      return { history, registers: { ...registers, depotNames: new Map([...registers.depotNames, [found.id, name]]) } }
    }
  }
}

async function historyOf({ organisation }: Actor, { before, earlier }: About) {
  return [...(await organisation.sticks.facts(before.stickId)), ...earlier]
}

async function peopleNow(
  { organisation, now }: Actor,
  { fact }: About,
): Promise<Pick<KnownRegisters, 'people' | 'reportedBy'>> {
  const [people, reporter] = await Promise.all([
    organisation.peopleNow(now),
    organisation.registers.inForce('person', fact.recordedBy, localDateAt(now, 'UTC')),
  ])
  return { people, reportedBy: reporter?.body.name }
}
