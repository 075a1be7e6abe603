/** What is still awaited of a notice once it was sent: that it arrives, and that its reader confirms it. */
import type { Instant } from '../../shared-domain/calendar.ts'
import { keysOf, unanswered, undelivered, unsentShards } from './keys.ts'
import { type Notice, shardOf } from './notices.ts'
import { confirmedWrite } from './sticks.ts'
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
export async function markAnswered(table: Table, notice: Notice, answeredAt: Instant): Promise<boolean> {
  const key = keysOf(notice.organisation).notice(notice.number)
  const change = answered(notice, answeredAt)
  const stick = isOfCrew(notice) ? crewKnowsWrite(table, notice) : null
  return (await withStick(table, table.change(key, change), stick)) || table.update(key, change)
}

/** Of a manager's confirmation alone nobody knows whether those who have the stick put it down. */
function isOfCrew({ to }: Notice): boolean {
  return to.role === 'crew' || to.role === 'foreman'
}

/** The stick of this notice, if it is to be confirmed, lies further down the list of those on hold. */
function crewKnowsWrite(table: Table, { organisation, answer, lines: [line] }: Notice): Write | null {
  if (answer === undefined || line === undefined) return null
  return confirmedWrite(table, keysOf(organisation), line.stickId, answer.about)
}

/**
 * Together with the stick where that can be: false where it was told of anew, or confirmed before, or somebody else was writing
 * to either each time. `write` itself is then for the caller to write alone.
 */
async function withStick(table: Table, write: Write, stick: Write | null): Promise<boolean> {
  if (stick === null) return false
  for (let tries = 0; tries < 3; tries++) {
    const outcome = await table.transact([write, stick])
    if (outcome.done) return true
    if (outcome.failed.length > 0) return false
  }
  return false
}

/** That somebody of the crew was told face to face counts like a confirmation. False where it was written before. */
export async function keptWithStick(table: Table, notice: Notice, kept: Write): Promise<boolean> {
  return (await withStick(table, kept, crewKnowsWrite(table, notice))) || (await table.transact([kept])).done
}

function answered(notice: Notice, answeredAt: Instant): Parameters<Table['update']>[1] {
  const ConditionExpression = 'attribute_exists(pk) AND attribute_not_exists(answeredAt)'
  if (notice.undeliveredWhy !== undefined) {
    const ExpressionAttributeValues = { ':at': answeredAt }
    return {
      UpdateExpression: 'SET answeredAt = :at',
      ConditionExpression,
      ExpressionAttributeValues,
    }
  }
  return {
    UpdateExpression: 'SET answeredAt = :at, #state = :sent REMOVE unsentKey, leaseUntil',
    ConditionExpression: `${ConditionExpression} AND attribute_not_exists(undeliveredWhy)`,
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: { ':at': answeredAt, ':sent': 'sent' },
  }
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
