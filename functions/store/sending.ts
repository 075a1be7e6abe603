/** How a notice leaves: lent to one sender at a time, then sent, given back or set aside. */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import type { UndeliveredWhy } from '../../shared-domain/notices/notice.ts'
import { keysOf, mailTaken, unanswered, undelivered, unsent, unsentShards, unsentUrgent } from './keys.ts'
import { type Notice, shardOf } from './notices.ts'
import { readAs, readOne, type Table, type Write } from './table.ts'

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

/** Gives the lease back so that the next try need not wait for it to run out; a try that was not the notice's fault counts for none. */
export async function giveBack(table: Table, notice: Notice, lease: Lease, trouble: string): Promise<void> {
  await table.update(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression: 'SET #state = :owed, trouble = :trouble REMOVE leaseUntil ADD attempts :less',
    ConditionExpression: '#state = :claimed AND leaseUntil = :lease',
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: {
      ':owed': 'owed',
      ':claimed': 'claimed',
      ':trouble': trouble,
      ':lease': lease,
      ':less': -1,
    },
  })
}

/** The same, where the mail service refused it: others go first now. */
export async function giveBackRefused(
  table: Table,
  notice: Notice,
  lease: Lease,
  refused: { readonly at: Instant; readonly trouble: string; readonly isItsOwn: boolean },
): Promise<void> {
  await table.update(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression:
      'SET #state = :owed, trouble = :trouble, refusedSince = :since REMOVE leaseUntil ADD attempts :less, refusals :one, ownRefusals :own',
    ConditionExpression: '#state = :claimed AND leaseUntil = :lease',
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: {
      ':owed': 'owed',
      ':claimed': 'claimed',
      ':trouble': refused.trouble,
      ':since': notice.refusedSince ?? refused.at,
      ':lease': lease,
      ':less': -1,
      ':one': 1,
      ':own': refused.isItsOwn ? 1 : 0,
    },
  })
}

/** Kept once a run, for runs that see no other notice than one that is refused. */
export async function noteTaken(table: Table, at: Instant): Promise<void> {
  await table.update(mailTaken, {
    UpdateExpression: 'SET takenAt = :at',
    ConditionExpression: 'attribute_not_exists(takenAt) OR takenAt < :at',
    ExpressionAttributeValues: { ':at': at },
  })
}

export async function wasTakenSince(table: Table, since: Instant): Promise<boolean> {
  const { takenAt } = readOne<{ takenAt?: Instant }>((await table.get(mailTaken)) ?? {})
  return takenAt !== undefined && takenAt > since
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
 * Those tried least come first, so that no notice that fails each time keeps another waiting; of them the urgent ones, and of
 * these those that the mail service refused least.
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
  const ranks = ({ attempts = 0, refusals = 0, answer }: Notice) => [attempts, answer === undefined ? 1 : 0, refusals]
  return found.sort((a, b) => byRank(ranks(a), ranks(b)) || (a.owedAt < b.owedAt ? -1 : 1))
}

function byRank(a: readonly number[], b: readonly number[]): number {
  const at = a.findIndex((rank, i) => rank !== b[i])
  return at < 0 ? 0 : (a[at] ?? 0) - (b[at] ?? 0)
}
