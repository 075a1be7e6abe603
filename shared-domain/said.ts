/** Sentences as data, and how two of them are compared. */
import type { Reason } from './reason.ts'

/** A sentence of the catalogue with its values, or the words of whoever wrote it. */
interface Said {
  readonly says?: { readonly is: string } | undefined
  readonly text?: string | undefined
}

/** The content of a sentence as text, to sort and compare by: its values stand in no order in what was stored. */
export function contentOf({ says, text = '' }: Said): string {
  if (says === undefined) return text
  const values = Object.entries(says).map(([name, value]) => `${name}=${contentOfValue(value)}`)
  return values.sort().join(' ')
}

/** Phrases are told apart from words, and from each other, by what they are made of. */
function contentOfValue(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(contentOfValue).join(', ')}]`
  if (typeof value !== 'object' || value === null) return String(value)
  return `(${contentOf({ says: value as { readonly is: string } })})` // a phrase is the one object among values
}

type Placed = Said & Pick<Reason, 'state' | 'section' | 'quarterTurn' | 'fromMetres' | 'toMetres'>

/** The content of a reason with its place on the stick. */
export function contentAtPlace({ state, section, quarterTurn, fromMetres, toMetres, ...said }: Placed): string {
  return [state, section, quarterTurn, fromMetres, toMetres, contentOf(said)].join(' ')
}
