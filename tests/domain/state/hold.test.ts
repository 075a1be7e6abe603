/**
 * What each hold says against a stick, what alone clears it, and what is kept for those who say it in another language.
 */
import { describe, expect, test } from 'vitest'
import type { Reason } from '../../../shared-domain/reason.ts'
import { type Detail, type Hold, hasCode, holdFor } from '../../../shared-domain/state/hold.ts'
import { inEnglish } from '../../support/english.ts'
import { day } from '../../support/trade.ts'

const cause = { since: day('2026-03-02'), factId: 'f' }
const what = { reason: { code: 'reading-over-limit', text: '21 over the limit of 20' }, more: 2 }
const reading = {
  code: 'reading-over-limit',
  state: 'dry',
  quarterTurn: 0,
  fromMetres: 0.5,
  toMetres: 0.8,
  leakageMicroamps: 12.5,
} as const
const asked = { microamps: 12.5, comparison: 'not more than', limit: 10, source: 'SAMPLE, no standard' } as const

/** A full test is named in all its parts, lest half of one be taken for it. */
const aFullTest =
  /full bench test that passes: examined, cleaned, all four quarter turns.* dry and, unless it is of wood, wet/
const first = (step: string) => new RegExp(`^${step}.*, then a ${aFullTest.source}`)
/** The whole text and nothing else. */
const whole = (text: string) => new RegExp(`^${text.replaceAll(/[.()]/g, '\\$&')}$`)

test.each<[code: string, hold: Hold, says: RegExp, clearedBy: RegExp, detail?: Detail]>([
  [
    'failed-test',
    holdFor.failedTest(cause, what),
    /failed.*: 21 over the limit of 20 \(and 2 more findings\)$/i,
    first('cleaned, refinished or repaired \\(waxing alone hides leakage'),
    what,
  ],
  ...failedBy({ ...reading, says: { is: 'over the limit', ...asked } }, [
    [
      0,
      whole(
        'Leaks too much when dry, 0.5 to 0.8 m from the working end, quarter turn 0°: 12.5 µA, ' +
          'the limit is not more than 10 µA (SAMPLE, no standard)',
      ),
    ],
    [2, /^Leaks too much when dry, .* 10 µA \(SAMPLE, no standard\) \(and 2 more findings\)$/],
  ]),
  ...failedBy({ ...reading, section: 'tip', says: { is: 'in the guard band', ...asked, microamps: 9.6, percent: 5 } }, [
    [
      0,
      whole(
        'Leaks too near its limit when dry, section tip, 0.5 to 0.8 m from its working end, quarter turn 0°: 9.6 µA, ' +
          "the limit is not more than 10 µA (SAMPLE, no standard), less 5 % for the instrument's uncertainty",
      ),
    ],
  ]),
  [
    'open-defect',
    holdFor.failedExamination(cause, what, 'repair'),
    /failed its examination: 21 over/i,
    first('repaired or refinished, and that recorded'),
    { ...what, by: 'repair' },
  ],
  [
    'open-defect',
    holdFor.failedExamination(cause, what, 'cleaning'),
    /failed its examination/i,
    first('cleaned, and that recorded'),
    { ...what, by: 'cleaning' },
  ],
  [
    'not-mended',
    holdFor.notMended(cause, 'repair'),
    /nothing on record mended/,
    first('repaired or refinished'),
    { by: 'repair' },
  ],
  [
    'not-mended',
    holdFor.notMended(cause, 'cleaning'),
    /passed/i,
    first('cleaned, and that recorded'),
    { by: 'cleaning' },
  ],
  ['test-invalid', holdFor.unprovenTest(cause, 'invalid', what), /proves nothing: 21 over/, aFullTest, what],
  [
    'test-incomplete',
    holdFor.unprovenTest(cause, 'incomplete', what),
    /left something unmeasured: 21 over/,
    aFullTest,
    what,
  ],
  [
    'no-corrective-step',
    holdFor.noCorrectiveStep(cause),
    /without being cleaned, refinished or repaired first; the repeat clears nothing/,
    first('cleaned, refinished or repaired'),
  ],
  [
    'test-after-repair',
    holdFor.testAfterRepair(cause, 'refinished'),
    /was refinished and not yet tested/i,
    aFullTest,
    { step: 'refinished' },
  ],
  [
    'defect-reported',
    holdFor.defectReported(cause, 'tingle'),
    /^Reported from use: tingle$/,
    /, after the report$/,
    { defect: 'tingle', lastOn: day('2026-03-02') },
  ],
  [
    'defect-reported',
    holdFor.defectReported(cause, 'burn', { at: '09:40', by: 'crew' }),
    /burn/,
    aFullTest,
    { defect: 'burn', lastOn: day('2026-03-02'), lastAt: '09:40', lastBy: 'crew' },
  ],
  [
    'release-awaited',
    holdFor.releaseAwaited(cause),
    /no second person has released it/,
    /^somebody other than who did or recorded the test/,
  ],
  [
    'test-after-use-without-protectors',
    holdFor.stoppedBy(cause, 'use without protectors', 'the rule'),
    /use without protectors and not yet tested since \(the rule\)/,
    aFullTest,
    { event: 'use without protectors', source: 'the rule' },
  ],
  ['reported-missing', holdFor.reportedMissing(cause), /missing/, first('found again')],
  [
    'found-untested',
    holdFor.found(cause, true),
    /^Was missing and has been found; nobody knows/,
    aFullTest,
    { wasMissing: true },
  ],
  [
    'found-untested',
    holdFor.found(cause, false),
    /though nobody had reported it missing; nobody knows/,
    aFullTest,
    { wasMissing: false },
  ],
  [
    'not-waxed',
    holdFor.notWaxed(cause, 'the rule', false),
    /was not waxed \(the rule\)$/,
    /^waxed, and that recorded as a step$/,
    { source: 'the rule' },
  ],
  [
    'not-waxed',
    holdFor.notWaxed(cause, 'the rule', true),
    /was not waxed \(the rule\); .* it is waxed before the readings/,
    first('waxed, and that recorded'),
    { source: 'the rule', beforeReadings: true },
  ],
])('%s of a fact', (code, hold, says, clearedBy, detail) => {
  expect(hold).toMatchObject({ code, ...cause })
  expect(inEnglish.hold(hold).text).toMatch(says)
  expect(inEnglish.hold(hold).clearedBy).toMatch(clearedBy)
  expect(hold.detail).toEqual(detail)
})

/** A failed test by a reading, as one row for each number of further reasons. */
function failedBy(reason: Reason, rows: readonly (readonly [more: number, says: RegExp])[]) {
  return rows.map(
    ([more, says]) =>
      [
        'failed-test',
        holdFor.failedTest(cause, { reason, more }),
        says,
        first('cleaned, refinished or repaired'),
        { reason, more },
      ] as [string, Hold, RegExp, RegExp, Detail],
  )
}

const since = day('2026-03-02')
test.each<[code: string, hold: Hold, since: string | null, says: RegExp, clearedBy: RegExp, detail?: Detail]>([
  [
    'shelf-limit',
    holdFor.shelfLimit(since, 12, 'the rule'),
    since,
    /tested on 2 March 2026 and not issued within 12 months \(the rule\)/i,
    aFullTest,
    { on: since, months: 12, source: 'the rule' },
  ],
  [
    'resting-in-store',
    holdFor.restingInStore(since, 'the rule'),
    since,
    /ran out on 2 March 2026 while it rests in store, where the rule/,
    /before it is used again$/,
    { on: since, source: 'the rule' },
  ],
  [
    'entry-changed',
    holdFor.entryChanged(since, 'sections'),
    since,
    /register now gives another sections/,
    /, or the entry put right$/,
    { entry: 'sections' },
  ],
  [
    'another-stick',
    holdFor.anotherStick(since, { identity: 'lot', was: 'L-7', is: 'L-9' }),
    since,
    /lot was L-7 when it was last tested, and the register now says L-9/,
    /, or a manager and a second person enter that it is the same stick$/,
    { identity: 'lot', was: 'L-7', is: 'L-9' },
  ],
  ['not-registered', holdFor.notRegistered(), null, /not on the register/, /entered on the register/],
  ['policy-missing', holdFor.policyMissing(), null, /no policy is in force/i, /a manager puts a policy in force/],
  ['wood-forbidden', holdFor.woodForbidden(), null, /no stick of wood/, /policy would have to allow wood/],
  [
    'no-requirement-covers',
    holdFor.noRequirement('wood'),
    null,
    /covers a stick of wood relied on/,
    /a manager adds a rule that covers it/,
    { construction: 'wood' },
  ],
])('%s of no fact', (code, hold, from, says, clearedBy, detail) => {
  expect(hold).toMatchObject({ code, since: from, factId: null })
  expect(inEnglish.hold(hold).text).toMatch(says)
  expect(inEnglish.hold(hold).clearedBy).toMatch(clearedBy)
  expect(hold.detail).toEqual(detail)
})

describe('reported again', () => {
  const report = (on: string, at?: string) =>
    holdFor.defectReported({ since: day(on), factId: on }, 'tingle', {
      by: 'crew',
      ...(at === undefined ? {} : { at }),
    })

  test('the oldest cause stands, counted, with the day, the hour and the name of the last', () => {
    const twice = holdFor.reportedAgain(report('2026-03-02', '09:40'), report('2026-03-04', '10:00'))
    expect(twice).toMatchObject({
      since: '2026-03-02',
      factId: '2026-03-02',
    })
    expect(inEnglish.hold(twice).text).toBe('Reported from use: tingle (2 times)')
    expect(twice.detail).toEqual({ defect: 'tingle', times: 2, lastOn: '2026-03-04', lastAt: '10:00', lastBy: 'crew' })
    const thrice = holdFor.reportedAgain(twice, report('2026-03-05'))
    expect(inEnglish.hold(thrice).text).toMatch(/\(3 times\)$/)
    // no hour of an earlier report beside the day of the last
    expect(thrice.detail).toEqual({ defect: 'tingle', times: 3, lastOn: '2026-03-05', lastBy: 'crew' })
  })

  test('of what was stored before holds had parts', () => {
    const { detail: _, ...older } = report('2026-03-02')
    expect(inEnglish.hold(holdFor.reportedAgain(older, report('2026-03-04'))).text).toMatch(/\(2 times\)$/)
  })
})

test('a hold is known by its code', () => {
  const holds = [holdFor.policyMissing(), holdFor.reportedMissing(cause)]
  expect(['policy-missing', 'reported-missing', 'failed-test'].map((code) => hasCode(holds, code))).toEqual([
    true,
    true,
    false,
  ])
})
