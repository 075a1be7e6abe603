/** The digests that a morning owes: the sticks to be told of, their readers, and one digest a person. */
import { type CalendarDate, daysBetween } from '../calendar.ts'
import { sameMailbox } from '../mailbox.ts'
import { standingOn } from '../state/standing.ts'
import type { StickState } from '../state/state.ts'
import { climbedTo, digestAudience, oneReader } from './audience.ts'
import { revisionOf } from './calendar-entry.ts'
import { earlierThanShown, isFirstWordOverdue, nextLabelTellOn, nextLoanTellOn, nextTellOn } from './ladder.ts'
import type { Morning, MorningStick, WhoIsWhere } from './morning.ts'
import type { Addressee, LateLoan, OwedNotice, StickLine } from './notice.ts'
import { plannedWeekOf } from './planned-week.ts'
import { compare, type StickToTell, stickLine } from './stick-line.ts'

/** A stick whose next date to be told has come, and the people of its crew. */
export interface DueStick extends StickToTell {
  readonly audience: readonly Addressee[]
  /** the things to be told: the due date, the loan, the label or several of them */
  readonly owed: { readonly date: boolean; readonly loan: LateLoan | null; readonly label?: true }
}

/**
 * A stick as a digest of `day` would tell of it, and its readers. `isOwed` says whether anything is owed on it by then.
 */
export function dueOnDay(
  { stickId, state, depotId, told, loanTold, labelTold, ...shown }: MorningStick,
  { crews, depotNames, people, plans }: WhoIsWhere,
  { day, rules }: Morning,
): DueStick & { readonly isOwed: boolean } {
  const { crewId } = state
  const crew = crewId === null ? undefined : crews.get(crewId)
  const depotName = depotId === null ? null : (depotNames.get(depotId) ?? null)
  const standing = standingOn(state, day, rules)
  // a change of the rules may not have reached the lists yet
  const broughtForwardFrom = shown.broughtForwardFrom ?? earlierThanShown(shown.shownDueOn, standing)
  const date = isBy(nextTellOn(standing, { told, broughtForwardFrom }, rules), day)
  const loan = isBy(nextLoanTellOn(state, loanTold ?? null), day) ? lateLoan(state, day) : null
  const label = isBy(nextLabelTellOn(standing, labelTold ?? null), day)
  const who = { crew: crew ?? null, people, depotId }
  const climbed = climbedTo(standing.daysOverdue, rules, isFirstWordOverdue(standing, told))
  return {
    belonging: {
      ...{ stickId, crewId, crewName: crew?.name ?? null, depotName, revision: revisionOf(state, rules, day) },
      plannedOn: plannedWeekOf(plans, { stickId, dueOn: standing.dueOn, day }),
    },
    standing,
    audience:
      loan === null && !label
        ? digestAudience(who, climbed)
        : // managers hear of a loan and a label from the first day on, owners of the date once it has climbed to them
          digestAudience(who, {
            ...climbed,
            toManagers: true,
            toOwners: date && climbed.toOwners,
          }),
    broughtForwardFrom,
    owed: { date, loan, ...(label ? { label } : {}) },
    isOwed: date || loan !== null || label,
  }
}

function isBy(next: CalendarDate | null, day: CalendarDate): boolean {
  return next !== null && next <= day
}

/** The loan of a stick that is not back, whether or not the day agreed has come. */
export function lateLoan({ custody }: StickState, day: CalendarDate): LateLoan | null {
  if (custody === null || !('lentTo' in custody)) return null
  const { lentTo, returnBy } = custody
  return { lentTo, returnBy, daysLate: daysBetween(returnBy, day) }
}

/** The room in one digest, by whatever measure. */
export interface Room {
  readonly most: number
  readonly sizeOf: (line: StickLine) => number
}

/**
 * Gathers one digest a person for one local day, whatever the number of sticks, the oldest due date first. Sticks are
 * added one by one, so that what is due need not be at hand all at once. Each reader has room of their own: the sticks
 * that come first are named, and the rest are counted. `round` names the depots swept together, so that one person's
 * depots in two zones are two mornings.
 */
export function gatherDigests(day: CalendarDate, round: string, { most, sizeOf }: Room) {
  const byMailbox = new Map<string, { to: Addressee; lines: StickLine[]; size: number; more: number }>()

  function add(stick: DueStick): void {
    const line = digestLine(stick, day)
    const size = sizeOf(line)
    for (const to of stick.audience) {
      const mailbox = sameMailbox(to.email)
      const known = byMailbox.get(mailbox) ?? { to, lines: [], size: 0, more: 0 }
      const hasRoom = known.lines.length === 0 || known.size + size <= most
      if (hasRoom) known.lines.push(line)
      byMailbox.set(mailbox, {
        to: oneReader(known.to, to),
        lines: known.lines,
        size: hasRoom ? known.size + size : known.size,
        more: hasRoom ? known.more : known.more + 1,
      })
    }
  }

  function owed(): OwedNotice[] {
    return [...byMailbox].map(([mailbox, { to, lines, more }]) => ({
      kind: 'digest',
      key: digestKey(mailbox, day, round),
      to,
      day,
      lines: lines.sort(oldestFirst),
      ...(more === 0 ? {} : { more }),
    }))
  }

  return { add, owed }
}

function digestLine({ owed: { date, loan }, ...stick }: DueStick, day: CalendarDate) {
  const line = stickLine(date ? stick : { ...stick, broughtForwardFrom: null }, day)
  if (loan === null) return date ? line : { ...line, onlyLabel: true as const }
  return { ...line, loan, ...(date ? {} : { onlyLoan: true as const }) }
}

export function digestKey(email: string, day: CalendarDate, round: string): string {
  return ['digest', day, round, sameMailbox(email)].join('|')
}

/** A reader of many crews begins with what has been due for longest. */
export function oldestFirst(a: StickLine, b: StickLine): number {
  const keys = (line: StickLine) => [line.dueOn ?? '', line.crewName ?? '', line.crewId ?? '', line.stickId]
  return compare(keys(a), keys(b))
}
