/** The life of what waits for a second person. */
import type { Hand, RecordedFact } from '../facts.ts'
import { isAmong, type KnownPerson } from '../people.ts'

export const proposalStates = ['open', 'approved', 'declined', 'fallen'] as const
export type ProposalState = (typeof proposalStates)[number]

/** `entry changed`: the entry is no longer the one that the proposal was made on. */
export const proposalEvents = ['approve', 'decline', 'entry changed'] as const
export type ProposalEvent = (typeof proposalEvents)[number]

type Life = { readonly [state in ProposalState]: { readonly [event in ProposalEvent]: ProposalState | null } }

/**
 * The table is total by its type: every state against every event. Null means that the event changes nothing: a
 * proposal is decided once.
 */
const proposalLife: Life = {
  open: { approve: 'approved', decline: 'declined', 'entry changed': 'fallen' },
  approved: { approve: null, decline: null, 'entry changed': null },
  declined: { approve: null, decline: null, 'entry changed': null },
  fallen: { approve: null, decline: null, 'entry changed': null },
}

/** The state that the event leads to; null where nothing comes of the event any more. */
export function decideProposal(state: ProposalState, event: ProposalEvent): ProposalState | null {
  return proposalLife[state][event]
}

/**
 * A second person is somebody who neither proposed, tested nor recorded it. The rights of the second person are asked
 * besides.
 */
export function isSecondPerson(who: KnownPerson, hadAHand: readonly Hand[]): boolean {
  return !isAmong(who, hadAHand)
}

/** The people who did what the fact tells, recorded it or approved it. */
export function handsIn(fact: RecordedFact): Hand[] {
  const { recordedBy, approvedBy, standsFor } = fact
  const people = [recordedBy, ...(approvedBy === undefined ? [] : [approvedBy])].map((personId) => ({ personId }))
  return [...people, ...namedIn(fact), ...(standsFor?.hands ?? [])]
}

/** The people named in the fact as it was handed in, and whoever judged it again. */
function namedIn(fact: RecordedFact): Hand[] {
  if (fact.kind === 'tested')
    return [fact.test.testedBy, ...(fact.judgedAgain === undefined ? [] : [{ personId: fact.judgedAgain.recordedBy }])]
  if (fact.kind === 'tested before') return fact.before.testedBy === undefined ? [] : [fact.before.testedBy]
  if (fact.kind === 'corrective step') return [fact.step.by]
  return fact.kind === 'condition checked' ? [fact.check.by] : []
}

/** The people with a hand in the test that would count again for a stick, or in an entry recorded since. */
export function handsInProof(inOrder: readonly RecordedFact[]): Hand[] {
  const proof = inOrder.findLast((fact) => fact.kind === 'tested' && fact.judgement.verdict === 'pass')
  const since = inOrder.filter(({ kind, seq }) => kind === 'registered' && seq > (proof?.seq ?? 0))
  const tester = proof === undefined ? [] : handsIn(proof)
  return [...tester, ...since.map(({ recordedBy }) => ({ personId: recordedBy }))]
}
