/**
 * What loosens waits for a second person and is told to those who may approve it. It falls where the entry got another edition
 * meanwhile, since then it would loosen something else.
 */
import { randomUUID } from 'node:crypto'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { Way } from '../../shared-domain/loosening/way.ts'
import { proposalOwed } from '../../shared-domain/notices/owed-for-proposal.ts'
import { type Action, may, type Subject } from '../../shared-domain/rights.ts'
import { Refused } from '../ground/errors.ts'
import { editEffectFor } from '../questions/edit-effect.ts'
import { todayAt } from '../questions/today.ts'
import type { Organisation } from '../store/organisation.ts'
import { type Proposal, proposedWrite } from '../store/proposals.ts'
import { owing, writeLeft } from '../store/still-owed.ts'
import type { Actor } from './actor.ts'
import { toEnter } from './edit-rights.ts'

/** By which right whoever enters it does so. */
const rightTo: { readonly [kind in Proposal['kind']]: Action } = { ...toEnter, stick: 'enter a stick' }

export interface Proposed {
  readonly proposal: Proposal
  /** nobody else of the organisation may approve it */
  readonly isAlone: boolean
}

interface Proposing {
  readonly kind: Proposal['kind']
  readonly id: string
  readonly body: { readonly effectiveFrom?: CalendarDate | undefined }
  readonly ways: readonly Way[]
  readonly editions: number
}

export async function propose(by: Actor, { kind, id: entryId, body, ways, editions }: Proposing): Promise<Proposed> {
  const { organisation, caller, now } = by
  const proposed: Proposal = {
    id: randomUUID(),
    kind,
    entryId,
    body,
    effectiveFrom: body.effectiveFrom ?? null,
    ways,
    fleet: await editEffectFor(by, { kind, entryId, body }),
    by: caller.personId,
    at: now,
    editions,
    state: 'open',
    decided: null,
  }
  const { today: day } = await todayAt(by, null)
  const approvers = await approversOf(by, proposed)
  const proposer = (await organisation.registers.inForce('person', caller.personId, day))?.body.name ?? caller.personId
  const notices = proposalOwed({ ...proposed, by: proposer, day }, approvers)
  const { writes, left } = owing(organisation, {
    always: [proposedWrite(organisation, proposed)],
    notices,
    cause: proposed.id,
    now,
  })
  const { done } = await organisation.table.transact(writes)
  if (!done) throw new Refused({ kind: 'try again' })
  await writeLeft(organisation, left)
  return { proposal: proposed, isAlone: approvers.length === 0 }
}

/** To which depot it belongs; to none what is everybody's. */
export async function subjectOf(organisation: Organisation, { kind, entryId, body }: Proposal): Promise<Subject> {
  const depotId = {
    depot: async () => entryId,
    crew: async () => ('depotId' in body ? String(body.depotId) : null),
    stick: async () => (await organisation.sticks.stored(entryId))?.depotId ?? null,
    person: async () => null,
    instrument: async () => null,
    procedure: async () => null,
    demonstration: async () => null,
    policy: async () => null,
    organisation: async () => null,
  } satisfies { readonly [kind in Proposal['kind']]: () => Promise<string | null> }
  return { crewId: null, depotId: await depotId[kind]() }
}

async function approversOf(by: Actor, one: Proposal) {
  const subject = await subjectOf(by.organisation, one)
  return (await by.organisation.entriesOfPeople(by.now))
    .filter(({ id, body: { role, depots, crewId = null } }) => {
      const person = { role, depots, crewId }
      return id !== one.by && may(person, 'decide a proposal', subject) && may(person, rightTo[one.kind], subject)
    })
    .map(({ body }) => body)
}
