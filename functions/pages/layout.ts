/** The frame of every page: one document, one stylesheet, one script; and who is signed in, with the way out. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { html, raw } from 'hono/html'
import { mayAtAll } from '../../shared-domain/rights.ts'
import { houseStyle } from '../web/house-style.ts'
import type { Who } from '../web/reader.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { deviceMarkup } from './device-data.ts'
import { appIn } from './device-files.ts'
import type { FirstWording } from './first-wording.ts'

/** The files lie beside the source, and beside the bundle too. What comes later wins. */
const sheets = ['pages', 'lists', 'acts', 'registers', 'morning', 'sign-in', 'device', 'phone']
const sheet = (name: string) => readFileSync(join(import.meta.dirname, `${name}.css`), 'utf8')
export const stylesheet = [houseStyle, ...sheets.map(sheet)].join('\n')

/** Sheets of pages that few readers open, read with the first of them. */
const further = new Map<string, string>()
function sheetsWith(name: Content['more']): string {
  if (name === undefined) return stylesheet
  const both = further.get(name) ?? `${stylesheet}\n${sheet(name)}`
  further.set(name, both)
  return both
}

interface Content {
  readonly title: string
  readonly main: Markup
  readonly here?:
    | 'our sticks'
    | 'at the bench'
    | 'roster'
    | 'outlook'
    | 'notices'
    | 'instruments'
    | 'recalls'
    | 'changes'
    | 'registers'
  /** a sheet of its own */
  readonly more?: 'crew' | 'imports' | 'plan' | 'bench'
  /** a script of its own */
  readonly script?: 'bench'
}

export function documentOf({ title, main, here, more, script }: Content, wording: FirstWording): WebDocument {
  const { say, language } = wording
  const body = (who?: Who) => html`<a class="skip" href="#main">${say('to the content')}</a>
<header><a class="name" href="/">Quarterturn</a><span>${say('what this is')}</span>
${who === undefined ? '' : navigation(who, here, wording)}</header>
<main id="main">
${main}
</main>
<footer><p>${say('safety')}</p></footer>
${deviceMarkup(who, wording)}`
  return { language, title, stylesheet: sheetsWith(more), app: appIn(language, script), body }
}

/** Lists that the reader may read, who the reader is, and the way out. */
function navigation(who: Who, here: Content['here'], { say }: FirstWording): Markup {
  const link = (path: string, name: NonNullable<Content['here']>) =>
    html`<a href="${path}"${name === here ? raw(' aria-current="page"') : ''}>${say(name)}</a>`
  const { name, organisation, role } = who
  return html`<nav aria-label="${say('lists')}">
${role === 'crew' ? link('/crew', 'our sticks') : ''}
${mayAtAll(role, 'record a test') ? link('/bench', 'at the bench') : ''}
${link('/roster', 'roster')}${link('/outlook', 'outlook')}${link('/notices', 'notices')}
${mayAtAll(role, 'read instruments') ? link('/instruments', 'instruments') : ''}
${mayAtAll(role, 'read recalls') ? link('/recalls', 'recalls') : ''}
${mayAtAll(role, 'read proposals') ? link('/proposals', 'changes') : ''}
${link('/registers', 'registers')}
</nav>
<form class="find" role="search" method="get" action="/roster"><label><span class="unseen">${say('find stick')}</span>
<input type="search" name="q" placeholder="${say('find hint')}" maxlength="64" autocomplete="off"
spellcheck="false"></label>
<button>${say('find')}</button></form>
<p class="who"><span>${say('signed in as', { name, organisation })}</span>
<a href="/sign-out">${say('sign out')}</a></p>`
}
