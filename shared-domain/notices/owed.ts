/** Which notices a change owes, and to whom. The one place that decides it. */
import { type CalendarDate, daysBetween } from '../calendar.ts'
import type { RecordedFact } from '../facts.ts'
import { sameMailbox } from '../mail-address.ts'
import type { Policy } from '../policy/policy.ts'
import type { Crew, Person } from '../registers.ts'
import { type Standing, standingOn } from '../state/standing.ts'
import type { StickState } from '../state/state.ts'
import { mayBeUsed } from '../state/use.ts'
import { errandsOf, mustBeAnswered } from './answers.ts'
import { climbedTo, digestAudience } from './audience.ts'
import { revisionOf } from './calendar-entry.ts'
import { earlierThanShown, nextTellOn, type Told } from './ladder.ts'
import type { Addressee, NoticeKind, OwedNotice, StickLine } from './notice.ts'

/** Where a stick belongs, for the reader of a notice. */
export interface Belonging {
  readonly stickId: string
  readonly crewId: string | null
  readonly crewName: string | null
  readonly depotName: string | null
  /** of what its due date follows from: see `revisionOf` */
  readonly revision?: number
}

/** How a stick stood on the day of the fact (`atTheTime`), and how it stands today without and with it. */
export interface Change {
  readonly atTheTime: Standing
  readonly before: Standing
  readonly after: Standing
  /** the due date its crew knew, where it is later than that of `after` */
  readonly broughtForwardFrom?: CalendarDate | null
  readonly fact: RecordedFact
  readonly day: CalendarDate
}

/** What recording the fact owes at once to everybody in `audience`. */
export function owedAtOnce(
  change: Change,
  belonging: Belonging,
  audience: readonly Addressee[],
  answerWithinHours: number,
): OwedNotice[] {
  const line = stickLine(belonging, change.after, change.day, change.broughtForwardFrom)
  return kindsOwed(change).flatMap((kind) => {
    const about = [kind, belonging.stickId, change.fact.factId].join('|')
    const answer = mustBeAnswered(kind) ? { answer: { about, withinHours: answerWithinHours } } : {}
    return audience.map((to) => ({
      kind,
      key: [about, sameMailbox(to.email)].join('|'),
      to,
      day: change.day,
      lines: [line],
      ...answer,
    }))
  })
}

export function kindsOwed({ atTheTime, before, after, fact, broughtForwardFrom }: Change): NoticeKind[] {
  const kinds: NoticeKind[] = []
  if (fact.kind === 'used' && !mayBeUsed(atTheTime.status)) kinds.push('used while unfit')
  const forward: NoticeKind[] = broughtForwardFrom && isDated(after) ? ['date brought forward'] : []
  if (after.status === 'on hold' && hasFailed(before, after)) return [...kinds, 'hold']
  if (before.status === after.status) return [...kinds, ...forward]
  if (after.status === 'removed from service') kinds.push('removal')
  else if (after.status === 'on hold') kinds.push('hold')
  else if (before.status === 'on hold' && mayBeUsed(after.status)) kinds.push('return')
  // nothing tells of a date where there is none: what may be used no more is told of like a hold
  else if (mayBeUsed(before.status) && after.status === 'awaiting first test') kinds.push('hold')
  else kinds.push(...forward)
  return kinds
}

/** Held already, and by a failed test now too: its people know too little, since more is asked to clear it. */
function hasFailed(before: Standing, after: Standing): boolean {
  const failed = ({ holds }: Standing) => holds.some(({ code }) => code === 'failed-test' || code === 'open-defect')
  return failed(after) && !failed(before)
}

/** Its date matters: a stick that must not be used for other reasons is told of by those. */
function isDated({ status }: Standing): boolean {
  return mayBeUsed(status) || status === 'overdue'
}

/** A stick whose next date to be told has come, and the people of its crew. */
export interface DueStick {
  readonly belonging: Belonging
  readonly standing: Standing
  readonly audience: readonly Addressee[]
  readonly broughtForwardFrom?: CalendarDate | null
}

/** What is known of a stick when a morning comes. */
export interface KnownStick {
  readonly stickId: string
  readonly state: StickState
  readonly depotId: string | null
  readonly told: Told | null
  /** the due date under which it was last shown */
  readonly shownDueOn: CalendarDate | null
  /** brought forward from this date, and its crew not yet told */
  readonly broughtForwardFrom: CalendarDate | null
}

/** The registers as they are on the day. */
export interface WhoIsWhere {
  readonly crews: ReadonlyMap<string, Crew>
  readonly depotNames: ReadonlyMap<string, string>
  readonly people: readonly Person[]
}

/** A stick as a digest of `day` would tell of it, and to whom; `isOwed` says whether anything is owed on it by then. */
export function dueOnDay(
  { stickId, state, depotId, told, ...shown }: KnownStick,
  { crews, depotNames, people }: WhoIsWhere,
  policy: Policy,
  day: CalendarDate,
): DueStick & { readonly isOwed: boolean } {
  const { crewId } = state
  const crew = crewId === null ? undefined : crews.get(crewId)
  const depotName = depotId === null ? null : (depotNames.get(depotId) ?? null)
  const standing = standingOn(state, day, policy)
  // also where a change of the rules has not reached the lists yet
  const broughtForwardFrom = shown.broughtForwardFrom ?? earlierThanShown(shown.shownDueOn, standing)
  const next = nextTellOn(standing, told, policy, broughtForwardFrom)
  return {
    belonging: { stickId, crewId, crewName: crew?.name ?? null, depotName, revision: revisionOf(state, policy, day) },
    standing,
    audience: digestAudience(crew ?? null, people, depotId, climbedTo(standing.daysOverdue, policy)),
    broughtForwardFrom,
    isOwed: next !== null && next <= day,
  }
}

/**
 * One digest a person for one local day, whatever the number of sticks: worst first within each crew.
 * `round` names the depots swept together, so that one person's depots in two zones are two mornings.
 */
export function digestsOwed(due: readonly DueStick[], day: CalendarDate, round: string): OwedNotice[] {
  const byMailbox = new Map<string, { to: Addressee; lines: StickLine[] }>()
  for (const stick of due) {
    for (const to of stick.audience) {
      const known = byMailbox.get(sameMailbox(to.email)) ?? { to, lines: [] }
      known.lines.push(stickLine(stick.belonging, stick.standing, day, stick.broughtForwardFrom))
      byMailbox.set(sameMailbox(to.email), { ...known, to: merged(known.to, to) })
    }
  }
  return [...byMailbox].map(([mailbox, { to, lines }]) => ({
    kind: 'digest',
    key: digestKey(mailbox, day, round),
    to,
    day,
    lines: lines.sort(worstFirst),
  }))
}

export function digestKey(email: string, day: CalendarDate, round: string): string {
  return ['digest', day, round, sameMailbox(email)].join('|')
}

function merged(a: Addressee, b: Addressee): Addressee {
  return { ...(b.role === 'foreman' ? b : a), tellInPerson: errandsOf([a, b]) }
}

function worstFirst(a: StickLine, b: StickLine): number {
  const keys = (line: StickLine) => [line.crewName ?? '', line.crewId ?? '', line.dueOn ?? '', line.stickId]
  const [left, right] = [keys(a), keys(b)]
  const at = left.findIndex((key, i) => key !== right[i])
  return at < 0 ? 0 : (left[at] ?? '') < (right[at] ?? '') ? -1 : 1
}

export function stickLine(
  belonging: Belonging,
  standing: Standing,
  day: CalendarDate,
  broughtForwardFrom: CalendarDate | null = null,
): StickLine {
  return {
    stickId: belonging.stickId,
    crewId: belonging.crewId,
    crewName: belonging.crewName,
    status: standing.status,
    dueOn: standing.dueOn,
    ...(belonging.revision === undefined ? {} : { revision: belonging.revision }),
    ...(broughtForwardFrom === null ? {} : { broughtForwardFrom }),
    daysLeft: standing.dueOn === null ? null : daysBetween(day, standing.dueOn),
    bringTo: belonging.depotName,
    ...lyingAt(standing),
    ...(standing.duty === undefined ? {} : { duty: standing.duty }),
    why: standing.why,
    ...(standing.removedFor === undefined ? {} : { removedFor: standing.removedFor }),
    source: standing.governedBy?.source ?? null,
    holds: standing.holds.map(({ code, text, clearedBy, detail }) => ({
      code,
      text,
      clearedBy,
      ...(detail === undefined ? {} : { detail }),
    })),
  }
}

function lyingAt({ custody }: Standing): Pick<StickLine, 'liesAt'> {
  if (custody !== null && 'bench' in custody) return { liesAt: 'bench' }
  return custody !== null && 'store' in custody ? { liesAt: 'store' } : {}
}
