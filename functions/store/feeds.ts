/**
 * Calendar feeds of crews. Whoever holds a feed's address can read it, so the table knows only the hash of the secret
 * in it: what is copied out of the table opens none.
 */
import { createHash, randomBytes, randomUUID } from 'node:crypto'
import type { Instant } from '../../shared-domain/calendar.ts'
import { is, onlyIf } from './change.ts'
import { feedPointer, type Keys } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import type { Table } from './table.ts'

export interface Feed {
  readonly feedId: string
  readonly crewId: string
  readonly madeAt: Instant
  readonly madeBy: string
  readonly revokedAt: Instant | null
  readonly revokedBy: string | null
}

interface Pointer {
  readonly organisation: string
  readonly crewId: string
  readonly feedId: string
}

const asFeed = readerOf<Feed>('feed', {
  feedId: 'text',
  crewId: 'text',
  madeAt: 'text',
  madeBy: 'text',
  revokedAt: ['text', 'null'],
  revokedBy: ['text', 'null'],
})
const asPointer = readerOf<Pointer>('feed pointer', { organisation: 'text', crewId: 'text', feedId: 'text' })

interface By {
  readonly personId: string
  readonly now: Instant
}

const secretBytes = 32
const secretLetters = Math.ceil((secretBytes * 8) / 6)

export function feedsOf(table: Table, keys: Keys, organisation: string) {
  async function ofCrew(crewId: string): Promise<Feed[]> {
    const items = await table.all({ partition: ['pk', keys.feeds(crewId)], consistent: true })
    return readEach(items, asFeed).sort((a, b) => (a.madeAt < b.madeAt ? -1 : a.madeAt > b.madeAt ? 1 : 0))
  }

  async function one(crewId: string, feedId: string): Promise<Feed | undefined> {
    const item = await table.get(keys.feed(crewId, feedId))
    return item === undefined ? undefined : asFeed(item)
  }

  /** Makes a feed. Its secret is told here and never again. */
  async function make(crewId: string, { personId, now }: By): Promise<{ feed: Feed; secret: string }> {
    const secret = randomBytes(secretBytes).toString('base64url')
    const feedId = randomUUID()
    const feed: Feed = { feedId, crewId, madeAt: now, madeBy: personId, revokedAt: null, revokedBy: null }
    const { done } = await table.transact([
      table.putNew({ ...keys.feed(crewId, feedId), entity: 'feed', ...feed }),
      table.putNew({ ...feedPointer(hashOf(secret)), entity: 'feed pointer', organisation, crewId, feedId }),
    ])
    if (!done) throw new Error('a new feed met an older one of the same name')
    return { feed, secret }
  }

  /** Revokes the feed once and for ever; `lost` when somebody else revoked it meanwhile. */
  async function revoke(feed: Feed, { personId, now }: By): Promise<Feed | 'lost'> {
    const revoked: Feed = { ...feed, revokedAt: now, revokedBy: personId }
    const { done } = await table.transact([
      table.put({ ...keys.feed(feed.crewId, feed.feedId), entity: 'feed', ...revoked }, onlyIf(is('revokedAt', null))),
    ])
    return done ? revoked : 'lost'
  }

  return { ofCrew, one, make, revoke }
}

/** Answers the feed that this secret opens; undefined where there was never one. */
export async function feedBehind(table: Table, secret: string): Promise<Pointer | undefined> {
  if (secret.length !== secretLetters) return undefined
  const item = await table.get(feedPointer(hashOf(secret)))
  return item === undefined ? undefined : asPointer(item)
}

/** The secret is long and of chance alone, so that a plain hash cannot be turned round by trying. */
function hashOf(secret: string): string {
  return createHash('sha256').update(secret).digest('hex')
}
