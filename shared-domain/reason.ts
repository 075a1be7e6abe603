import type { reasons } from './catalogue/en/reasons.ts'
import type { SaidOf } from './catalogue/say.ts'
import type { QuarterTurn, SurfaceState } from './words.ts'

/** A reason why an answer is what it is, as data: pages, mails and the API say it in their reader's words. */
export interface Reason {
  /** kebab-case name, stable */
  readonly code: string
  /** the sentence and its values; `wording.ts` says it */
  readonly says?: SaidOf<typeof reasons>
  /** the words of whoever gave the reason, or the English sentence that an earlier build recorded in place of `says` */
  readonly text?: string
  readonly state?: SurfaceState
  readonly section?: string
  readonly quarterTurn?: QuarterTurn
  readonly fromMetres?: number
  readonly toMetres?: number
  readonly leakageMicroamps?: number
}
