/** Lots that stand out: held against the rest, and put right for how many were looked at. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { lotsStandingOut } from '../../../shared-domain/fleet/standing-out.ts'

const lot = (name: string, found: number, of: number) => ({ lot: name, found, of })

describe('a lot stands out', () => {
  test('where twins of convicts would: 10 of 13 against 2 of 17 is one in 2,150', () => {
    const { looked, standingOut } = lotsStandingOut([lot('L-1', 10, 13)], { found: 12, of: 30 })
    expect(looked).toBe(1)
    expect(standingOut).toMatchObject([{ lot: 'L-1', rest: { found: 2, of: 17 } }])
    expect(standingOut[0]?.chance).toBeCloseTo(619 / 1_330_665, 12)
    expect(standingOut[0]?.chancePutRight).toBe(standingOut[0]?.chance)
  })

  test('by another chance where more lots were looked at, and by none at last', () => {
    const quiet = (count: number) => Array.from({ length: count }, (_, i) => lot(`Q-${i}`, 0, 10))
    // 4 of 20 in the lot, and all four of the fleet: one fleet in so many by chance alone
    const of = (count: number) => ({ found: 4, of: 20 + 10 * count })
    const few = lotsStandingOut([lot('BAD', 4, 20), ...quiet(5)], of(5))
    expect(few.looked).toBe(6)
    expect(few.standingOut).toMatchObject([{ lot: 'BAD' }])
    expect(few.standingOut[0]?.chancePutRight).toBeCloseTo(6 * (few.standingOut[0]?.chance ?? 0), 12)
    // one failure of two in the fleet of one lot among many is nothing
    expect(lotsStandingOut([lot('BAD', 1, 2), ...quiet(50)], { found: 1, of: 502 }).standingOut).toEqual([])
  })

  test('never where it has no failure, is all there is, or was never tested', () => {
    expect(lotsStandingOut([lot('L-1', 0, 40), lot('L-2', 3, 10)], { found: 3, of: 50 }).standingOut).toMatchObject([
      { lot: 'L-2' },
    ])
    expect(lotsStandingOut([lot('L-1', 9, 10)], { found: 9, of: 10 }).standingOut).toEqual([])
    expect(lotsStandingOut([lot('L-1', 0, 0)], { found: 0, of: 0 })).toEqual({ looked: 0, standingOut: [] })
  })
})

test('of fleets in which every stick is as likely to fail as any other, few are told of a lot', () => {
  let told = 0
  const fleets = 200
  fc.assert(
    fc.property(fc.array(fc.boolean(), { minLength: 400, maxLength: 400 }), (failed) => {
      const lots = Array.from({ length: 20 }, (_, i) => {
        const sticks = failed.slice(20 * i, 20 * i + 20)
        return lot(`L-${i}`, sticks.filter(Boolean).length, sticks.length)
      })
      const found = failed.filter(Boolean).length
      if (lotsStandingOut(lots, { found, of: 400 }).standingOut.length > 0) told++
    }),
    // a seed of its own: chance is what is counted here
    { numRuns: fleets, seed: 24 },
  )
  expect(told / fleets).toBeLessThanOrEqual(0.05)
})
