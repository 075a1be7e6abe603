/** A due date as a crew's own calendar shows it, and how a calendar tells a newer entry from an older one. */
import { type CalendarDate, daysBetween } from '../calendar.ts'
import type { calendar } from '../catalogue/en/calendar.ts'
import type { Rules } from '../policy/rules.ts'
import type { StickState } from '../state/state.ts'
import { isDated, mayBeUsed } from '../state/use.ts'
import type { Wording } from '../wording.ts'
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

/** The sentences of an entry in the language of whoever reads it. */
export type EntryWording = Wording<typeof calendar>

/** The entry of a stick, as known on a day; null where the stick has no date. */
export function calendarEntry(line: StickLine, knownOn: CalendarDate, wording: EntryWording): CalendarEntry | null {
  const { stickId, status, dueOn, bringTo, source, duty, plannedOn } = line
  if (dueOn === null) return null
  const calledOff = !isDated(status)
  const toBench = !calledOff && duty !== 'look'
  const { say } = wording
  return {
    stickId,
    revision: line.revision ?? 0,
    day: dueOn,
    calledOff,
    summary: say(headingOf(line), { stick: stickId, status }),
    description: [
      say('entry status', { status }),
      ...(line.notPrimary ? [say('entry not primary')] : []),
      wording.why(line),
      ...(plannedOn === undefined || !toBench ? [] : [say('entry planned', { week: plannedOn, by: dueOn })]),
      ...(bringTo === null || !toBench ? [] : [say('entry bring to', { place: bringTo })]),
      ...(source === null ? [] : [say('entry rule', { source })]),
      say('entry known', { day: knownOn }),
      say('safety'),
    ].join('\n'),
  }
}

function headingOf({ status, duty }: StickLine) {
  if (status === 'overdue') return duty === 'look' ? 'entry not looked over' : 'entry overdue'
  if (!mayBeUsed(status)) return 'entry called off'
  return duty === 'look' ? 'entry to look over' : 'entry to bench'
}

/**
 * The revision rises whenever a stick's due date can have changed, and never falls, wherever the date itself goes. A
 * date follows from the facts, which only become more, and from the rules in force, which only give way to an edition
 * of a later day, or of the same day and a higher number.
 */
export function revisionOf({ facts }: Pick<StickState, 'facts'>, rules: Rules, day: CalendarDate): number {
  return facts + ruleRevision(rules.edition, day)
}

const earliest = '1900-01-01' as CalendarDate

/**
 * More editions of one register than anybody writes. The sum thus stays below 2^31, as calendars read whole numbers.
 */
const mostEditions = 10_000

/**
 * The first edition counts by its number before it takes effect, and may still be replaced by one of an earlier day.
 */
function ruleRevision(edition: string | undefined, day: CalendarDate): number {
  if (edition === undefined) return 0
  const [effectiveFrom = '', number = ''] = edition.split('#')
  const days = effectiveFrom > day ? 0 : daysBetween(earliest, effectiveFrom as CalendarDate)
  return days * mostEditions + Number(number)
}
