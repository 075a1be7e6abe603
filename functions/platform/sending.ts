/** How a notice leaves: lent to one sender at a time, then sent, given back or set aside. */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import type { UndeliveredWhy } from '../../shared-domain/notices/notice.ts'
import { keysOf, unanswered, undelivered, unsent, unsentShards, unsentUrgent } from './keys.ts'
import { type Notice, shardOf } from './notices.ts'
import { readAs, type Table, type Write } from './table.ts'

/** By when its sender is done with it: who no longer holds this very lease changes nothing. */
export type Lease = Instant

/** Lent to one sender at a time; null when it is sent already or another holds the lease. */
export async function claim(
  table: Table,
  notice: Pick<Notice, 'number' | 'organisation'>,
  now: Instant,
  leaseSeconds: number,
): Promise<Lease | null> {
  const lease = addSeconds(now, leaseSeconds)
  const claimed = await table.update(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression: 'SET #state = :claimed, leaseUntil = :until ADD attempts :one',
    ConditionExpression: '#state = :owed OR (#state = :claimed AND leaseUntil < :now)',
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: { ':claimed': 'claimed', ':owed': 'owed', ':now': now, ':until': lease, ':one': 1 },
  })
  return claimed ? lease : null
}

/** Out of the queue; where an answer is awaited, into that of those unanswered. */
const leaves = ({ number, answer, answeredAt }: Notice, sentAt: Instant) =>
  answer === undefined || answeredAt !== undefined
    ? { set: '', remove: 'REMOVE unsentKey, leaseUntil', values: {} }
    : {
        // nobody can answer what has not come yet
        set: ', unsentKey = :unanswered, answerBy = :by',
        remove: 'REMOVE leaseUntil',
        values: {
          ':unanswered': unanswered(shardOf(number)),
          ':by': addSeconds(sentAt, answer.withinHours * 3600),
        },
      }

/** Whoever holds the lease by now: the mail is out. What came after, such as an answer or a bounce, is not taken back. */
export async function markSent(table: Table, notice: Notice, sentAt: Instant, messageId: string): Promise<void> {
  const { set, remove, values } = leaves(notice, sentAt)
  await table.update(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression: `SET #state = :sent, sentAt = :at, messageId = :id${set} ${remove}`,
    // confirmed between the sending and now: nothing is awaited any more
    ConditionExpression: 'attribute_not_exists(answeredAt) AND (#state = :owed OR #state = :claimed)',
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: {
      ':sent': 'sent',
      ':owed': 'owed',
      ':claimed': 'claimed',
      ':at': sentAt,
      ':id': messageId,
      ...values,
    },
  })
}

/**
 * Gives the lease back so that the next try need not wait for it to run out. A try that was not the notice's fault counts for
 * none; one that was refused lets the others go first.
 */
export async function giveBack(
  table: Table,
  notice: Notice,
  lease: Lease,
  trouble: string,
  how: 'untried' | 'refused' = 'untried',
): Promise<void> {
  await table.update(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression: `SET #state = :owed, trouble = :trouble REMOVE leaseUntil ADD attempts :less${how === 'refused' ? ', refusals :one' : ''}`,
    ConditionExpression: '#state = :claimed AND leaseUntil = :lease',
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: {
      ':owed': 'owed',
      ':claimed': 'claimed',
      ':trouble': trouble,
      ':lease': lease,
      ':less': -1,
      ...(how === 'refused' ? { ':one': 1 } : {}),
    },
  })
}

/** After a fault of its own: to be tried again, unless it was tried so often already; false then. */
export function giveAnotherTry(
  table: Table,
  notice: Notice,
  lease: Lease,
  trouble: string,
  mostAttempts: number,
): Promise<boolean> {
  return table.update(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression: 'SET #state = :owed, trouble = :trouble REMOVE leaseUntil',
    ConditionExpression: '#state = :claimed AND leaseUntil = :lease AND attempts < :most',
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: {
      ':owed': 'owed',
      ':claimed': 'claimed',
      ':trouble': trouble,
      ':lease': lease,
      ':most': mostAttempts,
    },
  })
}

/** Some of its sticks it is no longer true of: kept as it is sent. */
export function leaveOut(table: Table, notice: Notice, lease: Lease): Promise<boolean> {
  return table.update(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression: 'SET #lines = :left',
    ConditionExpression: '#state = :claimed AND leaseUntil = :lease',
    ExpressionAttributeNames: { '#state': 'state', '#lines': 'lines' },
    ExpressionAttributeValues: { ':left': notice.lines, ':claimed': 'claimed', ':lease': lease },
  })
}

/** No longer true by the time it was to leave: kept, and sent to nobody. */
export function withdraw(table: Table, notice: Notice, lease: Lease, why: string): Promise<boolean> {
  return table.update(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression: 'SET #state = :withdrawn, trouble = :why REMOVE unsentKey, leaseUntil',
    ConditionExpression: '#state = :claimed AND leaseUntil = :lease',
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: { ':withdrawn': 'withdrawn', ':why': why, ':claimed': 'claimed', ':lease': lease },
  })
}

/** It will not reach its reader: kept, named in the notice log, and queued for whoever tells the next person. */
export function setAside(
  table: Table,
  notice: Notice,
  lease: Lease,
  why: UndeliveredWhy,
  trouble: string,
): Promise<boolean> {
  const { UpdateExpression, values } = aside(notice, why, trouble)
  return table.update(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression,
    ConditionExpression: '#state = :claimed AND leaseUntil = :lease',
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: { ...values, ':claimed': 'claimed', ':lease': lease },
  })
}

/** The same, found out after it was sent under this id; fails where it was known before. */
export function notReachedWrite(
  table: Table,
  notice: Notice,
  messageId: string,
  why: UndeliveredWhy,
  trouble: string,
): Write {
  const { UpdateExpression, values } = aside(notice, why, trouble, ', messageId = :id')
  return table.change(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression,
    ConditionExpression: 'attribute_exists(pk) AND attribute_not_exists(undeliveredWhy)',
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: { ...values, ':id': messageId },
  })
}

const aside = ({ number }: Notice, why: UndeliveredWhy, trouble: string, more = '') => ({
  UpdateExpression: `SET #state = :not, undeliveredWhy = :why, trouble = :trouble, unsentKey = :undelivered${more} REMOVE leaseUntil`,
  values: {
    ':not': 'not delivered',
    ':why': why,
    ':trouble': trouble,
    ':undelivered': undelivered(shardOf(number)),
  },
})

/**
 * What has lain unsent since `before`, of every organisation: of each shard and queue at most so many, the longest owed first.
 * Those tried least come first, so that no notice that fails each time keeps another waiting; of them the urgent ones.
 */
export async function unsentSince(table: Table, before: Instant, mostOfAShard: number): Promise<Notice[]> {
  const queues = unsentShards.flatMap((shard) => [unsentUrgent(shard), unsent(shard)])
  const pages = queues.map((queue) =>
    table.page({
      index: 'unsent-notices',
      partition: ['unsentKey', queue],
      between: ['owedAt', '0', before],
      limit: mostOfAShard,
    }),
  )
  const found = readAs<Notice>((await Promise.all(pages)).flatMap(({ items }) => items))
  const rank = ({ attempts = 0, refusals = 0, answer }: Notice) =>
    2 * (attempts + refusals) + (answer === undefined ? 1 : 0)
  return found.sort((a, b) => rank(a) - rank(b) || (a.owedAt < b.owedAt ? -1 : 1))
}
