/** People over time: from when they count, until when, and that somebody owns the organisation on each day to come. */
import { describe, expect, test } from 'vitest'
import type { Instant } from '../../shared-domain/calendar.ts'
import { hasBegun, hasEnded, ownerlessOn, type PersonEdition, rightsOf } from '../../shared-domain/people.ts'
import { givesMore, type Rights } from '../../shared-domain/rights.ts'
import type { Role } from '../../shared-domain/words.ts'
import { day } from '../support/trade.ts'

const today = day('2026-03-02')
const at = (date: string) => `${date}T15:00:00.000Z` as Instant
const entered = (effectiveFrom: string, role: Role, until?: string): PersonEdition => ({
  effectiveFrom: day(effectiveFrom),
  recordedAt: at('2026-03-01'),
  body: { role, ...(until === undefined ? {} : { until: day(until) }) },
})

test('the last day is one of theirs', () => {
  expect(['2026-03-01', '2026-03-02', '2026-03-03'].map((on) => hasEnded({ until: today }, day(on)))).toEqual([
    false,
    false,
    true,
  ])
  expect(hasEnded({}, day('9999-12-31'))).toBe(false)
})

test('an entry counts from its day on, and before it only where that day had come when it was made', () => {
  const one = (effectiveFrom: string) => ({ effectiveFrom: day(effectiveFrom), recordedAt: at('2026-03-01') })
  expect(hasBegun(one('2026-03-03'), today)).toBe(false)
  expect(hasBegun(one('2026-03-02'), today)).toBe(true)
  expect(hasBegun(one('2026-03-01'), day('2020-01-01'))).toBe(true)
  expect(hasBegun(one('2026-03-02'), day('2020-01-01'))).toBe(false)
})

describe('the day on which nobody owns the organisation', () => {
  const always = [entered('2026-01-01', 'owner')]
  const without = (before: PersonEdition[][], after: PersonEdition[][]) => ownerlessOn({ before, after }, today)

  test.each<[string, PersonEdition[][], string | null]>([
    ['another stays', [[...always, entered('2026-03-02', 'crew')], always], null],
    ['the last steps down', [[...always, entered('2026-03-02', 'crew')]], '2026-03-02'],
    ['the last is to step down', [[...always, entered('2030-01-01', 'crew')]], '2030-01-01'],
    ['the last is to end', [[entered('2026-01-01', 'owner', '2027-05-31')]], '2027-06-01'],
    ['the last has ended', [[entered('2026-01-01', 'owner', '2026-03-01')]], '2026-03-02'],
    [
      'the next begins as the last ends',
      [[entered('2026-01-01', 'owner', '2027-05-31')], [entered('2027-06-01', 'owner')]],
      null,
    ],
    [
      'the next begins a day late',
      [[entered('2026-01-01', 'owner', '2027-05-31')], [entered('2027-06-02', 'owner')]],
      '2027-06-01',
    ],
    [
      'the next is an owner for a day',
      [[...always, entered('2026-03-02', 'bench')], [entered('2026-01-01', 'owner', '2026-03-02')]],
      '2026-03-03',
    ],
    ['the last ends with time', [[entered('2026-01-01', 'owner', '9999-12-31')]], null],
  ])('%s', (_, after, expected) => {
    expect(without([always], after)).toBe(expected)
  })

  test('is no fault where there was none before', () => {
    expect(without([], [[entered('2026-03-02', 'crew')]])).toBeNull()
  })
})

describe('more than somebody has', () => {
  const had: Rights = { role: 'manager', depots: ['DEP-1'], crewId: null }
  test.each<[string, Partial<Rights>, boolean]>([
    ['the same', {}, false],
    ['another depot', { depots: ['DEP-1', 'DEP-2'] }, true],
    ['every depot', { depots: ['*'] }, true],
    ['no depot', { depots: [] }, false],
    ['an owner', { role: 'owner' }, true],
    ['the bench, who enter instruments', { role: 'bench' }, true],
    ['a crew, whose sticks may lie elsewhere', { role: 'crew', crewId: 'CR-1' }, true],
    ['of no crew', { role: 'crew', depots: [] }, false],
    ['a crew beside it, which gives a manager nothing', { crewId: 'CR-1' }, false],
    ['an end', { until: today }, false],
  ])('%s', (_, over, expected) => {
    expect(givesMore({ ...had, ...over }, had)).toBe(expected)
  })

  test('a later end, or none', () => {
    const ends = { ...had, until: today }
    expect(givesMore(had, ends)).toBe(true)
    expect(givesMore({ ...had, until: day('2026-03-03') }, ends)).toBe(true)
    expect(givesMore({ ...had, until: day('2026-03-01') }, ends)).toBe(false)
    expect(givesMore(ends, ends)).toBe(false)
  })

  test('of an entry without a crew it is that of none', () => {
    expect(rightsOf({ role: 'crew', depots: [] })).toEqual({ role: 'crew', depots: [], crewId: null })
  })
})
