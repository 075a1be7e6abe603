/**
 * A reminder is asked for by somebody in charge, beside the ladder of due dates, which it leaves as it is. A reader
 * gets one mail for all sticks that were chosen.
 *
 * | a stick | its readers |
 * |---|---|
 * | overdue or due soon | its crew and foremen; where none of them has mail, whoever is next above |
 * | that must not be used, in somebody's hands | the same, and they are asked to confirm its hold where nobody has |
 * | any other | nobody: there is nothing to remind of |
 */
import { addSeconds, type CalendarDate, type Instant, localDateAt, localTimeAt } from '../calendar.ts'
import { fingerprint } from '../fingerprint.ts'
import { sameMailbox } from '../mailbox.ts'
import type { Reason } from '../reason.ts'
import type { Custody } from '../state/state.ts'
import { mustNotBeUsed } from '../state/use.ts'
import { digestAudience, oneReader, type ThoseAround } from './audience.ts'
import { whoIsAsked } from './confirmations.ts'
import { oldestFirst } from './digest.ts'
import type { Addressee, LateLoan, OwedNotice, StickLine } from './notice.ts'
import { type StickToTell, stickLine } from './stick-line.ts'

/** A stick that somebody chose, with its people. */
export interface ChosenStick extends StickToTell {
  readonly who: ThoseAround
  /** the zone where it lies */
  readonly zone: string
  /** its hold, as far as anybody was asked to confirm it */
  readonly held?: { readonly about?: string; readonly confirmed: boolean } | undefined
  readonly loan: LateLoan | null
  readonly answerWithinHours: number
  /** the last reminder of it */
  readonly reminded?: { readonly by: string; readonly at: Instant } | undefined
}

export interface AskedReminder {
  readonly factId: string
  /** the name of whoever asks */
  readonly by: string
  readonly at: Instant
  readonly note?: string | undefined
}

/** A chosen stick that nobody is reminded of, and why. */
export interface LeftOut {
  readonly stickId: string
  readonly reason: Reason
}

export interface ReminderOwed {
  readonly notices: readonly OwedNotice[]
  readonly leftOut: readonly LeftOut[]
}

/** the house's own figure: whoever presses twice, or two managers at once, write once */
export const remindedForSeconds = 3600

export function owedForReminder(chosen: readonly ChosenStick[], asked: AskedReminder): ReminderOwed {
  const looked = chosen.map((stick) => ({ stick, audience: readersOf(stick), reason: whyNot(stick, asked) }))
  return {
    leftOut: looked.flatMap(({ stick, reason }) =>
      reason === null ? [] : [{ stickId: stick.belonging.stickId, reason }],
    ),
    notices: noticesFor(
      looked.filter(({ reason }) => reason === null),
      asked,
    ),
  }
}

function readersOf({ who }: ChosenStick): Addressee[] {
  return digestAudience(who, { toForemen: true, toManagers: false, toOwners: false })
}

function whyNot(chosen: ChosenStick, { at }: AskedReminder): Reason | null {
  const { belonging, standing, reminded, zone } = chosen
  const { stickId: stick } = belonging
  const { status, custody } = standing
  if (!mustNotBeUsed(status) && status !== 'overdue' && status !== 'due soon')
    return { code: 'nothing-to-remind-of', says: { is: 'nothing to remind of', stick, status } }
  if (mustNotBeUsed(status) && !isInHands(custody))
    return { code: 'nobody-to-bring-it-in', says: { is: 'nobody to bring it in', stick, status } }
  if (readersOf(chosen).length === 0) return { code: 'nobody-to-remind', says: { is: 'nobody to remind', stick } }
  if (reminded === undefined || addSeconds(reminded.at, remindedForSeconds) <= at) return null
  const { by } = reminded
  return { code: 'reminded-already', says: { is: 'reminded already', stick, by, at: localTimeAt(reminded.at, zone) } }
}

const isInHands = (custody: Custody | null) => custody !== null && ('crewId' in custody || 'lentTo' in custody)

interface Looked {
  readonly stick: ChosenStick
  readonly audience: readonly Addressee[]
}

interface Told {
  readonly to: Addressee
  readonly sticks: readonly ChosenStick[]
  readonly lines: readonly StickLine[]
  readonly isAsked: boolean
}

function noticesFor(looked: readonly Looked[], asked: AskedReminder): OwedNotice[] {
  const byMailbox = new Map<string, Told>()
  for (const { stick, audience } of looked) {
    const line = lineOf(stick, asked)
    for (const to of audience) {
      const known = byMailbox.get(sameMailbox(to.email)) ?? { to, sticks: [], lines: [], isAsked: false }
      byMailbox.set(sameMailbox(to.email), {
        to: oneReader(known.to, to),
        sticks: [...known.sticks, stick],
        lines: [...known.lines, line],
        isAsked: known.isAsked || (line.about !== undefined && whoIsAsked(audience).includes(to)),
      })
    }
  }
  return [...byMailbox].map(([mailbox, told]) => noticeOf(mailbox, told, asked))
}

/** Readers of the same sticks get the same words: all that their keys differ in is the mailbox. */
function noticeOf(mailbox: string, { to, sticks, lines, isAsked }: Told, asked: AskedReminder): OwedNotice {
  const { factId, by, at, note } = asked
  const sorted = [...lines].sort(oldestFirst)
  const zone = sticks.find(({ belonging }) => belonging.stickId === sorted[0]?.stickId)?.zone ?? 'UTC'
  const day = localDateAt(at, zone)
  const about = ['reminder', factId].join('|')
  const which = fingerprint(`${isAsked} ${sorted.map(({ stickId }) => stickId).join(' ')}`)
  return {
    kind: 'reminder',
    key: [about, which, mailbox].join('|'),
    to,
    day,
    lines: sorted,
    ...(isAsked ? { answer: { about, withinHours: Math.min(...sticks.map((one) => one.answerWithinHours)) } } : {}),
    reminder: { by, on: day, at: localTimeAt(at, zone), ...(note ? { note } : {}) },
  }
}

function lineOf(stick: ChosenStick, { at }: AskedReminder): StickLine {
  const { standing, held, loan, zone } = stick
  const line = stickLine(stick, localDateAt(at, zone) satisfies CalendarDate)
  const isOpen = mustNotBeUsed(standing.status) && held?.about !== undefined && !held.confirmed
  return {
    ...line,
    ...(isOpen ? { about: held.about } : {}),
    ...(loan !== null && loan.daysLate > 0 ? { loan } : {}),
  }
}
