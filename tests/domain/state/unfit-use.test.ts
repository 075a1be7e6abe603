/** Uses of a stick that must not be used, by all that is known of their days by now. */
import { describe, expect, test } from 'vitest'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { unfitUse, unfitUses } from '../../../shared-domain/state/unfit-use.ts'
import { day, happened, history, usPolicy } from '../../support/trade.ts'

const used = (on: string, days = 1): readonly [string, Happening] => [
  on,
  { kind: 'used', use: { factId: 'x', occurredOn: day(on), days, conditions: [] } },
]
const begun = [
  ['2026-03-01', happened.registered()],
  ['2026-03-02', happened.tested('pass')],
] as const
const found = (...events: Parameters<typeof history>) => {
  const facts = history(...begun, ...events)
  return unfitUses(facts, replay(facts), usPolicy).map(({ usedOn, unfitOn, status }) => [usedOn, unfitOn, status])
}

describe('of a whole history', () => {
  test('none where nothing was used, or only while it was fit', () => {
    expect(found()).toEqual([])
    expect(found(used('2026-03-03', 5), ['2026-03-09', happened.defect()])).toEqual([])
  })

  test('the first day of a use on which the stick was not fit', () => {
    expect(found(['2026-03-09', happened.defect()], used('2026-03-10'))).toEqual([
      ['2026-03-10', '2026-03-10', 'on hold'],
    ])
    expect(found(['2026-03-10', happened.defect()], used('2026-03-08', 5))).toEqual([
      ['2026-03-08', '2026-03-10', 'on hold'],
    ])
  })

  test('the day on which it ran out is still fit, the next is not', () => {
    expect(found(used('2028-03-01', 2))).toEqual([])
    expect(found(used('2028-03-01', 3))).toEqual([['2028-03-01', '2028-03-03', 'overdue']])
  })

  test('each use once, in the order of the days on which they were found unfit', () => {
    const uses = [used('2026-03-12', 3), used('2026-03-11', 4)] as const
    expect(found(['2026-03-10', happened.defect()], ...uses)).toEqual([
      ['2026-03-11', '2026-03-11', 'on hold'],
      ['2026-03-12', '2026-03-12', 'on hold'],
    ])
  })

  test('what happened at the very end of a day counts for it: in doubt the stick was not fit', () => {
    const report = ['2026-03-12', happened.defect()] as const
    expect(found(report, used('2026-03-12'))).toEqual([['2026-03-12', '2026-03-12', 'on hold']])
    // recorded at once, the use ends at its recording
    expect(found([...used('2026-03-12'), '09:00'], ['2026-03-12', happened.defect(), '09:00'])).toHaveLength(1)
    expect(found([...used('2026-03-12'), '09:00'], ['2026-03-12', happened.defect(), '09:01'])).toEqual([])
  })

  test('a pass after it makes it no fitter', () => {
    expect(
      found(['2026-03-09', happened.defect()], used('2026-03-10'), ['2026-03-11', happened.tested('pass')]),
    ).toEqual([['2026-03-10', '2026-03-10', 'on hold']])
  })

  test('the first entry covers the days before it', () => {
    const facts = history(used('2026-02-10'), ['2026-03-01', happened.registered()])
    expect(unfitUses(facts, replay(facts), usPolicy).map(({ status }) => status)).toEqual(['awaiting first test'])
  })
})

describe('of one use after everything else', () => {
  const one = (on: string, days: number, ...events: Parameters<typeof history>) => {
    const facts = history(...begun, ...events, used(on, days))
    const use = facts.at(-1) as RecordedFact & { kind: 'used' }
    return unfitUse(use, replay(facts.slice(0, -1)), usPolicy)
  }

  test('nothing where it was fit throughout', () => {
    expect(one('2026-03-10', 4)).toBeNull()
  })

  test('its first unfit day, and how it stood', () => {
    expect(one('2028-02-28', 9)).toEqual({
      factId: '00000000-0000-4000-8000-000000000003',
      usedOn: '2028-02-28',
      unfitOn: '2028-03-03',
      status: 'overdue',
    })
    expect(one('2026-03-10', 4, ['2026-03-09', happened.defect()])).toMatchObject({
      unfitOn: '2026-03-10',
      status: 'on hold',
    })
  })
})
