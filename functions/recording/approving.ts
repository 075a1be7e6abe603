/** What waits for a second person is approved once or declined, never by whoever proposed it. */
import { decideProposal, handsInProof, isSecondPerson } from '../../shared-domain/loosening/proposal.ts'
import { decisionOwed } from '../../shared-domain/notices/owed-for-proposal.ts'
import type { Stick } from '../../shared-domain/registers.ts'
import { inOrder } from '../../shared-domain/state/fold.ts'
import { asJudgedNow } from '../../shared-domain/state/judged-again.ts'
import { notAllowed, notFound, refused } from '../ground/errors.ts'
import { checkMayStick, checkRole } from '../questions/rights.ts'
import { todayAt } from '../questions/today.ts'
import type { RegisterKind } from '../store/keys.ts'
import { type Decided, decidedWrite, type Proposal, proposal } from '../store/proposals.ts'
import type { Bodies } from '../store/registers.ts'
import { owing, writeLeft } from '../store/still-owed.ts'
import type { Write } from '../store/table.ts'
import type { Actor } from './actor.ts'
import { checkMayEdit } from './edit-rights.ts'
import { addApproved } from './editions.ts'
import { subjectOf } from './proposals.ts'
import { fallen } from './record.ts'
import { registerApproved } from './registering.ts'

type Closed = Proposal & { readonly state: 'approved' | 'declined'; readonly decided: Decided }

export async function approve(by: Actor, id: string): Promise<Proposal> {
  const found = await toDecide(by, id)
  if (decideProposal(found.state, 'approve') === null) return answeredBy(found, 'approved')
  const closed: Closed = { ...found, state: 'approved', decided: { by: by.caller.personId, at: by.now } }
  await checkHadNoHand(by, found)
  const { writes, left } = await closing(by, closed)
  const { kind, entryId, body, by: proposer, editions } = found
  if (kind === 'stick') {
    try {
      await approveStick(by, found, writes)
    } catch (error) {
      // somebody else may have decided in this moment
      const stands = await proposal(by.organisation, id)
      if (stands === undefined || stands.state === 'open') throw error
      return answeredBy(stands, 'approved')
    }
    await writeLeft(by.organisation, left)
    return closed
  }
  const edit = { kind, id: entryId, body: body as Bodies[RegisterKind] } // it was checked when it was proposed
  const outcome = await addApproved(by, { ...edit, proposer, editions, also: writes })
  if (outcome === 'fallen') return answeredBy((await proposal(by.organisation, id)) ?? found, 'approved')
  await writeLeft(by.organisation, left)
  return closed
}

async function approveStick(
  by: Actor,
  { id, entryId, body, by: proposer, editions }: Proposal,
  also: readonly Write[],
) {
  const stored = await by.organisation.sticks.stored(entryId)
  const depotId = stored?.depotId ?? null
  const { today } = await todayAt(by, depotId)
  const one = { stickId: entryId, body: body as Stick, depotId, today } // it was checked when it was proposed
  await registerApproved(by, one, { id, proposer, editions, also })
}

export async function decline(by: Actor, id: string, reason: string): Promise<Proposal> {
  const found = await toDecide(by, id)
  if (decideProposal(found.state, 'decline') === null) return answeredBy(found, 'declined')
  const closed: Closed = { ...found, state: 'declined', decided: { by: by.caller.personId, at: by.now, reason } }
  const { writes, left } = await closing(by, closed)
  const { done } = await by.organisation.table.transact(writes)
  if (!done) return answeredBy((await proposal(by.organisation, id)) ?? found, 'declined')
  await writeLeft(by.organisation, left)
  return closed
}

/** Of two who decide at once one is first; who wanted the same is answered by what stands. */
function answeredBy(found: Proposal, wanted: 'approved' | 'declined'): Proposal {
  if (found.state === wanted) return found
  if (found.state === 'open') throw fallen()
  throw refused({ code: `proposal-${found.state}`, text: whyNot[found.state] })
}

const whyNot = {
  approved: 'This proposal was approved already.',
  declined: 'This proposal was declined already.',
} as const

async function toDecide(by: Actor, id: string): Promise<Proposal> {
  const { organisation, caller } = by
  checkRole(caller, 'decide a proposal')
  const found = await proposal(organisation, id)
  if (found === undefined) throw notFound()
  if (!isSecondPerson(caller, [{ personId: found.by }]))
    throw notAllowed('Somebody other than the proposer approves or declines.')
  await checkMayEnter(by, found)
  return found
}

/** Who tested it, or entered it otherwise, does not say too that it is the stick that was tested. */
async function checkHadNoHand(by: Actor, { kind, entryId, body }: Proposal): Promise<void> {
  if (kind !== 'stick' || !('sameStick' in body)) return
  const { organisation, caller } = by
  const facts = inOrder(asJudgedNow(await organisation.sticks.facts(entryId))).map(({ fact }) => fact)
  const { today } = await todayAt(by, null)
  const name = (await organisation.registers.inForce('person', caller.personId, today))?.body.name
  if (isSecondPerson({ personId: caller.personId, name }, handsInProof(facts))) return
  throw notAllowed('Who tested this stick, or entered it since, does not approve that it is the same stick.')
}

/** The same rights as of whoever asks for it. */
async function checkMayEnter(by: Actor, found: Proposal): Promise<void> {
  const { kind, entryId: id, body } = found
  if (kind !== 'stick') return checkMayEdit(kind, { ...by, id, body })
  checkMayStick(by.caller, 'enter a stick', await subjectOf(by.organisation, found))
}

/** The decision, once, and word of it. */
async function closing(by: Actor, closed: Closed) {
  const { organisation, now } = by
  const { today: day } = await todayAt(by, null)
  // who proposed and has left since is named still, and told nothing
  const [people, names] = await Promise.all([
    organisation.entriesOfPeople(now),
    organisation.registers.allInForce('person', day),
  ])
  const nameOf = (id: string) => names.find((one) => one.id === id)?.body.name ?? id
  const { id, state, decided } = closed
  const notices = decisionOwed(
    { ...closed, by: nameOf(closed.by), decidedBy: nameOf(decided.by), reason: decided.reason, day },
    { proposer: people.find((one) => one.id === closed.by)?.body, people: people.map(({ body }) => body) },
  )
  return owing(organisation, { always: [decidedWrite(organisation, id, { state, decided })], notices, cause: id, now })
}
