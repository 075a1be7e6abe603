/** What a fleet teaches, from invented fleets whose numbers are known. */
import { describe, expect, test } from 'vitest'
import {
  countReliability,
  fleetAdvice,
  noReliability,
  type StickCounted,
} from '../../../shared-domain/fleet/reliability.ts'
import { rulesFrom } from '../../../shared-domain/policy/rules.ts'
import type { Stick } from '../../../shared-domain/registers.ts'
import { type PastTest, withPast } from '../../../shared-domain/state/past.ts'
import { initial } from '../../../shared-domain/state/state.ts'
import { aStick, day, usPolicy } from '../../support/trade.ts'

const tested = (on: string, verdict: 'pass' | 'fail', over: Partial<PastTest> = {}): PastTest => ({
  on: day(on),
  verdict,
  cause: null,
  reason: 'periodic',
  stored: false,
  ...over,
})

const stickOf = (
  past: readonly PastTest[],
  over: Partial<Stick> = {},
  depotId: string | null = 'DEP-1',
): StickCounted => ({
  depotId,
  state: {
    ...initial,
    past: past.reduce(withPast, ''),
    registrations: [{ seq: 1, effectiveFrom: day('2020-01-01'), stick: { ...aStick, ...over } }],
  },
})

const until = (months: '2022-01-01' | '2020-07-01', verdict: 'pass' | 'fail', over: Partial<PastTest> = {}) => [
  tested('2020-01-01', 'pass'),
  tested(months, verdict, over),
]
const times = <Thing>(count: number, one: (i: number) => Thing) => Array.from({ length: count }, (_, i) => one(i))

function adviceOn(sticks: readonly StickCounted[], rules = usPolicy) {
  const fleet = noReliability()
  for (const stick of sticks) countReliability(fleet, stick, rules)
  return fleetAdvice(fleet, 0.95)
}
const wordFor = (advice: ReturnType<typeof adviceOn>, name: string) => advice.groups.find((one) => one.name === name)

describe('advice on intervals', () => {
  test('is by construction, lot, service class and depot, each with how many reached the end of the interval', () => {
    const advice = adviceOn([
      ...times(85, () => stickOf(until('2022-01-01', 'pass'), { lot: 'L-1' })),
      ...times(15, () => stickOf(until('2022-01-01', 'fail'), { lot: 'L-1' })),
      ...times(200, () =>
        stickOf(until('2022-01-01', 'pass', { stored: true }), { construction: 'wood', lot: 'L-2' }, 'DEP-2'),
      ),
      stickOf(until('2022-01-01', 'pass'), { lot: 'L-3' }),
    ])
    expect(advice.groups.map(({ by, name, found, of, months }) => [by, name, found, of, months])).toEqual([
      ['construction', aStick.construction, 86, 101, 24],
      ['construction', 'wood', 200, 200, 24],
      ['lot', 'L-1', 85, 100, 24],
      ['lot', 'L-2', 200, 200, 24],
      ['service class', 'in use', 86, 101, 24],
      ['service class', 'stored', 200, 200, 24],
      ['depot', 'DEP-1', 86, 101, 24],
      ['depot', 'DEP-2', 200, 200, 24],
    ])
    expect(advice.lotsWithTooFew).toBe(1)
    // 24 · ln 0.95 / ln 0.85 = 7.575
    expect(wordFor(advice, 'L-1')?.says).toMatchObject({ is: 'shorten', months: expect.closeTo(7.575, 3) })
    // the rule's two years are a maximum (29 CFR 1910.269(j)(2)(iii))
    expect(wordFor(advice, 'L-2')?.says).toEqual({ is: 'at its longest' })
  })

  test('lengthens up to the maximum of the strictest rule, and never where a stick has none', () => {
    const often = times(250, (i) => stickOf(until('2020-07-01', i < 245 ? 'pass' : 'fail'), { lot: 'L-1' }))
    expect(wordFor(adviceOn(often), 'L-1')?.says).toMatchObject({
      is: 'lengthen',
      isCapped: false,
      months: expect.closeTo(15.233, 2),
    })
    const strict = rulesFrom({ packs: ['us-29-cfr-1910-269-j', 'ufc-3-560-01-5-4'] })
    expect(wordFor(adviceOn(often, strict), 'L-1')?.says).toEqual({ is: 'at its longest' })
    const notRelied = stickOf(until('2020-07-01', 'pass'), { lot: 'L-1', primaryProtection: false })
    expect(wordFor(adviceOn([...often, notRelied]), 'L-1')?.says).toEqual({ is: 'no longest stated' })
  })

  test('takes what is stored by what the rules say of stored sticks', () => {
    // UFC 3-560-01, 5-4.10: 6 months in frequent use, 12 in long storage
    const strict = rulesFrom({ packs: ['ufc-3-560-01-5-4'] })
    const stored = times(250, (i) => stickOf(until('2020-07-01', i < 245 ? 'pass' : 'fail', { stored: true })))
    expect(wordFor(adviceOn(stored, strict), 'stored')?.says).toEqual({ is: 'lengthen', months: 12, isCapped: true })
  })
})

test('a lot stands out by its sticks that ever failed, each counted once', () => {
  const failedTwice = [tested('2020-01-01', 'pass'), tested('2022-01-01', 'fail'), tested('2022-01-02', 'fail')]
  const advice = adviceOn([
    ...times(10, () => stickOf(failedTwice, { lot: 'BAD' })),
    ...times(3, () => stickOf(until('2022-01-01', 'pass'), { lot: 'BAD' })),
    ...times(2, () => stickOf(failedTwice, { lot: 'GOOD' })),
    ...times(15, () => stickOf(until('2022-01-01', 'pass'), { lot: 'GOOD' })),
    stickOf([], { lot: 'NEW' }),
    stickOf(
      [tested('2022-01-01', 'pass')].map((one) => ({ ...one, verdict: 'invalid' as const })),
      { lot: 'NEW' },
    ),
  ])
  expect(advice.tested).toEqual({ found: 12, of: 30 })
  expect(advice.lots.looked).toBe(2)
  expect(advice.lots.standingOut).toMatchObject([
    { lot: 'BAD', found: 10, of: 13, rest: { found: 2, of: 17 }, chance: expect.closeTo(619 / 1_330_665, 9) },
  ])
  expect(advice.lots.standingOut[0]?.chancePutRight).toBeCloseTo((2 * 619) / 1_330_665, 9)
})
