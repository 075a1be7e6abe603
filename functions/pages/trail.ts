/**
 * Pages of a list that is read from a place on: the way on, and the way back by the places where the pages before
 * began.
 */
import { html } from 'hono/html'
import type { Markup } from '../web/web-page.ts'
import type { FirstWording } from './first-wording.ts'

/** Where a page of a list begins. */
export interface Trail {
  /** the place of the last row of the page before; undefined on the first page */
  readonly after: string | undefined
  /** the same of the pages before, the nearest last */
  readonly back: readonly string[]
}

export const atTheBeginning: Trail = { after: undefined, back: [] }

/** No place has the sign between two, and none is the word for the first page. */
const between = ','
const firstPage = '-'

/** An address stays short: whoever is further on goes back to the beginning. */
const mostKept = 20

/** What a link of ours cannot have named is passed over: then the list begins at its beginning. */
export function trailFrom(asked: (name: string) => string | undefined, isPlace: (place: string) => boolean): Trail {
  const after = asked('after')
  if (after === undefined || !isPlace(after)) return atTheBeginning
  const back = (asked('back') ?? '').split(between)
  const isOurs = asked('back') !== undefined && back.every((place) => place === firstPage || isPlace(place))
  return { after, back: isOurs && back.length <= mostKept ? back : [] }
}

function trailQuery({ after, back }: Trail): Record<string, string> {
  return after === undefined ? {} : { after, ...(back.length === 0 ? {} : { back: back.join(between) }) }
}

interface Turning {
  readonly trail: Trail
  /** the place where the next page begins; null on the last */
  readonly next: string | null
  readonly path: string
  /** what else the address asks for */
  readonly query: Readonly<Record<string, string | undefined>>
  readonly names: { readonly previous: string; readonly next: string; readonly first: string }
}

export function turning({ trail, next, path, query, names }: Turning, { say }: FirstWording): Markup | string {
  const { after, back } = trail
  const link = (to: Trail, name: string, rel: string) =>
    html`<a href="${addressWith(path, { ...query, ...trailQuery(to) })}" rel="${rel}">${name}</a>`
  const earlier = back.at(-1)
  const previous =
    after === undefined
      ? ''
      : earlier === undefined
        ? link(atTheBeginning, names.first, 'first')
        : link({ after: earlier === firstPage ? undefined : earlier, back: back.slice(0, -1) }, names.previous, 'prev')
  const further =
    next === null ? '' : link({ after: next, back: [...back, after ?? firstPage].slice(-mostKept) }, names.next, 'next')
  if (previous === '' && further === '') return ''
  return html`<nav class="pages" aria-label="${say('pages')}">${previous}${further}</nav>`
}

export function addressWith(path: string, query: Readonly<Record<string, string | undefined>>): string {
  const asked = new URLSearchParams()
  for (const [name, value] of Object.entries(query)) if (value !== undefined && value !== '') asked.set(name, value)
  const text = asked.toString()
  return text === '' ? path : `${path}?${text}`
}
