/** Data that the page of the bench hands its script. */
import type { BenchSentences } from '../catalogue/en/bench.ts'
import type { Tongue } from '../catalogue/values.ts'
import type { UnitSystem } from '../words.ts'
import type { BenchSheet } from './sheet.ts'

/** Words of bodies that are chosen among, or named. */
export type BenchChoice = 'reason' | 'defect' | 'water' | 'appearance' | 'outcome' | 'state' | 'demonstration'

export interface BenchTold {
  /** null on the page that opens without a link */
  readonly sheet: BenchSheet | null
  /** sentences with `{name}` where their values go */
  readonly words: { readonly [name in keyof BenchSentences]: string }
  /** values of bodies, and their words */
  readonly options: { readonly [choice in BenchChoice]: readonly (readonly [value: string, text: string])[] }
  readonly tongue: Tongue
  readonly units: UnitSystem
}
