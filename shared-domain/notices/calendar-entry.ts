/** A due date as a crew's own calendar shows it, and how a calendar tells a newer entry from an older one. */
import { type CalendarDate, daysBetween, inWords } from '../calendar.ts'
import type { Rules } from '../policy/rules.ts'
import { safetyWords } from '../safety-words.ts'
import type { StickState } from '../state/state.ts'
import { isDated, mayBeUsed } from '../state/use.ts'
import type { Status } from '../words.ts'
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

/** The words of an entry, in the language of whoever reads it. */
export interface EntryWording {
  readonly toBench: (values: { stick: string; status: Status }) => string
  readonly overdue: (values: { stick: string; status: Status }) => string
  /** the stick is due for a look at it where it lies, and for no test */
  readonly toLookOver: (values: { stick: string; status: Status }) => string
  readonly notLookedOver: (values: { stick: string; status: Status }) => string
  readonly calledOff: (values: { stick: string; status: Status }) => string
  readonly status: (values: { status: Status }) => string
  readonly notPrimary: () => string
  readonly why: (line: StickLine) => string
  readonly bringTo: (values: { place: string }) => string
  readonly rule: (values: { source: string }) => string
  readonly known: (values: { day: CalendarDate }) => string
  readonly safety: () => string
}

const english: EntryWording = {
  toBench: ({ stick, status }) => `Stick ${stick}: bring it to the bench (${status})`,
  overdue: ({ stick, status }) => `Stick ${stick}: do not use it, bring it to the bench (${status})`,
  toLookOver: ({ stick, status }) => `Stick ${stick}: look it over (${status})`,
  notLookedOver: ({ stick, status }) => `Stick ${stick}: do not use it before it is looked over (${status})`,
  calledOff: ({ stick, status }) => `Stick ${stick}: do not use it (${status})`,
  status: ({ status }) => `Status: ${status}.`,
  notPrimary: () => 'It is not for primary protection.',
  why: ({ why }) => why,
  bringTo: ({ place }) => `Bring to: ${place}.`,
  rule: ({ source }) => `Rule: ${source}.`,
  known: ({ day }) =>
    `Known on ${inWords(day)}. Calendars follow late: before you use the stick, look up how it stands.`,
  safety: () => safetyWords,
}

/** The entry of a stick, as known on a day; null where the stick has no date. */
export function calendarEntry(line: StickLine, knownOn: CalendarDate, said = english): CalendarEntry | null {
  const { stickId, status, dueOn, bringTo, source, duty } = line
  if (dueOn === null) return null
  const calledOff = !isDated(status)
  const toBench = !calledOff && duty !== 'look'
  return {
    stickId,
    revision: line.revision ?? 0,
    day: dueOn,
    calledOff,
    summary: headingOf(line, said)({ stick: stickId, status }),
    description: [
      said.status({ status }),
      ...(line.notPrimary ? [said.notPrimary()] : []),
      said.why(line),
      ...(bringTo === null || !toBench ? [] : [said.bringTo({ place: bringTo })]),
      ...(source === null ? [] : [said.rule({ source })]),
      said.known({ day: knownOn }),
      said.safety(),
    ].join('\n'),
  }
}

function headingOf({ status, duty }: StickLine, said: EntryWording): EntryWording['calledOff'] {
  if (status === 'overdue') return duty === 'look' ? said.notLookedOver : said.overdue
  if (!mayBeUsed(status)) return said.calledOff
  return duty === 'look' ? said.toLookOver : said.toBench
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
