/**
 * The notices of one organisation, and what happens to them: every change of one is written here, under the condition that it
 * is still in a state from which its life leads there.
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
import { organisationTable } from './keys.ts'
import { type Notice, noticesIn, noticeWrite, queueOf } from './notices.ts'
import { confirmedWrite } from './sticks.ts'
import type { Table, Write } from './table.ts'
import { type ToldInPerson, toldInPerson, toldInPersonWrite } from './told-in-person.ts'

/** By when its sender is done with it: who no longer holds this very lease changes nothing. */
export type Lease = Instant

/** A notice that a sender holds. */
export interface Claimed {
  readonly notice: Notice
  readonly lease: Lease
}

/** Why a notice does not reach its reader, and what was said of it. */
export interface NotReached {
  readonly why: UndeliveredWhy
  readonly trouble: string
}

/** Of a confirmed notice of several. */
const sticksAtOnce = 10

export function openNotices(table: Table, organisation: string) {
  const place = organisationTable(table, organisation)
  const { keys } = place
  const keyOf = ({ number }: Notice) => keys.notice(number)

  /** Nobody else holds it, or held it for too long. */
  const isFree = (now: Instant) => eitherOf(isAbsent('leaseUntil'), isLessThan('leaseUntil', now))
  const holds = (lease: Lease) => is('leaseUntil', lease)
  const hasNotComeBack = [isThere('pk'), isAbsent('undeliveredWhy')] as const

  async function happens(notice: Notice, event: NoticeEvent, more: More = {}): Promise<boolean> {
    const change = move(notice, event, more)
    return change !== null && table.update(keyOf(notice), change)
  }

  /** To a notice that this sender has claimed, whatever it was when it was read. */
  function happensUnder({ notice, lease }: Claimed, event: 'given back' | 'withdrawn' | 'not reached', more: More) {
    return happens({ ...notice, state: 'claimed' }, event, { ...more, onlyIf: [holds(lease), ...(more.onlyIf ?? [])] })
  }

  /** Lent to one sender at a time; null when it is sent already or another holds the lease. */
  async function claim(notice: Notice, now: Instant, leaseSeconds: number): Promise<Lease | null> {
    const lease = addSeconds(now, leaseSeconds)
    const more = { set: { leaseUntil: lease }, add: { attempts: 1 }, onlyIf: [isFree(now)] }
    return (await happens(notice, 'claimed', more)) ? lease : null
  }

  /**
   * The mail is out, whoever holds the lease by now. What came after, such as an answer or a bounce, is not taken back. The hours in
   * which it is to be confirmed begin here: nobody can answer what has not come yet.
   */
  function sent(notice: Notice, sentAt: Instant, messageId: string): Promise<boolean> {
    const set = { sentAt, messageId }
    if (notice.answer === undefined) return happens(notice, 'sent', { set })
    const answerBy = addSeconds(sentAt, notice.answer.withinHours * 3600)
    return happens(notice, 'sent, to be confirmed', { set: { ...set, answerBy } })
  }

  /** Gives the lease back so that the next try need not wait for it to run out; a try that was not the notice's fault counts for none. */
  function giveBack(claimed: Claimed, trouble: string): Promise<boolean> {
    return happensUnder(claimed, 'given back', { set: { trouble }, add: { attempts: -1 } })
  }

  /** The same, where the mail service refused it: others go first now. */
  function giveBackRefused(
    claimed: Claimed,
    refused: { readonly at: Instant; readonly trouble: string; readonly isItsOwn: boolean },
  ): Promise<boolean> {
    return happensUnder(claimed, 'given back', {
      set: { trouble: refused.trouble, refusedSince: claimed.notice.refusedSince ?? refused.at },
      add: { attempts: -1, refusals: 1, ownRefusals: refused.isItsOwn ? 1 : 0 },
    })
  }

  /** After a fault of its own: to be tried again, unless it was tried so often already; false then. */
  function giveAnotherTry(claimed: Claimed, trouble: string, mostAttempts: number): Promise<boolean> {
    return happensUnder(claimed, 'given back', {
      set: { trouble },
      onlyIf: [isLessThan('attempts', mostAttempts)],
    })
  }

  /** Some of its sticks it is no longer true of: kept as it is sent. */
  function leaveOut({ notice, lease }: Claimed): Promise<boolean> {
    const change = changeIf({ set: { lines: notice.lines } }, is('state', 'claimed'), holds(lease))
    return table.update(keyOf(notice), change)
  }

  /** No longer true by the time it was to leave: kept, and sent to nobody. */
  function withdraw(claimed: Claimed, why: string): Promise<boolean> {
    return happensUnder(claimed, 'withdrawn', { set: { trouble: why } })
  }

  /** It will not reach its reader: kept, named in the notice log, and queued for whoever tells the next person. */
  function setAside(claimed: Claimed, { why, trouble }: NotReached): Promise<boolean> {
    return happensUnder(claimed, 'not reached', { set: { undeliveredWhy: why, trouble } })
  }

  /** Found out after it was sent under this id that it did not reach its reader; null where that was known before. */
  function notReachedWrite(notice: Notice, messageId: string, { why, trouble }: NotReached): Write | null {
    return happensWrite(notice, 'not reached', { set: { undeliveredWhy: why, trouble, messageId } })
  }

  /** The reader's mail server took it. False where that was known before, or it has come back. */
  function delivered(notice: Notice, deliveredAt: Instant): Promise<boolean> {
    const change = changeIf({ set: { deliveredAt } }, ...hasNotComeBack, isAbsent('deliveredAt'))
    return table.update(keyOf(notice), change)
  }

  /** What the mail service says of it that is not its end. */
  function troubleWrite(notice: Notice, trouble: string): Write {
    return table.change(keyOf(notice), changeIf({ set: { trouble } }, ...hasNotComeBack))
  }

  /**
   * Confirmed as read, once; false where it was before, or its mail came back since `notice` was read. That it came back stays
   * to be told all the same.
   */
  async function confirm(notice: Notice, answeredAt: Instant): Promise<boolean> {
    const write = happensWrite(notice, 'confirmed', { set: { answeredAt } })
    if (write === null) return false
    const [stick, ...more] = isOfCrew(notice.to) ? crewKnowsWrites(notice) : []
    if (more.length === 0 && (await withStick(write, stick))) return true
    // of several the sticks first: whoever is broken off between them presses again
    if (more.length > 0) await crewKnows(notice)
    return happens(notice, 'confirmed', { set: { answeredAt } })
  }

  /** That somebody of the crew was told face to face counts like a confirmation. False where it was kept before. */
  async function keepToldInPerson(notice: Notice, at: number, told: ToldInPerson): Promise<boolean> {
    const kept = toldInPersonWrite(place, { notice, at }, told)
    const [stick, ...more] = crewKnowsWrites(notice)
    if (more.length === 0 && (await withStick(kept, stick))) return true
    if (more.length > 0) await crewKnows(notice)
    return (await table.transact([kept])).done
  }

  /** The sticks of this notice lie further down the list of those on hold, where it was to be confirmed what it tells of them. */
  function crewKnowsWrites(notice: Notice): Write[] {
    return notice.lines.flatMap((line) => {
      const about = aboutOf(line, notice)
      return about === undefined ? [] : [confirmedWrite(place, line.stickId, about)]
    })
  }

  async function crewKnows(notice: Notice): Promise<void> {
    const writes = crewKnowsWrites(notice)
    for (let i = 0; i < writes.length; i += sticksAtOnce) {
      await Promise.all(writes.slice(i, i + sticksAtOnce).map(written))
    }
  }

  /** False where that stick was told of anew, or confirmed before, or somebody else was writing to it each time. */
  async function written(write: Write): Promise<boolean> {
    for (let tries = 0; tries < 3; tries++) {
      const outcome = await table.transact([write])
      if (outcome.done || outcome.failed.length > 0) return outcome.done
    }
    return false
  }

  /**
   * Together with the stick where that can be: false where it was told of anew, or confirmed before, or somebody else was
   * writing to either each time. `write` itself is then for the caller to write alone.
   */
  async function withStick(write: Write, stick: Write | undefined): Promise<boolean> {
    if (stick === undefined) return false
    for (let tries = 0; tries < 3; tries++) {
      const outcome = await table.transact([write, stick])
      if (outcome.done) return true
      if (outcome.failed.length > 0) return false
    }
    return false
  }

  /**
   * Nobody confirmed it in time: the next person is told, or the cause is gone. False where it was answered meanwhile, or came
   * back: of that the managers are still to hear, and the queue it was found in may be behind.
   */
  function passOn(notice: Notice, passedOnAt: Instant): Promise<boolean> {
    return happens(notice, 'passed on', { set: { passedOnAt } })
  }

  /** Of its silence nobody is told before then. */
  function askLater(notice: Notice, answerBy: Instant): Promise<boolean> {
    return happens(notice, 'asked later', { set: { answerBy } })
  }

  /** Everybody who is to know that it did not arrive is told; null where they were before. Fails where somebody else did so. */
  function seenToWrite(notice: Notice, passedOnAt: Instant): Write | null {
    return happensWrite(notice, 'seen to', { set: { passedOnAt } })
  }

  function happensWrite(notice: Notice, event: NoticeEvent, more: More): Write | null {
    const change = move(notice, event, more)
    return change === null ? null : table.change(keyOf(notice), change)
  }

  return {
    ...noticesIn(place),
    owedWrite: (owed: OwedNotice, owedAt: Instant) => noticeWrite(place, owed, owedAt),
    claim,
    sent,
    giveBack,
    giveBackRefused,
    giveAnotherTry,
    leaveOut,
    withdraw,
    setAside,
    notReachedWrite,
    delivered,
    troubleWrite,
    confirm,
    keepToldInPerson,
    toldInPerson: (notices: readonly Notice[]) => toldInPerson(place, notices),
    passOn,
    askLater,
    seenToWrite,
  }
}

/** What an event changes besides the state and the queue, and what has to hold besides the state. */
interface More extends Pick<ItemChange, 'add'> {
  readonly set?: Partial<Notice> & { readonly leaseUntil?: Lease }
  readonly onlyIf?: readonly Condition[]
}

/** Null where its life does not lead there from the state it is in. */
function move(notice: Notice, event: NoticeEvent, { set = {}, add = {}, onlyIf = [] }: More) {
  const to = noticeLife[notice.state][event]
  if (to === null) return null
  const queue = queueOf(to, { ...notice, ...set })
  const remove = [...(queue === null ? ['queue', 'queueAt'] : []), ...(to === 'claimed' ? [] : ['leaseUntil'])]
  const change = { set: { ...set, state: to, ...queue }, add, remove }
  return changeIf(change, isOneOf('state', statesBefore(event, to)), ...onlyIf)
}
