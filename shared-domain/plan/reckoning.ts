/**
 * A plan reckoned up by plain arithmetic, by nothing that made it: what no plan may do, and what it lacks. A plan is
 * believed only after this.
 */
import { costOfWeek, minutesPerStickLacking, type Placed, type PlanNeeds, type StickToPlan } from './needs.ts'

/** Faults that no plan may have, whatever it lacks. */
export type PlanFault =
  | { readonly is: 'not planned'; readonly stickId: string }
  | { readonly is: 'planned twice'; readonly stickId: string }
  | { readonly is: 'not to be planned'; readonly stickId: string }
  | { readonly is: 'outside the plan'; readonly stickId: string; readonly week: number }
  | { readonly is: 'after its due date'; readonly stickId: string; readonly week: number }
  | { readonly is: 'pin not kept'; readonly stickId: string; readonly week: number }
  | { readonly is: 'locked week changed'; readonly stickId: string; readonly week: number }

/** All that cannot be done with what there is, and by how much; the same amount mends it. */
export type Lacking =
  | { readonly is: 'bench short'; readonly week: number; readonly minutes: number }
  | {
      readonly is: 'crew short'
      readonly week: number
      readonly crewId: string
      readonly kinds: readonly string[]
      readonly sticks: number
    }
  | { readonly is: 'due before the first week ends'; readonly stickId: string }
  | { readonly is: 'pin after the due date'; readonly stickId: string }
  | { readonly is: 'pin in a locked week'; readonly stickId: string }
  | { readonly is: 'lock gave way to the due date'; readonly stickId: string }

export interface Reckoning {
  readonly faults: readonly PlanFault[]
  readonly lacking: readonly Lacking[]
  /** bench minutes that are lacking, and as many again for each stick that a crew lacks for a week */
  readonly lackingMinutes: number
  readonly cost: number
}

export function reckoningOf(needs: PlanNeeds, placed: readonly Placed[]): Reckoning {
  const weekOf = new Map(placed.map(({ stickId, week }) => [stickId, week]))
  const weeks = needs.capacityMinutes.length
  const due = needs.sticks.filter((stick) => stick.lastWeek < weeks)
  const short = [...benchShort(needs, weekOf), ...crewsShort(needs, weekOf)]
  return {
    faults: [
      ...faultsOfList(placed, due),
      ...due.flatMap((stick) => faultsOf(stick, weekOf.get(stick.stickId), needs)),
    ],
    lacking: [...short, ...due.flatMap((stick) => lackingOf(stick, weekOf.get(stick.stickId), needs))],
    lackingMinutes: short.reduce(
      (sum, one) => sum + (one.is === 'bench short' ? one.minutes : minutesPerStickLacking * one.sticks),
      0,
    ),
    cost: due.reduce((sum, stick) => sum + costOfWeek(stick, weekOf.get(stick.stickId) ?? 0, needs), 0),
  }
}

function faultsOfList(placed: readonly Placed[], due: readonly StickToPlan[]): PlanFault[] {
  const [known, seen] = [new Set(due.map(({ stickId }) => stickId)), new Set<string>()]
  return placed.flatMap(({ stickId }): PlanFault[] => {
    if (!known.has(stickId)) return [{ is: 'not to be planned', stickId }]
    if (seen.has(stickId)) return [{ is: 'planned twice', stickId }]
    seen.add(stickId)
    return []
  })
}

function faultsOf(stick: StickToPlan, week: number | undefined, needs: PlanNeeds): PlanFault[] {
  const { stickId, lastWeek, earlierWeek, pinnedWeek } = stick
  if (week === undefined) return [{ is: 'not planned', stickId }]
  if (!Number.isInteger(week) || week < 0 || week >= needs.capacityMinutes.length)
    return [{ is: 'outside the plan', stickId, week }]
  // what is due before the first week ends has no week before its date: it is called in at once
  if (week > lastWeek && !(lastWeek < 0 && week === 0)) return [{ is: 'after its due date', stickId, week }]
  const inTime = (one: number | null) => one !== null && one >= 0 && one <= Math.max(0, lastWeek)
  const isHeld = earlierWeek !== null && inTime(earlierWeek) && needs.lockedWeeks.includes(earlierWeek)
  if (isHeld) return week === earlierWeek ? [] : [{ is: 'locked week changed', stickId, week }]
  if (needs.lockedWeeks.includes(week) && !hasOnlyLocked(stick, needs))
    return [{ is: 'locked week changed', stickId, week }]
  const isPinned = pinnedWeek !== null && inTime(pinnedWeek) && !needs.lockedWeeks.includes(pinnedWeek)
  return isPinned && week !== pinnedWeek ? [{ is: 'pin not kept', stickId, week }] : []
}

/** No week up to its due date is free to be changed. */
function hasOnlyLocked({ lastWeek }: StickToPlan, { lockedWeeks }: PlanNeeds): boolean {
  return Array.from({ length: Math.max(0, lastWeek) + 1 }, (_, week) => week).every((one) => lockedWeeks.includes(one))
}

function lackingOf(stick: StickToPlan, week: number | undefined, needs: PlanNeeds): Lacking[] {
  const { stickId, lastWeek, earlierWeek, pinnedWeek } = stick
  const lacking: Lacking[] = []
  if (lastWeek < 0) lacking.push({ is: 'due before the first week ends', stickId })
  if (pinnedWeek !== null && pinnedWeek > Math.max(0, lastWeek)) lacking.push({ is: 'pin after the due date', stickId })
  else if (pinnedWeek !== null && pinnedWeek !== week) lacking.push({ is: 'pin in a locked week', stickId })
  const hasLeftLock = earlierWeek !== null && needs.lockedWeeks.includes(earlierWeek) && week !== earlierWeek
  const hasEntered = week !== undefined && needs.lockedWeeks.includes(week) && week !== earlierWeek
  if (hasLeftLock || hasEntered) lacking.push({ is: 'lock gave way to the due date', stickId })
  return lacking
}

function benchShort(needs: PlanNeeds, weekOf: ReadonlyMap<string, number>) {
  return needs.capacityMinutes.flatMap((capacity, week) => {
    const called = needs.sticks.filter(({ stickId }) => weekOf.get(stickId) === week)
    const minutes = called.reduce((sum, { benchMinutes }) => sum + benchMinutes, 0) - capacity
    return minutes > 0 ? [{ is: 'bench short' as const, week, minutes }] : []
  })
}

function crewsShort(needs: PlanNeeds, weekOf: ReadonlyMap<string, number>) {
  return needs.cover.flatMap(({ crewId, kinds, mayBeAway }) => {
    const theirs = needs.sticks.filter((stick) => stick.crewId === crewId && kinds.includes(stick.kind))
    return needs.capacityMinutes.flatMap((_, week) => {
      const away = theirs.filter(({ stickId, weeksAway }) => {
        const since = weekOf.get(stickId)
        return since !== undefined && since <= week && week < since + weeksAway
      })
      const sticks = away.length - (mayBeAway[week] ?? 0)
      return sticks > 0 ? [{ is: 'crew short' as const, week, crewId, kinds, sticks }] : []
    })
  })
}
