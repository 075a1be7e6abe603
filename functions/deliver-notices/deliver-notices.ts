/**
 * Hands each notice to the mailer: claimed under a lease, sent, marked. A crash between sending and marking sends once
 * more.
 */
import { addSeconds } from '../../shared-domain/calendar.ts'
import { isUrgent } from '../../shared-domain/notices/life.ts'
import type { WallClock } from '../ground/clock.ts'
import { describe, log } from '../ground/log.ts'
import { isMarked } from '../store/marked-addresses.ts'
import type { Claimed } from '../store/notice-life.ts'
import type { Notice } from '../store/notices.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { noteTaken, unsentSince, wasTakenSince } from '../store/queues.ts'
import { isMailPaused } from '../store/restored-mark.ts'
import type { Table } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { asItStands } from './as-it-stands.ts'
import type { Mailer } from './mail.ts'
import type { Pace } from './pace.ts'
import { type Trouble, troubleOf } from './trouble.ts'

export interface Parts {
  readonly table: Table
  readonly mailer: Mailer
  readonly clock: WallClock
  /** of this run */
  readonly pace: Pace
}

/** Longer than the function may run, so that no live sender is overtaken. @lintignore a test compares the two */
export const leaseSeconds = 120

/** How long stream and queue are given before the run every few minutes takes a notice up. */
const queueSeconds = 120

/** Tries that ended in a fault of the notice's own, or in the end of the function. */
const mostAttempts = 5

/** As long as silence may take: whatever it is, others are to hear of it by then. */
const aloneSeconds = 4 * 3600

/** So many refused and none taken: the next would fare no better. */
const mostRefused = 5

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

/** Refused by the mail service: for what it is itself or for what the account is, what became of the others tells. */
interface Refused extends Claimed {
  readonly trouble: string
}

interface Run extends Parts {
  readonly open: (organisation: string) => Organisation
  /** those of its organisation */
  readonly notices: (notice: Notice) => Organisation['notices']
}

/**
 * One after another; those refused are held until the end. A refusal is the notice's own where others were taken after
 * it: in this run, or since it was refused first; or where it is alone of all that waits (`isAlone`) and has been for a
 * while. Otherwise the account may be in trouble, which counts for no notice, however long.
 */
export async function deliverAll(
  parts: Parts,
  notices: readonly Notice[],
  isAlone = false,
): Promise<ReadonlyMap<Notice, Delivery>> {
  const run = openRun(parts)
  const done = new Map<Notice, Delivery>()
  const refused: { owed: Notice; place: number; one: Refused }[] = []
  let lastTaken = -1
  for (const [place, owed] of notices.entries()) {
    if (await isForTomorrow(run, owed)) {
      done.set(owed, 'left for later')
      continue
    }
    const delivery = await safely(owed.number, () => attempt(run, owed))
    if (typeof delivery === 'string') done.set(owed, delivery)
    else refused.push({ owed, place, one: delivery })
    if (delivery === 'sent') lastTaken = place
    if (delivery === 'stop here' || (lastTaken < 0 && refused.length >= mostRefused)) break
  }
  if (lastTaken >= 0) await safely('', () => noteTaken(run.table, run.clock()))
  for (const { owed, place, one } of refused) {
    done.set(owed, await safely(owed.number, () => settle(run, one, { takenAfter: lastTaken > place, isAlone })))
  }
  if (refused.some(({ owed }) => done.get(owed) === 'try again')) log('error', alarmWords.refused, {})
  return done
}

/**
 * What can wait does so once the rest of the day's quota is kept for what cannot; the run every few minutes takes it
 * up.
 */
async function isForTomorrow({ pace }: Run, { kind, number }: Notice): Promise<boolean> {
  if (isUrgent(kind) || (await pace.hasRoomForOthers())) return false
  log('error', alarmWords.quotaNearlyUsedUp, { notice: number })
  return true
}

/** @lintignore the tests look at one notice at a time */
export async function deliver(parts: Parts, notice: Notice): Promise<Delivery> {
  const run = openRun(parts)
  const delivery = await attempt(run, notice)
  return typeof delivery === 'string' ? delivery : settle(run, delivery, { takenAfter: true, isAlone: true })
}

/** The registers are read once a run. */
function openRun(parts: Parts): Run {
  const opened = new Map<string, Organisation>()
  const open = (name: string): Organisation => {
    const known = opened.get(name) ?? openOrganisation(parts.table, name)
    opened.set(name, known)
    return known
  }
  return { ...parts, open, notices: ({ organisation }) => open(organisation).notices }
}

/** One that cannot be handled is tried again later and keeps no other waiting. */
async function safely<T>(number: string, work: () => Promise<T>): Promise<T | 'try again'> {
  try {
    return await work()
  } catch (error) {
    log('error', 'notice not handled', { notice: number, trouble: describe(error) })
    return 'try again'
  }
}

async function attempt(run: Run, owed: Notice): Promise<Delivery | Refused> {
  const [lease, seen] = await Promise.all([run.notices(owed).claim(owed, run.clock(), leaseSeconds), look(run, owed)])
  if (lease === null) return 'somebody else has it'
  const claimed = { notice: owed, lease }
  // five times its sender ended without a word: it may be what ends them
  if ((owed.attempts ?? 0) >= mostAttempts) return aside(run, claimed, 'its sending never came to an end')
  if ('trouble' in seen) {
    log('error', 'notice not looked into', { notice: owed.number, trouble: seen.trouble })
    await run.notices(owed).giveBack(claimed, seen.trouble)
    return 'try again'
  }
  const { notice } = seen
  if (notice === null) return takeBack(run, claimed)
  if (seen.passOver !== null) return passOver(run, claimed, seen.passOver)
  const asItIs = { notice, lease }
  if (notice !== owed && !(await run.notices(notice).leaveOut(asItIs))) return 'somebody else has it'
  const outcome = await send(run, notice)
  if ('messageId' in outcome) {
    await markPatiently(run, notice, outcome.messageId)
    return 'sent'
  }
  const { trouble, kind } = outcome
  log('error', 'notice not sent', { notice: notice.number, trouble })
  if (kind === 'nothing is taken') log('error', alarmWords.refused, {})
  if (kind === 'quota used up') log('error', alarmWords.quotaUsedUp, {})
  if (kind === 'refused') return { ...asItIs, trouble }
  if (kind === 'its own') return itsOwn(run, asItIs, trouble)
  await run.notices(notice).giveBack(asItIs, trouble)
  return kind === 'passing' ? 'try again' : 'stop here'
}

/**
 * What could not be looked up is no fault of the notice: it says so instead of throwing, as the claim stands by then.
 */
async function look(
  { table, clock, open }: Run,
  owed: Notice,
): Promise<
  { readonly passOver: keyof typeof passedOver | null; readonly notice: Notice | null } | { readonly trouble: string }
> {
  const organisation = open(owed.organisation)
  try {
    const [marked, left, notice] = await Promise.all([
      isMarked(table, owed),
      organisation.hasLeft(owed.to.email, clock()),
      asItStands(organisation, owed, clock()),
    ])
    return { passOver: left ? 'left' : marked ? 'marked' : null, notice }
  } catch (error) {
    return { trouble: describe(error) }
  }
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
async function markPatiently({ notices, clock, pace }: Run, notice: Notice, messageId: string): Promise<void> {
  const sentAt = clock()
  for (let failures = 1; ; failures++) {
    try {
      await notices(notice).sent(notice, sentAt, messageId)
      return
    } catch (error) {
      if (!(await pace.backOff(failures))) throw error
    }
  }
}

async function settle(
  run: Run,
  refused: Refused,
  beside: { readonly takenAfter: boolean; readonly isAlone: boolean },
): Promise<Delivery> {
  const { table, clock } = run
  const { notice, trouble } = refused
  const { ownRefusals = 0, refusedSince: since } = notice
  const isItsOwn = beside.takenAfter || ownRefusals > 0 || (since !== undefined && (await wasTakenSince(table, since)))
  const isLeftAlone = beside.isAlone && since !== undefined && since <= addSeconds(clock(), -aloneSeconds)
  if (isLeftAlone || (isItsOwn && ownRefusals + 1 >= mostAttempts)) return aside(run, refused, trouble)
  await run.notices(notice).giveBackRefused(refused, { at: clock(), trouble, isItsOwn })
  return isItsOwn ? 'left for later' : 'try again'
}

async function itsOwn(run: Run, claimed: Claimed, trouble: string): Promise<Delivery> {
  if (await run.notices(claimed.notice).giveAnotherTry(claimed, trouble, mostAttempts)) return 'left for later'
  return aside(run, claimed, trouble)
}

/** Rings: somebody has to look why, and to tell the person by other means. */
async function aside({ notices }: Run, claimed: Claimed, trouble: string): Promise<Delivery> {
  const { notice } = claimed
  if (!(await notices(notice).setAside(claimed, { why: 'refused', trouble }))) return 'somebody else has it'
  log('error', alarmWords.setAside, { notice: notice.number, trouble })
  return 'set aside'
}

const passedOver = {
  marked: 'nothing is sent to this address until a manager clears its mark',
  left: 'its reader is no longer on the register of people',
} as const

/** Mail to this address came back before, or its reader has left; the managers are told, and the next person. */
async function passOver({ notices }: Run, claimed: Claimed, why: keyof typeof passedOver): Promise<Delivery> {
  return (await notices(claimed.notice).setAside(claimed, { why, trouble: passedOver[why] }))
    ? 'set aside'
    : 'somebody else has it'
}

async function takeBack({ notices }: Run, claimed: Claimed): Promise<Delivery> {
  const why = 'what it tells is no longer so, and its people are told of that'
  log('info', 'notice withdrawn', { notice: claimed.notice.number })
  return (await notices(claimed.notice).withdraw(claimed, why)) ? 'withdrawn' : 'somebody else has it'
}

export interface TakenUp {
  readonly found: number
  readonly sent: number
}

/** Takes up what came through no queue, a bounded number a run. */
export async function deliverUnsent(parts: Parts): Promise<TakenUp> {
  if (await isMailPaused(parts.table)) {
    // said each time, since an alarm rings for as long as it is
    log('error', alarmWords.mailPaused, {})
    return { found: 0, sent: 0 }
  }
  const notices = await unsentSince(parts.table, addSeconds(parts.clock(), -queueSeconds), mostOfAShard)
  const done = await deliverAll(parts, notices, notices.length === 1)
  return { found: notices.length, sent: [...done.values()].filter((delivery) => delivery === 'sent').length }
}
