/** A choice among register entries, for the filters above the lists. */
import { html, raw } from 'hono/html'
import type { Markup } from '../web/web-page.ts'

export function select(
  name: string,
  label: string,
  none: string,
  entries: readonly (readonly [string, string])[],
  chosen: string | undefined,
): Markup {
  return html`<label>${label}<select name="${name}"><option value="">${none}</option>${entries.map(
    ([value, text]) => html`<option value="${value}"${value === chosen ? raw(' selected') : ''}>${text}</option>`,
  )}</select></label>`
}
