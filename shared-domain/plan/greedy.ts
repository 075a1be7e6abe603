/**
 * The plan that is always there, without any solver: the earliest due first, each into the week that leaves the least
 * lacking, and of such weeks into the one that costs least.
 */
import {
  costOfWeek,
  minutesPerStickLacking,
  type Placed,
  type PlanNeeds,
  type StickToPlan,
  sticksWithin,
  weeksOpenTo,
} from './needs.ts'

export function greedyPlan(needs: PlanNeeds): Placed[] {
  const room = roomOf(needs)
  // sticks with the fewest weeks before others of the same date, and numbers in order: the same plan each time
  const inOrder = sticksWithin(needs)
    .map((stick) => ({ stick, weeks: weeksOpenTo(stick, needs) }))
    .sort(
      (a, b) =>
        a.stick.lastWeek - b.stick.lastWeek ||
        a.weeks.length - b.weeks.length ||
        (a.stick.stickId < b.stick.stickId ? -1 : 1),
    )
  return inOrder.map(({ stick, weeks }) => {
    const rated = weeks.map((week) => ({ week, lacks: room.lacks(stick, week), cost: costOfWeek(stick, week, needs) }))
    const best = rated.reduce((a, b) => (b.lacks < a.lacks || (b.lacks === a.lacks && b.cost < a.cost) ? b : a))
    room.take(stick, best.week)
    return { stickId: stick.stickId, week: best.week }
  })
}

/** All that is left of the bench and of each crew's cover, as sticks are placed. */
function roomOf(needs: PlanNeeds) {
  const minutes = [...needs.capacityMinutes]
  const covers = needs.cover.map((cover) => ({ ...cover, left: [...cover.mayBeAway] }))
  const byCrew = Map.groupBy(covers, ({ crewId }) => crewId)
  const coversOf = ({ crewId, kind }: StickToPlan) =>
    (byCrew.get(crewId) ?? []).filter(({ kinds }) => kinds.includes(kind))
  const awayIn = ({ weeksAway }: StickToPlan, week: number) =>
    Array.from({ length: weeksAway }, (_, i) => week + i).filter((one) => one < minutes.length)
  return {
    lacks(stick: StickToPlan, week: number): number {
      const weeks = awayIn(stick, week)
      const crewLacks = coversOf(stick).flatMap(({ left }) => weeks.filter((one) => (left[one] ?? 0) <= 0)).length
      const benchLacks = Math.min(stick.benchMinutes, Math.max(0, stick.benchMinutes - (minutes[week] ?? 0)))
      return benchLacks + minutesPerStickLacking * crewLacks
    },
    take(stick: StickToPlan, week: number): void {
      minutes[week] = (minutes[week] ?? 0) - stick.benchMinutes
      for (const { left } of coversOf(stick)) for (const one of awayIn(stick, week)) left[one] = (left[one] ?? 0) - 1
    },
  }
}
