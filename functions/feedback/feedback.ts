/**
 * The fate of a mail, as the mail service tells it, is kept on the mail's notice. `follow-up` decides what is owed
 * then.
 */
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { marksTheAddress } from '../../shared-domain/notices/undelivered.ts'
import type { WallClock } from '../ground/clock.ts'
import { log } from '../ground/log.ts'
import { keysOf } from '../store/keys.ts'
import { markWrites } from '../store/marked-addresses.ts'
import { type NotReached, openNotices } from '../store/notice-life.ts'
import type { Notice } from '../store/notices.ts'
import type { Table, Write } from '../store/table.ts'
import { type MailEvent, readEvent } from './event.ts'

export interface FeedbackParts {
  readonly table: Table
  readonly clock: WallClock
}

export interface TopicMessage {
  /** the topic's name for this message */
  readonly id: string
  readonly message: string
}

/** The outcome of an event; the last five change nothing. */
export type Taken =
  | 'accepted'
  | 'delivered'
  | 'not delivered'
  | 'recorded'
  | 'known'
  | 'replayed'
  | 'not ours'
  | 'unknown kind'
  | 'unreadable'

/** An event of a mail, beside the notice that the mail brought. */
interface Heard {
  /** the id that the event goes by: what was kept under it is not kept again */
  readonly id: string
  readonly event: MailEvent
  readonly notice: Notice
}

/**
 * Takes in all events, with one line of the log for all, without an address. A failure is thrown in the end, so that
 * the events come again.
 */
export async function takeAll(
  parts: FeedbackParts,
  all: readonly TopicMessage[],
): Promise<Partial<Record<Taken, number>>> {
  const counts: Partial<Record<Taken, number>> = {}
  const failures: unknown[] = []
  for (const one of all) {
    try {
      const taken = await takeFeedback(parts, one)
      counts[taken] = (counts[taken] ?? 0) + 1
    } catch (error) {
      failures.push(error)
    }
  }
  log('info', 'mail feedback', { ...counts, failed: failures.length })
  if (failures.length > 0) throw failures[0]
  return counts
}

async function takeFeedback({ table, clock }: FeedbackParts, { id, message }: TopicMessage): Promise<Taken> {
  const event = readEvent(message)
  if (typeof event === 'string') return event
  for (let tries = 0; tries < 5; tries++) {
    const notice = await noticeOf(table, event)
    if (notice === undefined) return 'not ours'
    const taken = await take({ table, clock }, { id, event, notice })
    if (taken !== 'lost') return taken
  }
  throw new Error('feedback was lost to other writers five times')
}

/**
 * Answers the notice of an event. The event must be of a mail to the notice's reader: of the mail by which the notice
 * was sent, or of one just handed over and not yet marked.
 */
async function noticeOf(table: Table, { mail }: MailEvent): Promise<Notice | undefined> {
  const [organisation = ''] = mail.tags.organisation
  const [number = ''] = mail.tags.notice
  const notice = await openNotices(table, organisation).one(number)
  if (notice === undefined) return undefined
  const { messageId, attempts, to } = notice
  const isItsMail = messageId === undefined ? attempts !== undefined : messageId === mail.messageId
  const isToReader = mail.destination.some((address) => sameMailbox(address) === sameMailbox(to.email))
  return isItsMail && isToReader ? notice : undefined
}

async function take(parts: FeedbackParts, heard: Heard): Promise<Taken | 'lost'> {
  const { id, event, notice } = heard
  switch (event.eventType) {
    case 'Send':
      return accepted(parts, heard)
    case 'Delivery':
      return delivered(parts, heard)
    case 'Bounce': {
      const { bounceType, bounceSubType, bouncedRecipients, feedbackId = id } = event.bounce
      const reason = bouncedRecipients[0]?.diagnosticCode ?? 'no reason given'
      const trouble = `bounced, ${bounceType}, ${bounceSubType}: ${reason}`
      const bounced = { ...heard, id: feedbackId }
      if (bounceType === 'Permanent') return undelivered(parts, bounced, { why: 'bounced', trouble })
      // a bounce after a delivery may be an absence note, which comes from a mailbox that did get the mail
      const mayBeAbsence = notice.deliveredAt !== undefined && !notTaken.includes(bounceSubType)
      if (mayBeAbsence) return record(parts, bounced, trouble)
      return undelivered(parts, bounced, { why: 'not taken', trouble })
    }
    case 'Complaint': {
      const { complaintFeedbackType, feedbackId = id } = event.complaint
      const trouble = `the reader complained of the mail: ${complaintFeedbackType ?? 'no reason given'}`
      const complained = { ...heard, id: feedbackId }
      // the report takes an earlier complaint back
      if (complaintFeedbackType === 'not-spam') return record(parts, complained, trouble)
      return undelivered(parts, complained, { why: 'complained', trouble })
    }
    case 'DeliveryDelay':
      return record(parts, heard, `delayed: ${event.deliveryDelay.delayType}`)
    case 'Reject':
      return undelivered(parts, heard, { why: 'rejected', trouble: `rejected: ${event.reject.reason}` })
    case 'Rendering Failure':
      return undelivered(parts, heard, { why: 'not rendered', trouble: `not rendered: ${event.failure.errorMessage}` })
  }
}

/**
 * Kinds of bounce by which this mail has not arrived, though another may: the mail service says them once it has
 * stopped trying (Amazon SES Developer Guide, "Bounce types", from memory).
 */
const notTaken: readonly string[] = [
  'MailboxFull',
  'MessageTooLarge',
  'ContentRejected',
  'AttachmentRejected',
  'CustomTimeoutExceeded',
]

/** A sender that broke off between the sending and the mark need not send again. */
async function accepted({ table, clock }: FeedbackParts, { event, notice }: Heard): Promise<Taken> {
  if (notice.messageId !== undefined) return 'known'
  await openNotices(table, notice.organisation).sent(notice, clock(), event.mail.messageId)
  return 'accepted'
}

async function delivered(parts: FeedbackParts, heard: Heard): Promise<Taken> {
  const { table, clock } = parts
  const { notice } = heard
  await accepted(parts, heard)
  const isNew = await openNotices(table, notice.organisation).delivered(notice, clock())
  return isNew ? 'delivered' : 'replayed'
}

async function record({ table }: FeedbackParts, heard: Heard, trouble: string): Promise<Taken | 'lost'> {
  const { notice } = heard
  const note = openNotices(table, notice.organisation).troubleWrite(notice, shortened(trouble))
  const writes = notice.undeliveredWhy === undefined ? [note] : []
  return taken(await table.transact([guard(table, heard), ...writes]), 'recorded')
}

async function undelivered(
  { table, clock }: FeedbackParts,
  heard: Heard,
  { why, trouble }: NotReached,
): Promise<Taken | 'lost'> {
  const { event, notice } = heard
  const said = { why, trouble: shortened(trouble) }
  const aside = openNotices(table, notice.organisation).notReachedWrite(notice, event.mail.messageId, said)
  const marks = marksTheAddress(why) ? await markWrites(table, notice, { ...said, since: clock() }) : []
  return taken(
    await table.transact([guard(table, heard), ...(aside === null ? [] : [aside]), ...marks]),
    'not delivered',
  )
}

function guard(table: Table, { id, event, notice }: Heard): Write {
  const { eventType, mail } = event
  const { organisation, number } = notice
  return table.putNew({
    ...keysOf(organisation).feedback(number, id),
    entity: 'feedback',
    eventType,
    messageId: mail.messageId,
  })
}

/** A failed guard means that the event was kept before; the guard is the first of the writes. */
function taken(outcome: Awaited<ReturnType<Table['transact']>>, as: Taken): Taken | 'lost' {
  if (outcome.done) return as
  return outcome.failed.includes(0) ? 'replayed' : 'lost'
}

/** Cuts what a foreign mail server says, for that is its own to choose. */
function shortened(trouble: string): string {
  return trouble.replaceAll(/\p{Cc}+/gu, ' ').slice(0, 300)
}
