/** What makes a language: how the runtime knows it, its single words, and its sentences on sticks. */
import type { Language } from '../words.ts'
import type { core } from './en/core.ts'
import type { Translated, Vocabulary } from './say.ts'
import type { Tongue } from './values.ts'

/** The sentences on a stick that every reader may meet. */
export type Core = typeof core

export interface Spoken extends Tongue {
  readonly language: Language
  readonly vocabulary: Vocabulary
  readonly core: Translated<Core>
}
