/** The one place that turns evidence into due dates. */
import { addDays, addMonths, addMonthsToEndOfMonth, type CalendarDate } from '../calendar.ts'
import type { Stick } from '../registers.ts'
import type { EvidenceKind, ServiceClass } from '../words.ts'
import { type ExpectedEnd, type Usage, weightedDays } from './expected-use.ts'
import type { Interval, Requirement } from './requirement.ts'
import type { Rules } from './rules.ts'
import { classesSince, type ServiceRecord, timesOf } from './service-class.ts'

/** The newest date of each kind of evidence that counts. */
export type Evidence = { readonly [kind in EvidenceKind]?: CalendarDate }

/** Everything known of a stick that its clocks run on. */
export interface Wound extends ServiceRecord {
  readonly evidence: Evidence
}

export interface Clock {
  readonly requirement: string
  readonly words: string
  readonly source: string
  /** the evidence that winds the clock */
  readonly evidence: readonly EvidenceKind[]
  /** the evidence date from which the clock runs; null when some evidence is missing */
  readonly since: CalendarDate | null
  /** the class that governs the clock; null where its interval is the same in all classes */
  readonly serviceClass: ServiceClass | null
  /**
   * the last day on which the stick may be used under this requirement; null when it was never wound, or has no end yet
   */
  readonly dueOn: CalendarDate | null
  /** days of use left, for a clock that counts them */
  readonly useDaysLeft?: number
  /** the day on which the days of use run out if the last year goes on; advice only */
  readonly expected?: ExpectedEnd
}

type Subject = Pick<Stick, 'construction' | 'primaryProtection' | 'inServiceSince'>

/** A stick, what its clocks run on, and the rules they run by. */
interface Winding {
  readonly stick: Subject
  readonly known: Wound
  readonly rules: Rules
}

/** Every clock that runs on a stick: those never wound first, then the earliest due, last those without an end. */
export function clocksOf(stick: Subject, known: Wound, rules: Rules): Clock[] {
  return rules.requirements
    .filter((one) => applies(one, stick))
    .flatMap((one) => clock(one, { stick, known, rules }))
    .sort((a, b) => compare(sortKey(a), sortKey(b)) || compare(a.requirement, b.requirement))
}

export function applies({ appliesTo }: Requirement, stick: Subject): boolean {
  const { primaryProtectionOnly, constructions, inServiceFrom } = appliesTo
  if (stick.inServiceSince !== undefined && inServiceFrom !== undefined && stick.inServiceSince < inServiceFrom) {
    return false
  }
  return (stick.primaryProtection || !primaryProtectionOnly) && constructions.includes(stick.construction)
}

function sortKey({ since, dueOn }: Clock): string {
  return since === null ? '' : (dueOn ?? '~')
}

function clock(one: Requirement, winding: Winding): Clock[] {
  const since = evidenceFor(one, winding)
  const { id, words, evidence } = one
  const { source } = asStated(one)
  const [first] = endsOf(one, since, winding).sort((a, b) => compare(a.dueOn ?? '~', b.dueOn ?? '~'))
  if (first === undefined) return []
  return [{ requirement: id, words, source, evidence, since, ...first }]
}

/**
 * The interval and source of the first who states one, where the source lets others do so; otherwise the source’s own.
 */
function asStated({ interval, source: { cited }, statedBy = [] }: Requirement) {
  const [first] = statedBy
  if (first === undefined) return { interval, source: cited }
  return { interval: first.interval, source: `${first.source} (${first.by}), as ${cited} says` }
}

type End = Pick<Clock, 'serviceClass' | 'dueOn' | 'useDaysLeft'>
const endless: End = { serviceClass: null, dueOn: null }

/**
 * The ends of one clock, one for each service class that the stick was in since the evidence. The caller takes the
 * earliest, so a class never lengthens a clock. No end comes of classes in which the clock does not run: a stick that
 * was never in store needs no evidence that stored sticks alone need.
 */
function endsOf(one: Requirement, since: CalendarDate | null, { known, rules }: Winding): End[] {
  const { byClass } = one
  const { interval } = asStated(one)
  const usage = { uses: known.uses, weights: rules.useWeights }
  if (byClass === undefined) {
    return [interval === null || since === null ? endless : { ...endless, ...endOf(interval, since, usage) }]
  }
  return classesSince(known, since, rules.occasionalUse).flatMap((serviceClass) => {
    const inClass = byClass[serviceClass] === undefined ? interval : byClass[serviceClass]
    if (inClass === null) return []
    return [since === null ? endless : { serviceClass, ...endOf(inClass, since, usage) }]
  })
}

function endOf(interval: Interval, since: CalendarDate, usage: Usage): Omit<End, 'serviceClass'> {
  if ('days' in interval) return { dueOn: addDays(since, interval.days) }
  if ('months' in interval) {
    const count = interval.counting === 'end of month' ? addMonthsToEndOfMonth : addMonths
    return { dueOn: count(since, interval.months) }
  }
  return endOfUse(interval.useDays, since, usage)
}

/** The day on which the last of the days of use was used up; hard conditions weigh as the policy says. */
function endOfUse(most: number, since: CalendarDate, { uses, weights }: Usage): Omit<End, 'serviceClass'> {
  let left = most
  for (const use of uses) {
    // use on the day of the evidence counts, though it may have been before it
    if (use.on < since) continue
    left -= weightedDays(use, weights) * timesOf(use)
    if (left <= 0) return { dueOn: use.on, useDaysLeft: 0 }
  }
  return { dueOn: null, useDaysLeft: left }
}

function evidenceFor(
  { evidence, examinationOnly }: Requirement,
  { stick, known, rules }: Winding,
): CalendarDate | null {
  const tested = oldestOfNewest(evidence, known.evidence)
  const enough = rules.examinationOnly && examinationOnly?.includes(stick.construction)
  return latest(tested, enough ? known.evidence['demonstrated examination'] : undefined)
}

/** A demonstration continues what a test began; it begins nothing by itself. */
function latest(tested: CalendarDate | null, demonstrated: CalendarDate | undefined): CalendarDate | null {
  return tested !== null && demonstrated !== undefined && demonstrated > tested ? demonstrated : tested
}

function oldestOfNewest(kinds: readonly EvidenceKind[], evidence: Evidence): CalendarDate | null {
  const dates = kinds.map((kind) => evidence[kind])
  return dates.reduce<CalendarDate | null>((oldest, date, i) => {
    if (date === undefined || (i > 0 && oldest === null)) return null
    return oldest === null || date < oldest ? date : oldest
  }, null)
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0
}
