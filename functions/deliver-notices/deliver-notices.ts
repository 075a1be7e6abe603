/** Hands each notice to the mailer: claimed under a lease, sent, marked. A crash between sending and marking sends once more. */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { mayBeUsed } from '../../shared-domain/state/use.ts'
import type { Clock } from '../platform/clock.ts'
import { describe, log } from '../platform/log.ts'
import { isMarked } from '../platform/marked-addresses.ts'
import type { Notice } from '../platform/notices.ts'
import { openOrganisation } from '../platform/organisation.ts'
import {
  claim,
  giveAnotherTry,
  giveBack,
  type Lease,
  markSent,
  setAside,
  unsentSince,
  withdraw,
} from '../platform/sending.ts'
import { standingToday } from '../platform/standing-today.ts'
import type { Table } from '../platform/table.ts'
import type { Mailer } from './mail.ts'
import type { Pace } from './pace.ts'
import { type Trouble, troubleOf } from './trouble.ts'

export interface Parts {
  readonly table: Table
  readonly mailer: Mailer
  readonly clock: Clock
  /** of this run */
  readonly pace: Pace
}

/** Longer than the function may run, so that no live sender is overtaken. */
const leaseSeconds = 120

/** How long the stream is given before the sweeper takes a notice up. */
const streamSeconds = 120

/** Tries that ended in a fault of the notice's own, or in the end of the function. */
const mostAttempts = 5

/** A run lasts less than its minute at the rate of most accounts; eight shards. */
const mostOfAShard = 50

export type Delivery =
  | 'sent'
  | 'somebody else has it'
  | 'set aside'
  | 'withdrawn'
  /** its own fault: the run every few minutes tries it again, and nothing waits for it */
  | 'left for later'
  | 'try again'
  /** the next one would fare no better */
  | 'stop here'

/** @lintignore the tests look at one notice at a time */
export async function deliver(parts: Parts, notice: Notice): Promise<Delivery> {
  const { table, clock } = parts
  const [lease, marked, overtaken] = await Promise.all([
    claim(table, notice, clock(), leaseSeconds),
    isMarked(table, notice),
    isOvertaken(table, notice, clock()),
  ])
  if (lease === null) return 'somebody else has it'
  // five times its sender ended without a word: it may be what ends them
  if ((notice.attempts ?? 0) >= mostAttempts) return aside(parts, notice, lease, 'its sending never came to an end')
  if (overtaken) return takeBack(parts, notice, lease)
  if (marked) return passOver(parts, notice, lease)
  const outcome = await send(parts, notice)
  if ('messageId' in outcome) {
    await markPatiently(parts, notice, outcome.messageId)
    return 'sent'
  }
  const { trouble, kind } = outcome
  log('error', 'notice not sent', { notice: notice.number, trouble })
  if (kind === 'its own') {
    if (await giveAnotherTry(table, notice, lease, trouble, mostAttempts)) return 'left for later'
    return aside(parts, notice, lease, trouble)
  }
  await giveBack(table, notice, lease, trouble)
  return kind === 'passing' ? 'try again' : 'stop here'
}

type Sent = { readonly messageId: string } | { readonly kind: Trouble; readonly trouble: string }

/** Within what this run may wait: at the account's pace, and again after what passes. */
async function send({ mailer, pace }: Parts, notice: Notice): Promise<Sent> {
  for (let failures = 1; ; failures++) {
    if (!(await pace.turn())) return { kind: 'too fast', trouble: 'the account sends more slowly than notices come' }
    try {
      return { messageId: await mailer.send(notice) }
    } catch (error) {
      const kind = troubleOf(error)
      const again = kind === 'passing' || kind === 'too fast'
      if (!again || !(await pace.backOff(failures))) return { kind, trouble: describe(error) }
    }
  }
}

/** The mail is out: what fails now sends it a second time, so marking is tried for as long as this run may wait. */
async function markPatiently({ table, clock, pace }: Parts, notice: Notice, messageId: string): Promise<void> {
  const sentAt = clock()
  for (let failures = 1; ; failures++) {
    try {
      return await markSent(table, notice, sentAt, messageId)
    } catch (error) {
      if (!(await pace.backOff(failures))) throw error
    }
  }
}

/** Rings: somebody has to look why, and to tell the person by other means. */
async function aside({ table }: Parts, notice: Notice, lease: Lease, trouble: string): Promise<Delivery> {
  if (!(await setAside(table, notice, lease, 'refused', trouble))) return 'somebody else has it'
  log('error', 'notice set aside', { notice: notice.number, trouble })
  return 'set aside'
}

/** Mail to this address came back before; the managers are told, and the next person. */
async function passOver({ table }: Parts, notice: Notice, lease: Lease): Promise<Delivery> {
  const trouble = 'nothing is sent to this address until a manager clears its mark'
  return (await setAside(table, notice, lease, 'marked', trouble)) ? 'set aside' : 'somebody else has it'
}

/** The newest mail must never say that a stick may be used which may not by now. */
async function isOvertaken(
  table: Table,
  { kind, organisation, lines: [line] }: Notice,
  now: Instant,
): Promise<boolean> {
  if (kind !== 'return' || line === undefined) return false
  const open = openOrganisation(table, organisation)
  const stored = await open.sticks.stored(line.stickId)
  if (stored === undefined) return false
  const { status } = await standingToday(open, stored, now)
  return !mayBeUsed(status)
}

async function takeBack({ table }: Parts, notice: Notice, lease: Lease): Promise<Delivery> {
  const why = 'the stick must not be used again by now, and its people are told of that'
  log('info', 'notice withdrawn', { notice: notice.number })
  return (await withdraw(table, notice, lease, why)) ? 'withdrawn' : 'somebody else has it'
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

/** Takes up what the stream missed, a bounded number a run. */
export async function deliverUnsent(parts: Parts): Promise<{ found: number; sent: number }> {
  const notices = await unsentSince(parts.table, addSeconds(parts.clock(), -streamSeconds), mostOfAShard)
  let sent = 0
  for (const notice of notices) {
    const delivery = await deliverSafely(parts, notice.number, () => notice)
    if (delivery === 'sent') sent += 1
    if (delivery === 'stop here') break
  }
  return { found: notices.length, sent }
}
