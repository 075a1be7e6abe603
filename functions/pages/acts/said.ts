/** What somebody said of a stick is on record: how the stick stands by it, what to do, and who is told. */
import { html } from 'hono/html'
import { directoryFor } from '../../questions/directory.ts'
import { standingToday } from '../../questions/today.ts'
import { stickIfSeen, toldOf } from '../../questions/told-of.ts'
import type { Answer } from '../../requests/problem.ts'
import type { Markup, WebDocument } from '../../web/web-page.ts'
import { documentOf } from '../layout.ts'
import type { PageWording } from '../wording.ts'
import { depotNameOf, namesIn, orderLine, orderMarkup } from '../words.ts'
import type { Acting, Done } from './act.ts'
import { stickPath } from './parts.ts'

/** The page that says so, with the fact that it is about. */
export const onward =
  (act: string) =>
  ({ params: { id = '' } }: Acting, { status, body }: Answer): string => {
    const { factId } = body as { readonly factId: string } // every fact is answered by its id
    const done: Done = status === 202 ? 'waits' : 'recorded'
    return `${stickPath(id)}/${act}?${new URLSearchParams({ done, fact: factId })}`
  }

interface Said {
  readonly way: Done
  readonly title: string
  /** the fact speaks for the stick, or is only kept: nobody who may not see the stick can have said it */
  readonly isQuiet?: true
}

export async function saidPage(acting: Acting, { way, title, isQuiet }: Said): Promise<WebDocument> {
  const { by, params, query, wording } = acting
  const { id: stick = '' } = params
  const { say } = wording
  const told = query.fact === undefined ? null : await toldOf(by, stick, query.fact)
  const stands = await standsNow(acting, stick)
  const order = stands ?? (isQuiet ? '' : orderLine('on hold', say('do not use')))
  const main = html`<h1>${title}</h1>
<div role="status">${order}
${way === 'waits' ? html`<p>${say('number unknown')}</p>` : toldMarkup(told, isQuiet === true, wording)}</div>
<p class="acts">${stands === null ? '' : html`<a href="${stickPath(stick)}">${say('to the stick', { stick })}</a>`}
<a href="${stickPath(stick)}/say">${say('say more', { stick })}</a>
<a href="/">${say('to my start')}</a></p>`
  return documentOf({ title, main }, wording)
}

async function standsNow({ by, wording }: Acting, stickId: string): Promise<Markup | null> {
  const stored = await stickIfSeen(by, stickId)
  if (stored === undefined) return null
  const [{ standing }, directory] = await Promise.all([standingToday(by, stored), directoryFor(by)])
  return orderMarkup({ standing, state: stored.state, place: depotNameOf(stored.depotId, namesIn(directory)) }, wording)
}

function toldMarkup(told: Awaited<ReturnType<typeof toldOf>>, isQuiet: boolean, wording: PageWording): Markup {
  const { say, list } = wording
  if (told === null || told.written.length + told.inPerson.length === 0)
    return html`<p>${say(isQuiet ? 'kept, nobody told' : 'report told')}</p>`
  const written = told.written.map(({ name, role }) => say('name and role', { name, role }))
  const inPerson =
    told.inPerson.length === 0 ? '' : html`<p>${say('asked to tell face to face', { names: list(told.inPerson) })}</p>`
  return html`<p>${say('told by mail', { names: list(written) })}</p>
${inPerson}`
}
