/** Verdicts of an instrument that was found to read wrong, judged again, and the removals they caused. */
import { describe, expect, test } from 'vitest'
import type { Measured } from '../../../shared-domain/bench-test/measured.ts'
import type { Instant } from '../../../shared-domain/calendar.ts'
import type { Happening } from '../../../shared-domain/facts.ts'
import type { InstrumentError } from '../../../shared-domain/recall/error.ts'
import { suspectIn } from '../../../shared-domain/state/suspect-verdicts.ts'
import { aTest, day, happened, history } from '../../support/trade.ts'

const highest = (wet: number): Measured => ({
  comparison: 'not more than',
  decision: 'simple',
  highest: [{ state: 'wet', microamps: wet, limit: 20, source: 'sample value' }],
})

function tested(wet: number, ending: 'pass' | 'electrical', instrumentId = 'INS-1'): Happening {
  const happening = happened.tested(ending, aTest({ instrumentId })) as Happening & { kind: 'tested' }
  return { ...happening, pinned: { ...happening.pinned, measured: highest(wet) } }
}

const found = (error: InstrumentError | null) => ({
  id: 'R-1',
  cause: { instrumentId: 'INS-1', lastGoodOn: day('2026-01-05'), foundOutOn: day('2026-03-10'), error },
  at: '2026-03-10T15:00:00.000Z' as Instant,
})
const tenHigh: InstrumentError = { kind: 'percent of reading', value: 10 }
const fiveLow: InstrumentError = { kind: 'percent of reading', value: -5 }
const entered = ['2026-01-01', happened.registered()] as const

test('every verdict in the window is listed, with whether the stick rests on it and what it reads put right', () => {
  const facts = history(
    entered,
    ['2026-01-05', tested(19.1, 'pass')],
    ['2026-02-02', tested(19.1, 'pass')],
    ['2026-02-03', tested(18.9, 'pass', 'INS-2')],
    ['2026-02-04', tested(18.9, 'pass')],
  )
  const { verdicts, removal } = suspectIn(facts, found(fiveLow))
  expect(removal).toBeNull()
  expect(verdicts.map(({ testedOn, isProof, again }) => [testedOn, isProof, again.passes])).toEqual([
    ['2026-02-02', false, false],
    ['2026-02-04', true, true],
  ])
})

test('after the finding nobody knows how it reads', () => {
  const { verdicts } = suspectIn(history(entered, ['2026-03-11', tested(4, 'pass')]), found(fiveLow))
  expect(verdicts).toMatchObject([{ again: { passes: null } }])
})

describe('a removal for good by readings that were too high', () => {
  const removed = (first: Happening, second: Happening) =>
    history(entered, ['2026-02-02', first], ['2026-02-03', happened.step('cleaned')], ['2026-02-04', second])
  const removal = (error: InstrumentError | null, first: Happening, second: Happening) =>
    suspectIn(removed(first, second), found(error)).removal

  test('would not have been where either failure would have passed', () => {
    expect(removal(tenHigh, tested(21, 'electrical'), tested(30, 'electrical', 'INS-2'))).toBe('would not have been')
    expect(removal(tenHigh, tested(30, 'electrical', 'INS-2'), tested(21, 'electrical'))).toBe('would not have been')
  })

  test('stands where both failed in truth', () => {
    expect(removal(tenHigh, tested(30, 'electrical'), tested(30, 'electrical'))).toBeNull()
    expect(removal(tenHigh, tested(21, 'electrical', 'INS-2'), tested(21, 'electrical', 'INS-2'))).toBeNull()
    expect(removal(fiveLow, tested(21, 'electrical'), tested(21, 'electrical'))).toBeNull()
  })

  test('is in doubt where nobody knows by how much', () => {
    expect(removal(null, tested(30, 'electrical'), tested(30, 'electrical', 'INS-2'))).toBe('in doubt')
  })

  test('by decision stands, whatever was read', () => {
    const facts = history(entered, ['2026-02-02', tested(21, 'electrical')], ['2026-02-04', happened.removed()])
    expect(suspectIn(facts, found(tenHigh)).removal).toBeNull()
  })
})
