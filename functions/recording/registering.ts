/**
 * A stick comes on the register, or its entry gets an edition: a fact like any other, or a proposal of one where it
 * would loosen.
 */
import { randomUUID } from 'node:crypto'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { canonical } from '../../shared-domain/canonical.ts'
import type { Stick } from '../../shared-domain/registers.ts'
import { registrationOn } from '../../shared-domain/state/state.ts'
import { Refused } from '../ground/errors.ts'
import type { Actor } from './actor.ts'
import type { Approved, FactEntry } from './entry.ts'
import { stickLoosenedBy } from './loosened-by.ts'
import type { Outcome } from './outcome.ts'
import { type Proposed, propose } from './proposals.ts'
import { fallenCode, record } from './record.ts'

export interface Registering {
  readonly stickId: string
  readonly body: Stick
  /** the depot where the stick lies, or will lie */
  readonly depotId: string | null
  readonly today: CalendarDate
}

export type Registered = ({ readonly outcome: 'recorded' } & Outcome) | ({ readonly outcome: 'proposed' } & Proposed)

export async function register(by: Actor, one: Registering): Promise<Registered> {
  const { stickId, body } = one
  for (let tries = 1; ; tries++) {
    const { ways, editions } = await stickLoosenedBy(by, one)
    if (ways.length > 0) {
      return { outcome: 'proposed', ...(await propose(by, { kind: 'stick', id: stickId, body, ways, editions })) }
    }
    try {
      const [outcome] = await record(by, stickId, { ...entryOf(one, randomUUID()), weighedWith: editions })
      return { outcome: 'recorded', ...outcome }
    } catch (error) {
      // an edit is weighed anew where another entry came in between
      if (!hasFallenBy(error)) throw error
      if (tries === mostTries) throw new Refused({ kind: 'try again' })
    }
  }
}

/** Twenty who enter one stick at one moment are all heard. */
const mostTries = 30

function hasFallenBy(error: unknown): boolean {
  if (!(error instanceof Refused) || error.refusal.kind !== 'refused') return false
  return error.refusal.reasons.some(({ code }) => code === fallenCode)
}

/** Registers what a second person approved, under the id of the proposal. */
export async function registerApproved(
  by: Actor,
  one: Registering,
  approved: Approved & { readonly id: string; readonly editions: number },
) {
  await record(by, one.stickId, { ...entryOf(one, approved.id), weighedWith: approved.editions, approved })
}

function entryOf({ body, depotId, today }: Registering, factId: string): FactEntry {
  return {
    factId,
    occurredOn: body.effectiveFrom ?? today,
    dateField: 'effectiveFrom',
    kind: 'registered',
    body,
    createsStick: { depotId },
    isKnown: (state, day) => canonical(registrationOn(state, day)?.stick) === canonical(body),
    happening: async () => ({ kind: 'registered', stick: body }),
  }
}
