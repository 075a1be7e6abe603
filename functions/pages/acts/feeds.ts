/** Calendar feeds of a crew: made, with an address that is told once, and revoked. */
import { html } from 'hono/html'
import { notFound } from '../../ground/errors.ts'
import type { Asker } from '../../questions/asker.ts'
import { directoryFor } from '../../questions/directory.ts'
import { type FeedWithMaker, feedsFor } from '../../questions/feeds.ts'
import type { Markup } from '../../web/web-page.ts'
import { documentOf } from '../layout.ts'
import type { PageWording } from '../wording.ts'
import { moment } from '../words.ts'
import type { Act, Acting } from './act.ts'
import { donePage } from './parts.ts'

const crewPath = (id: string) => `/crew?${new URLSearchParams({ crew: id })}`
const feedsPath = (id: string) => `/crews/${encodeURIComponent(id)}/feeds`

/** The crew whose they are, the clock of its moments, and the names of makers. */
interface Named {
  readonly crew: string
  readonly zone: string
  readonly person: (id: string) => string
}

async function namedFor(by: Asker, crewId: string): Promise<Named> {
  const { crews, depots, people } = await directoryFor(by)
  const crew = crews.find(({ id }) => id === crewId)
  const zone = depots.find(({ id }) => id === crew?.depotId)?.timeZone ?? 'UTC'
  return {
    crew: crew?.name ?? crewId,
    zone,
    person: (id) => people.find((one) => one.id === id)?.name ?? id,
  }
}

export const makeFeed: Act = {
  route: { method: 'POST', path: '/v1/crews/:id/feeds' },
  isFact: false,
  form: async ({ by, params, wording }) => {
    const { id = '' } = params
    const { say } = wording
    const feeds = await feedsFor(by, id)
    const named = await namedFor(by, id)
    return {
      title: say('feeds of crew', { crew: named.crew }),
      lead: say('feed follows'),
      about: feedList(feeds, named, wording),
      fields: [],
      send: say('make feed'),
      back: { path: crewPath(id), text: say('back to crew') },
    }
  },
  once: async (acting, { body }) => {
    const { id = '' } = acting.params
    const { url } = body as { readonly url: string } // the answer of a made feed has it
    const { say } = acting.wording
    const title = say('feed made')
    const main = html`<h1>${title}</h1>
<div role="status"><p>${say('feed told once')}</p>
<p class="secret"><a href="${url.replace(/^https?:/, 'webcal:')}">${say('subscribe')}</a></p>
<p class="secret"><code>${url}</code></p></div>
<p class="acts"><a href="${feedsPath(id)}">${say('back to feeds')}</a></p>`
    return documentOf({ title, main, more: 'crew' }, acting.wording)
  },
  done: async (acting) => doneTo(acting, acting.wording.say('feed made')),
}

export const revokeFeed: Act = {
  route: { method: 'POST', path: '/v1/crews/:id/feeds/:feedId/revoke' },
  isFact: false,
  form: async ({ by, params, wording }) => {
    const { id = '', feedId = '' } = params
    const { say } = wording
    const feed = (await feedsFor(by, id)).find((one) => one.feedId === feedId)
    if (feed === undefined) throw notFound({ is: 'none: feed', feed: feedId, crew: id })
    const named = await namedFor(by, id)
    return {
      title: say('revoke feed'),
      lead: say('revoke follows'),
      about: html`<ul class="feeds"><li>${feedInWords(feed, named, wording)}</li></ul>`,
      fields: [],
      send: feed.revokedAt === null ? say('revoke it') : null,
      back: { path: feedsPath(id), text: say('back to feeds') },
    }
  },
  done: async (acting) => doneTo(acting, acting.wording.say('feed revoked')),
}

const doneTo = ({ params: { id = '' }, wording }: Acting, title: string) =>
  donePage(
    { title, text: wording.say('feed follows'), onward: { path: feedsPath(id), text: wording.say('back to feeds') } },
    wording,
  )

function feedList(feeds: readonly FeedWithMaker[], named: Named, wording: PageWording): Markup {
  const { say } = wording
  if (feeds.length === 0) return html`<p class="empty">${say('no feeds')}</p>`
  return html`<ul class="feeds">${feeds.map((feed) => {
    const path = `${feedsPath(feed.crewId)}/${encodeURIComponent(feed.feedId)}/revoke`
    const revoke = feed.revokedAt === null ? html` <a class="do" href="${path}">${say('revoke feed')}</a>` : ''
    return html`<li>${feedInWords(feed, named, wording)}${revoke}</li>`
  })}</ul>`
}

function feedInWords(feed: FeedWithMaker, { zone, person }: Named, wording: PageWording): Markup {
  const { say } = wording
  const { madeAt, madeBy, revokedAt, revokedBy, makerLeft } = feed
  const made = say('feed made by', { who: person(madeBy), when: moment(madeAt, zone, wording) })
  const left = makerLeft && revokedAt === null ? html` <strong>${say('maker left')}</strong>` : ''
  const over =
    revokedAt === null
      ? ''
      : html` <strong>${say('feed revoked by', {
          who: person(revokedBy ?? ''),
          when: moment(revokedAt, zone, wording),
        })}</strong>`
  return html`<span>${made}${left}${over}</span>`
}
