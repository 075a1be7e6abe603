/** A correction as the API shows it beside the fact that was the slip. */
import type { CorrectedFact } from '../../shared-domain/state/known-now.ts'

export function correctionView({ factId, reason, recordedAt, recordedBy, approvedBy, instead }: CorrectedFact) {
  return { factId, reason, recordedAt, recordedBy, approvedBy: approvedBy ?? null, instead }
}
