/** One clock of a rule, as data: what evidence winds it, how long it runs, for which sticks, and who says so. */
import type { Construction } from '../words.ts'

/** What a stick can show for itself. A full bench test that counts is the first three at once; wood is tested dry only. */
export const evidenceKinds = ['examination', 'dry test', 'wet test', 'demonstrated examination'] as const
export type EvidenceKind = (typeof evidenceKinds)[number]

export interface Requirement {
  readonly id: string
  /** the duty in plain words */
  readonly words: string
  /** document and section, as printed beside the date */
  readonly source: string
  readonly jurisdiction: string
  /** how the text was read: in the issuing body's own words, or in a copy */
  readonly confidence: 'read in a copy of the rule' | 'read in a secondary copy' | 'from memory'
  /** all of these are needed; the clock runs from the oldest of the newest of each */
  readonly evidence: readonly EvidenceKind[]
  /** what winds it too, for these constructions, where the employer's policy lets an examination stand alone */
  readonly examinationOnly?: readonly Construction[]
  /** counted from the evidence date by calendar months, clamped: never later than the anniversary */
  readonly intervalMonths: number
  readonly appliesTo: { readonly primaryProtection: true; readonly constructions: readonly Construction[] }
}

export interface RulePack {
  readonly id: string
  readonly title: string
  /** what a reader must know before relying on it */
  readonly caveat: string
  readonly requirements: readonly Requirement[]
}
