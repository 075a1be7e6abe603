/** A recall, and a stick of it, as the API answers them. */
import type { StickOfRecall } from '../questions/recalls.ts'
import type { KeptRecall } from '../store/recalls.ts'
import { shownHold } from './english.ts'

export const stateOfRecall = ({ closed }: KeptRecall) => (closed === undefined ? 'open' : 'closed')

export function recallView(recall: KeptRecall) {
  const { id, cause, reason, by, at, settledThrough, closed = null } = recall
  const settled = settledThrough === null ? 'all' : 'goes on'
  return { id, cause, reason, by, at, state: stateOfRecall(recall), settled, closed }
}

export function stickOfRecallView({
  stored,
  standing,
  outcome,
  isKnown,
  isIn,
  isMissing,
  hold,
  readings,
}: StickOfRecall) {
  const { stickId, state, depotId } = stored
  return {
    stickId,
    outcome,
    status: standing.status,
    crewId: state.crewId,
    depotId,
    custody: standing.custody,
    isConfirmed: isKnown,
    isBroughtIn: isIn,
    isMissing,
    hold: hold === undefined ? null : shownHold(hold),
    readings,
  }
}
