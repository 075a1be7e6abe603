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
  if (kind !== 'stick' && kind !== 'correction' && kind !== 'tests before')
    return checkMayEdit(kind, { ...by, id, body })
  checkMayStick(by.caller, toDecide[kind], await depotOfProposal(by.organisation, proposed))
}

const toDecide = {
  stick: 'enter a stick',
  correction: 'correct a fact',
  'tests before': 'count a test from before',
} as const

/** Sticks of several depots are decided about by whoever has every depot. */
async function depotOfAll({ sticks }: Organisation, stickIds: readonly string[]): Promise<string | null> {
  const all = await Promise.all(stickIds.map(async (id) => (await sticks.stored(id))?.depotId ?? null))
  const depots = new Set(all)
  return depots.size > 1 ? '*' : ([...depots][0] ?? null)
}

/** The depot to which the proposal belongs; none where it is everybody's. */
export async function depotOfProposal(organisation: Organisation, { kind, entryId, body }: Proposal): Promise<Subject> {
  const depotId = {
    depot: async () => entryId,
    crew: async () => ('depotId' in body ? String(body.depotId) : null),
    stick: async () => (await organisation.sticks.stored(entryId))?.depotId ?? null,
    correction: async () => (await organisation.sticks.stored(entryId))?.depotId ?? null,
    // checked when it was proposed
    'tests before': async () => depotOfAll(organisation, (body as { readonly stickIds: readonly string[] }).stickIds),
    person: async () => null,
    instrument: async () => null,
    procedure: async () => null,
    demonstration: async () => null,
    policy: async () => null,
    organisation: async () => null,
  } satisfies { readonly [kind in Proposal['kind']]: () => Promise<string | null> }
  return { crewId: null, depotId: await depotId[kind]() }
}
