/** A depot with its address and its hours in words, as far as its entry has them. */
import { html } from 'hono/html'
import type { Markup } from './web-page.ts'

export function depotLineOf(
  { name, address }: { readonly name: string; readonly address?: string | undefined },
  hoursInWords: string | undefined,
): Markup {
  const where = address === undefined ? '' : html` <span>${address}</span>`
  const when = hoursInWords === undefined ? '' : html` <span class="hours">${hoursInWords}</span>`
  return html`<p class="depot"><strong>${name}</strong>${where}${when}</p>`
}
