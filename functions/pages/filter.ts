/** A choice among register entries, for the filters above the lists. */
import { html, raw } from 'hono/html'
import type { Markup } from '../web/web-page.ts'

interface Choice {
  readonly name: string
  readonly label: string
  /** what the choice of none is called */
  readonly none: string
  readonly entries: readonly (readonly [value: string, text: string])[]
  readonly chosen: string | undefined
}

export function select({ name, label, none, entries, chosen }: Choice): Markup {
  return html`<label>${label}<select name="${name}"><option value="">${none}</option>${entries.map(
    ([value, text]) => html`<option value="${value}"${value === chosen ? raw(' selected') : ''}>${text}</option>`,
  )}</select></label>`
}
