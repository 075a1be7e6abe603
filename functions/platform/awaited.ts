/** What is still awaited of a notice once it was sent: that it arrives, and that its reader confirms it. */
import type { Instant } from '../../shared-domain/calendar.ts'
import { keysOf, unanswered, undelivered, unsentShards } from './keys.ts'
import { type Notice, shardOf } from './notices.ts'
import { readAs, type Table, type Write } from './table.ts'

/** Did not reach their readers, and nobody was told of that yet, of every organisation. */
export function undeliveredBy(table: Table, now: Instant): Promise<Notice[]> {
  return queued(table, undelivered, now)
}

async function queued(table: Table, queue: (shard: string) => string, now: Instant): Promise<Notice[]> {
  const shards = unsentShards.map((shard) =>
    table.all({ index: 'unsent-notices', partition: ['unsentKey', queue(shard)], between: ['owedAt', '0', now] }),
  )
  return readAs<Notice>((await Promise.all(shards)).flat())
}

/** Everybody who is to know of it is told. Fails where somebody else did so. */
export function undeliveredToldWrite(table: Table, notice: Notice, now: Instant): Write {
  return table.change(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression: 'SET passedOnAt = :now REMOVE unsentKey',
    ConditionExpression: 'unsentKey = :undelivered',
    ExpressionAttributeValues: { ':now': now, ':undelivered': undelivered(shardOf(notice.number)) },
  })
}

/**
 * Confirmed as read, once; false where it was before, or its mail came back since `notice` was read. That it came back stays to
 * be told all the same.
 */
export function markAnswered(table: Table, notice: Notice, answeredAt: Instant): Promise<boolean> {
  const key = keysOf(notice.organisation).notice(notice.number)
  const ConditionExpression = 'attribute_exists(pk) AND attribute_not_exists(answeredAt)'
  if (notice.undeliveredWhy !== undefined) {
    const ExpressionAttributeValues = { ':at': answeredAt }
    return table.update(key, {
      UpdateExpression: 'SET answeredAt = :at',
      ConditionExpression,
      ExpressionAttributeValues,
    })
  }
  return table.update(key, {
    UpdateExpression: 'SET answeredAt = :at, #state = :sent REMOVE unsentKey, leaseUntil',
    ConditionExpression: `${ConditionExpression} AND attribute_not_exists(undeliveredWhy)`,
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: { ':at': answeredAt, ':sent': 'sent' },
  })
}

/** Sent, and not confirmed as read by now though it was to be, of every organisation. */
export async function silentBy(table: Table, now: Instant): Promise<Notice[]> {
  const found = await queued(table, unanswered, now)
  return found.filter(({ answerBy }) => answerBy !== undefined && answerBy <= now)
}

/**
 * Nothing more is awaited of it: the next person is told, or the cause is gone. Fails where it was answered meanwhile, or
 * came back: of that the managers are still to hear, and the queue it was found in may be behind.
 */
export function passOnWrite(table: Table, notice: Notice, now: Instant): Write {
  return table.change(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression: 'SET passedOnAt = :now REMOVE unsentKey',
    ConditionExpression: 'unsentKey = :unanswered',
    ExpressionAttributeValues: { ':now': now, ':unanswered': unanswered(shardOf(notice.number)) },
  })
}
