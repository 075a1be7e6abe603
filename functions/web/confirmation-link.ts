/**
 * The link by which a notice is confirmed as read: signed with a key of that notice alone, good for one purpose and for
 * a time. Following it changes nothing; only the button on the page does.
 */
import { createHmac, timingSafeEqual } from 'node:crypto'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import type { Notice } from '../store/notices.ts'

/** A link is good for longer than anybody waits for an answer: by then the next person has been told. */
const daysGood = 30

export interface ConfirmationLink {
  readonly organisation: string
  readonly number: string
  /** the instant after which it is good no more */
  readonly until: Instant
  readonly signature: string
}

/** Answers the path of the link; null where nothing is to be confirmed. */
export function confirmationPath(notice: Notice): string | null {
  if (notice.answerKey === undefined) return null
  const until = addSeconds(notice.owedAt, daysGood * 86_400)
  const parts = [notice.organisation, notice.number, until, signatureOf(notice, notice.answerKey, until)]
  return `/answers/${parts.map(encodeURIComponent).join('/')}`
}

export type LinkFault = 'tampered with' | 'expired'

export function faultOf(link: ConfirmationLink, notice: Notice | undefined, now: Instant): LinkFault | null {
  if (notice?.answerKey === undefined) return 'tampered with'
  const right = Buffer.from(signatureOf(notice, notice.answerKey, link.until))
  const given = Buffer.from(link.signature)
  if (right.length !== given.length || !timingSafeEqual(right, given)) return 'tampered with'
  return link.until < now ? 'expired' : null
}

function signatureOf({ organisation, number }: Notice, key: string, until: string): string {
  return createHmac('sha256', key)
    .update(['confirm as read', organisation, number, until].join('|'))
    .digest('base64url')
}
