/** Who put a slip right. */
import type { CorrectedFact } from '../../shared-domain/state/known-now.ts'
import type { PageWording } from './wording.ts'

export function handsOf({ recordedBy: who, approvedBy: second }: CorrectedFact, say: PageWording['say']): string {
  return second === undefined ? who : say('approved by', { who, second })
}
