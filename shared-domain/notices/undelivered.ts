/**
 * The notices owed because one did not reach its reader. This is the one place that decides it, however that was found
 * out.
 */
import type { CalendarDate } from '../calendar.ts'
import { sameMailbox } from '../mailbox.ts'
import { mayBeUsed, mustNotBeUsed } from '../state/use.ts'
import { isManager, managersIn, nextUp } from './confirmations.ts'
import type { Addressee, NoticeKind, OwedNotice, StickLine, UndeliveredWhy } from './notice.ts'

/** Nothing is to be sent to a marked address again until a manager says so. */
export function marksTheAddress(why: UndeliveredWhy): boolean {
  return why === 'bounced' || why === 'complained'
}

/** Some of the sticks of a notice, as they stand now, and who is to know of them. */
export interface Concerned {
  readonly lines: readonly StickLine[]
  /** true for a report on a number that no stick has */
  readonly nobodyKnowsWhich?: true
  readonly audience: readonly Addressee[]
}

/** A notice that did not reach its reader. */
export interface Undelivered {
  readonly notice: OwedNotice
  readonly why: UndeliveredWhy
}

export interface UndeliveredCircumstances {
  readonly day: CalendarDate
  /** the notice was confirmed as read all the same, or passed on before */
  readonly isKnown: boolean
  /** the same word is on its way to another manager, or has reached one */
  readonly otherManagersKnow: boolean
}

/**
 * The managers hear whom the notice did not reach. The next person up gets what of it still holds and was not confirmed
 * as read: the same errand, the same answer awaited.
 */
export function owedForUndelivered(
  undelivered: Undelivered,
  concerned: readonly Concerned[],
  circumstances: UndeliveredCircumstances,
): OwedNotice[] {
  const { notice } = undelivered
  const { day, isKnown } = circumstances
  const unreached = sameMailbox(notice.to.email)
  const others = concerned.map((one) => ({
    ...one,
    audience: one.audience.filter(({ email }) => sameMailbox(email) !== unreached),
  }))
  const still = others.map((one) => ({ ...one, lines: one.lines.filter((line) => stillHolds(notice.kind, line)) }))
  // an invitation is one person's; a fingerprint all owners have, and tomorrow there is another
  const isPassedOn = !isKnown && notice.kind !== 'invitation' && notice.kind !== 'fingerprint'
  return [...toManagers(undelivered, others, day), ...(isPassedOn ? passedOn(notice, still, circumstances) : [])]
}

/**
 * A stick that has been held or passed since is told of by that. Nobody is to read that it may be used when it may not.
 */
export function stillHolds(kind: NoticeKind, { status, onlyLoan }: StickLine): boolean {
  switch (kind) {
    case 'hold':
    case 'removal':
    case 'recall':
    case 'unanswered':
      return mustNotBeUsed(status)
    case 'return':
      return mayBeUsed(status)
    case 'digest':
    case 'date brought forward':
      return mayBeUsed(status) || status === 'overdue' || onlyLoan === true
    case 'reminder':
      return status === 'due soon' || status === 'overdue' || mustNotBeUsed(status)
    case 'used while unfit':
    case 'report':
    case 'not delivered':
    case 'proposal':
    case 'calibration':
    case 'put right':
    case 'invitation':
    case 'fingerprint':
      return true
  }
}

/**
 * A notice that is itself `not delivered` tells the managers only where it marks an address, so that two unreachable
 * managers do not call for ever.
 */
function toManagers({ notice, why }: Undelivered, concerned: readonly Concerned[], day: CalendarDate): OwedNotice[] {
  if (notice.kind === 'not delivered' && !marksTheAddress(why)) return []
  const managers = gathered(concerned, managersIn)
  return managers.map(({ mailbox, to, lines }) => ({
    kind: 'not delivered' as const,
    key: ['not delivered', notice.key, mailbox].join('|'),
    to: { ...to, tellInPerson: [] },
    day,
    lines,
    missed: { name: notice.to.name, email: notice.to.email, why },
    ...(notice.report === undefined ? {} : { report: notice.report }),
    ...(notice.invitation === undefined ? {} : { invitation: notice.invitation }),
  }))
}

function passedOn(
  notice: OwedNotice,
  concerned: readonly Concerned[],
  { day, otherManagersKnow }: UndeliveredCircumstances,
): OwedNotice[] {
  const { kind, key, answer, unanswered, cameBackBy, report, used, passedOnFor = [] } = notice
  const { proposal, calibration, reminder, recall } = notice
  const isWithManagers = isManager(notice.to) && otherManagersKnow
  const next = (audience: readonly Addressee[]) => (isWithManagers ? [] : nextUp(notice.to, audience))
  return gathered(concerned, next).map(({ mailbox, to, lines }) => ({
    kind,
    key: ['passed on', key, mailbox].join('|'),
    to: { ...to, tellInPerson: notice.to.tellInPerson },
    day,
    lines,
    ...(answer === undefined ? {} : { answer }),
    ...(unanswered === undefined ? {} : { unanswered }),
    ...(cameBackBy === undefined ? {} : { cameBackBy }),
    ...(report === undefined ? {} : { report }),
    ...(used === undefined ? {} : { used }),
    ...(proposal === undefined ? {} : { proposal }),
    ...(calibration === undefined ? {} : { calibration }),
    ...(reminder === undefined ? {} : { reminder }),
    ...(recall === undefined ? {} : { recall }),
    passedOnFor: [...passedOnFor, notice.to.name],
  }))
}

/**
 * Gathers each mailbox once, with the sticks that concern it. A report on a number that no stick has comes without a
 * stick.
 */
function gathered(
  concerned: readonly Concerned[],
  chosen: (audience: readonly Addressee[]) => readonly Addressee[],
): { mailbox: string; to: Addressee; lines: readonly StickLine[] }[] {
  const byMailbox = new Map<string, { to: Addressee; lines: StickLine[] }>()
  for (const { lines, audience } of concerned.filter((one) => one.lines.length > 0 || one.nobodyKnowsWhich)) {
    for (const to of chosen(audience)) {
      const mailbox = sameMailbox(to.email)
      const known = byMailbox.get(mailbox) ?? { to, lines: [] }
      byMailbox.set(mailbox, { ...known, lines: [...known.lines, ...lines] })
    }
  }
  return [...byMailbox].map(([mailbox, one]) => ({ mailbox, ...one }))
}
