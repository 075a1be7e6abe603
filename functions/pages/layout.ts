/** The frame of every page: one document, one stylesheet, no script; and who is signed in, with the way out. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { html, raw } from 'hono/html'
import { mayAtAll } from '../../shared-domain/rights.ts'
import type { Who } from '../web/reader.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import type { FirstWording } from './first-wording.ts'

/** The files lie beside the source, and beside the bundle too. What comes later wins. */
const sheets = ['pages', 'lists', 'acts', 'registers', 'morning', 'sign-in']
const stylesheet = sheets.map((name) => readFileSync(join(import.meta.dirname, `${name}.css`), 'utf8')).join('\n')

interface Content {
  readonly title: string
  readonly main: Markup
  readonly here?: 'roster' | 'outlook' | 'notices' | 'instruments' | 'changes' | 'registers'
}

export function documentOf({ title, main, here }: Content, wording: FirstWording): WebDocument {
  const { say, language } = wording
  const body = (who?: Who) => html`<a class="skip" href="#main">${say('to the content')}</a>
<header><a class="name" href="/">Quarterturn</a><span>${say('what this is')}</span>
${who === undefined ? '' : navigation(who, here, wording)}</header>
<main id="main">
${main}
</main>
<footer><p>${say('safety')}</p></footer>`
  return { language, title, stylesheet, body }
}

/** Lists that the reader may read, who the reader is, and the way out. */
function navigation(who: Who, here: Content['here'], { say }: FirstWording): Markup {
  const link = (path: string, name: NonNullable<Content['here']>) =>
    html`<a href="${path}"${name === here ? raw(' aria-current="page"') : ''}>${say(name)}</a>`
  const { name, organisation, role } = who
  return html`<nav aria-label="${say('lists')}">
${link('/roster', 'roster')}${link('/outlook', 'outlook')}${link('/notices', 'notices')}
${mayAtAll(role, 'read instruments') ? link('/instruments', 'instruments') : ''}
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
