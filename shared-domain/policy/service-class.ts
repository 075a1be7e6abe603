/**
 * The service class of a stick, from the record.
 * - A crew's stick is in frequent use unless its logged use shows less by the employer's own thresholds.
 * - `stored` needs a recorded move: silence is never rest.
 * - The bench is neither use nor rest.
 */
import { addDays, type CalendarDate } from '../calendar.ts'
import type { Use } from '../fact-bodies.ts'
import type { ServiceClass } from '../words.ts'

export interface CustodySpell {
  readonly since: CalendarDate
  /** `used from store`: the stick lies in store and is in use, so that what is asked of either is asked of it */
  readonly kind: 'crew' | 'store' | 'bench' | 'lent' | 'used from store'
}

export interface LoggedUse {
  readonly on: CalendarDate
  readonly days: number
  readonly conditions: Use['conditions']
  /** the number of such uses logged; 1 where it is left out */
  readonly times?: number
}

export const timesOf = ({ times = 1 }: Pick<LoggedUse, 'times'>): number => times

export interface ServiceRecord {
  /** custody in order of time, from the spell that was on at the last full test */
  readonly custodySpells: readonly CustodySpell[]
  /** uses in order of time, from 800 days before the last full test */
  readonly uses: readonly LoggedUse[]
}

/**
 * Occasional use: at most so many days of use in every window of so many days. No use is occasional unless the employer
 * sets both.
 */
export interface OccasionalUse {
  readonly windowDays: number
  readonly atMostUseDays: number
}

/**
 * The classes that the stick has been in since `since`, or ever where there is no date to count from. The strictest
 * governs until there is new evidence. A stick in frequent use counts as in occasional use too.
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
  // a stick at the bench and nowhere else goes back to use
  const inUse = !stored || kinds.some(isUse)
  if (!inUse) return ['stored']
  const used = isOccasional(record.uses, since, occasional) ? (['occasional'] as const) : serviceClassesInUse
  return stored ? [...used, 'stored'] : used
}

const serviceClassesInUse = ['frequent', 'occasional'] as const

export function isUse(kind: CustodySpell['kind']): boolean {
  return kind === 'crew' || kind === 'lent' || kind === 'used from store'
}

/**
 * Tells whether use was occasional, by facts alone and not by the day of asking. Some use was logged in the window
 * before the evidence, and neither that window nor one since holds more days of use than the threshold.
 */
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
