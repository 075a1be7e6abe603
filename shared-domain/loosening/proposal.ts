/** The life of what waits for a second person. */

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
export function isSecondPerson(who: string, hadAHand: readonly string[]): boolean {
  return !hadAHand.includes(who)
}
