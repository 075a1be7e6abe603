/** Hands each notice to the mailer: claimed under a lease, sent, marked. A crash between sending and marking sends once more. */
import { addSeconds } from '../../shared-domain/calendar.ts'
import type { Clock } from '../platform/clock.ts'
import { describe, log } from '../platform/log.ts'
import { claim, giveBack, markSent, type Notice, setAside, unsentSince } from '../platform/notices.ts'
import type { Table } from '../platform/table.ts'
import type { Mailer } from './mail.ts'

export interface Parts {
  readonly table: Table
  readonly mailer: Mailer
  readonly clock: Clock
}

/** Longer than the function may run, so that no live sender is overtaken. */
const leaseSeconds = 120

/** How long the stream is given before the sweeper takes a notice up. */
const streamSeconds = 120

export type Delivery = 'sent' | 'somebody else has it' | 'set aside' | 'try again'

/** @lintignore the tests look at one notice at a time */
export async function deliver({ table, mailer, clock }: Parts, notice: Notice): Promise<Delivery> {
  if (!(await claim(table, notice, clock(), leaseSeconds))) return 'somebody else has it'
  let messageId: string
  try {
    messageId = await mailer.send(notice)
  } catch (error) {
    const trouble = describe(error)
    log('error', 'notice not sent', { notice: notice.number, trouble })
    if (isFinal(error)) {
      await setAside(table, notice, trouble, clock())
      return 'set aside'
    }
    await giveBack(table, notice, trouble)
    return 'try again'
  }
  await markSent(table, notice, clock(), messageId)
  return 'sent'
}

/** One that cannot be handled is tried again later and keeps no other waiting. */
export async function deliverSafely(parts: Parts, number: string, read: () => unknown): Promise<Delivery> {
  try {
    return await deliver(parts, read() as Notice)
  } catch (error) {
    log('error', 'notice not handled', { notice: number, trouble: describe(error) })
    return 'try again'
  }
}

/** Takes up whatever the stream missed. */
export async function deliverUnsent(parts: Parts): Promise<{ found: number; sent: number }> {
  const notices = await unsentSince(parts.table, addSeconds(parts.clock(), -streamSeconds))
  let sent = 0
  for (const notice of notices) {
    if ((await deliverSafely(parts, notice.number, () => notice)) === 'sent') sent += 1
  }
  return { found: notices.length, sent }
}

/** What SES refuses for the message itself and would refuse again. */
function isFinal(error: unknown): boolean {
  return error instanceof Error && ['MessageRejected', 'InvalidParameterValue'].includes(error.name)
}
