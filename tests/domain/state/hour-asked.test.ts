/** When an hour has to be stated, and which words ask for it; every pair of kinds is walked in `pairs.test.ts`. */
import { describe, expect, test } from 'vitest'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { hourAskedFor } from '../../../shared-domain/state/hour-asked.ts'
import { inEnglish } from '../../support/english.ts'
import { day, happened, history } from '../../support/trade.ts'

/** What is asked for of the last of these, recorded after the others. */
function asked(today: string, ...events: Parameters<typeof history>): string | null {
  const facts = history(...events)
  const before = facts.slice(0, -1)
  const expected = hourAskedFor(facts.at(-1) as RecordedFact, day(today), { state: replay(before), history: before })
  return expected === null ? null : inEnglish.fault({ expected })
}

const entered = ['2026-01-01', happened.registered()] as const
const sound: Happening = {
  kind: 'condition checked',
  check: { factId: 'x', occurredOn: day('2026-03-02'), by: 'Ines Roth', sound: true },
}
const certificate: Happening = {
  kind: 'certificate received',
  certificate: { factId: 'x', occurredOn: day('2026-03-02'), issuedBy: 'the maker' },
}

describe.each(['repaired', 'refinished'] as const)('%s', (step) => {
  test('needs no hour on its day, and needs it from the next on', () => {
    const done = ['2026-03-02', happened.step(step)] as const
    expect(asked('2026-03-02', entered, done)).toBeNull()
    expect(asked('2026-03-03', entered, done)).toBe('the hour of this work, HH:MM: it is recorded on a later day')
    expect(asked('2026-03-03', entered, [...done, '09:00'])).toBeNull()
  })
})

describe('on a day with something against the stick', () => {
  const againstIt = [entered, ['2026-03-02', happened.defect(), '09:00']] as const

  test.each<[string, Happening]>([
    ['a pass', happened.tested('pass')],
    ['a cleaning', happened.step('cleaned')],
    ['a waxing', happened.step('waxed')],
    ['a release', happened.released()],
    ['a sound look', sound],
  ])('%s needs its hour, and on no other day', (_, what) => {
    const words = 'its hour, HH:MM: something against the stick, or a repair, stands on that day'
    expect(asked('2026-03-04', ...againstIt, ['2026-03-02', what])).toBe(words)
    expect(asked('2026-03-04', entered, ['2026-03-02', happened.step('repaired'), '09:00'], ['2026-03-02', what])).toBe(
      words,
    )
    expect(asked('2026-03-04', ...againstIt, ['2026-03-02', what, '10:00'])).toBeNull()
    expect(asked('2026-03-04', ...againstIt, ['2026-03-01', what])).toBeNull()
    expect(asked('2026-03-04', ...againstIt, ['2026-03-03', what])).toBeNull()
    expect(asked('2026-03-04', entered, ['2026-03-02', happened.used(), '09:00'], ['2026-03-02', what])).toBeNull()
  })

  test.each<[string, Happening]>([
    ['an entry', happened.registered()],
    ['a use', happened.used()],
    ['another report', happened.defect()],
    ['a test that fails', happened.tested('electrical')],
    ['a look that found something', { ...sound, check: { ...sound.check, sound: false } }],
    ['a move', happened.moved({ store: 'DEP-1' })],
    ['missing', happened.moved('missing')],
    ['its certificate', certificate],
    ['a judgement', happened.judgedAgain(2, 'pass')],
  ])('%s needs none: it clears nothing', (_, what) => {
    expect(asked('2026-03-04', ...againstIt, ['2026-03-02', what])).toBeNull()
  })

  test('a pass that is judged to prove nothing by now is against it too', () => {
    const events = [entered, ['2026-03-02', happened.tested('pass'), '09:00']] as const
    const cleaned = ['2026-03-02', happened.step('cleaned')] as const
    expect(asked('2026-03-04', ...events, cleaned)).toBeNull()
    expect(asked('2026-03-04', ...events, ['2026-03-03', happened.judgedAgain(2, 'invalid')], cleaned)).not.toBeNull()
  })

  test('what happened at either end of the day is of the day', () => {
    const at = (hour: string) =>
      asked('2026-03-04', entered, ['2026-03-02', happened.defect(), hour], ['2026-03-02', sound])
    expect([at('00:00'), at('23:59')].every((words) => words !== null)).toBe(true)
  })
})

describe('a release on the day of the test that it releases', () => {
  const failedAndCleaned = [
    entered,
    ['2026-03-01', happened.tested('electrical')],
    ['2026-03-01', happened.step('cleaned'), '14:00'],
  ] as const
  const retested = (on: string, at?: string) =>
    at === undefined ? ([on, happened.tested('pass')] as const) : ([on, happened.tested('pass'), at] as const)

  test('needs its hour where the test has one', () => {
    const release = ['2026-03-02', happened.released()] as const
    expect(asked('2026-03-02', ...failedAndCleaned, retested('2026-03-02', '10:00'), release)).toBe(
      'its hour, HH:MM: the test that it releases was on the same day',
    )
    expect(asked('2026-03-02', ...failedAndCleaned, retested('2026-03-02'), release)).toBeNull()
    expect(
      asked('2026-03-03', ...failedAndCleaned, retested('2026-03-02', '10:00'), ['2026-03-03', happened.released()]),
    ).toBeNull()
    // a cleaning of that day asks for none
    expect(
      asked('2026-03-02', ...failedAndCleaned, retested('2026-03-02', '10:00'), [
        '2026-03-02',
        happened.step('cleaned'),
      ]),
    ).toBeNull()
  })
})
