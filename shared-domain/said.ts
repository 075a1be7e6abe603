/** Sentences as data, and how two of them are compared. */
import type { Reason } from './reason.ts'

/** A sentence of the catalogue with its values, or the words of whoever wrote it. */
interface Said {
  readonly says?: { readonly is: string } | undefined
  readonly text?: string | undefined
}

/** It in a few words of its own, for whoever sorts or compares: values stand in no order in what was stored. */
export function contentOf({ says, text = '' }: Said): string {
  if (says === undefined) return text
  const values = Object.entries(says).map(([name, value]) => `${name}=${String(value)}`)
  return values.sort().join(' ')
}

type Placed = Said & Pick<Reason, 'state' | 'section' | 'quarterTurn' | 'fromMetres' | 'toMetres'>

/** The same with the place on the stick. */
export function contentAtPlace({ state, section, quarterTurn, fromMetres, toMetres, ...said }: Placed): string {
  return [state, section, quarterTurn, fromMetres, toMetres, contentOf(said)].join(' ')
}
