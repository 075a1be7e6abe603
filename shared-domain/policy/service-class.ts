/**
 * How a stick is used, from what is on record. A crew's stick is in frequent use unless its logged use shows less by the
 * employer's own thresholds; `stored` needs a recorded move: silence is never rest. The bench is neither use nor rest.
 */
import { addDays, type CalendarDate } from '../calendar.ts'
import type { Use } from '../fact-bodies.ts'
import type { ServiceClass } from '../words.ts'

export interface CustodySpell {
  readonly since: CalendarDate
  /** used from store: it lies there and is in use, so that what is asked of either is asked of it */
  readonly kind: 'crew' | 'store' | 'bench' | 'lent' | 'used from store'
}

export interface LoggedUse {
  readonly on: CalendarDate
  readonly days: number
  readonly conditions: Use['conditions']
  /** logged so often; once where it is left out */
  readonly times?: number
}

export const timesOf = ({ times = 1 }: Pick<LoggedUse, 'times'>): number => times

export interface ServiceRecord {
  /** in order of time, from the one that was on at the last full test */
  readonly custodySpells: readonly CustodySpell[]
  /** in order of time, from 800 days before the last full test */
  readonly uses: readonly LoggedUse[]
}

/** Less than frequent: so few days of use in every such window of days. Off unless the employer sets it. */
export interface OccasionalUse {
  readonly windowDays: number
  readonly atMostUseDays: number
}

/**
 * Every class the stick has been in since `since`, or ever where nothing is known to count from; the strictest governs
 * until new evidence. What is asked in occasional use is asked in frequent use too.
 */
export function classesSince(
  record: ServiceRecord,
  since: CalendarDate | null,
  occasional: OccasionalUse | undefined,
): readonly ServiceClass[] {
  const kinds = record.custodySpells
    .filter((_, i) => {
      const next = record.custodySpells[i + 1]
      return since === null || next === undefined || next.since > since
    })
    .map(({ kind }) => kind)
  const stored = kinds.includes('store') || kinds.includes('used from store')
  // at the bench and nowhere else: it goes back to use
  const inUse = !stored || kinds.some(isUse)
  if (!inUse) return ['stored']
  const used = isOccasional(record.uses, since, occasional) ? (['occasional'] as const) : serviceClassesInUse
  return stored ? [...used, 'stored'] : used
}

const serviceClassesInUse = ['frequent', 'occasional'] as const

export function isUse(kind: CustodySpell['kind']): boolean {
  return kind === 'crew' || kind === 'lent' || kind === 'used from store'
}

/** By facts alone, not by the day of asking: logged before the evidence, and never more than the threshold since. */
function isOccasional(
  uses: readonly LoggedUse[],
  since: CalendarDate | null,
  occasional: OccasionalUse | undefined,
): boolean {
  if (occasional === undefined || since === null) return false
  const { windowDays, atMostUseDays } = occasional
  const daysIn = (until: CalendarDate) => {
    const from = addDays(until, -windowDays)
    return uses.filter(({ on }) => from < on && on <= until).reduce((sum, use) => sum + use.days * timesOf(use), 0)
  }
  const before = daysIn(since)
  if (before === 0 || before > atMostUseDays) return false
  return uses.every(({ on }) => on <= since || daysIn(on) <= atMostUseDays)
}
