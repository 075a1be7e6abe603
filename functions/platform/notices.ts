/** Notices in the table: owed, claimed under a lease, sent. */
import { createHash, randomBytes } from 'node:crypto'
import { addSeconds, type CalendarDate, type Instant } from '../../shared-domain/calendar.ts'
import type { OwedNotice, UndeliveredWhy } from '../../shared-domain/notices/notice.ts'
import { type Keys, keysOf, unanswered, undelivered, unsent, unsentShards } from './keys.ts'
import { type Item, readAs, type Table, type Write } from './table.ts'

export interface Notice extends OwedNotice {
  /** short enough to read out; in subject, body, header and message tag */
  readonly number: string
  readonly organisation: string
  readonly owedAt: Instant
  readonly state: 'owed' | 'claimed' | 'sent' | 'not delivered'
  readonly sentAt?: Instant
  readonly messageId?: string
  readonly trouble?: string
  /** the reader's mail server took it */
  readonly deliveredAt?: Instant
  /** why it did not reach its reader */
  readonly undeliveredWhy?: UndeliveredWhy
  /** tries that ended in a fault of its own, or that nobody saw the end of */
  readonly attempts?: number
  /** signs the link by which it is confirmed as read */
  readonly answerKey?: string
  /** by when that is to happen */
  readonly answerBy?: Instant
  readonly answeredAt?: Instant
  /** it was not, and the next person was told */
  readonly passedOnAt?: Instant
}

/** Letters and digits that are not mistaken for one another when read from a screen or said aloud. */
const alphabet = '23456789ABCDEFGHJKMNPQRSTUVWXYZ'

/** Derived from what makes the notice this one, so that writing it twice is impossible: 31^12 numbers an organisation. */
export function noticeNumber(organisation: string, key: string): string {
  const digest = createHash('sha256').update(`${organisation}|${key}`).digest()
  const letters = [...digest.subarray(0, 12)].map((byte) => alphabet[byte % alphabet.length]).join('')
  return `${letters.slice(0, 4)}-${letters.slice(4, 8)}-${letters.slice(8)}`
}

export function noticeWrite(table: Table, keys: Keys, organisation: string, owed: OwedNotice, owedAt: Instant): Write {
  const number = noticeNumber(organisation, owed.key)
  const [line] = owed.lines
  const notice: Notice = { ...owed, number, organisation, owedAt, state: 'owed', ...toBeAnswered(owed, owedAt) }
  return table.putNew({
    ...keys.notice(number),
    entity: 'notice',
    ...notice,
    unsentKey: unsent(shardOf(number)),
    noticeCrewKey: keys.noticesOfCrew(line?.crewId ?? null),
    noticeMailboxKey: keys.noticesTo(owed.to.email),
    ...(owed.kind === 'digest' || line === undefined ? {} : { noticeStickKey: keys.noticesOfStick(line.stickId) }),
  })
}

/** The first writer's key stands: who writes the same notice again does not overwrite it. */
function toBeAnswered({ answer }: OwedNotice, owedAt: Instant): Pick<Notice, 'answerKey' | 'answerBy'> {
  if (answer === undefined) return {}
  return { answerKey: randomBytes(32).toString('base64url'), answerBy: addSeconds(owedAt, answer.withinHours * 3600) }
}

function shardOf(number: string): string {
  return unsentShards[number.charCodeAt(0) % unsentShards.length] ?? '0'
}

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
const leaves = ({ number, answer, answeredAt }: Notice) =>
  answer === undefined || answeredAt !== undefined
    ? { set: '', remove: 'REMOVE unsentKey, leaseUntil', values: {} }
    : {
        set: ', unsentKey = :unanswered',
        remove: 'REMOVE leaseUntil',
        values: { ':unanswered': unanswered(shardOf(number)) },
      }

/** Whoever holds the lease by now: the mail is out. What came after, such as an answer or a bounce, is not taken back. */
export async function markSent(table: Table, notice: Notice, sentAt: Instant, messageId: string): Promise<void> {
  const { set, remove, values } = leaves(notice)
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

/** Did not reach their readers, and nobody was told of that yet, of every organisation. */
export async function undeliveredBy(table: Table, now: Instant): Promise<Notice[]> {
  const shards = unsentShards.map((shard) =>
    table.all({ index: 'unsent-notices', partition: ['unsentKey', undelivered(shard)], between: ['owedAt', '0', now] }),
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

/** Confirmed as read, once; false where it was before. */
export function markAnswered(table: Table, notice: Notice, answeredAt: Instant): Promise<boolean> {
  return table.update(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression: 'SET answeredAt = :at, #state = :sent REMOVE unsentKey, leaseUntil',
    ConditionExpression: 'attribute_exists(pk) AND attribute_not_exists(answeredAt)',
    ExpressionAttributeNames: { '#state': 'state' },
    ExpressionAttributeValues: { ':at': answeredAt, ':sent': 'sent' },
  })
}

/** Sent, and not confirmed as read by now though it was to be, of every organisation. */
export async function silentBy(table: Table, now: Instant): Promise<Notice[]> {
  const shards = unsentShards.map((shard) =>
    table.all({ index: 'unsent-notices', partition: ['unsentKey', unanswered(shard)], between: ['owedAt', '0', now] }),
  )
  const found = readAs<Notice>((await Promise.all(shards)).flat())
  return found.filter(({ answerBy }) => answerBy !== undefined && answerBy <= now)
}

/** Of the newest thing about a stick that had to be confirmed: who has not done so. Read for one stick at a time. */
export async function notConfirmed(table: Table, keys: Keys, stickId: string): Promise<Notice[]> {
  const partition = ['noticeStickKey', keys.noticesOfStick(stickId)] as const
  const found = await table.page({
    index: 'notices-by-stick',
    partition,
    between: ['owedAt', '0', '~'],
    descending: true,
    limit: mostTold,
  })
  const asked = readAs<Notice>(found.items.filter((item) => item.entity === 'notice' && item.answer !== undefined))
  const about = asked[0]?.answer?.about
  return asked.filter((notice) => notice.answer?.about === about && notice.answeredAt === undefined)
}

/** A crew of 40 and its managers. */
const mostTold = 100

/** Nothing more is awaited of it: the next person is told, or the cause is gone. Fails where it was answered meanwhile. */
export function passOnWrite(table: Table, notice: Notice, now: Instant): Write {
  return table.change(keysOf(notice.organisation).notice(notice.number), {
    UpdateExpression: 'SET passedOnAt = :now REMOVE unsentKey',
    ConditionExpression: 'attribute_not_exists(answeredAt) AND attribute_not_exists(passedOnAt)',
    ExpressionAttributeValues: { ':now': now },
  })
}

/**
 * What has lain unsent since `before`, of every organisation: of each shard at most so many, the longest owed first. Those
 * tried least come first, so that no notice that fails each time keeps another waiting.
 */
export async function unsentSince(table: Table, before: Instant, mostOfAShard: number): Promise<Notice[]> {
  const shards = unsentShards.map((shard) =>
    table.page({
      index: 'unsent-notices',
      partition: ['unsentKey', unsent(shard)],
      between: ['owedAt', '0', before],
      limit: mostOfAShard,
    }),
  )
  const found = readAs<Notice>((await Promise.all(shards)).flatMap(({ items }) => items))
  return found.sort((a, b) => (a.attempts ?? 0) - (b.attempts ?? 0) || (a.owedAt < b.owedAt ? -1 : 1))
}

/** Notices that name a stick: its own, and the digests that pointers left beside it name. */
export async function noticesOfStick(table: Table, keys: Keys, stickId: string, since: string): Promise<Notice[]> {
  const partition = ['noticeStickKey', keys.noticesOfStick(stickId)] as const
  return followed(
    table,
    keys,
    await table.all({ index: 'notices-by-stick', partition, between: ['owedAt', since, '~'] }),
  )
}

/** Notices about a crew's sticks: those filed under it, and the digests of several crews that its sticks point to. */
export async function noticesOfCrew(table: Table, keys: Keys, crewId: string | null, since: string): Promise<Notice[]> {
  const partition = ['noticeCrewKey', keys.noticesOfCrew(crewId)] as const
  return followed(
    table,
    keys,
    await table.all({ index: 'notices-by-crew', partition, between: ['owedAt', since, '~'] }),
  )
}

/** Everything that went, or is to go, to one mailbox. */
export async function noticesTo(table: Table, keys: Keys, email: string, since: string): Promise<Notice[]> {
  const partition = ['noticeMailboxKey', keys.noticesTo(email)] as const
  const items = await table.all({ index: 'notices-by-mailbox', partition, between: ['owedAt', since, '~'] })
  return newestFirst(items)
}

/** That somebody without e-mail was told face to face, by whom and when. */
export interface ToldInPerson {
  readonly name: string
  readonly toldOn: CalendarDate
  readonly by: string
  readonly recordedAt: Instant
}

/** Kept once for each person; false where it was recorded before. */
export async function keepToldInPerson(
  table: Table,
  keys: Keys,
  notice: Notice,
  place: number,
  told: ToldInPerson,
): Promise<boolean> {
  const item = { ...keys.toldInPerson(notice.number, place), entity: 'told in person', number: notice.number, ...told }
  return (await table.transact([table.putNew(item)])).done
}

/** Of each notice by its number: who was told face to face, in the order of its list, null for whoever was not yet. */
export async function toldInPerson(
  table: Table,
  keys: Keys,
  notices: readonly Notice[],
): Promise<ReadonlyMap<string, readonly (ToldInPerson | null)[]>> {
  const asked = notices.flatMap(({ number, to }) => to.tellInPerson.map((_, place) => keys.toldInPerson(number, place)))
  const found = new Map((await table.getAll(asked)).map((item) => [`${item.pk} ${item.sk}`, asTold(item)]))
  return new Map(
    notices.map(({ number, to }) => [
      number,
      to.tellInPerson.map((_, place) => {
        const { pk, sk } = keys.toldInPerson(number, place)
        return found.get(`${pk} ${sk}`) ?? null
      }),
    ]),
  )
}

function asTold(item: Item): ToldInPerson {
  const { name, toldOn, by, recordedAt } = item as unknown as ToldInPerson
  return { name, toldOn, by, recordedAt }
}

async function followed(table: Table, keys: Keys, found: readonly Item[]): Promise<Notice[]> {
  const notices = found.filter((item) => item.entity === 'notice')
  const known = new Set(notices.map((item) => item.number))
  const pointed = new Set(found.flatMap((item) => (item.entity === 'told' ? (item.notices as string[]) : [])))
  const others = [...pointed].filter((number) => !known.has(number))
  return newestFirst([...notices, ...(await table.getAll(others.map((number) => keys.notice(number))))])
}

/** Each once, though it may be filed under several crews. */
export function newestFirst(items: readonly (Item | Notice)[]): Notice[] {
  const notices = new Map((items as Notice[]).map((notice) => [notice.number, notice]))
  return [...notices.values()].sort((a, b) =>
    a.owedAt === b.owedAt ? (a.number < b.number ? -1 : 1) : a.owedAt < b.owedAt ? 1 : -1,
  )
}
