/** What hangs on an edit that would loosen, as whoever approves it is shown. */
import { describe, expect, test } from 'vitest'
import { judgeByEditions } from '../../../shared-domain/bench-test/editions.ts'
import { stickEffect, wouldBeMilder } from '../../../shared-domain/loosening/effect.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import {
  anInstrument,
  aProcedure,
  aStick,
  aTest,
  day,
  happened,
  history,
  overTheLimit,
  usPolicy,
} from '../../support/trade.ts'

const editions = {
  stick: aStick,
  procedure: aProcedure,
  instruments: [{ effectiveFrom: day('2026-01-01'), body: anInstrument }],
}
const tested = (test = aTest()) => {
  const judgement = judgeByEditions(test, editions)
  const [fact] = history(['2026-03-02', { kind: 'tested', test, judgement, pinned: {} as never }])
  if (fact?.kind !== 'tested') throw new Error('no test')
  return fact
}
const raised = { ...aProcedure, limits: aProcedure.limits.map((one) => ({ ...one, microamps: 1000 })) }
const lowered = { ...aProcedure, limits: aProcedure.limits.map((one) => ({ ...one, microamps: 1 })) }

describe('a test would have been judged more mildly', () => {
  test('where it failed and would pass, or would only prove nothing', () => {
    expect(wouldBeMilder(tested(overTheLimit()), editions, { procedure: raised })).toBe(true)
    const guarded = { ...aProcedure, limits: [] }
    expect(wouldBeMilder(tested(overTheLimit()), editions, { procedure: guarded })).toBe(true)
  })

  test('not where it would be judged as it was, or more strictly', () => {
    expect(wouldBeMilder(tested(overTheLimit()), editions, { procedure: aProcedure })).toBe(false)
    expect(wouldBeMilder(tested(), editions, { procedure: lowered })).toBe(false)
    expect(wouldBeMilder(tested(), editions, { procedure: raised })).toBe(false)
  })

  test('by an instrument whose calibration covers its day', () => {
    const late = aTest({ testedOn: day('2027-03-02') })
    const instrument = { ...anInstrument, calibrationDueOn: day('2027-12-01') }
    expect(wouldBeMilder(tested(late), editions, { instrument })).toBe(true)
    expect(wouldBeMilder(tested(late), editions, { instrument: anInstrument })).toBe(false)
  })
})

test('a stick is shown as it stands and as it would', () => {
  const state = replay(history(['2020-01-01', happened.registered()], ['2020-01-02', happened.tested('pass')]))
  const asked = { from: day('2026-03-02'), day: day('2026-03-02'), rules: usPolicy }
  const effect = stickEffect(state, { ...asked, stick: { ...aStick, primaryProtection: false } })
  expect(effect).toMatchObject({ of: 'stick', inForce: { status: 'overdue' }, proposed: { status: 'in service' } })
  const later = stickEffect(state, {
    ...asked,
    from: day('2026-03-03'),
    stick: { ...aStick, primaryProtection: false },
  })
  expect(later).toMatchObject({ proposed: { status: 'overdue' } })
})
