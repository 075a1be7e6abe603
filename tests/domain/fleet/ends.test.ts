/** Ends of intervals, by hand: which tests count, and with how many months. */
import { describe, expect, test } from 'vitest'
import { countEnd, type End, endsOfIntervals, noEnds, usualMonths } from '../../../shared-domain/fleet/ends.ts'
import type { Past, PastTest } from '../../../shared-domain/state/past.ts'
import { day } from '../../support/trade.ts'

const tested = (on: string, verdict: PastTest['verdict'], reason: PastTest['reason'] = 'periodic'): Past => ({
  on: day(on),
  verdict,
  cause: verdict === 'fail' ? 'electrical' : null,
  reason,
  stored: false,
})
const ends = (...past: Past[]) =>
  endsOfIntervals(past).map(({ on, passed, months }) => [on, passed, months && Math.round(months)])

describe('an interval ends', () => {
  test('with a periodic test after a pass, whatever that pass was for', () => {
    expect(
      ends(tested('2020-01-01', 'pass', 'first issue'), tested('2022-01-01', 'pass'), tested('2024-01-01', 'fail')),
    ).toEqual([
      ['2022-01-01', true, 24],
      ['2024-01-01', false, 24],
    ])
  })

  test('with a failure before, and then its months say nothing of the interval', () => {
    expect(ends(tested('2020-01-01', 'pass'), tested('2020-07-01', 'fail', 'defect'))).toEqual([
      ['2020-07-01', false, null],
    ])
  })

  test('not with a test that proves nothing, nor with a pass for another reason, from which it begins anew', () => {
    expect(
      ends(
        tested('2020-01-01', 'pass'),
        tested('2020-06-01', 'invalid'),
        tested('2020-06-02', 'incomplete'),
        tested('2021-01-01', 'pass', 'recall'),
        { on: day('2021-06-01'), reported: 'burn' },
        tested('2022-01-01', 'pass'),
      ),
    ).toEqual([['2022-01-01', true, 12]])
  })

  test('not with a pass a few days after the one before: the interval goes on from that', () => {
    expect(ends(tested('2020-01-01', 'pass'), tested('2020-01-05', 'pass'), tested('2022-01-01', 'pass'))).toEqual([
      ['2022-01-01', true, 24],
    ])
    expect(ends(tested('2020-01-01', 'pass'), tested('2020-01-05', 'fail'))).toEqual([['2020-01-05', false, null]])
  })

  test('not with the first test of all, and not with tests after a failure, until the stick passed', () => {
    expect(
      ends(
        tested('2020-01-01', 'fail'),
        tested('2020-01-02', 'fail', 'retest'),
        tested('2020-01-03', 'pass', 'retest'),
        tested('2020-07-03', 'pass'),
      ),
    ).toEqual([['2020-07-03', true, 6]])
  })
})

test('the usual interval is the one in the middle, in whole months; none where no test was periodic', () => {
  const end = (months: number | null, passed = true): End => ({ on: day('2026-01-01'), passed, months, stored: false })
  const countedOf = (all: readonly End[]) => {
    const counted = noEnds()
    for (const one of all) countEnd(counted, one)
    return counted
  }
  const counted = (...all: (number | null)[]) => countedOf(all.map((months) => end(months)))
  expect(usualMonths(counted(6.1, 23.9, 24.2, 24, null))).toBe(24)
  expect(usualMonths(counted(12, 24))).toBe(12)
  expect(usualMonths(counted(null))).toBeNull()
  expect(usualMonths(noEnds())).toBeNull()
  expect(countedOf([end(24), end(24, false), end(null, false)])).toMatchObject({ found: 1, of: 3 })
  expect(usualMonths(counted(100_000))).toBe(600)
})
