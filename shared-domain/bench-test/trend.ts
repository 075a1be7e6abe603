/**
 * Trends of a place that creeps up from test to test, and when it would reach its limit: advice for testing earlier.
 *
 * Nothing here can put a test off. A rising place may be tested sooner than the rules ask. A place that stays level
 * proves nothing of the years to come.
 */
import { addDays, type CalendarDate, daysBetween } from '../calendar.ts'
import { mannKendall, theilSen } from '../theil-sen.ts'
import { surfaceStates } from '../words.ts'
import { compareText } from './places.ts'
import { type PlaceRead, placeKey, placesRead, type SpanOnTurn } from './read-places.ts'
import type { Strip } from './strip.ts'

/** The parts of a bench test in the stick's history that are looked at. */
export interface TestedStrips {
  readonly testedOn: CalendarDate
  readonly strips: readonly Strip[]
}

export interface Trend extends SpanOnTurn {
  /** the number of readings that the trend rests on */
  readonly points: number
  readonly microampsPerYear: number
  /** the limit of the newest test; null where none covered the stick */
  readonly limitMicroamps: number | null
  /** true where the readings rise, or fall, more than chance would have them do in one case of twenty */
  readonly significant: boolean
  /**
   * The day on which the limit is met, never before the newest test. Null where nothing rises for sure, or not to the
   * limit in thirty years. The limit itself is meant: a guarded decision rejects the stick somewhat earlier.
   */
  readonly limitMetOn: CalendarDate | null
}

interface Point extends PlaceRead {
  /** days from the stick's first test */
  readonly x: number
  /** µA */
  readonly y: number
}

const daysPerYear = 365.25
const daysAhead = 30 * daysPerYear

/**
 * Four readings have 24 orders, one all rising and one all falling: chance does the one or the other in 8 % of cases,
 * so four can never be significant at 5 %. Five readings have two such orders in 120.
 */
const leastPoints = 5
const chance = 0.05

/** Every place that was read on two days or more; the same span in whole millimetres is the same place. */
export function trendsOf(tests: readonly TestedStrips[]): Trend[] {
  const days = tests.map((test) => test.testedOn).sort(compareText)
  const [first, last] = [days[0], days.at(-1)]
  if (first === undefined || last === undefined) return []

  const newest = { testedOn: last, x: daysBetween(first, last) }
  const points = tests.flatMap(({ testedOn, strips }) =>
    placesRead(strips).map((one): Point => ({ ...one, x: daysBetween(first, testedOn), y: one.leakageMicroamps })),
  )
  return [...Map.groupBy(points, placeKey).values()]
    .flatMap((atPlace) => trendOf(atPlace, newest, tests))
    .sort(compareTrends)
}

/** The trends that reach the limit before the test falls due, the most pressing first: no later date can come of it. */
export function earlierTestAdvised(trends: readonly Trend[], dueOn: CalendarDate): Trend[] {
  return trends
    .filter(({ limitMetOn }) => limitMetOn !== null && limitMetOn < dueOn)
    .sort((one, other) => compareText(one.limitMetOn ?? '', other.limitMetOn ?? '') || compareTrends(one, other))
}

/** The day of the newest test. */
interface Newest extends Pick<Point, 'x'> {
  readonly testedOn: CalendarDate
}

function trendOf(points: readonly Point[], newest: Newest, tests: readonly TestedStrips[]): Trend[] {
  const line = theilSen(points, 1 - chance)
  const place = points[0]?.place
  if (line === null || place === undefined) return []

  const limitMicroamps = limitNow(place, tests)
  const significant = points.length >= leastPoints && mannKendall(points).p < chance
  const rises = significant && line.slope > 0
  const ahead = limitMicroamps === null || !rises ? null : (limitMicroamps - line.intercept) / line.slope - newest.x
  return [
    {
      ...place,
      points: points.length,
      microampsPerYear: line.slope * daysPerYear,
      limitMicroamps,
      significant,
      limitMetOn: ahead === null ? null : dayAhead(newest.testedOn, ahead),
    },
  ]
}

/**
 * The day in which the line meets the limit, so rounded down. A hair is added because binary fractions can put a whole
 * day a hair below itself. A line that met the limit earlier meets it on the day of the newest test.
 */
function dayAhead(last: CalendarDate, ahead: number): CalendarDate | null {
  if (ahead > daysAhead) return null
  return addDays(last, Math.max(0, Math.floor(ahead + 1e-6)))
}

/** The limit of the newest test with such a strip; the strictest of several on that day. */
function limitNow({ state, section }: SpanOnTurn, tests: readonly TestedStrips[]): number | null {
  const found = tests.flatMap(({ testedOn, strips }) =>
    strips
      .filter((strip) => strip.state === state && strip.section === section)
      .map(({ limitMicroamps }) => ({ testedOn, limitMicroamps })),
  )
  const newest = found
    .map(({ testedOn }) => testedOn)
    .sort(compareText)
    .at(-1)
  const limits = found
    .filter(({ testedOn }) => testedOn === newest)
    .flatMap(({ limitMicroamps }) => limitMicroamps ?? [])
  return limits.length === 0 ? null : Math.min(...limits)
}

function compareTrends(one: SpanOnTurn, other: SpanOnTurn): number {
  return (
    surfaceStates.indexOf(one.state) - surfaceStates.indexOf(other.state) ||
    compareText(one.section ?? '', other.section ?? '') ||
    one.quarterTurn - other.quarterTurn ||
    one.fromMetres - other.fromMetres ||
    one.toMetres - other.toMetres
  )
}
