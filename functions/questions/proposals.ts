/** Edits that would loosen, for those who read them. */
import type { Correction } from '../../shared-domain/fact-bodies.ts'
import { decideProposal, type ProposalState } from '../../shared-domain/loosening/proposal.ts'
import { correctionsBySlip } from '../../shared-domain/state/known-now.ts'
import { type Proposal, proposals } from '../store/proposals.ts'
import type { Asker } from './asker.ts'
import { checkRole } from './rights.ts'

export interface ListedProposal extends Proposal {
  /**
   * the state by now: a proposal whose entry got another edition meanwhile has fallen, without anybody having written
   * so
   */
  readonly stateNow: ProposalState
}

/** Proposals, the newest first. */
export async function proposalsFor(asker: Asker, state: string | undefined): Promise<ListedProposal[]> {
  checkRole(asker.caller, 'read proposals')
  const all = await proposals(asker.organisation)
  const listed = await Promise.all(all.map(async (one) => ({ ...one, stateNow: await stateNow(asker, one) })))
  return listed
    .filter((one) => state === undefined || one.stateNow === state)
    .sort((a, b) => (a.at === b.at ? (a.id < b.id ? -1 : 1) : a.at < b.at ? 1 : -1))
}

async function stateNow({ organisation: { registers, sticks } }: Asker, one: Proposal): Promise<ProposalState> {
  if (one.state !== 'open') return one.state
  // each test is looked at again when it is approved
  if (one.kind === 'tests before') return one.state
  if (one.kind === 'correction') return stillStands(sticks, one)
  const editions =
    one.kind === 'stick'
      ? ((await sticks.stored(one.entryId))?.state.registrations.length ?? 0)
      : await registers.countOf(one.kind, one.entryId)
  return editions === one.editions ? one.state : (decideProposal(one.state, 'entry changed') ?? one.state)
}

/** Answers the state of a correction that waits: it has fallen where its slip was corrected meanwhile. */
async function stillStands(
  sticks: Asker['organisation']['sticks'],
  { state, entryId, body }: Proposal,
): Promise<ProposalState> {
  const { corrects } = body as Correction // checked when it was proposed
  const isSlip = correctionsBySlip(await sticks.facts(entryId)).has(corrects)
  return isSlip ? (decideProposal(state, 'entry changed') ?? state) : state
}
