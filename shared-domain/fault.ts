/** A fault at one place of an input, as data: where it is (RFC 6901 pointer), what came, and what would be right. */
import type { misfits } from './catalogue/en/misfits.ts'
import type { refusing } from './catalogue/en/refusals.ts'
import type { Phrase, SaidOf } from './catalogue/say.ts'

/** Sentences on refusals that begin with this word. */
export type Refusing<Word extends string> = Extract<SaidOf<typeof refusing>, { readonly is: `${Word}: ${string}` }>
export type Expected = Refusing<'right'> | SaidOf<typeof misfits>

export interface Fault {
  /** the part of the request that `pointer` leads into; the body where it is left out */
  readonly in?: 'path' | 'query'
  readonly pointer: string
  readonly came: unknown
  /** a sentence in English only where another library wrote it */
  readonly expected: Expected | string
}

/**
 * What a schema asks for. A schema has no other place for it than the text of its errors, where it is written as JSON.
 */
export const expecting = (one: Expected): { readonly error: string } => ({ error: JSON.stringify(one) })

/** What a schema asked for by that text; the text itself where the schema's library wrote it. */
export const expectedBy = (message: string): Expected | string =>
  message.startsWith('{"is":') ? (JSON.parse(message) as Expected) : message

/** Names of which one would be right. */
export function either([one = '', ...others]: readonly string[]): Phrase {
  return others.length === 0 ? { is: 'right: this', one } : { is: 'right: this or', one, others: either(others) }
}
