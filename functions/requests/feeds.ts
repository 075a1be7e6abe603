/** Calendar feeds of a crew: made, listed, revoked. The calendar behind an address is served by a door of its own. */
import { notFound, Refused, refused } from '../ground/errors.ts'
import { type FeedWithMaker, feedsFor, keptFeeds, withMaker } from '../questions/feeds.ts'
import { cut, pageQuery } from './paging.ts'
import { type Request, type Route, route } from './request.ts'

/** The most feeds that a crew may have in use: more than it has people who subscribe for themselves. */
const mostInUse = 50

export const feedRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/crews/:id/feeds',
    summary:
      'Make a calendar feed of the due dates of the sticks of this crew. The address is told once: whoever has it ' +
      'can read the feed until it is revoked',
    action: 'keep feeds',
    answer: 'made feed',
    handle: make,
  }),
  route({
    method: 'GET',
    path: '/v1/crews/:id/feeds',
    summary: 'The calendar feeds of this crew, without their addresses; the oldest first',
    action: 'keep feeds',
    answer: 'list of feed',
    query: pageQuery,
    handle: async (request) => {
      const items = await feedsFor(request, request.id)
      const keyOf = ({ madeAt, feedId }: FeedWithMaker) => `${madeAt}#${feedId}`
      return { status: 200, body: cut({ items, keyOf, show: shown }, request.query) }
    },
  }),
  route({
    method: 'POST',
    path: '/v1/crews/:id/feeds/:feedId/revoke',
    summary: 'Revoke a calendar feed: from now on its address leads nowhere',
    action: 'keep feeds',
    answer: 'feed',
    handle: revoke,
  }),
]

async function make(request: Request) {
  const { caller, id, now, feedsUrl } = request
  const feeds = await keptFeeds(request, id)
  const inUse = (await feeds.ofCrew(id)).filter(({ revokedAt }) => revokedAt === null)
  if (inUse.length >= mostInUse) {
    throw refused({ code: 'too-many-feeds', refuses: { is: 'refused: too many feeds', most: mostInUse } })
  }
  const { feed, secret } = await feeds.make(id, { personId: caller.personId, now })
  return { status: 201, body: { ...shown(await withMaker(request, feed)), url: `${feedsUrl}/feeds/${secret}.ics` } }
}

async function revoke(request: Request) {
  const { caller, id, feedId, now } = request
  const feeds = await keptFeeds(request, id)
  for (let tries = 0; tries < 5; tries++) {
    const feed = await feeds.one(id, feedId)
    if (feed === undefined) throw notFound({ is: 'none: feed', feed: feedId, crew: id })
    const revoked = feed.revokedAt === null ? await feeds.revoke(feed, { personId: caller.personId, now }) : feed
    if (revoked !== 'lost') return { status: 200, body: shown(await withMaker(request, revoked)) }
  }
  throw new Refused({ kind: 'try again' })
}

function shown({ feedId, crewId, madeAt, madeBy, revokedAt, revokedBy, makerLeft }: FeedWithMaker) {
  return { feedId, crewId, madeAt, madeBy, revokedAt, revokedBy, makerLeft }
}
