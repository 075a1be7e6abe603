import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays } from '../../../shared-domain/calendar.ts'
import { clocksOf } from '../../../shared-domain/policy/clocks.ts'
import { expectedEnd } from '../../../shared-domain/policy/expected-use.ts'
import { rulesFrom } from '../../../shared-domain/policy/rules.ts'
import { classesSince, type LoggedUse, timesOf } from '../../../shared-domain/policy/service-class.ts'
import { packed, unpacked, withUse } from '../../../shared-domain/state/logged-uses.ts'
import { useConditions } from '../../../shared-domain/words.ts'
import { tally } from '../../support/tally.ts'
import { tries } from '../../support/tier.ts'
import { aStick, day } from '../../support/trade.ts'

const runs = tries(4000, 400)
const begin = day('2026-01-01')
const use = (daysMost: number, conditions: readonly LoggedUse['conditions'][number][] = useConditions) =>
  fc.record({
    on: fc.integer({ min: 0, max: 60 }).map((n) => addDays(begin, n)),
    days: fc.integer({ min: 1, max: daysMost }),
    conditions: fc.subarray([...conditions]),
  })
const kept = (all: readonly Omit<LoggedUse, 'times'>[]) =>
  all.reduce<readonly LoggedUse[]>((uses, one) => withUse(uses, one), [])
const listed = (all: readonly LoggedUse[]) => [...all].sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0))

describe('uses as the state keeps them', () => {
  test('come back from their short text as they went in', () => {
    fc.assert(
      fc.property(fc.array(use(366), { maxLength: 60 }), (all) => {
        const uses = kept(all)
        expect(unpacked(packed(uses))).toEqual(uses)
      }),
      { numRuns: runs, seed: 20261129 },
    )
    expect(packed(kept([]))).toBe('')
    expect(unpacked('')).toEqual([])
  })

  test('in short: a month, then its days', () => {
    const wet = { on: day('2026-03-05'), days: 1, conditions: ['wet' as const] }
    const uses = kept([
      { on: day('2026-03-02'), days: 1, conditions: [] },
      wet,
      wet,
      { ...wet, on: day('2026-04-01'), days: 3 },
    ])
    expect(packed(uses)).toBe('2026-03 02 05ax2 2026-04 01a-3')
  })

  test('say to every rule what the same uses say one by one, while a day has no more kinds than are told apart', () => {
    const rules = rulesFrom({ packs: ['us-29-cfr-1910-269-j'], useWeights: { wet: 3, salt: 2 } })
    const weights = rules.useWeights
    const seen = tally<'merged' | 'used up'>(runs)
    fc.assert(
      fc.property(fc.array(use(1, ['wet']), { maxLength: 80 }), fc.integer({ min: 1, max: 90 }), (all, most) => {
        const one = listed(all)
        const together = kept(all)
        const known = (uses: readonly LoggedUse[]) => ({
          uses,
          custodySpells: [{ since: begin, kind: 'crew' as const }],
          evidence: { 'dry test': addDays(begin, 20) },
        })
        const requirement = {
          id: 'uses',
          words: 'after so many days of use',
          source: { cited: 'House rule 7', jurisdiction: 'employer', confidence: 'the employer’s own' as const },
          evidence: ['dry test' as const],
          interval: { useDays: most },
          legalMaximum: false,
          appliesTo: { primaryProtectionOnly: true, constructions: [aStick.construction] },
        }
        const clocks = (uses: readonly LoggedUse[]) =>
          clocksOf(aStick, known(uses), { ...rules, requirements: [requirement] })
        expect(clocks(together)).toEqual(clocks(one))
        const occasional = { windowDays: 30, atMostUseDays: most }
        expect(classesSince(known(together), addDays(begin, 20), occasional)).toEqual(
          classesSince(known(one), addDays(begin, 20), occasional),
        )
        const on = addDays(begin, 61)
        const [a, b] = [one, together].map((uses) => expectedEnd(5, { uses, weights }, on))
        expect(b).toEqual(a)
        seen.count(together.length < one.length && 'merged', clocks(one)[0]?.dueOn != null && 'used up')
      }),
      { numRuns: runs, seed: 20261129 },
    )
    seen.expectAtLeast(0.1, 'merged', 'used up')
  })

  test('never weigh less where a day has more kinds than are told apart, and lose no day', () => {
    fc.assert(
      fc.property(fc.array(use(366), { maxLength: 80 }), (all) => {
        const uses = kept(all)
        const days = (some: readonly LoggedUse[]) => some.reduce((sum, one) => sum + one.days * timesOf(one), 0)
        const worn = (some: readonly LoggedUse[]) =>
          some.reduce((sum, one) => sum + one.days * timesOf(one) * (one.conditions.includes('salt') ? 4 : 1), 0)
        for (const on of new Set(all.map((one) => one.on))) {
          const ofDay = (some: readonly LoggedUse[]) => some.filter((one) => one.on === on)
          expect(ofDay(uses).length).toBeLessThanOrEqual(3)
          expect(days(ofDay(uses))).toBe(days(ofDay(all)))
          expect(worn(ofDay(uses))).toBeGreaterThanOrEqual(worn(ofDay(all)))
        }
        expect(uses.map(({ on }) => on)).toEqual(uses.map(({ on }) => on).toSorted())
      }),
      { numRuns: runs, seed: 20261129 },
    )
  })

  test('of seven years of daily use, logged many times a day in every way there is, take less than 32 KB', () => {
    const all = Array.from({ length: 2560 }, (_, i) => addDays(begin, i)).flatMap((on) =>
      [0, 1, 2, 3, 4, 5].map((n) => ({
        on,
        days: 1,
        conditions: useConditions.filter((_, bit) => (n >> bit) % 2 === 1),
      })),
    )
    expect(packed(kept(all.slice(0, 6 * 900))).length).toBeLessThan(16_000)
    const plain = Array.from({ length: 20_000 }, (_, i) => ({ on: addDays(begin, i % 800), days: 1, conditions: [] }))
    expect(packed(kept(plain)).length).toBeLessThan(8_000)
  })
})
