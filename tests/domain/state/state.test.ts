/** Which entry on the register is in force on a day, and from where a stick begins. */
import { describe, expect, test } from 'vitest'
import { initial, type Registration, readByFirstEntry, registrationOn } from '../../../shared-domain/state/state.ts'
import { aStick, day } from '../../support/trade.ts'

const entry = (seq: number, effectiveFrom: string): Registration => ({
  seq,
  effectiveFrom: day(effectiveFrom),
  stick: { ...aStick, lot: `L-${seq}` },
})
/** Recorded in another order than that of their days. */
const state = {
  ...initial,
  registrations: [entry(7, '2026-03-01'), entry(1, '2026-02-01'), entry(9, '2026-03-01'), entry(4, '2026-04-01')],
}

describe('the entry in force', () => {
  test.each([
    ['2026-02-01', 1],
    ['2026-02-28', 1],
    // of two of one day the later recorded
    ['2026-03-01', 9],
    ['2026-03-31', 9],
    ['2026-04-01', 4],
    ['2027-01-01', 4],
  ])('on %s is number %i', (on, seq) => {
    expect(registrationOn(state, day(on))?.seq).toBe(seq)
    expect(registrationOn({ ...state, registrations: [...state.registrations].reverse() }, day(on))?.seq).toBe(seq)
  })

  test('before the first one is the first', () => {
    expect(registrationOn(state, day('2020-01-01'))?.seq).toBe(1)
    const sameDay = { ...state, registrations: [entry(9, '2026-03-01'), entry(7, '2026-03-01')] }
    expect(registrationOn(sameDay, day('2020-01-01'))?.seq).toBe(7)
  })

  test('of a stick without one is none', () => {
    expect(registrationOn(initial, day('2026-03-01'))).toBeUndefined()
  })
})

test('an entry recorded later is read for what happened before it, and does not replace one that was known', () => {
  expect(readByFirstEntry(initial, state)).toEqual({ ...initial, registrations: state.registrations })
  const known = { ...initial, registrations: [entry(1, '2026-02-01')] }
  expect(readByFirstEntry(known, state)).toBe(known)
})

test('of a stick without a fact nothing is known', () => {
  const { facts, missing, ...rest } = initial
  expect([facts, missing]).toEqual([0, false])
  for (const [what, value] of Object.entries(rest))
    expect(value === null || Object.keys(value).length === 0, what).toBe(true)
})
