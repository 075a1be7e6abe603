/** What says of a fact that it was a slip, as the API shows it beside that. */
import type { CorrectedFact } from '../../shared-domain/state/known-now.ts'

export function correctionView({ factId, reason, recordedAt, recordedBy, approvedBy, instead }: CorrectedFact) {
  return { factId, reason, recordedAt, recordedBy, approvedBy: approvedBy ?? null, instead }
}
