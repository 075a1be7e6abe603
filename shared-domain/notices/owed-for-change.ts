/** The notices owed where sticks stand otherwise than their people know, and no fact of theirs did it. */
import type { CalendarDate } from '../calendar.ts'
import { fingerprint } from '../fingerprint.ts'
import { sameMailbox } from '../mailbox.ts'
import { oneReader, type ThoseAround, wholeAudience } from './audience.ts'
import type { Cause, ChangeKind } from './change.ts'
import { mustBeConfirmed, whoIsAsked } from './confirmations.ts'
import type { Addressee, OwedNotice, StickLine } from './notice.ts'
import { compare, type StickToTell, stickLine } from './stick-line.ts'

/** A stick that stands otherwise than its people know, with all of these people. */
export interface ChangedStick extends StickToTell {
  readonly kind: ChangeKind
  readonly who: ThoseAround
  /** a number that rises with every write of the stick, so that each change is told once */
  readonly version: number
}

/**
 * The cause by which sticks stand otherwise, the day on which that is told, and how long their people have to confirm
 * it.
 */
export interface Happened {
  readonly cause: Cause
  readonly day: CalendarDate
  readonly answerWithinHours: number
}

/** A person gets one notice of a kind for one cause, whatever the number of sticks: worst first within each crew. */
export function owedForChange(changed: readonly ChangedStick[], happened: Happened): OwedNotice[] {
  return [...Map.groupBy(changed, ({ kind }) => kind)].flatMap(([kind, sticks]) => owedForKind(kind, sticks, happened))
}

function owedForKind(
  kind: ChangeKind,
  sticks: readonly ChangedStick[],
  { cause, day, answerWithinHours }: Happened,
): OwedNotice[] {
  const about = [kind, cause.by, nameOf(cause), day].join('|')
  const byMailbox = new Map<string, { to: Addressee; told: ChangedStick[]; isAsked: boolean }>()
  for (const stick of sticks) {
    const audience = wholeAudience(stick.who)
    const asked = mustBeConfirmed(kind) ? whoIsAsked(audience) : []
    for (const to of audience) {
      const known = byMailbox.get(sameMailbox(to.email)) ?? { to, told: [], isAsked: false }
      byMailbox.set(sameMailbox(to.email), {
        to: oneReader(known.to, to),
        told: [...known.told, stick],
        isAsked: known.isAsked || asked.includes(to),
      })
    }
  }
  return [...byMailbox].map(([mailbox, { to, told, isAsked }]) => ({
    kind,
    key: [about, mailbox, fingerprintOf(told)].join('|'),
    to,
    day,
    cause: cause.by,
    ...(cause.by === 'correction' ? { slip: cause.slip } : {}),
    lines: told.map((stick) => stickLine(stick, day)).sort(worstFirst),
    ...(isAsked ? { answer: { about, withinHours: answerWithinHours } } : {}),
  }))
}

function nameOf(cause: Cause): string {
  if (cause.by === 'correction') return cause.factId
  if (cause.by === 'import') return cause.import
  return cause.by === 'day' ? '' : cause.rules
}

/** The same sticks again, written to meanwhile, are told of again. */
function fingerprintOf(told: readonly ChangedStick[]): string {
  return fingerprint(
    told
      .map(({ belonging, version }) => `${belonging.stickId}@${version}`)
      .sort()
      .join(' '),
  )
}

/** The order within each crew: the stick due first, and before it those without a date. */
function worstFirst(a: StickLine, b: StickLine): number {
  const keys = (line: StickLine) => [line.crewName ?? '', line.crewId ?? '', line.dueOn ?? '', line.stickId]
  return compare(keys(a), keys(b))
}
