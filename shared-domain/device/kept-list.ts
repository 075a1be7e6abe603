/**
 * The list of a crew's sticks as a device keeps it: how old it is, when nothing of it counts any more, and when it is
 * wiped.
 */
import { type CalendarDate, type Instant, instantOf, localDateAt, millisOf } from '../calendar.ts'
import { type DevicePerson, isSamePerson, type WaitingReport } from './waiting-report.ts'

export interface KeptLine {
  readonly stick: string
  /** the last day on which it may be used; null where it must not be used, or no rule sets a day */
  readonly through: CalendarDate | null
  /** a sentence on what to do with it, in the reader's language */
  readonly says: string
}

export interface KeptList {
  readonly shape: 1
  readonly by: DevicePerson
  /** the last day on which the person counts, where that is known */
  readonly lastDay: CalendarDate | null
  /** the clock of the crew's depot */
  readonly zone: string
  readonly crew: string
  /** the moment of which the list tells, by the clock of the service */
  readonly asOf: Instant
  /** the same moment by the clock of the device */
  readonly fetchedAt: Instant
  readonly lines: readonly KeptLine[]
}

const minute = 60_000
const day = 24 * 60 * minute

/** Null where the clock of the device was set back since: then nobody knows how old the list is. */
export function ageInMinutes({ fetchedAt }: KeptList, now: Instant): number | null {
  const age = millisOf(now) - millisOf(fetchedAt)
  return age < 0 ? null : Math.floor(age / minute)
}

export function isTooOld({ fetchedAt }: KeptList, now: Instant): boolean {
  const age = millisOf(now) - millisOf(fetchedAt)
  return age < 0 || age >= day
}

/** The day at the depot, whatever the clock of the device shows: the list tells how far apart the two are. */
function dayByList({ asOf, fetchedAt, zone }: KeptList, now: Instant): CalendarDate {
  return localDateAt(instantOf(millisOf(asOf) + millisOf(now) - millisOf(fetchedAt)), zone)
}

/** A line says how its stick stands until its last day ends; without one, as long as the list does. */
export function lineCounts({ through }: KeptLine, list: KeptList, now: Instant): boolean {
  if (isTooOld(list, now)) return false
  return through === null || dayByList(list, now) <= through
}

/** A list of somebody else, or of somebody whose last day has ended, may not stay on the device. */
export function isListOver(list: KeptList, now: Instant, signedIn: DevicePerson | null): boolean {
  if (signedIn !== null && !isSamePerson(list.by, signedIn)) return true
  return list.lastDay !== null && dayByList(list, now) > list.lastDay
}

/** A list is fetched anew after ten minutes, while there is a link. */
export function isWorthFetching(list: KeptList | null, now: Instant): boolean {
  const age = list === null ? null : ageInMinutes(list, now)
  return age === null || age >= 10
}

/** Forms by which somebody speaks against a stick. */
const against = /^\/sticks\/([^/]+)\/(?:report|missing)$/

/**
 * A stick that was reported on this device reads so at once, whatever the list said of it before: until the list is
 * fetched anew, and for as long as the report waits.
 */
export function withReported(list: KeptList, reports: readonly Pick<WaitingReport, 'path'>[], says: string): KeptList {
  const reported = new Set(reports.flatMap(({ path }) => against.exec(path)?.[1] ?? []).map(decodeURIComponent))
  const lines = list.lines.map((line) => (reported.has(line.stick) ? { ...line, through: null, says } : line))
  return { ...list, lines }
}
