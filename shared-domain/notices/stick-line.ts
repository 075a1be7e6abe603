/** A stick as a notice tells of it, whatever the notice is about. */
import { type CalendarDate, daysBetween } from '../calendar.ts'
import { saidOfHold } from '../state/hold.ts'
import type { Standing } from '../state/standing.ts'
import type { StickLine } from './notice.ts'

/** The place where a stick belongs, for the reader of a notice. */
export interface Belonging {
  readonly stickId: string
  readonly crewId: string | null
  readonly crewName: string | null
  readonly depotName: string | null
  /** the revision of its due date: see `revisionOf` */
  readonly revision?: number
  /** the Monday of the week in which the bench calls it in */
  readonly plannedOn?: CalendarDate | undefined
}

/** A stick, and the due date that its crew knew. */
export interface StickToTell {
  readonly belonging: Belonging
  readonly standing: Standing
  /** the due date that the crew knew, where it is later */
  readonly broughtForwardFrom?: CalendarDate | null | undefined
}

export function stickLine(
  { belonging, standing, broughtForwardFrom = null }: StickToTell,
  day: CalendarDate,
): StickLine {
  return {
    stickId: belonging.stickId,
    crewId: belonging.crewId,
    crewName: belonging.crewName,
    status: standing.status,
    ...(standing.notPrimary ? { notPrimary: true } : {}),
    dueOn: standing.dueOn,
    ...(belonging.revision === undefined ? {} : { revision: belonging.revision }),
    ...(belonging.plannedOn === undefined ? {} : { plannedOn: belonging.plannedOn }),
    ...(broughtForwardFrom === null ? {} : { broughtForwardFrom }),
    daysLeft: standing.dueOn === null ? null : daysBetween(day, standing.dueOn),
    bringTo: belonging.depotName,
    ...lyingAt(standing),
    ...(standing.duty === undefined ? {} : { duty: standing.duty }),
    ...(standing.label?.isWrong && standing.label.shows !== null ? { wrongLabel: standing.label.shows } : {}),
    why: standing.why,
    ...(standing.removedFor === undefined ? {} : { removedFor: standing.removedFor }),
    source: standing.governedBy?.source ?? null,
    holds: standing.holds.map(saidOfHold),
  }
}

function lyingAt({ custody }: Standing): Pick<StickLine, 'liesAt'> {
  if (custody !== null && 'bench' in custody) return { liesAt: 'bench' }
  return custody !== null && 'store' in custody ? { liesAt: 'store' } : {}
}

/** The order of two lists of keys, by the first key that differs. */
export function compare(left: readonly string[], right: readonly string[]): number {
  const at = left.findIndex((key, i) => key !== right[i])
  return at < 0 ? 0 : (left[at] ?? '') < (right[at] ?? '') ? -1 : 1
}
