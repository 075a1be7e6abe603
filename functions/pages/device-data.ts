/** Data that a page hands its script: who is signed in, the build, and the sentences in the reader's language. */
import { html, raw } from 'hono/html'
import { device } from '../../shared-domain/catalogue/en/device.ts'
import type { Who } from '../web/reader.ts'
import type { Markup } from '../web/web-page.ts'
import { deviceBuild } from './device-files.ts'
import type { FirstWording } from './first-wording.ts'

/** Places in the sentences where the script puts its values. */
const places = Object.fromEntries(
  ['about', 'count', 'hours', 'minutes', 'status', 'when', 'why'].map((name) => [name, `{${name}}`]),
)

export function deviceMarkup(who: Who | undefined, wording: FirstWording): Markup | string {
  if (deviceBuild === null) return ''
  const told = { build: deviceBuild, language: wording.language, who: who?.ids ?? null, words: wordsIn(wording) }
  // a text that would end the script stands escaped
  const data = raw(JSON.stringify(told).replaceAll('<', '\\u003c'))
  return html`<script type="application/json" id="device">${data}</script>`
}

function wordsIn({ say }: FirstWording): Readonly<Record<string, string>> {
  const fill = say as (name: string, values: object) => string // every sentence of the part has its values among these
  return Object.fromEntries(Object.keys(device).map((name) => [name, fill(name, places)]))
}
