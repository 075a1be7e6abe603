/** How a person signs in, on the page of their entry: what stands, what others did to it, and what may be done. */
import { html } from 'hono/html'
import type { Asker } from '../../questions/asker.ts'
import { signInFor } from '../../questions/person-sign-in.ts'
import type { Markup } from '../../web/web-page.ts'
import { moment, sharedZone } from '../words.ts'
import type { Drawing } from './drawing.ts'
import { type Entry, entryPath, mayChange } from './registers.ts'

export async function signInSection(asker: Asker, entry: Entry, { directory, wording }: Drawing): Promise<Markup> {
  const { say } = wording
  const { register, id } = entry
  const { signIn, acts } = await signInFor(asker, id)
  const when = (at: Parameters<typeof moment>[0]) => moment(at, sharedZone(directory), wording)
  const nameOf = (who: string) => directory.people.find((one) => one.id === who)?.name ?? who
  const at = `${entryPath(register, id)}/sign-in`
  const free = html`<a class="act" href="${at}/free">${say('bind anew')}</a>`
  const ways = html`<p>${id === asker.caller.personId ? '' : free}
<a class="act" href="${at}/sign-out">${say('sign them out')}</a></p>`
  return html`<h2>${say('their sign-in')}</h2>
<p>${signIn?.boundAt === undefined ? say('not bound') : say('bound since', { when: when(signIn.boundAt) })}</p>
${
  acts.length === 0
    ? ''
    : html`<ul class="reasons">${acts.map(
        ({ act, by, at: on, reason: text }) =>
          html`<li>${say(act === 'set free' ? 'was set free' : 'was signed out', { who: nameOf(by), when: when(on) })}
${say('recorded', { text })}</li>`,
      )}</ul>`
}
${mayChange(asker.caller, register, entry) ? ways : ''}`
}
