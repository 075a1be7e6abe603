/** The one place that turns evidence into due dates. */
import { addMonths, type CalendarDate } from '../calendar.ts'
import type { Stick } from '../registers.ts'
import type { Policy } from './policy.ts'
import type { EvidenceKind, Requirement } from './requirement.ts'

/** The newest date of each kind of evidence that counts. */
export type Evidence = { readonly [kind in EvidenceKind]?: CalendarDate }

export interface Clock {
  readonly requirement: string
  readonly words: string
  readonly source: string
  /** the evidence date it runs from; null when some evidence is missing */
  readonly since: CalendarDate | null
  /** the last day on which the stick may be used under this requirement; null when it was never wound */
  readonly dueOn: CalendarDate | null
}

/** Every clock that runs on a stick, the earliest due first and those never wound before all. */
export function clocksOf(
  stick: Pick<Stick, 'construction' | 'primaryProtection'>,
  evidence: Evidence,
  policy: Policy,
): Clock[] {
  return policy.requirements
    .filter((requirement) => applies(requirement, stick))
    .map((requirement) => clock(requirement, stick, evidence, policy))
    .sort((a, b) => compare(a.dueOn ?? '', b.dueOn ?? '') || compare(a.requirement, b.requirement))
}

function applies(requirement: Requirement, stick: Pick<Stick, 'construction' | 'primaryProtection'>): boolean {
  return stick.primaryProtection && requirement.appliesTo.constructions.includes(stick.construction)
}

function clock(
  requirement: Requirement,
  { construction }: Pick<Stick, 'construction'>,
  evidence: Evidence,
  { examinationOnly }: Policy,
): Clock {
  const tested = oldestOfNewest(requirement.evidence, evidence)
  const enough = examinationOnly && requirement.examinationOnly?.includes(construction)
  const since = latest(tested, enough ? evidence['demonstrated examination'] : undefined)
  return {
    requirement: requirement.id,
    words: requirement.words,
    source: requirement.source,
    since,
    dueOn: since === null ? null : addMonths(since, requirement.intervalMonths),
  }
}

/** A demonstration continues what a test began; it begins nothing. */
function latest(tested: CalendarDate | null, demonstrated: CalendarDate | undefined): CalendarDate | null {
  return tested !== null && demonstrated !== undefined && demonstrated > tested ? demonstrated : tested
}

function oldestOfNewest(kinds: readonly EvidenceKind[], evidence: Evidence): CalendarDate | null {
  const dates = kinds.map((kind) => evidence[kind])
  if (dates.length === 0) return null
  return (
    dates.reduce<CalendarDate | null | undefined>(
      (oldest, date) =>
        oldest === null || date === undefined ? null : oldest === undefined || date < oldest ? date : oldest,
      undefined,
    ) ?? null
  )
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0
}
