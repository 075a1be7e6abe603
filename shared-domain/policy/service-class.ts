/**
 * How a stick is used, from what is on record. A crew's stick is in frequent use unless its logged use shows less by the
 * employer's own thresholds; `stored` needs a recorded move: silence is never rest. The bench is neither use nor rest.
 */
import { addDays, type CalendarDate } from '../calendar.ts'
import type { Use } from '../facts.ts'
import { type ServiceClass, serviceClasses } from './requirement.ts'

export interface CustodySpell {
  readonly since: CalendarDate
  readonly kind: 'crew' | 'store' | 'bench' | 'lent'
}

export interface LoggedUse {
  readonly on: CalendarDate
  readonly days: number
  readonly conditions: Use['conditions']
}

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

/** Every class the stick has been in since `since`; the strictest governs until new evidence. */
export function classesSince(
  record: ServiceRecord,
  since: CalendarDate,
  occasional: OccasionalUse | undefined,
): ServiceClass[] {
  const spells = record.custodySpells.filter((_, i) => {
    const next = record.custodySpells[i + 1]
    return next === undefined || next.since > since
  })
  const inUse = spells.length === 0 || spells.some(({ kind }) => kind === 'crew' || kind === 'lent')
  const stored = spells.some(({ kind }) => kind === 'store')
  const used = isOccasional(record.uses, since, occasional) ? 'occasional' : 'frequent'
  const found = new Set<ServiceClass>([
    ...(inUse ? [used as ServiceClass] : []),
    ...(stored ? ['stored' as const] : []),
  ])
  // at the bench and nowhere else: it goes back to use
  return found.size === 0 ? [used] : serviceClasses.filter((one) => found.has(one))
}

/** By facts alone, not by the day of asking: logged before the evidence, and never more than the threshold since. */
function isOccasional(uses: readonly LoggedUse[], since: CalendarDate, occasional: OccasionalUse | undefined): boolean {
  if (occasional === undefined) return false
  const { windowDays, atMostUseDays } = occasional
  const daysIn = (until: CalendarDate) => {
    const from = addDays(until, -windowDays)
    return uses.filter(({ on }) => from < on && on <= until).reduce((sum, { days }) => sum + days, 0)
  }
  const before = daysIn(since)
  if (before === 0 || before > atMostUseDays) return false
  return uses.every(({ on }) => on <= since || daysIn(on) <= atMostUseDays)
}
