/** Parts of lists: a choice among register entries, for the filter above, and the headings of columns. */
import { html, raw } from 'hono/html'
import type { Markup } from '../web/web-page.ts'
import type { PageWording } from './wording.ts'

interface Choice {
  readonly name: string
  readonly label: Markup | string
  /** what the choice of none is called */
  readonly none: string
  readonly entries: readonly (readonly [value: string, text: string])[]
  readonly chosen: string | undefined
}

export function select({ name, label, none, entries, chosen }: Choice): Markup {
  const options = entries.map(
    ([value, text]) => html`<option value="${value}"${value === chosen ? raw(' selected') : ''}>${text}</option>`,
  )
  return html`<label>${label}<select name="${name}"><option value="">${none}</option>${options}</select></label>`
}

/** The messages of the catalogue that name a column are said with no value. */
type Heading =
  | ('stick' | 'status' | 'due' | 'where' | 'crew' | 'why')
  | ('duty' | 'rule' | 'last done')
  | ('day' | 'what happened' | 'recorded in history')
  | ('when' | 'empty' | 'with check piece' | 'right by procedure')
  | ('told at' | 'what' | 'sticks' | 'readers and outcome')
  | ('instrument' | 'calibration' | 'counts through' | 'last calibrated' | 'instrument spans')
  | ('calibrated on' | 'due again' | 'as found' | 'certificate' | 'uncertainty')
  | ('chart reading' | 'chart step')
  | ('tested on' | 'verdict' | 'check dry' | 'check wet')

export function headings(names: readonly Heading[], { say }: PageWording): Markup {
  return html`<thead><tr>${names.map((name) => html`<th scope="col">${say(name)}</th>`)}</tr></thead>`
}
