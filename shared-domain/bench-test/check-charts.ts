/** Control charts of an instrument's checks: one for each known piece that it read, dry and wet apart. */
import type { CalendarDate } from '../calendar.ts'
import type { CheckBesideProcedure } from './check-readings.ts'
import { type ControlChart, controlChart } from './control-chart.ts'
import { compareText } from './places.ts'

/** A test with the instrument, and the checks made in it. */
export interface CheckedTest {
  readonly occurredOn: CalendarDate
  readonly at?: string
  readonly checks: readonly CheckBesideProcedure[]
}

export interface DayReading {
  readonly on: CalendarDate
  readonly microamps: number
}

export interface CheckChart {
  readonly piece: NonNullable<CheckBesideProcedure['piece']>
  /** readings, one a day, the oldest first */
  readonly readings: readonly DayReading[]
  /** null where the days are too few */
  readonly chart: ControlChart | null
}

/**
 * The first reading of a day that was taken before its tests stands for the day. Readings of one day are alike, and
 * often the same one typed into several tests: steps among them would draw the limits far too narrow.
 */
export function checkCharts(tests: readonly CheckedTest[]): CheckChart[] {
  const inOrder = [...tests].sort(
    (a, b) => compareText(a.occurredOn, b.occurredOn) || compareText(a.at ?? '', b.at ?? ''),
  )
  const taken = inOrder.flatMap(({ occurredOn: on, checks }) =>
    checks.flatMap(({ check: { when, checkMicroamps: microamps }, piece }) =>
      when === 'before' && piece !== null ? [{ on, microamps, piece }] : [],
    ),
  )
  const series = Map.groupBy(taken, ({ piece }) =>
    [piece.state, piece.expectedMicroamps, piece.tolerancePercent].join(),
  )
  return [...series.values()]
    .map((all): CheckChart => {
      const byDay = Map.groupBy(all, ({ on }) => on)
      const readings = [...byDay.values()].flatMap(([first]) =>
        first === undefined ? [] : [{ on: first.on, microamps: first.microamps }],
      )
      const piece = (all[0] as (typeof all)[number]).piece // a group has its first
      return { piece, readings, chart: controlChart(readings.map(({ microamps }) => microamps)) }
    })
    .sort(({ piece: a }, { piece: b }) => compareText(a.state, b.state) || a.expectedMicroamps - b.expectedMicroamps)
}

/** Days on which the instrument judged tests and no check with a known piece stands beside any of them. */
export function daysWithoutCheck(tests: readonly CheckedTest[]): number {
  const checked = new Set(tests.filter(({ checks }) => checks.length > 0).map(({ occurredOn }) => occurredOn))
  return new Set(tests.map(({ occurredOn }) => occurredOn).filter((on) => !checked.has(on))).size
}
