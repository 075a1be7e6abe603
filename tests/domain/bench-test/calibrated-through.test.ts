import fc from 'fast-check'
import { expect, test } from 'vitest'
import { calibratedThrough, calibrationDoubts } from '../../../shared-domain/bench-test/trust.ts'
import { addDays } from '../../../shared-domain/calendar.ts'
import { tally } from '../../support/tally.ts'
import { tries } from '../../support/tier.ts'
import { aTest, day } from '../../support/trade.ts'

const runs = tries(4000, 400)
const begin = day('2026-01-01')
const period = fc
  .tuple(fc.integer({ min: 0, max: 500 }), fc.integer({ min: 0, max: 500 }))
  .map(([from, days]) => ({ calibratedOn: addDays(begin, from), calibrationDueOn: addDays(begin, from + days) }))
const cap = fc.constantFrom(undefined, { id: 'cap', months: 12, cited: 'UFC 3-560-01 5-5.1.1' })

test('through the last day on which a test still counts: on every day until it, and not on the next', () => {
  const seen = tally<'in' | 'out'>(runs)
  fc.assert(
    fc.property(
      fc.array(period, { minLength: 1, maxLength: 4 }),
      fc.integer({ min: 0, max: 900 }),
      cap,
      (all, n, most) => {
        const on = addDays(begin, n)
        const counts = (offset: number) =>
          calibrationDoubts(aTest({ testedOn: addDays(on, offset) }), all, most as never).length === 0
        const through = calibratedThrough(all, on, most as never)
        seen.count(counts(0) ? 'in' : 'out')
        if (!counts(0)) {
          expect(through === null || through < on).toBe(true)
          return
        }
        const days = Array.from({ length: 1100 }, (_, i) => i)
        const last = days.findIndex((i) => !counts(i + 1))
        expect(through).toBe(addDays(on, last))
      },
    ),
    { numRuns: runs, seed: 20261129 },
  )
  seen.expectAtLeast(0.1, 'in', 'out')
})
