/** The frame of every page: one document, one stylesheet, no script. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { html, raw } from 'hono/html'
import type { Markup, WebDocument } from '../web/web-page.ts'
import type { PageWording } from './wording.ts'

/** The files lie beside the source, and beside the bundle too. What comes later wins. */
const sheets = ['pages', 'lists', 'acts', 'registers', 'morning']
const stylesheet = sheets.map((name) => readFileSync(join(import.meta.dirname, `${name}.css`), 'utf8')).join('\n')

interface Content {
  readonly title: string
  readonly main: Markup
  readonly here?: 'roster' | 'outlook' | 'notices' | 'instruments' | 'changes' | 'registers'
}

export function documentOf({ title, main, here }: Content, { say, language }: PageWording): WebDocument {
  const link = (path: string, name: NonNullable<Content['here']>) =>
    html`<a href="${path}"${name === here ? raw(' aria-current="page"') : ''}>${say(name)}</a>`
  const body = html`<a class="skip" href="#main">${say('to the content')}</a>
<header><a class="name" href="/roster">Quarterturn</a><span>${say('what this is')}</span>
<nav aria-label="${say('lists')}">
${link('/roster', 'roster')}${link('/outlook', 'outlook')}${link('/notices', 'notices')}
${link('/instruments', 'instruments')}${link('/proposals', 'changes')} ${link('/registers', 'registers')}
</nav>
<form class="find" role="search" method="get" action="/roster"><label><span class="unseen">${say('find stick')}</span>
<input type="search" name="q" placeholder="${say('find hint')}" maxlength="64" autocomplete="off" spellcheck="false"></label>
<button>${say('find')}</button></form></header>
<main id="main">
${main}
</main>
<footer><p>${say('safety')}</p></footer>`
  return { language, title, stylesheet, body }
}
