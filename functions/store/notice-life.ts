/**
 * The notices of one organisation, and what happens to them. Every change of a notice is written here, under the
 * condition that the notice is still in a state from which its life leads there.
 */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { aboutOf, isOfCrew } from '../../shared-domain/notices/confirmations.ts'
import { type NoticeEvent, noticeLife, statesBefore } from '../../shared-domain/notices/life.ts'
import type { OwedNotice, UndeliveredWhy } from '../../shared-domain/notices/notice.ts'
import {
  type Condition,
  changeIf,
  eitherOf,
  type ItemChange,
  is,
  isAbsent,
  isLessThan,
  isOneOf,
  isThere,
} from './change.ts'
import { type OrganisationTable, organisationTable } from './keys.ts'
import { type Notice, noticesIn, noticeWrite, owedOf, queueOf } from './notices.ts'
import { sharing } from './sharing.ts'
import { confirmedWrite } from './sticks.ts'
import type { Table, Write } from './table.ts'
import { type PersonToTell, type ToldInPerson, toldInPerson, toldInPersonWrite } from './told-in-person.ts'

/** A lease is named by the instant at which it ends. A sender that no longer holds this very lease changes nothing. */
export type Lease = Instant

/** A notice that a sender holds. */
export interface Claimed {
  readonly notice: Notice
  readonly lease: Lease
}

/** The reason why a notice does not reach its reader, and what was said of it. */
export interface NotReached {
  readonly why: UndeliveredWhy
  readonly trouble: string
}

/** The number of sticks written side by side, where a confirmed notice tells of several. */
const sticksAtOnce = 10

export function openNotices(table: Table, organisation: string) {
  const place = organisationTable(table, organisation)
  return {
    ...noticesIn(place),
    ...sharing(place, { giveBack, giveBackRefused, leaveOut, withdraw, setAside, delivered, troubleWrite, confirm }),
    ...sharing(place, { passOn, askLater, seenToWrite, toldInPerson }),
    owedWrite: (owed: OwedNotice, owedAt: Instant) => noticeWrite(place, owed, owedAt),
    ...sharing(place, { noteUnknown, sendAnew, leave }),
    claim: (notice: Notice, now: Instant, leaseSeconds: number) => claim(place, notice, { now, leaseSeconds }),
    sent: (notice: Notice, sentAt: Instant, messageId: string) => sent(place, notice, { sentAt, messageId }),
    giveAnotherTry: (claimed: Claimed, trouble: string, mostAttempts: number) =>
      giveAnotherTry(place, claimed, { trouble, mostAttempts }),
    notReachedWrite: (notice: Notice, messageId: string, notReached: NotReached) =>
      notReachedWrite(place, notice, { messageId, ...notReached }),
    keepToldInPerson: (notice: Notice, at: number, told: ToldInPerson) => keepToldInPerson(place, { notice, at }, told),
  }
}

const keyOf = ({ keys }: OrganisationTable, { number }: Notice) => keys.notice(number)

/** A notice is free where nobody holds it, or where somebody has held it for too long. */
const isFree = (now: Instant) => eitherOf(isAbsent('leaseUntil'), isLessThan('leaseUntil', now))
const holds = (lease: Lease) => is('leaseUntil', lease)
const hasNotComeBack = [isThere('pk'), isAbsent('undeliveredWhy')] as const

/** An event, the change that it brings besides the state and the queue, and the conditions besides the state. */
interface Happening extends Pick<ItemChange, 'add'> {
  readonly event: NoticeEvent
  readonly set?: Partial<Notice> & { readonly leaseUntil?: Lease }
  readonly onlyIf?: readonly Condition[]
}

type HappeningUnder = Happening & { readonly event: 'given back' | 'withdrawn' | 'not reached' }

async function happens(place: OrganisationTable, notice: Notice, happening: Happening): Promise<boolean> {
  const change = move(notice, happening)
  return change !== null && place.table.update(keyOf(place, notice), change)
}

/** An event of a notice that this sender has claimed, whatever state the notice was read in. */
function happensUnder(place: OrganisationTable, { notice, lease }: Claimed, happening: HappeningUnder) {
  const onlyIf = [holds(lease), ...(happening.onlyIf ?? [])]
  return happens(place, { ...notice, state: 'claimed' }, { ...happening, onlyIf })
}

function happensWrite(place: OrganisationTable, notice: Notice, happening: Happening): Write | null {
  const change = move(notice, happening)
  return change === null ? null : place.table.change(keyOf(place, notice), change)
}

/** Lends the notice to one sender at a time; null when it is sent already or another sender holds the lease. */
async function claim(
  place: OrganisationTable,
  notice: Notice,
  { now, leaseSeconds }: { readonly now: Instant; readonly leaseSeconds: number },
): Promise<Lease | null> {
  const lease = addSeconds(now, leaseSeconds)
  const more = { set: { leaseUntil: lease }, add: { attempts: 1 }, onlyIf: [isFree(now)] }
  return (await happens(place, notice, { event: 'claimed', ...more })) ? lease : null
}

/**
 * Notes that the mail is out, whoever holds the lease by now. An answer or a bounce that came since is not taken
 * back. The hours in which the notice is to be confirmed begin here: nobody can answer what has not come yet.
 */
function sent(
  place: OrganisationTable,
  notice: Notice,
  { sentAt, messageId }: { readonly sentAt: Instant; readonly messageId: string },
): Promise<boolean> {
  const set = { sentAt, messageId }
  if (notice.answer === undefined) return happens(place, notice, { event: 'sent', set })
  const answerBy = addSeconds(sentAt, notice.answer.withinHours * 3600)
  return happens(place, notice, { event: 'sent, to be confirmed', set: { ...set, answerBy } })
}

/**
 * Gives the lease back, so that the next try need not wait until it runs out. The try was not the notice's fault, and
 * counts for none.
 */
function giveBack(place: OrganisationTable, claimed: Claimed, trouble: string): Promise<boolean> {
  return happensUnder(place, claimed, { event: 'given back', set: { trouble }, add: { attempts: -1 } })
}

/**
 * Gives the lease back of a notice that the mail service refused: the try counts for none, and others go first now.
 */
function giveBackRefused(
  place: OrganisationTable,
  claimed: Claimed,
  refused: { readonly at: Instant; readonly trouble: string; readonly isItsOwn: boolean },
): Promise<boolean> {
  return happensUnder(place, claimed, {
    event: 'given back',
    set: { trouble: refused.trouble, refusedSince: claimed.notice.refusedSince ?? refused.at },
    add: { attempts: -1, refusals: 1, ownRefusals: refused.isItsOwn ? 1 : 0 },
  })
}

/**
 * Gives the lease back after a fault of the notice's own; false where it was tried so often that no other try is
 * left.
 */
function giveAnotherTry(
  place: OrganisationTable,
  claimed: Claimed,
  { trouble, mostAttempts }: { readonly trouble: string; readonly mostAttempts: number },
): Promise<boolean> {
  return happensUnder(place, claimed, {
    event: 'given back',
    set: { trouble },
    onlyIf: [isLessThan('attempts', mostAttempts)],
  })
}

/** Keeps the notice as it is sent: without the sticks of which it is no longer true. */
function leaveOut(place: OrganisationTable, { notice, lease }: Claimed): Promise<boolean> {
  const change = changeIf({ set: { lines: notice.lines } }, is('state', 'claimed'), holds(lease))
  return place.table.update(keyOf(place, notice), change)
}

/** Withdraws a notice that is no longer true by the time it was to leave: it is kept, and sent to nobody. */
function withdraw(place: OrganisationTable, claimed: Claimed, why: string): Promise<boolean> {
  return happensUnder(place, claimed, { event: 'withdrawn', set: { trouble: why } })
}

/**
 * Sets aside a notice that will not reach its reader: it is kept, named in the notice log, and queued for whoever
 * tells the next person.
 */
function setAside(place: OrganisationTable, claimed: Claimed, { why, trouble }: NotReached): Promise<boolean> {
  return happensUnder(place, claimed, { event: 'not reached', set: { undeliveredWhy: why, trouble } })
}

/** Notes that the mail sent under this id did not reach its reader; null where that was known before. */
function notReachedWrite(
  place: OrganisationTable,
  notice: Notice,
  { messageId, why, trouble }: NotReached & { readonly messageId: string },
): Write | null {
  return happensWrite(place, notice, { event: 'not reached', set: { undeliveredWhy: why, trouble, messageId } })
}

/**
 * Notes that the reader's mail server took the mail; false where that was known before, or the mail has come back.
 */
function delivered(place: OrganisationTable, notice: Notice, deliveredAt: Instant): Promise<boolean> {
  const change = changeIf({ set: { deliveredAt } }, ...hasNotComeBack, isAbsent('deliveredAt'))
  return place.table.update(keyOf(place, notice), change)
}

/** Notes a saying of the mail service that is not the end of the notice. */
function troubleWrite(place: OrganisationTable, notice: Notice, trouble: string): Write {
  return place.table.change(keyOf(place, notice), changeIf({ set: { trouble } }, ...hasNotComeBack))
}

/**
 * Confirms the notice as read, once; false where it was confirmed before, or its mail came back since `notice` was
 * read. A mail that came back stays to be told of all the same.
 */
async function confirm(place: OrganisationTable, notice: Notice, answeredAt: Instant): Promise<boolean> {
  const write = happensWrite(place, notice, { event: 'confirmed', set: { answeredAt } })
  if (write === null) return false
  const [stick, ...more] = isOfCrew(notice.to) ? crewKnowsWrites(place, notice) : []
  if (more.length === 0 && (await withStick(place, write, stick))) return true
  // sticks go before a notice that tells of several: whoever is broken off between them presses again
  if (more.length > 0) await crewKnows(place, notice)
  return happens(place, notice, { event: 'confirmed', set: { answeredAt } })
}

/**
 * Keeps that somebody of the crew was told face to face, which counts like a confirmation; false where it was kept
 * before.
 */
async function keepToldInPerson(
  place: OrganisationTable,
  { notice, at }: PersonToTell,
  told: ToldInPerson,
): Promise<boolean> {
  const kept = toldInPersonWrite(place, { notice, at }, told)
  const [stick, ...more] = crewKnowsWrites(place, notice)
  if (more.length === 0 && (await withStick(place, kept, stick))) return true
  if (more.length > 0) await crewKnows(place, notice)
  return (await place.table.transact([kept])).done
}

/**
 * Writes that move the notice's sticks further down the list of those on hold, where what the notice tells of them
 * was to be confirmed.
 */
function crewKnowsWrites(place: OrganisationTable, notice: Notice): Write[] {
  return notice.lines.flatMap((line) => {
    const about = aboutOf(line, notice)
    return about === undefined ? [] : [confirmedWrite(place, line.stickId, about)]
  })
}

async function crewKnows(place: OrganisationTable, notice: Notice): Promise<void> {
  const writes = crewKnowsWrites(place, notice)
  for (let i = 0; i < writes.length; i += sticksAtOnce) {
    await Promise.all(writes.slice(i, i + sticksAtOnce).map((write) => written(place, write)))
  }
}

/**
 * Writes of one stick; false where it was told of anew, or confirmed before, or somebody else was writing to it each
 * time.
 */
async function written({ table }: OrganisationTable, write: Write): Promise<boolean> {
  for (let tries = 0; tries < 3; tries++) {
    const outcome = await table.transact([write])
    if (outcome.done || outcome.failed.length > 0) return outcome.done
  }
  return false
}

/**
 * Writes `write` together with the stick. False where the stick was told of anew, or confirmed before, or somebody
 * else was writing to either each time: then `write` is for the caller to write alone.
 */
async function withStick({ table }: OrganisationTable, write: Write, stick: Write | undefined): Promise<boolean> {
  if (stick === undefined) return false
  for (let tries = 0; tries < 3; tries++) {
    const outcome = await table.transact([write, stick])
    if (outcome.done) return true
    if (outcome.failed.length > 0) return false
  }
  return false
}

/**
 * Ends the wait for a confirmation in time: the next person is told, or the cause is gone. False where the notice was
 * answered meanwhile, or came back. Of one that came back the managers are still to hear, and the queue it was found
 * in may be behind.
 */
function passOn(place: OrganisationTable, notice: Notice, passedOnAt: Instant): Promise<boolean> {
  return happens(place, notice, { event: 'passed on', set: { passedOnAt } })
}

/** Puts off the notice's silence: nobody is told of it before `answerBy`. */
function askLater(place: OrganisationTable, notice: Notice, answerBy: Instant): Promise<boolean> {
  return happens(place, notice, { event: 'asked later', set: { answerBy } })
}

/**
 * Notes that everybody who is to know that the notice did not arrive was told; null where that was noted before. The
 * write fails where somebody else noted it first.
 */
function seenToWrite(place: OrganisationTable, notice: Notice, passedOnAt: Instant): Write | null {
  return happensWrite(place, notice, { event: 'seen to', set: { passedOnAt } })
}

/** Notes that nobody knows whether the notice was sent, so that it is not sent again under its number. */
function noteUnknown(place: OrganisationTable, notice: Notice): Promise<boolean> {
  return happens(place, notice, { event: 'restored' })
}

/** Owes the same under a number that was never used, in one write; false where somebody decided otherwise meanwhile. */
async function sendAnew(place: OrganisationTable, notice: Notice, now: Instant): Promise<boolean> {
  const old = happensWrite(place, notice, { event: 'sent anew' })
  if (old === null) return false
  const owed = { ...owedOf(notice), key: `sent anew|${notice.key}` }
  return (await place.table.transact([old, noticeWrite(place, owed, now)])).done
}

/** Leaves the notice as it is: whether it was sent stays unknown. */
function leave(place: OrganisationTable, notice: Notice): Promise<boolean> {
  return happens(place, notice, { event: 'left' })
}

/**
 * Answers the change that the event makes; null where the notice's life does not lead there from the state it was read
 * in.
 */
function move(notice: Notice, { event, set = {}, add = {}, onlyIf = [] }: Happening) {
  const to = noticeLife[notice.state][event]
  if (to === null) return null
  const queue = queueOf(to, { ...notice, ...set })
  const remove = [...(queue === null ? ['queue', 'queueAt'] : []), ...(to === 'claimed' ? [] : ['leaseUntil'])]
  const change = { set: { ...set, state: to, ...queue }, add, remove }
  return changeIf(change, isOneOf('state', statesBefore(event, to)), ...onlyIf)
}
