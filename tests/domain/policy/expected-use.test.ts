import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays } from '../../../shared-domain/calendar.ts'
import { expectedEnd, weightedDays } from '../../../shared-domain/policy/expected-use.ts'
import type { LoggedUse } from '../../../shared-domain/policy/service-class.ts'
import { tally } from '../../support/tally.ts'
import { day } from '../../support/trade.ts'

const today = day('2026-06-30')
const used = (daysAgo: number, days = 1, conditions: LoggedUse['conditions'] = []): LoggedUse => ({
  on: addDays(today, -daysAgo),
  days,
  conditions,
})

describe('what a day of use weighs', () => {
  test('the hardest of its conditions counts, and never less than a plain day', () => {
    const weights = { wet: 2, salt: 3 }
    expect(weightedDays({ days: 4, conditions: [] }, weights)).toBe(4)
    expect(weightedDays({ days: 4, conditions: ['wet'] }, weights)).toBe(8)
    expect(weightedDays({ days: 4, conditions: ['wet', 'salt'] }, weights)).toBe(12)
    expect(weightedDays({ days: 4, conditions: ['high duty'] }, weights)).toBe(4)
  })
})

describe('when the days left are likely to be used up', () => {
  test('worked by hand: 2 days of use every tenth day, 20 left', () => {
    // ten uses over 91 days: drift 20/91 a day, variance 40/91; mean 20·91/20 = 91 days,
    // variance 20·(40/91)/(20/91)³ = 91²·40/400 = 828.1, and as much again for the drift known from 91 days alone;
    // 1.645 standard deviations are 1.645·√1656.2 = 66.9
    const uses = Array.from({ length: 10 }, (_, i) => used(90 - 10 * i, 2))
    expect(expectedEnd(20, { uses, weights: {} }, today)).toEqual({
      on: addDays(today, 91),
      earliest: addDays(today, 24),
      latest: addDays(today, 157),
    })
  })

  test('hard conditions use them up sooner', () => {
    const wet = [90, 60, 30, 0].map((daysAgo) => used(daysAgo, 1, ['wet']))
    // four days of use in 91: 10 left last 227.5 days, and half as long where each counts twice
    expect(expectedEnd(10, { uses: wet, weights: {} }, today)?.on).toBe(addDays(today, 227))
    expect(expectedEnd(10, { uses: wet, weights: { wet: 2 } }, today)?.on).toBe(addDays(today, 113))
  })

  test('too little logged, or none left: nothing is said', () => {
    expect(expectedEnd(10, { uses: [], weights: {} }, today)).toBeNull()
    expect(expectedEnd(10, { uses: [used(90), used(10)], weights: {} }, today)).toBeNull()
    expect(expectedEnd(10, { uses: [used(28), used(10), used(0)], weights: {} }, today)).toBeNull()
    expect(expectedEnd(10, { uses: [used(29), used(10), used(0)], weights: {} }, today)).not.toBeNull()
    expect(expectedEnd(0, { uses: [used(90), used(10), used(0)], weights: {} }, today)).toBeNull()
  })

  test('the year before the last and what lies ahead say nothing', () => {
    const year = [used(364), used(200), used(1)]
    expect(expectedEnd(5, { uses: [used(365, 300), ...year, used(-3, 300)], weights: {} }, today)).toEqual(
      expectedEnd(5, { uses: year, weights: {} }, today),
    )
  })

  test('a rate so low that a century would not do ends there', () => {
    const slow = [used(364), used(200), used(1)]
    expect(expectedEnd(20_000, { uses: slow, weights: {} }, today)?.latest).toBe(addDays(today, 36_525))
  })

  test('more left is never sooner, and the likely day lies between the two others', () => {
    const seen = tally(200)
    const uses = fc.array(fc.tuple(fc.nat(364), fc.integer({ min: 1, max: 20 })), { minLength: 3, maxLength: 40 })
    fc.assert(
      fc.property(uses, fc.integer({ min: 1, max: 200 }), fc.integer({ min: 1, max: 50 }), (drawn, left, more) => {
        const logged = drawn.sort(([a], [b]) => b - a).map(([daysAgo, days]) => used(daysAgo, days))
        const sooner = expectedEnd(left, { uses: logged, weights: {} }, today)
        const later = expectedEnd(left + more, { uses: logged, weights: {} }, today)
        if (sooner === null || later === null) return
        seen.count('foretold', sooner.on < later.on && 'later')
        expect(sooner.earliest <= sooner.on && sooner.on <= sooner.latest).toBe(true)
        expect(sooner.on <= later.on).toBe(true)
      }),
      { numRuns: 200, seed: 20260307 },
    )
    seen.expectAtLeast(0.5, 'foretold', 'later')
  })

  test('of a thousand simulated sticks about nine in ten are used up between the two days', () => {
    let seed = 7
    const chance = () => {
      seed = (seed * 1_664_525 + 1_013_904_223) % 2 ** 32 // Numerical Recipes, 7.1
      return seed / 2 ** 32
    }
    // work on every fifth day by chance, of one to six days of use
    const job = () => (chance() < 0.2 ? 1 + Math.floor(chance() * 6) : 0)
    const endsBetween = () => {
      const logged = Array.from({ length: 365 }, (_, i) => [364 - i, job()] as const).flatMap(([daysAgo, days]) =>
        days === 0 ? [] : [used(daysAgo, days)],
      )
      const end = expectedEnd(100, { uses: logged, weights: {} }, today)
      let left = 100
      let days = 0
      for (; left > 0; days++) left -= job()
      const ends = addDays(today, days)
      return end !== null && end.earliest <= ends && ends <= end.latest
    }
    const between = Array.from({ length: 1000 }, endsBetween).filter(Boolean).length
    expect(between).toBeGreaterThan(850)
    expect(between).toBeLessThan(950)
  })
})
