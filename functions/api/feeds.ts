/** Calendar feeds of a crew: made, listed, revoked. What is behind an address is served by a door of its own. */
import { notAllowed, notFound, Refused, refused } from '../ground/errors.ts'
import { maySee } from '../questions/identity.ts'
import { type Feed, feedsOf } from '../store/feeds.ts'
import { feedAnswer, list, madeFeedAnswer } from './answer-schemas.ts'
import { type Request, type Route, route } from './request.ts'

const crewAndManagers = ['crew', 'manager', 'owner'] as const

/** More than a crew has people who subscribe for themselves. */
const mostInUse = 50

export const feedRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/crews/:id/feeds',
    summary:
      'Make a calendar feed of the due dates of the sticks of this crew. The address is told once: whoever has it can read the feed until it is revoked',
    allowed: crewAndManagers,
    answer: madeFeedAnswer,
    handle: make,
  }),
  route({
    method: 'GET',
    path: '/v1/crews/:id/feeds',
    summary: 'The calendar feeds of this crew, without their addresses; the oldest first',
    allowed: crewAndManagers,
    answer: list(feedAnswer),
    handle: async (request) => ({ status: 200, body: { items: (await inView(request)).map(shown), next: null } }),
  }),
  route({
    method: 'POST',
    path: '/v1/crews/:id/feeds/:feedId/revoke',
    summary: 'Revoke a calendar feed: from now on its address leads nowhere',
    allowed: crewAndManagers,
    answer: feedAnswer,
    handle: revoke,
  }),
]

async function make(request: Request) {
  const { organisation, caller, id, now, feedsUrl } = request
  const inUse = (await inView(request)).filter(({ revokedAt }) => revokedAt === null)
  if (inUse.length >= mostInUse) {
    const text = `This crew has ${mostInUse} feeds in use. Revoke one that nobody needs, then make another. Nothing was changed.`
    throw refused({ code: 'too-many-feeds', text })
  }
  const { table, keys, name } = organisation
  const { feed, secret } = await feedsOf(table, keys, name).make(id, { personId: caller.personId, now })
  return { status: 201, body: { ...shown(feed), url: `${feedsUrl}/feeds/${secret}.ics` } }
}

async function revoke({ organisation, caller, now, ...request }: Request) {
  await checkCrew({ organisation, caller, now, ...request })
  const { table, keys, name } = organisation
  const feeds = feedsOf(table, keys, name)
  for (let tries = 0; tries < 5; tries++) {
    const feed = await feeds.one(request.id, request.feedId)
    if (feed === undefined) throw notFound()
    const revoked = feed.revokedAt === null ? await feeds.revoke(feed, { personId: caller.personId, now }) : feed
    if (revoked !== 'lost') return { status: 200, body: shown(revoked) }
  }
  throw new Refused({ kind: 'try again' })
}

async function inView(request: Request): Promise<Feed[]> {
  await checkCrew(request)
  const { table, keys, name } = request.organisation
  return feedsOf(table, keys, name).ofCrew(request.id)
}

async function checkCrew({ organisation, caller, id }: Request): Promise<void> {
  const crew = (await organisation.registers.head('crew', id))?.newest.body
  if (crew === undefined) throw notFound()
  if (!maySee(caller, { crewId: id, depotId: crew.depotId })) throw notAllowed('This crew is not yours.')
}

function shown({ feedId, crewId, madeAt, madeBy, revokedAt, revokedBy }: Feed) {
  return { feedId, crewId, madeAt, madeBy, revokedAt, revokedBy }
}
