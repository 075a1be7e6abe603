/** The text of a rule as data: its clocks, and what it lets an employer turn on. */
import { constructions } from '../words.ts'
import type { Requirement } from './requirement.ts'

/** Sticks of a text that speaks of the tool, whoever relies on it for what. */
export const everyStick: Requirement['appliesTo'] = { primaryProtectionOnly: false, constructions: [...constructions] }

/** The longest that a rule lets the calibration of an instrument count, whatever its certificate says. */
export interface CalibrationCap {
  /** the id by which an employer turns it on */
  readonly id: string
  readonly months: number
  readonly cited: string
}

export interface RulePack {
  readonly id: string
  readonly title: string
  /** a warning that a reader must know before relying on the pack */
  readonly caveat: string
  readonly requirements: readonly Requirement[]
  /** a cap is off unless the employer turns it on: most certificates of instruments state a period of their own */
  readonly calibrationCap?: CalibrationCap
}
