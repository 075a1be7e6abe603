/** Whoever may decide a proposal: a second person with the rights of whoever asks for such an edit. */
import { isSecondPerson } from '../../shared-domain/loosening/proposal.ts'
import type { Subject } from '../../shared-domain/rights.ts'
import { notAllowed, Refused } from '../ground/errors.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Proposal } from '../store/proposals.ts'
import type { Asker } from './asker.ts'
import { checkMayEdit } from './edit-rights.ts'
import { checkMayStick, checkRole } from './rights.ts'

/** @throws Refused where the caller may not decide it */
export async function checkMayDecide(by: Asker, proposed: Proposal): Promise<void> {
  const { caller } = by
  checkRole(caller, 'decide a proposal')
  if (!isSecondPerson(caller, [{ personId: proposed.by }])) throw notAllowed({ is: 'not allowed: own proposal' })
  await checkMayEnter(by, proposed)
}

/** Answers what a page offers: the decision itself asks again. */
export async function mayDecide(by: Asker, proposed: Proposal): Promise<boolean> {
  try {
    await checkMayDecide(by, proposed)
    return true
  } catch (error) {
    if (error instanceof Refused) return false
    throw error
  }
}

async function checkMayEnter(by: Asker, proposed: Proposal): Promise<void> {
  const { kind, entryId: id, body } = proposed
  if (kind !== 'stick' && kind !== 'correction') return checkMayEdit(kind, { ...by, id, body })
  const action = kind === 'stick' ? 'enter a stick' : 'correct a fact'
  checkMayStick(by.caller, action, await depotOfProposal(by.organisation, proposed))
}

/** The depot to which the proposal belongs; none where it is everybody's. */
export async function depotOfProposal(organisation: Organisation, { kind, entryId, body }: Proposal): Promise<Subject> {
  const depotId = {
    depot: async () => entryId,
    crew: async () => ('depotId' in body ? String(body.depotId) : null),
    stick: async () => (await organisation.sticks.stored(entryId))?.depotId ?? null,
    correction: async () => (await organisation.sticks.stored(entryId))?.depotId ?? null,
    person: async () => null,
    instrument: async () => null,
    procedure: async () => null,
    demonstration: async () => null,
    policy: async () => null,
    organisation: async () => null,
  } satisfies { readonly [kind in Proposal['kind']]: () => Promise<string | null> }
  return { crewId: null, depotId: await depotId[kind]() }
}
