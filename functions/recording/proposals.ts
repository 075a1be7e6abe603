/**
 * An edit that loosens waits for a second person, and is told to those who may approve it. It falls where the entry got
 * another edition meanwhile, since then it would loosen something else.
 */
import { randomUUID } from 'node:crypto'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { Correction, EditionCorrection } from '../../shared-domain/fact-bodies.ts'
import type { FleetEffect } from '../../shared-domain/loosening/effect.ts'
import type { Way } from '../../shared-domain/loosening/way.ts'
import { proposalOwed } from '../../shared-domain/notices/owed-for-proposal.ts'
import { type Action, may } from '../../shared-domain/rights.ts'
import { Refused } from '../ground/errors.ts'
import { depotOfProposal } from '../questions/deciders.ts'
import { editEffectFor } from '../questions/edit-effect.ts'
import { toEnter } from '../questions/registers.ts'
import { todayAt } from '../questions/today.ts'
import { type Proposal, proposal, proposedWrite } from '../store/proposals.ts'
import { owing, writeLeft } from '../store/still-owed.ts'
import type { Write } from '../store/table.ts'
import type { Actor } from './actor.ts'

/** The right by which an edit of each kind is entered. */
const rightTo: { readonly [kind in Proposal['kind']]: Action } = {
  ...toEnter,
  stick: 'enter a stick',
  correction: 'correct a fact',
  'tests before': 'count a test from before',
}

export interface Proposed {
  readonly proposal: Proposal
  /** nobody else of the organisation may approve it */
  readonly isAlone: boolean
}

interface Proposing {
  readonly kind: Proposal['kind']
  readonly id: string
  readonly body: object & { readonly effectiveFrom?: CalendarDate | undefined }
  readonly ways: readonly Way[]
  readonly editions: number
  /** the proposal's id, where it is known before */
  readonly proposalId?: string
  readonly fleet?: FleetEffect
  readonly corrects?: EditionCorrection
  /** further writes of the same transaction */
  readonly also?: readonly Write[]
}

export async function propose(by: Actor, proposing: Proposing): Promise<Proposed> {
  const { kind, id: entryId, body, ways, editions, proposalId = randomUUID(), corrects, also = [] } = proposing
  const { organisation, caller, now } = by
  const proposed: Proposal = {
    id: proposalId,
    kind,
    entryId,
    body,
    effectiveFrom: body.effectiveFrom ?? null,
    ways,
    fleet: proposing.fleet ?? (await editEffectFor(by, { kind, entryId, body })),
    by: caller.personId,
    at: now,
    editions,
    ...(corrects === undefined ? {} : { corrects }),
    state: 'open',
    decided: null,
  }
  const { today: day } = await todayAt(by, null)
  const approvers = await approversOf(by, proposed)
  const proposer = (await organisation.registers.inForce('person', caller.personId, day))?.body.name ?? caller.personId
  const notices = proposalOwed({ ...proposed, by: proposer, day, because: becauseOf(proposed) }, approvers)
  const { writes, left } = owing(organisation, {
    always: [proposedWrite(organisation, proposed), ...also],
    notices,
    cause: proposed.id,
    now,
  })
  const { done } = await organisation.table.transact(writes)
  if (!done) throw new Refused({ kind: 'try again' })
  await writeLeft(organisation, left)
  return { proposal: proposed, isAlone: approvers.length === 0 }
}

/** The reason why it is asked for, where that is said; undefined of all other proposals. */
export function becauseOf({ kind, corrects, body }: Proposal): string | undefined {
  if (corrects !== undefined) return corrects.reason
  const isSaid = kind === 'correction' || kind === 'tests before'
  return isSaid ? (body as Pick<Correction, 'reason'>).reason : undefined // checked when proposed
}

/** The proposal that was made before, as it is by now. */
export async function proposedAlready(by: Actor, id: string): Promise<Proposed> {
  const known = await proposal(by.organisation, id)
  if (known === undefined) throw new Refused({ kind: 'try again' })
  return { proposal: known, isAlone: (await approversOf(by, known)).length === 0 }
}

async function approversOf(by: Actor, one: Proposal) {
  const subject = await depotOfProposal(by.organisation, one)
  return (await by.organisation.entriesOfPeople(by.now))
    .filter(({ id, body: { role, depots, crewId = null } }) => {
      const person = { role, depots, crewId }
      return id !== one.by && may(person, 'decide a proposal', subject) && may(person, rightTo[one.kind], subject)
    })
    .map(({ body }) => body)
}
