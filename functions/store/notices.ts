/** Notices in the table: what one holds, how it is first written, and where it is found again. */
import { createHash, randomBytes } from 'node:crypto'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { type NoticeState, noticeStates, type Queueing, queuedIn } from '../../shared-domain/notices/life.ts'
import { noticeKinds, type OwedNotice, type UndeliveredWhy } from '../../shared-domain/notices/notice.ts'
import { type OrganisationTable, queueKey } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import type { Item, Write } from './table.ts'
import { queueShards } from './table-shape.ts'

/** Answers the id of the fact that owed the notice at once. Whoever owed the notice wrote the id into its key. */
export function factIn({ key }: Pick<Notice, 'key'>): string | undefined {
  return /[0-9a-f]{8}-(?:[0-9a-f]{4}-){3}[0-9a-f]{12}/.exec(key)?.[0]
}

export interface Notice extends OwedNotice {
  /** short enough to read out; in subject, body, header and message tag */
  readonly number: string
  readonly organisation: string
  readonly owedAt: Instant
  readonly state: NoticeState
  readonly sentAt?: Instant
  readonly messageId?: string
  readonly trouble?: string
  /** the reader's mail server took it */
  readonly deliveredAt?: Instant
  /** the reason why the notice did not reach its reader */
  readonly undeliveredWhy?: UndeliveredWhy
  /** tries that ended in a fault of the notice's own, or whose end nobody saw */
  readonly attempts?: number
  /** tries that the mail service refused, and since when */
  readonly refusals?: number
  readonly refusedSince?: Instant
  /** refusals that were the notice's own fault, since the service took others */
  readonly ownRefusals?: number
  /** the key that signs the link by which the notice is confirmed as read */
  readonly answerKey?: string
  /** the instant by which the notice is to be confirmed */
  readonly answerBy?: Instant
  readonly answeredAt?: Instant
  /** the instant at which others had been told of the notice's silence or its return, where they had to be */
  readonly passedOnAt?: Instant
}

/** The attributes of what was owed; the type makes it total. */
const ofOwed: { readonly [name in keyof OwedNotice]-?: true } = {
  kind: true,
  key: true,
  to: true,
  day: true,
  lines: true,
  more: true,
  cause: true,
  answer: true,
  recall: true,
  report: true,
  used: true,
  cameBackBy: true,
  unanswered: true,
  missed: true,
  proposal: true,
  calibration: true,
  fingerprint: true,
  reminder: true,
  invitation: true,
  slip: true,
  passedOnFor: true,
}

const kept = readerOf<Notice>('notice', {
  kind: new Set(noticeKinds),
  key: 'text',
  to: 'map',
  day: 'text',
  lines: 'list',
  more: ['number', 'absent'],
  cause: ['text', 'absent'],
  answer: ['map', 'absent'],
  recall: ['map', 'absent'],
  report: ['map', 'absent'],
  used: ['map', 'absent'],
  cameBackBy: ['text', 'absent'],
  unanswered: ['list', 'absent'],
  missed: ['map', 'absent'],
  proposal: ['map', 'absent'],
  calibration: ['map', 'absent'],
  reminder: ['map', 'absent'],
  invitation: ['map', 'absent'],
  fingerprint: ['map', 'absent'],
  slip: ['map', 'absent'],
  passedOnFor: ['list', 'absent'],
  number: 'text',
  organisation: 'text',
  owedAt: 'text',
  state: new Set(noticeStates),
  sentAt: ['text', 'absent'],
  messageId: ['text', 'absent'],
  trouble: ['text', 'absent'],
  deliveredAt: ['text', 'absent'],
  undeliveredWhy: ['text', 'absent'],
  attempts: ['number', 'absent'],
  refusals: ['number', 'absent'],
  refusedSince: ['text', 'absent'],
  ownRefusals: ['number', 'absent'],
  answerKey: ['text', 'absent'],
  answerBy: ['text', 'absent'],
  answeredAt: ['text', 'absent'],
  passedOnAt: ['text', 'absent'],
})

/** What was owed, without all that happened to it since. */
export function owedOf(notice: Notice): OwedNotice {
  const owed = Object.entries(notice).filter(([name]) => Object.hasOwn(ofOwed, name))
  return Object.fromEntries(owed) as unknown as OwedNotice
}

export function asNotice(item: unknown): Notice {
  const notice = kept(item)
  return { ...notice, state: stateNow(notice, 'queue' in notice) }
}

/** Earlier builds said sent, or not delivered, and kept beside it what became of the notice since. */
function stateNow({ state, answer, answeredAt, passedOnAt }: Notice, isQueued: boolean): NoticeState {
  if (state === 'sent' && answer !== undefined) {
    if (answeredAt !== undefined) return 'confirmed'
    return passedOnAt === undefined ? 'awaiting confirmation' : 'passed on'
  }
  if (state !== 'not delivered' || isQueued) return state
  if (passedOnAt === undefined) return answeredAt === undefined ? state : 'not delivered, confirmed'
  return answeredAt === undefined ? 'not delivered, seen to' : 'not delivered, seen to, confirmed'
}

/** Letters and digits that are not mistaken for one another when read from a screen or said aloud. */
const alphabet = '23456789ABCDEFGHJKMNPQRSTUVWXYZ'

/** Whose notice it is, and in which table it lies. */
type Numbering = Pick<OrganisationTable, 'name'> & { readonly table: { readonly name?: string | undefined } }

/**
 * The number is derived from what makes the notice this one, so that writing it twice is impossible: 31^12 numbers an
 * organisation. The table is a part of it. A table that was brought back from a backup has another name, and so what is
 * owed there never goes out under a number that went out before.
 */
export function noticeNumber({ table, name: organisation }: Numbering, key: string): string {
  const place = table.name === undefined ? organisation : `${table.name}|${organisation}`
  const digest = createHash('sha256').update(`${place}|${key}`).digest()
  const letters = [...digest.subarray(0, 12)].map((byte) => alphabet[byte % alphabet.length]).join('')
  return `${letters.slice(0, 4)}-${letters.slice(4, 8)}-${letters.slice(8)}`
}

export function noticeWrite(place: OrganisationTable, owed: OwedNotice, owedAt: Instant): Write {
  const { table, keys, name: organisation } = place
  const number = noticeNumber(place, owed.key)
  const [line] = owed.lines
  const notice: Notice = { ...owed, number, organisation, owedAt, state: 'owed', ...toBeConfirmed(owed, owedAt) }
  return table.putNew({
    ...keys.notice(number),
    entity: 'notice',
    ...notice,
    ...queueOf(notice.state, notice),
    noticeCrewKey: keys.noticesOfCrew(line?.crewId ?? null),
    noticeMailboxKey: keys.noticesTo(owed.to.email),
    ...(owed.kind === 'digest' || line === undefined ? {} : { noticeStickKey: keys.noticesOfStick(line.stickId) }),
  })
}

/** The first writer's key stands: who writes the same notice again does not overwrite it. */
function toBeConfirmed({ answer }: OwedNotice, owedAt: Instant): Pick<Notice, 'answerKey' | 'answerBy'> {
  if (answer === undefined) return {}
  return { answerKey: randomBytes(32).toString('base64url'), answerBy: addSeconds(owedAt, answer.withinHours * 3600) }
}

/** Answers where a notice in this state lies in the index of queues; null where it lies in none. */
export function queueOf(state: NoticeState, notice: Queueing & Pick<Notice, 'number'>) {
  const queued = queuedIn(state, notice)
  return queued === null ? null : { queue: queueKey(queued.queue, shardOf(notice.number)), queueAt: queued.at }
}

function shardOf(number: string): string {
  return queueShards[number.charCodeAt(0) % queueShards.length] ?? '0'
}

/** The notices of one organisation, as they are found again. */
export function noticesIn(place: OrganisationTable) {
  const { table, keys } = place

  async function one(number: string): Promise<Notice | undefined> {
    const item = await table.get(keys.notice(number))
    return item === undefined ? undefined : asNotice(item)
  }

  /** Answers those of the owed notices that are not written yet. */
  async function notYetWritten(owed: readonly OwedNotice[]): Promise<OwedNotice[]> {
    const places = owed.map(({ key }) => keys.notice(noticeNumber(place, key)))
    const written = new Set((await table.getAll(places)).map(({ pk }) => pk))
    return owed.filter((_, i) => !written.has(places[i]?.pk ?? ''))
  }

  /** Notices that name a stick: its own, and the digests that pointers beside it name. */
  async function ofStick(stickId: string, since: string): Promise<Notice[]> {
    const partition = ['noticeStickKey', keys.noticesOfStick(stickId)] as const
    const found = await table.all({ index: 'notices-by-stick', partition, between: ['owedAt', since, '~'] })
    // a digest is pointed to from before it leaves, and may leave without the stick
    return (await followed(found)).filter(({ lines }) => lines.some((line) => line.stickId === stickId))
  }

  async function followed(found: readonly Item[]): Promise<Notice[]> {
    const notices = ownIn(found)
    const known = new Set(notices.map((notice) => notice.number))
    const others = pointedIn(found).filter((number) => !known.has(number))
    const rest = await table.getAll(others.map((number) => keys.notice(number)))
    return newestFirst([...notices, ...readEach(rest, asNotice)])
  }

  /**
   * The newest notice to each person who was asked, since the stick was last fit, to confirm that they know it must not
   * be used; a confirmed one is left out. Read for one stick at a time.
   */
  async function notConfirmed(stickId: string): Promise<Notice[]> {
    const newest = new Map<string, Notice>()
    let after: Record<string, unknown> | undefined
    for (let pages = 0; pages < mostPages; pages++) {
      const { items, next } = await table.page({
        index: 'notices-by-stick',
        partition: ['noticeStickKey', keys.noticesOfStick(stickId)],
        between: ['owedAt', '0', '~'],
        descending: true,
        limit: noticesOnPage,
        after,
      })
      const notices = (await followed(items)).filter(({ lines }) => lines.some((line) => line.stickId === stickId))
      const wasFit = notices.findIndex(({ kind }) => kind === 'return')
      for (const notice of wasFit < 0 ? notices : notices.slice(0, wasFit)) {
        const mailbox = sameMailbox(notice.to.email)
        if (notice.answer !== undefined && !newest.has(mailbox)) newest.set(mailbox, notice)
      }
      if (wasFit >= 0 || next === undefined) break
      after = next
    }
    return [...newest.values()].filter(({ answeredAt }) => answeredAt === undefined)
  }

  return { one, notYetWritten, ofStick, notConfirmed }
}

const asPointer = readerOf<{ readonly notices: readonly string[] }>('told', { notices: 'list' })

/** Numbers of digests that are filed elsewhere, each once: pointers to them lie beside the notices of a list. */
export function pointedIn(items: readonly Item[]): string[] {
  const pointers = readEach(
    items.filter(({ entity }) => entity === 'told'),
    asPointer,
  )
  return [...new Set(pointers.flatMap(({ notices }) => notices))]
}

export function ownIn(items: readonly Item[]): Notice[] {
  return readEach(
    items.filter(({ entity }) => entity === 'notice'),
    asNotice,
  )
}

/** Room on ten pages for a crew of 40 and its managers, several times over. */
const noticesOnPage = 100
const mostPages = 10

/** Notices from the newest on, each once, though it may be filed under several crews. */
function newestFirst(found: readonly Notice[]): Notice[] {
  const notices = new Map(found.map((notice) => [notice.number, notice]))
  return [...notices.values()].sort((a, b) =>
    a.owedAt === b.owedAt ? (a.number < b.number ? -1 : 1) : a.owedAt < b.owedAt ? 1 : -1,
  )
}
