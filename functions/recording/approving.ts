/** A proposal waits for a second person. It is approved once or declined, never by whoever proposed it. */
import { noLongerStands } from '../../shared-domain/correcting.ts'
import type { Correction, EditionCorrection } from '../../shared-domain/fact-bodies.ts'
import { decideProposal, handsIn, handsInProof, isSecondPerson } from '../../shared-domain/loosening/proposal.ts'
import { decisionOwed } from '../../shared-domain/notices/owed-for-proposal.ts'
import type { Stick } from '../../shared-domain/registers.ts'
import { asKnownNow } from '../../shared-domain/state/known-now.ts'
import { inOrder } from '../../shared-domain/state/when.ts'
import { notAllowed, notFound, Refused, refused } from '../ground/errors.ts'
import { checkMayDecide } from '../questions/deciders.ts'
import { checkRole } from '../questions/rights.ts'
import { todayAt } from '../questions/today.ts'
import type { RegisterKind } from '../store/keys.ts'
import { type Decided, decidedWrite, type Proposal, proposal } from '../store/proposals.ts'
import type { Bodies } from '../store/registers.ts'
import { owing, writeLeft } from '../store/still-owed.ts'
import type { Write } from '../store/table.ts'
import type { Actor } from './actor.ts'
import { correctApproved } from './correcting.ts'
import { correctEditionApproved } from './correcting-editions.ts'
import { checkHadNoHandInTests, countApproved } from './counting-before.ts'
import { addApproved } from './editions.ts'
import { slipOf } from './instead.ts'
import { becauseOf } from './proposals.ts'
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
  if (kind === 'stick' || kind === 'correction') {
    try {
      // the body was checked when it was proposed
      if (kind === 'stick') await approveStick(by, found, writes)
      else await correctApproved(by, body as Correction, { proposer, also: writes, said: found.ways })
    } catch (error) {
      // somebody else may have decided in this moment
      const stands = await proposal(by.organisation, id)
      if (stands === undefined || stands.state === 'open') throw standsNoMore(error) ? fallen() : error
      return answeredBy(stands, 'approved')
    }
    await writeLeft(by.organisation, left)
    return closed
  }
  if (kind === 'tests before') {
    // cut off on the way, it is pressed once more: what was recorded stands
    await countApproved(by, found)
    const { done } = await by.organisation.table.transact(writes)
    if (!done) return answeredOr(by, { found, wanted: 'approved' }, tryAgain())
    await writeLeft(by.organisation, left)
    return closed
  }
  const edit = { kind, id: entryId, body: body as Bodies[RegisterKind] } // checked when it was proposed
  const outcome =
    found.corrects === undefined
      ? await addApproved(by, { ...edit, proposer, editions, also: writes })
      : await correctEditionApproved(by, found.corrects, { proposer, editions, also: writes })
  if (outcome !== 'added')
    return answeredOr(by, { found, wanted: 'approved' }, outcome === 'fallen' ? fallen() : tryAgain())
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
  const one = { stickId: entryId, body: body as Stick, depotId, today } // checked when it was proposed
  await registerApproved(by, one, { id, proposer, editions, also })
}

export async function decline(by: Actor, id: string, reason: string): Promise<Proposal> {
  const found = await toDecide(by, id)
  if (decideProposal(found.state, 'decline') === null) return answeredBy(found, 'declined')
  const closed: Closed = { ...found, state: 'declined', decided: { by: by.caller.personId, at: by.now, reason } }
  const { writes, left } = await closing(by, closed)
  const { done } = await by.organisation.table.transact(writes)
  if (!done) return answeredOr(by, { found, wanted: 'declined' }, tryAgain())
  await writeLeft(by.organisation, left)
  return closed
}

const tryAgain = () => new Refused({ kind: 'try again' })

interface Wanted {
  readonly found: Proposal
  readonly wanted: 'approved' | 'declined'
}

/** Answers what somebody else decided at this moment; where nobody did, throws why it did not come about. */
async function answeredOr(by: Actor, { found, wanted }: Wanted, otherwise: Refused): Promise<Proposal> {
  const stands = (await proposal(by.organisation, found.id)) ?? found
  if (stands.state === 'open') throw otherwise
  return answeredBy(stands, wanted)
}

/** Answers by what stands, where that is what the caller wanted: of two who decide at once one is first. */
function answeredBy(found: Proposal, wanted: 'approved' | 'declined'): Proposal {
  if (found.state === wanted) return found
  if (found.state === 'open') throw fallen()
  throw refused({ code: `proposal-${found.state}`, refuses: { is: `refused: ${found.state} already` } })
}

async function toDecide(by: Actor, id: string): Promise<Proposal> {
  checkRole(by.caller, 'decide a proposal')
  const found = await proposal(by.organisation, id)
  if (found === undefined) throw notFound({ is: 'none: proposal', proposal: id })
  await checkMayDecide(by, found)
  return found
}

/** Answers whether the approval failed because somebody corrected meanwhile what it would have corrected. */
function standsNoMore(error: unknown): boolean {
  if (!(error instanceof Refused) || error.refusal.kind !== 'refused') return false
  return error.refusal.reasons.some(({ code }) => code === noLongerStands.code)
}

/** A person who tested the stick, or entered it otherwise, does not say too that it is the stick that was tested. */
async function checkHadNoHand(by: Actor, proposed: Proposal): Promise<void> {
  const { kind, entryId, body } = proposed
  if (proposed.corrects !== undefined) return checkHadNoHandInEdition(by, proposed.corrects)
  if (kind === 'correction') return checkHadNoHandInSlip(by, body as Correction)
  if (kind === 'tests before') return checkHadNoHandInTests(by, proposed)
  if (kind !== 'stick' || !('sameStick' in body)) return
  const { organisation, caller } = by
  const facts = inOrder(asKnownNow(await organisation.sticks.facts(entryId))).map(({ fact }) => fact)
  const { today } = await todayAt(by, null)
  const name = (await organisation.registers.inForce('person', caller.personId, today))?.body.name
  if (isSecondPerson({ personId: caller.personId, name }, handsInProof(facts))) return
  throw notAllowed({ is: 'not allowed: hand in the proof' })
}

/** A person who entered or approved the edition that was a slip does not approve its correction. */
async function checkHadNoHandInEdition(by: Actor, { corrects }: EditionCorrection): Promise<void> {
  const { register, id, edition } = corrects
  const slip = (await by.organisation.registers.editions(register, id)).find((one) => one.edition === edition)
  const hands = [slip?.recordedBy, slip?.approvedBy]
  if (hands.includes(by.caller.personId)) throw notAllowed({ is: 'not allowed: hand in the edition' })
}

/** A person who tested, recorded or approved what was a slip does not say that it was one. */
async function checkHadNoHandInSlip(by: Actor, { corrects }: Correction): Promise<void> {
  const { slip } = await slipOf(by.organisation, corrects)
  const { today } = await todayAt(by, null)
  const { personId } = by.caller
  const name = (await by.organisation.registers.inForce('person', personId, today))?.body.name
  if (isSecondPerson({ personId, name }, handsIn(slip))) return
  throw notAllowed({ is: 'not allowed: hand in the slip' })
}

/** Writes of the decision, once, and of word of it. */
async function closing(by: Actor, closed: Closed) {
  const { organisation, now } = by
  const { today: day } = await todayAt(by, null)
  // a proposer who has left since is named still, and told nothing
  const [people, names] = await Promise.all([
    organisation.entriesOfPeople(now),
    organisation.registers.allInForce('person', day),
  ])
  const nameOf = (id: string) => names.find((one) => one.id === id)?.body.name ?? id
  const { id, state, decided } = closed
  const notices = decisionOwed(
    {
      ...closed,
      by: nameOf(closed.by),
      decidedBy: nameOf(decided.by),
      reason: decided.reason,
      day,
      because: becauseOf(closed),
    },
    { proposer: people.find((one) => one.id === closed.by)?.body, people: people.map(({ body }) => body) },
  )
  return owing(organisation, { always: [decidedWrite(organisation, id, { state, decided })], notices, cause: id, now })
}
