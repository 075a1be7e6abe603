/**
 * How a correction loosens, case by case: of a stick before, without the slip alone, and with all that is put right.
 */
import { describe, expect, test } from 'vitest'
import type { RecordedFact } from '../../../shared-domain/facts.ts'
import { type CorrectionEffect, waysOfCorrection } from '../../../shared-domain/loosening/correction.ts'
import { type Hold, holdFor } from '../../../shared-domain/state/hold.ts'
import type { Standing } from '../../../shared-domain/state/standing.ts'
import { initial, type StickState } from '../../../shared-domain/state/state.ts'
import { inEnglish } from '../../support/english.ts'
import { day, happened, history, judgements } from '../../support/trade.ts'

interface Stick {
  readonly status?: Standing['status']
  readonly due?: readonly (string | null)[]
  readonly holds?: readonly Hold[]
  readonly state?: Partial<StickState>
}

function stick({ status = 'in service', due = [], holds = [], state = {} }: Stick): CorrectionEffect['before'] {
  const clocks = due.map((on) => ({ dueOn: on === null ? null : day(on) })) as unknown as Standing['clocks']
  const standing = { status, dueOn: null, daysOverdue: 0, governedBy: null, clocks, holds, custody: null }
  return { state: { ...initial, ...state }, standing: { ...standing, why: { is: 'why held' } } }
}

function factOf(...event: Parameters<typeof history>[number]): RecordedFact {
  const [fact] = history(event)
  if (fact === undefined) throw new Error('no fact')
  return fact
}

const used = factOf('2026-02-20', happened.used())
const pass = factOf('2026-02-20', happened.tested('pass'))

/** Without and after are as before, unless they are given. */
function ways(given: {
  readonly before?: Stick
  readonly without?: Stick
  readonly after?: Stick
  readonly slip?: RecordedFact
  readonly instead?: RecordedFact
  readonly verdicts?: CorrectionEffect['verdicts']
}): string[][] {
  const { before = {}, without = given.after ?? before, after = before, slip = used, instead, verdicts = [] } = given
  const sticks = { before: stick(before), without: stick(without), after: stick(after) }
  return waysOfCorrection({ ...sticks, slip, instead, verdicts }).map((way) => [way.code, inEnglish.way(way)])
}

const gone = { since: day('2026-02-12'), factId: 'f' }
const removed = { removed: { ...gone, detail: {} } }
const scrapped = { scrapped: gone }

test('a correction that changes nothing needs no second person', () => {
  expect(ways({})).toEqual([])
  expect(ways({ before: { state: { ...removed, ...scrapped } } })).toEqual([])
  expect(ways({ before: {}, after: { state: { ...removed, ...scrapped } } })).toEqual([])
})

describe('an end for good that ends', () => {
  test.each([
    ['a removal', removed, 'ends-removal', 'It would no longer be removed from service: it would be overdue.'],
    ['a scrapping', scrapped, 'ends-end-of-service', 'It would no longer be scrapped: it would be overdue.'],
  ])('%s says how the stick would stand', (_, state, code, text) => {
    expect(ways({ before: { state }, after: { status: 'overdue' } })).toEqual([[code, text]])
  })
})

describe('what spoke against the stick', () => {
  const failed = factOf('2026-02-20', happened.tested('electrical'), '09:00')
  const report = factOf('2026-02-20', happened.defect(), '09:00')
  const step = factOf('2026-02-20', happened.step('repaired'), '09:00')
  const back = (what: string) => [
    ['takes-back', `What spoke against it would no longer stand as it did: ${what} of 20 February 2026.`],
  ]
  test.each([
    ['a failed test', failed, 'the bench test'],
    ['a report', report, 'the report'],
    ['a repair, which asks for a test', step, 'the work'],
  ])('%s that is taken back', (_, slip, what) => {
    expect(ways({ slip })).toEqual(back(what))
    expect(ways({ slip, instead: pass })).toEqual(back(what))
  })

  test('a use or a pass speaks against nothing', () => {
    expect(ways({ slip: used })).toEqual([])
    expect(ways({ slip: pass })).toEqual([])
  })

  test.each<[string, RecordedFact, RecordedFact, boolean]>([
    [
      'a report of another kind at its hour stays one',
      report,
      factOf('2026-02-20', happened.defect('drop'), '09:00'),
      true,
    ],
    ['a report of a later hour too', report, factOf('2026-02-20', happened.defect(), '09:01'), true],
    ['a report of an earlier hour may be cleared', report, factOf('2026-02-20', happened.defect(), '08:59'), false],
    ['a failure that stays one', failed, factOf('2026-02-20', happened.tested('electrical'), '09:00'), true],
    ['a failure that counts for less', failed, factOf('2026-02-20', happened.tested('examination'), '09:00'), false],
    [
      'a failure in place of one that counts for less',
      factOf('2026-02-20', happened.tested('examination'), '09:00'),
      failed,
      true,
    ],
    ['a failed test in place of a report', report, factOf('2026-02-20', happened.tested('examination'), '09:00'), true],
    ['a report in place of a failed test', failed, report, true],
  ])('%s', (_, slip, instead, isAsBad) => {
    expect(ways({ slip, instead }).map(([code]) => code)).toEqual(isAsBad ? [] : ['takes-back'])
  })
})

describe('verdicts that are another', () => {
  const milder = { was: judgements.electrical, is: judgements.pass }
  const same = { was: judgements.electrical, is: judgements.electrical }
  const harder = { was: judgements.pass, is: judgements.electrical }
  test.each([
    ['none milder', [same, harder], []],
    ['one', [same, milder], [['judged-milder', '1 test would be judged more mildly.']]],
    ['several', [milder, harder, milder], [['judged-milder', '2 tests would be judged more mildly.']]],
  ])('%s', (_, verdicts, expected) => expect(ways({ verdicts })).toEqual(expected))
})

describe('a failure that counts toward removal', () => {
  const found = { instant: '2026-02-12T12:00:00.000Z', recordedAt: '2026-02-12T12:00:00.000Z', seq: 3 } as never
  const failing = (counts: boolean, correctedOn: string | null = null): Stick => ({
    state: {
      failure: {
        factId: 'f',
        failedOn: day('2026-02-12'),
        correctedOn: correctedOn === null ? null : day(correctedOn),
        found,
        counts,
      },
    },
  })
  const less = [['counts-less', 'An earlier failure would no longer count toward its removal from service.']]
  test.each<[string, Stick, Stick, string[][]]>([
    ['is gone', failing(true), {}, less],
    ['becomes a doubtful one', failing(true), failing(false), less],
    ['that was doubtful is gone', failing(false), {}, less],
    ['that was corrected is gone', failing(true, '2026-02-13'), {}, less],
    ['that was doubtful and corrected is gone', failing(false, '2026-02-13'), {}, less],
    ['is corrected', failing(true), failing(true, '2026-02-13'), []],
    ['stays', failing(true), failing(true), []],
    ['comes to be', {}, failing(true), []],
  ])('%s', (_, before, after, expected) => expect(ways({ before, after })).toEqual(expected))

  test('is cleared by what stands instead, as if that came in anew', () => {
    const before = failing(true)
    expect(ways({ before, without: before, after: {}, instead: pass })).toEqual([])
    expect(ways({ before, without: failing(false), after: {}, instead: pass })).toEqual(less)
    expect(ways({ before, without: before, after: {}, instead: used })).toEqual(less)
    expect(ways({ before, without: before, after: {} })).toEqual(less)
  })
})

describe('a hold that ends', () => {
  const cause = { since: day('2026-02-12'), factId: 'f' }
  const [tingle, drop] = (['tingle', 'drop'] as const).map((kind) => holdFor.defectReported(cause, kind)) as [
    Hold,
    Hold,
  ]
  const held = (...holds: Hold[]): Stick => ({ status: 'on hold', holds })
  const ends = [['ends-hold', 'This hold would end: Reported from use: tingle.']]

  test('is named, and no other', () => {
    expect(ways({ before: held(tingle, drop), after: held(drop) })).toEqual(ends)
    expect(ways({ before: held(tingle), after: held(drop) })).toEqual(ends)
    expect(ways({ before: held(tingle), after: held(tingle, drop) })).toEqual([])
  })

  test('by what stands instead ends as if that came in anew, where the slip did not hold it up', () => {
    const before = held(tingle)
    expect(ways({ before, without: before, after: {}, instead: pass })).toEqual([])
    expect(ways({ before, without: held(drop), after: {}, instead: pass })).toEqual(ends)
    expect(ways({ before, without: before, after: {}, instead: used })).toEqual(ends)
  })
})

describe('with nothing that ends', () => {
  const later = [['due-later', 'It would be due on 2 March 2028 instead of 2 March 2027.']]
  test.each<[string, Stick, Stick, string[][]]>([
    ['a later date', { due: ['2027-03-02'] }, { due: ['2028-03-02'] }, later],
    [
      'the first of several dates counts',
      { due: ['2027-06-01', '2027-03-02'] },
      { due: ['2029-01-01', '2028-03-02'] },
      later,
    ],
    ['a clock without a date is passed over', { due: [null, '2027-03-02'] }, { due: ['2028-03-02', null] }, later],
    ['the same date', { due: ['2027-03-02'] }, { due: ['2027-03-02'] }, []],
    ['an earlier date', { due: ['2028-03-02'] }, { due: ['2027-03-02'] }, []],
    ['a date that is gone', { due: ['2027-03-02'] }, { due: [] }, []],
    ['a date that was not', { due: [] }, { due: ['2027-03-02'] }, []],
    [
      'that reads fitter is told as that',
      { status: 'overdue', due: ['2027-03-02'] },
      { due: ['2028-03-02'] },
      [['reads-fitter', 'It would be in service instead of overdue.']],
    ],
  ])('%s', (_, before, after, expected) => expect(ways({ before, after })).toEqual(expected))

  test('what stands instead as evidence may bring the date that it would bring anew', () => {
    const [before, after] = [{ due: ['2027-03-02'] }, { due: ['2028-03-02'] }]
    expect(ways({ before, without: before, after, instead: pass })).toEqual([])
    expect(ways({ before, without: { due: ['2027-09-02'] }, after, instead: pass })).toEqual([
      ['due-later', 'It would be due on 2 September 2027 instead of 2 March 2027.'],
    ])
    expect(ways({ before, without: { due: [] }, after, instead: pass })).toEqual([])
    expect(ways({ before, without: after, after: { due: [] }, instead: pass })).toEqual([])
    expect(ways({ before, without: before, after, instead: used })).toEqual(later)
  })

  test('and may be used again by it, but not by the slip that is gone alone', () => {
    const [before, after]: Stick[] = [{ status: 'overdue' }, { status: 'in service' }]
    if (before === undefined || after === undefined) throw new Error()
    expect(ways({ before, without: before, after, instead: pass })).toEqual([])
    expect(ways({ before, without: after, after, instead: pass }).map(([code]) => code)).toEqual(['reads-fitter'])
    expect(ways({ before, without: before, after, instead: used }).map(([code]) => code)).toEqual(['reads-fitter'])
    expect(ways({ before: after, after: before })).toEqual([])
  })
})
