/** The bench of one depot for two years: 500 sticks, of which many fall due together, and weeks that are closed. */
import { chanceOf, oneOf, whole } from '../../seed/chance.ts'
import type { PlanNeeds, StickToPlan } from '../../shared-domain/plan/needs.ts'

const weeks = 104
export const effort = { gap: 0, seconds: 30 }
const crews = Array.from({ length: 12 }, (_, i) => `CR-${i}`) as [string, ...string[]] // twelve of them
const minutesOf = { short: 60, middle: 85, long: 110, jointed: 145 } as const
type Kind = keyof typeof minutesOf
const kinds = Object.keys(minutesOf) as [Kind, ...Kind[]] // the keys of the object above

/** Each year is closed at its ends and for a week of summer. */
const isClosed = (week: number) => [0, 30, 51].includes(week % 52)

/** `room` is how much of the work the open weeks hold; a share of the sticks falls due within six weeks of spring. */
export function benchOfDepot(room: number, atOnce: number): PlanNeeds {
  const chance = chanceOf('the bench of a depot')
  const sticks = Array.from({ length: 500 }, (_, i): StickToPlan => {
    const kind = oneOf(chance, kinds)
    const spring = whole(chance, 0, 1) * 52 + whole(chance, 20, 25)
    return {
      stickId: `S-${i}`,
      crewId: oneOf(chance, crews),
      kind,
      benchMinutes: minutesOf[kind],
      weeksAway: whole(chance, 1, 2),
      lastWeek: chance() < atOnce ? spring : whole(chance, 3, weeks - 1),
      earlierWeek: null,
      pinnedWeek: null,
    }
  })
  const work = sticks.reduce((sum, { benchMinutes }) => sum + benchMinutes, 0)
  const open = Array.from({ length: weeks }, (_, week) => week).filter((week) => !isClosed(week)).length
  const cover = crews.map((crewId) => {
    const theirs = sticks.filter((stick) => stick.crewId === crewId).length
    return { crewId, kinds, mayBeAway: new Array<number>(weeks).fill(Math.ceil(theirs / 4)) }
  })
  return {
    capacityMinutes: Array.from({ length: weeks }, (_, week) => (isClosed(week) ? 0 : Math.ceil((work / open) * room))),
    lockedWeeks: [],
    cover,
    sticks,
    mostWeeksEarly: 13,
    marginWeeks: 0,
  }
}
