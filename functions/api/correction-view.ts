/** What says of a fact that it was a slip, as the API shows it beside that. */
import type { Corrected } from '../../shared-domain/state/known-now.ts'

export function correctionView({ factId, reason, recordedAt, recordedBy, approvedBy, instead }: Corrected) {
  return { factId, reason, recordedAt, recordedBy, approvedBy: approvedBy ?? null, instead }
}
