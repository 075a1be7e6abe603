import type { QuarterTurn, SurfaceState } from './words.ts'

/** A reason why an answer is what it is, as data: every page and mail prints `text`; programs read the rest. */
export interface Reason {
  /** kebab-case name, stable */
  readonly code: string
  /** the reason, for people */
  readonly text: string
  readonly state?: SurfaceState
  readonly section?: string
  readonly quarterTurn?: QuarterTurn
  readonly fromMetres?: number
  readonly toMetres?: number
  readonly leakageMicroamps?: number
}
