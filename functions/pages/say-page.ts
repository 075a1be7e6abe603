/** All that may be said of one stick, each a tap away: of any stick what is wrong, of one's own its uses and looks. */
import { html } from 'hono/html'
import { mayAtAll } from '../../shared-domain/rights.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { mayHandOver } from '../questions/hand-over.ts'
import { standingToday } from '../questions/today.ts'
import { stickIfSeen } from '../questions/told-of.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { stickPath } from './acts/parts.ts'
import { picture, whatHappened } from './acts/pictures.ts'
import { numberForm } from './crew-page.ts'
import { documentOf } from './layout.ts'
import type { PageWording } from './wording.ts'
import { depotNameOf, namesIn, orderMarkup } from './words.ts'

const ofAny = [
  { path: 'report', says: 'tile danger', shape: whatHappened.danger },
  { path: 'missing?to=missing', says: 'it is missing', shape: whatHappened.missing },
  { path: 'missing?to=found', says: 'it was found', shape: whatHappened.found },
] as const
const ofOwn = [
  { path: 'look', says: 'tile look', shape: whatHappened.look, right: 'record a check' },
  { path: 'use', says: 'tile use', shape: whatHappened.use, right: 'record a use' },
] as const
/** of a foreman alone, and of what may be used */
const toAnotherCrew = { path: 'hand-over', says: 'offer hand-over', shape: whatHappened.handedOver } as const

export async function sayPage(asker: Asker, stickId: string, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const [stored, directory] = await Promise.all([stickIfSeen(asker, stickId), directoryFor(asker)])
  const title = say('say of stick', { stick: stickId })
  const standing = stored === undefined ? undefined : (await standingToday(asker, stored)).standing
  const handsOver =
    stored !== undefined &&
    standing !== undefined &&
    (await mayHandOver(asker, { state: stored.state, status: standing.status }))
  const own = stored === undefined ? [] : ofOwn.filter(({ right }) => mayAtAll(asker.caller.role, right))
  const tiles = [...ofAny, ...own, ...(handsOver ? [toAnotherCrew] : [])].map(({ path, says, shape }) =>
    tile(`${stickPath(stickId)}/${path}`, say(says), shape),
  )
  const order =
    stored === undefined || standing === undefined
      ? html`<p class="lead">${say('not on your list')}</p>`
      : orderMarkup({ state: stored.state, standing, place: depotNameOf(stored.depotId, namesIn(directory)) }, wording)
  const main = html`<h1>${title}</h1>
${order}
<nav class="tiles" aria-label="${say('what to do here')}">${tiles}</nav>`
  return documentOf({ title, main, more: 'crew' }, wording)
}

const tile = (path: string, text: string, shape: string): Markup =>
  html`<a class="tile" href="${path}">${picture(shape)}<span>${text}</span></a>`

/** A number that no stick can have leads nowhere: it is typed again. */
export async function whichStickPage(typed: string, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const title = say('which stick')
  const wrong = typed === '' ? '' : html`<p class="trouble" role="alert">${say('an identifier')}</p>`
  return documentOf(
    { title, main: html`<h1>${title}</h1>${wrong}${numberForm(wording, typed)}`, more: 'crew' },
    wording,
  )
}
