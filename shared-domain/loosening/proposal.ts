/** The life of what waits for a second person. */
import type { Hand, RecordedFact } from '../facts.ts'
import { isAmong, type KnownPerson } from '../people.ts'

export const proposalStates = ['open', 'approved', 'declined', 'fallen'] as const
export type ProposalState = (typeof proposalStates)[number]

/** `entry changed`: what it was proposed on is no longer what stands there. */
export const proposalEvents = ['approve', 'decline', 'entry changed'] as const
export type ProposalEvent = (typeof proposalEvents)[number]

type Life = { readonly [state in ProposalState]: { readonly [event in ProposalEvent]: ProposalState | null } }

/** Total by its type: every state against every event. Where it says null the event changes nothing: it is decided once. */
const proposalLife: Life = {
  open: { approve: 'approved', decline: 'declined', 'entry changed': 'fallen' },
  approved: { approve: null, decline: null, 'entry changed': null },
  declined: { approve: null, decline: null, 'entry changed': null },
  fallen: { approve: null, decline: null, 'entry changed': null },
}

/** Null where nothing comes of it any more. */
export function decideProposal(state: ProposalState, event: ProposalEvent): ProposalState | null {
  return proposalLife[state][event]
}

/** Whoever proposed, tested or recorded it is no second person; the rights of the second are asked besides. */
export function isSecondPerson(who: KnownPerson, hadAHand: readonly Hand[]): boolean {
  return !isAmong(who, hadAHand)
}

/** Who did it, recorded it and approved it. */
export function handsIn(fact: RecordedFact): Hand[] {
  const { recordedBy, approvedBy, standsFor } = fact
  const people = [recordedBy, ...(approvedBy === undefined ? [] : [approvedBy])].map((personId) => ({ personId }))
  return [...people, ...namedIn(fact), ...(standsFor?.hands ?? [])]
}

/** By name, as it was handed in. */
function namedIn(fact: RecordedFact): Hand[] {
  if (fact.kind === 'tested')
    return [fact.test.testedBy, ...(fact.judgedAgain === undefined ? [] : [{ personId: fact.judgedAgain.recordedBy }])]
  if (fact.kind === 'corrective step') return [fact.step.by]
  return fact.kind === 'condition checked' ? [fact.check.by] : []
}

/** Of the test that would count again for a stick, and of the entries since: who did and recorded them. */
export function handsInProof(inOrder: readonly RecordedFact[]): Hand[] {
  const proof = inOrder.findLast((fact) => fact.kind === 'tested' && fact.judgement.verdict === 'pass')
  const since = inOrder.filter(({ kind, seq }) => kind === 'registered' && seq > (proof?.seq ?? 0))
  const tester = proof === undefined ? [] : handsIn(proof)
  return [...tester, ...since.map(({ recordedBy }) => ({ personId: recordedBy }))]
}
