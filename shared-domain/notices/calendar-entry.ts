/** A due date as a crew's own calendar shows it, and how a calendar tells a newer entry from an older one. */
import { type CalendarDate, daysBetween, inWords } from '../calendar.ts'
import type { Policy } from '../policy/policy.ts'
import { safetyWords } from '../safety-words.ts'
import { mayBeUsed } from '../state/standing.ts'
import type { StickState } from '../state/state.ts'
import type { StickLine } from './notice.ts'

export interface CalendarEntry {
  readonly stickId: string
  readonly revision: number
  readonly day: CalendarDate
  /** the date no longer counts: the stick must not be used for another reason than its age */
  readonly calledOff: boolean
  readonly summary: string
  readonly description: string
}

/** What the entry of a stick says, as known on a day; null where it has no date. */
export function calendarEntry(line: StickLine, knownOn: CalendarDate): CalendarEntry | null {
  const { stickId, status, dueOn } = line
  if (dueOn === null) return null
  const calledOff = !mayBeUsed(status) && status !== 'overdue'
  return {
    stickId,
    revision: line.revision ?? 0,
    day: dueOn,
    calledOff,
    summary: summaryOf(line, calledOff),
    description: [
      `Status: ${status}.`,
      line.why,
      ...(line.bringTo === null || calledOff ? [] : [`Bring to: ${line.bringTo}.`]),
      ...(line.source === null ? [] : [`Rule: ${line.source}.`]),
      `Known on ${inWords(knownOn)}. Calendars follow late: before you use the stick, look up how it stands.`,
      safetyWords,
    ].join('\n'),
  }
}

function summaryOf({ stickId, status }: StickLine, calledOff: boolean): string {
  if (calledOff) return `Stick ${stickId}: do not use it (${status})`
  return status === 'overdue'
    ? `Stick ${stickId}: do not use it, bring it to the bench (overdue)`
    : `Stick ${stickId}: bring it to the bench (${status})`
}

/**
 * Rises whenever a stick's due date can have changed, and never falls, wherever the date itself goes: a date follows from
 * the facts, which only become more, and from the rules in force, which only give way to an edition of a later day or of
 * the same day and a higher number.
 */
export function revisionOf({ facts }: Pick<StickState, 'facts'>, policy: Policy | null, day: CalendarDate): number {
  return facts + ruleRevision(policy?.edition, day)
}

const earliest = '1900-01-01' as CalendarDate

/** More editions of one register than anybody writes; with it the sum stays below 2^31, as calendars read whole numbers. */
const mostEditions = 10_000

/** Before the first edition takes effect it counts all the same, and may still be replaced by one of an earlier day. */
function ruleRevision(edition: string | undefined, day: CalendarDate): number {
  if (edition === undefined) return 0
  const [effectiveFrom = '', number = ''] = edition.split('#')
  const days = effectiveFrom > day ? 0 : daysBetween(earliest, effectiveFrom as CalendarDate)
  return days * mostEditions + Number(number)
}
