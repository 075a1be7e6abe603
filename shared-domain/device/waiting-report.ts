/**
 * A report that waits on somebody's device until it is sent: in what order reports go, under whose name, at which hour,
 * and what becomes of one by the answer to it.
 */
import { type Instant, isInstant } from '../calendar.ts'
import { hourPutRight } from './device-clock.ts'

/** The person whose device it is, as far as the device knows: whoever was signed in when it last had a link. */
export interface DevicePerson {
  readonly organisation: string
  readonly person: string
}

/**
 * An hour that was left empty is that of entering, as it would be of a report that is sent at once. An hour or another
 * day that somebody typed is theirs.
 */
export type ReportHour = 'of entering' | 'as typed'

export interface WaitingReport {
  /** the shape in which it is kept, so that a later build knows what it reads */
  readonly shape: 1
  readonly factId: string
  /** null where nobody was signed in on the device */
  readonly by: DevicePerson | null
  /** the address of the form */
  readonly path: string
  /** the subject of it, in the words of the form */
  readonly about: string
  readonly fields: readonly (readonly [name: string, value: string])[]
  /** the moment of entering, by the clock of the device */
  readonly enteredAt: Instant
  readonly hour: ReportHour
  /** the moment of entering by the clock of the service; null until it was first about to be sent */
  readonly happenedAt: Instant | null
  /** the service's reasons not to take it; null while it waits to be sent */
  readonly refused: readonly string[] | null
}

interface TypedTime {
  /** the day that stood in the form at first: today */
  readonly dayShown: string
  readonly dayTyped: string
  readonly hourTyped: string
}

export function reportHour({ dayShown, dayTyped, hourTyped }: TypedTime): ReportHour {
  return hourTyped === '' && dayTyped === dayShown ? 'of entering' : 'as typed'
}

/** Reports come in the order in which they were entered, and go in that order, each under the name of its author. */
export function reportsToSend(kept: readonly WaitingReport[], signedIn: DevicePerson): readonly WaitingReport[] {
  return kept.filter((report) => report.refused === null && mayBeSentBy(report, signedIn))
}

/** A report that nobody's name stands on is sent by whoever signs in next: word of danger does not wait for a name. */
export function mayBeSentBy({ by }: WaitingReport, signedIn: DevicePerson): boolean {
  return by === null || isSamePerson(by, signedIn)
}

export function isSamePerson(one: DevicePerson, other: DevicePerson): boolean {
  return one.organisation === other.organisation && one.person === other.person
}

/** The hour is put right once, before the first sending: sent again, it is the same report. */
export function readyToSend(report: WaitingReport, secondsOff: number): WaitingReport {
  if (report.hour === 'as typed' || report.happenedAt !== null) return report
  return { ...report, happenedAt: hourPutRight(report.enteredAt, secondsOff) }
}

/** The answer to a report that was sent. */
export type DeviceAnswer =
  | { readonly is: 'recorded'; readonly goTo: string; readonly before: boolean }
  | { readonly is: 'refused'; readonly why: readonly string[]; readonly status: number }
  | { readonly is: 'no session' }
  /** the service is there, and cannot take anything just now */
  | { readonly is: 'trouble'; readonly status: number }
  | { readonly is: 'no link' }

/** Statuses that pass and refuse nothing: a request that took long, one that came too early, too many at once. */
const passing = new Set([408, 425, 429])

/** The answer by its status and what it says; what stands between us and the service answers in its own words. */
export function answerFrom(status: number, said: unknown): DeviceAnswer {
  const { is, goTo, before, why } = (said ?? {}) as Readonly<Record<string, unknown>>
  if (status === 401) return { is: 'no session' }
  if (status >= 200 && status < 300 && is === 'recorded')
    return { is: 'recorded', goTo: typeof goTo === 'string' ? goTo : '', before: before === true }
  // a report that stands already under this id came through, and only the answer was lost
  if (status === 409 && is === 'recorded') return { is: 'recorded', goTo: '', before: true }
  if (status < 400 || status >= 500 || passing.has(status)) return { is: 'trouble', status }
  const reasons = Array.isArray(why) ? why.filter((one) => typeof one === 'string') : []
  return { is: 'refused', why: reasons, status }
}

/** The report as it is kept after the answer: null where nothing needs to be. */
export function keptAfter(report: WaitingReport, answer: DeviceAnswer): WaitingReport | null {
  if (answer.is === 'recorded') return null
  return answer.is === 'refused' ? { ...report, refused: answer.why } : report
}

/** The next report is sent after one that was taken or refused; one that no answer came to holds it up. */
export function sendsOn(answer: DeviceAnswer): boolean {
  return answer.is === 'recorded' || answer.is === 'refused'
}

/** A refused report that its author sends again waits as before. */
export function sentAgain(report: WaitingReport): WaitingReport {
  return { ...report, refused: null }
}

/** Only what reads as a report is one: an earlier build, or somebody else, may have written there too. */
export function isWaitingReport(kept: unknown): kept is WaitingReport {
  if (typeof kept !== 'object' || kept === null) return false
  const { shape, factId, path, fields, enteredAt } = kept as Readonly<Record<string, unknown>>
  const isText = typeof factId === 'string' && typeof path === 'string' && path.startsWith('/')
  return shape === 1 && isText && Array.isArray(fields) && typeof enteredAt === 'string' && isInstant(enteredAt)
}
