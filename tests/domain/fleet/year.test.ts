/** A year of the fleet, counted by hand. */
import { describe, expect, test } from 'vitest'
import { daysOverdueIn } from '../../../shared-domain/fleet/overdue.ts'
import { countInto, emptyYear, testsInAll } from '../../../shared-domain/fleet/year.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { aStick, aTest, day, happened, history, usPolicy } from '../../support/trade.ts'

type Events = Parameters<typeof history>
const stickOf = (...events: Events) => {
  const state = replay(history(['2020-01-01', happened.registered()], ...events))
  return { state, dueOn: standingOn(state, day('2026-12-31'), usPolicy).dueOn }
}
const period = { from: day('2026-01-01'), to: day('2026-12-31') }

/** 29 CFR 1910.269(j)(2)(iii): every two years. */
describe('days overdue', () => {
  const days = (...events: Events) => daysOverdueIn(stickOf(...events), usPolicy, period)

  test('from the day after the due date to the day before the test', () => {
    // due on 10 March 2026, tested on 20 March: the 11th to the 19th
    expect(days(['2024-03-10', happened.tested('pass')], ['2026-03-20', happened.tested('pass')])).toBe(9)
    expect(days(['2024-03-10', happened.tested('pass')], ['2026-03-10', happened.tested('pass')])).toBe(0)
    expect(days(['2024-03-10', happened.tested('pass')], ['2026-03-20', happened.tested('electrical')])).toBe(9)
  })

  test('within the year alone, and to its end where nobody tested it', () => {
    expect(days(['2024-12-21', happened.tested('pass')])).toBe(10)
    expect(days(['2023-12-21', happened.tested('pass')], ['2026-01-11', happened.tested('pass')])).toBe(10)
    expect(days(['2020-02-01', happened.tested('pass')])).toBe(365)
  })

  test('end with a report of danger and with its removal, and not with a test that proves nothing', () => {
    const due = ['2024-03-10', happened.tested('pass')] as const
    expect(days(due, ['2026-03-15', happened.defect()])).toBe(4)
    expect(days(due, ['2026-03-16', happened.removed()])).toBe(5)
    expect(days(due, ['2026-03-15', happened.tested('invalid')], ['2026-03-20', happened.tested('pass')])).toBe(9)
  })

  test('are none of a stick that was never tested: it was never due', () => {
    expect(days()).toBe(0)
  })
})

describe('the year', () => {
  const counted = (...sticks: ReturnType<typeof stickOf>[]) => {
    const year = emptyYear()
    const held = sticks.map((one) => countInto(year, one, { period, rules: usPolicy }))
    return { year, held }
  }
  const retest = aTest({ reason: 'retest' })

  test('counts tests by reason and verdict, failures by cause, and reports by kind, of the year alone', () => {
    const { year, held } = counted(
      stickOf(
        ['2025-12-31', happened.tested('electrical')],
        ['2026-01-01', happened.tested('electrical')],
        ['2026-01-02', happened.tested('pass', retest)],
        ['2026-02-01', happened.defect()],
      ),
      stickOf(['2026-05-01', happened.tested('examination')]),
      stickOf(['2026-05-01', happened.tested('pass')], ['2027-01-01', happened.tested('electrical')]),
    )
    expect(year.tests.periodic).toEqual({ pass: 1, fail: 2, incomplete: 0, invalid: 0 })
    expect(year.tests.retest).toEqual({ pass: 1, fail: 0, incomplete: 0, invalid: 0 })
    expect(testsInAll(year)).toEqual({ pass: 2, fail: 2, incomplete: 0, invalid: 0 })
    expect(year.failures).toEqual({ electrical: 1, examination: 1 })
    expect([...year.reports]).toEqual([['tingle', 1]])
    // the third stick did nothing in the year but pass
    expect(held).toEqual([true, true, false])
  })

  test('counts sticks at its end, those that came and went, and ages by five years', () => {
    const entered = (on: string, since?: string, ...events: Events) => {
      const stick = { ...aStick, ...(since === undefined ? {} : { inServiceSince: day(since) }) }
      const { inServiceSince: _, ...without } = aStick
      const state = replay(history([on, happened.registered(since === undefined ? without : stick)], ...events))
      return { state, dueOn: null }
    }
    const { year } = counted(
      entered('2026-06-01', '2026-06-01'),
      entered('2020-01-01', '2022-01-01'),
      entered('2020-01-01', '2021-12-31'),
      entered('2020-01-01', '1980-01-01'),
      entered('2020-01-01'),
      entered('2020-01-01', '2020-01-01', ['2026-05-01', happened.removed()]),
      entered('2020-01-01', '2020-01-01', ['2025-05-01', happened.moved('scrapped')]),
      entered('2027-01-01'),
      // entered late: it was in service since, and tested
      entered('2027-01-01', '2026-03-01'),
      entered('2027-01-01', undefined, ['2026-04-01', happened.tested('pass')]),
    )
    expect(year.sticks).toMatchObject({ atEnd: 7, entered: 3, removed: 1, scrapped: 0 })
    expect(year.sticks.byConstruction[aStick.construction]).toBe(7)
    expect(year.ages).toEqual({ steps: [3, 1, 0, 0, 0, 0, 1], unknown: 2 })
  })
})
