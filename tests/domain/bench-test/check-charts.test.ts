/** Charts of an instrument's checks: one reading a day of each known piece, and what is missing. */
import { describe, expect, test } from 'vitest'
import { type CheckedTest, checkCharts, daysWithoutCheck } from '../../../shared-domain/bench-test/check-charts.ts'
import { checksBeside } from '../../../shared-domain/bench-test/check-readings.ts'
import { addDays } from '../../../shared-domain/calendar.ts'
import { aProcedure, aTest, day } from '../../support/trade.ts'

type Check = ReturnType<typeof aTest>['instrumentChecks'][number]
const check = (checkMicroamps: number, over: Partial<Check> = {}): Check => ({
  state: 'dry',
  when: 'before',
  openMicroamps: 0,
  checkMicroamps,
  ...over,
})

function tested(on: string, checks: readonly Check[], at?: string): CheckedTest {
  const test = aTest({ instrumentChecks: [...checks] })
  return { occurredOn: day(on), ...(at === undefined ? {} : { at }), checks: checksBeside(test, aProcedure) }
}

describe('a chart', () => {
  test('takes the first reading of a day before its tests, dry and wet apart, whatever order tests come in', () => {
    const charts = checkCharts([
      tested('2026-02-02', [check(101)]),
      tested('2026-02-01', [check(97)], '13:00'),
      tested('2026-02-01', [check(99), check(90, { state: 'wet' })], '08:00'),
      tested('2026-02-01', [check(99)], '09:00'),
      tested('2026-02-03', [check(103, { when: 'after' })]),
    ])
    expect(charts.map(({ piece, readings, chart }) => [piece.state, readings, chart])).toEqual([
      [
        'dry',
        [
          { on: '2026-02-01', microamps: 99 },
          { on: '2026-02-02', microamps: 101 },
        ],
        null,
      ],
      ['wet', [{ on: '2026-02-01', microamps: 90 }], null],
    ])
  })

  test('warns of an instrument that comes to read lower and lower, long before a check fails', () => {
    const read = [100, 101, 100, 99, 100, 101, 99, 100, 98, 97, 96, 95, 94, 93]
    const [dry] = checkCharts(read.map((one, i) => tested(addDays(day('2026-02-01'), i), [check(one)])))
    expect(dry?.readings).toHaveLength(14)
    expect(dry?.chart?.warnings.map(({ rule }) => rule)).toContain('falling')
    // as the procedure asks, each reading is still right: 100 µA within 10 %
    expect(read.every((one) => one >= 90)).toBe(true)
  })

  test('leaves out checks of a state of which the procedure asks none', () => {
    const onlyWet = { ...aProcedure, checks: aProcedure.checks.filter(({ state }) => state === 'wet') }
    const checks = checksBeside(aTest({ instrumentChecks: [check(100)] }), onlyWet)
    expect(checkCharts([{ occurredOn: day('2026-02-01'), checks }])).toEqual([])
  })
})

test('days without a check are those on which no test has one', () => {
  expect(
    daysWithoutCheck([
      tested('2026-02-01', []),
      tested('2026-02-01', [check(100)]),
      tested('2026-02-02', []),
      tested('2026-02-02', []),
      tested('2026-02-03', [check(100, { when: 'after' })]),
    ]),
  ).toBe(1)
  expect(daysWithoutCheck([])).toBe(0)
})
