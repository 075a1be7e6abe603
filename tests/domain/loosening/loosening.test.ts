import { describe, expect, test } from 'vitest'
import { type Edit, waysOfLoosening } from '../../../shared-domain/loosening/loosening.ts'
import type { Dated } from '../../../shared-domain/loosening/way.ts'
import type { EmployerPolicy } from '../../../shared-domain/policy/policy.ts'
import type { Requirement } from '../../../shared-domain/policy/requirement.ts'
import { rulesFrom } from '../../../shared-domain/policy/rules.ts'
import type { Instrument, Limit, Procedure, Stick, WithstandTest } from '../../../shared-domain/registers.ts'
import { constructions } from '../../../shared-domain/words.ts'
import { inEnglish } from '../../support/english.ts'
import { aCrew, aDepot, aManager, anInstrument, aProcedure, aStick, day } from '../../support/trade.ts'

const on = <Body>(date: string, body: Body): Dated<Body> => ({ effectiveFrom: day(date), body })
const codesOf = (edit: Edit) => [...new Set(waysOfLoosening(edit).map(({ code }) => code))].sort()

const editPolicy = (before: EmployerPolicy, after: EmployerPolicy): Edit => ({
  kind: 'policy',
  id: 'employer',
  before: [on('2026-01-01', before)],
  after: on('2026-03-02', after),
  known: { pinned: [] },
})
const editProcedure = (before: Procedure, after: Procedure): Edit => ({
  kind: 'procedure',
  id: 'PRC-1',
  before: [on('2026-01-01', before)],
  after: on('2026-03-02', after),
  known: { others: [] },
})
const editInstrument = (before: Instrument, after: Instrument): Edit => ({
  kind: 'instrument',
  id: 'INS-1',
  before: [on('2026-01-01', before)],
  after: on('2026-03-02', after),
})

/** A case of a row: from, to, and what there is to say of it; the way back says nothing unless it is named. */
type Case<Body> = readonly [what: string, from: Body, to: Body, codes: readonly string[], back?: readonly string[]]

function tableOf<Body>(cases: readonly Case<Body>[], edit: (from: Body, to: Body) => Edit): void {
  test.each(cases.map((one) => [...one] as const))('%s', (_, from, to, codes, back = []) => {
    expect(codesOf(edit(from, to))).toEqual([...codes].sort())
    expect(codesOf(edit(to, from))).toEqual([...back].sort())
    expect(codesOf(edit(from, from))).toEqual([])
    for (const way of [...waysOfLoosening(edit(from, to)), ...waysOfLoosening(edit(to, from))]) {
      const [text, pointer] = [inEnglish.way(way), way.pointer]
      expect(text).toMatch(/^[^\n]{15,}\.$/)
      expect(text).not.toContain('undefined')
      expect(pointer).toMatch(/^\//)
    }
  })
}

const us: EmployerPolicy = { packs: ['us-29-cfr-1910-269-j'] }
const all = { primaryProtectionOnly: false, constructions: [...constructions] }
const own: Requirement = {
  id: 'house-1',
  words: 'tested again',
  source: { cited: 'House rule 1', jurisdiction: 'employer', confidence: 'the employer’s own' },
  evidence: ['dry test'],
  interval: { months: 12 },
  appliesTo: all,
  legalMaximum: false,
}
const with_ = (over: Partial<Requirement>): EmployerPolicy => ({ ...us, add: [{ ...own, ...over }] })
const ownInterval = (interval: Requirement['interval'], over: Partial<Requirement> = {}) => with_({ interval, ...over })

const fromDay = { ...all, inServiceFrom: day('2020-01-01') }
/** Looks at idle stock, and one rule that asks for a test. */
const idleAnd = (over: Partial<Requirement>): EmployerPolicy => ({ packs: ['us-mo-200'], add: [{ ...own, ...over }] })

describe('an edit of the policy', () => {
  const cases: readonly Case<EmployerPolicy>[] = [
    ['a pack is left out', { packs: ['us-29-cfr-1910-269-j', 'ru-order-261'] }, us, ['pack-dropped']],
    // the look at idle stock asks no test, so sticks are on hold: under the law they may be used
    [
      'the law in place of looks',
      us,
      { packs: ['us-mo-200'] },
      ['pack-dropped'],
      ['pack-dropped', 'uncovered-sticks-covered'],
    ],
    ['a requirement of its own is left out', with_({}), us, ['requirement-dropped']],
    [
      'a rule shortened no more',
      { ...us, shorten: [{ requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 12 }, source: 'House' }] },
      us,
      ['requirement-dropped'],
    ],
    [
      'a rule shortened less',
      { ...us, shorten: [{ requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 12 }, source: 'House' }] },
      { ...us, shorten: [{ requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 18 }, source: 'House' }] },
      ['interval-lengthened'],
    ],
    [
      'what a pack leaves optional turned off',
      { packs: ['ufc-3-560-01-5-4'], turnOn: ['ufc-3-560-01-5-4-1-certificate'] },
      { packs: ['ufc-3-560-01-5-4'] },
      ['requirement-dropped'],
    ],
    ['a longer interval', ownInterval({ months: 12 }), ownInterval({ months: 13 }), ['interval-lengthened']],
    [
      'to the end of the month',
      ownInterval({ months: 12 }),
      ownInterval({ months: 12, counting: 'end of month' }),
      ['interval-lengthened'],
    ],
    [
      'days that can be more than a month',
      ownInterval({ months: 1 }),
      ownInterval({ days: 31 }),
      ['interval-lengthened'],
    ],
    ['days that never are', ownInterval({ days: 28 }), ownInterval({ months: 1 }), ['interval-lengthened']],
    ['more days of use', ownInterval({ useDays: 10 }), ownInterval({ useDays: 11 }), ['interval-lengthened']],
    [
      'days of use in place of months',
      ownInterval({ months: 12 }),
      ownInterval({ useDays: 1 }),
      ['interval-lengthened'],
      ['interval-lengthened'],
    ],
    ['once and for all', ownInterval({ months: 12 }), ownInterval(null), ['interval-lengthened']],
    [
      'a maker who says longer',
      with_({}),
      with_({ statedBy: [{ by: 'maker', interval: { months: 24 }, source: 'sheet' }] }),
      ['interval-lengthened'],
    ],
    ['longer in store', with_({}), with_({ byClass: { stored: { months: 24 } } }), ['interval-lengthened']],
    ['not asked in store', with_({}), with_({ byClass: { stored: null } }), ['interval-lengthened']],
    [
      'not asked, where once was enough',
      ownInterval(null),
      ownInterval(null, { byClass: { stored: null } }),
      ['interval-lengthened'],
    ],
    ['evidence left out', with_({ evidence: ['dry test', 'wet test'] }), with_({}), ['evidence-dropped']],
    [
      'evidence left out of what counts by class',
      with_({ evidence: ['dry test', 'wet test'], byClass: { stored: { months: 12 } } }),
      with_({ byClass: { stored: { months: 12 } } }),
      ['evidence-dropped'],
      ['counted-from-earlier'],
    ],
    [
      'other evidence in its place',
      with_({ evidence: ['wet test'] }),
      with_({ evidence: ['dry test'] }),
      ['evidence-dropped'],
      ['evidence-dropped'],
    ],
    [
      'an examination for more of them',
      with_({}),
      with_({ examinationOnly: ['FRP rod'] }),
      ['examination-alone-widened'],
    ],
    [
      'an examination for fewer, where shelf time counts',
      with_({ shelfMonths: 6, examinationOnly: ['FRP rod'] }),
      with_({ shelfMonths: 6 }),
      ['counted-from-earlier'],
      ['examination-alone-widened'],
    ],
    ['no shelf limit', with_({ shelfMonths: 6 }), with_({}), ['shelf-limit-changed']],
    [
      'another shelf limit',
      with_({ shelfMonths: 6 }),
      with_({ shelfMonths: 7 }),
      ['shelf-limit-changed'],
      ['shelf-limit-changed'],
    ],
    ['rest in store', with_({}), with_({ suspendedInStorageAfterMonths: 6 }), ['rest-in-store-widened']],
    [
      'rest sooner',
      with_({ suspendedInStorageAfterMonths: 6 }),
      with_({ suspendedInStorageAfterMonths: 0 }),
      ['rest-in-store-widened'],
    ],
    ['a stop left out', with_({ stops: ['cleaned', 'incident'] }), with_({ stops: ['cleaned'] }), ['stop-dropped']],
    [
      'fewer constructions',
      with_({}),
      with_({ appliesTo: { ...all, constructions: ['wood'] } }),
      ['requirement-narrowed'],
    ],
    [
      'only what is relied on',
      with_({}),
      with_({ appliesTo: { ...all, primaryProtectionOnly: true } }),
      ['requirement-narrowed'],
    ],
    [
      'only newer sticks',
      with_({}),
      with_({ appliesTo: { ...all, inServiceFrom: day('2020-01-01') } }),
      ['requirement-narrowed'],
    ],
    [
      'only still newer sticks',
      with_({ appliesTo: { ...all, inServiceFrom: day('2020-01-01') } }),
      with_({ appliesTo: { ...all, inServiceFrom: day('2020-01-02') } }),
      ['requirement-narrowed'],
    ],
    ['no legal maximum', with_({ legalMaximum: true }), with_({}), ['legal-maximum-dropped']],
    ['wood used again', { ...us, woodForbidden: true }, us, ['wood-allowed']],
    ['no release', { ...us, releaseAfterFailure: true }, us, ['release-not-asked']],
    ['an examination alone', us, { ...us, examinationOnly: true }, ['examination-alone-allowed']],
    [
      'an examination alone no more, where it winds what counts by class',
      { ...with_({ examinationOnly: ['wood'], byClass: { stored: { months: 12 } } }), examinationOnly: true },
      with_({ examinationOnly: ['wood'], byClass: { stored: { months: 12 } } }),
      ['counted-from-earlier'],
      ['examination-alone-allowed'],
    ],
    [
      'waxing that no pack asks for',
      { packs: ['ru-order-261'], waxing: 'House' },
      { packs: ['ru-order-261'] },
      ['waxing-not-asked'],
    ],
    ['waxing asked of all, by a pack of those relied on', { ...us, waxing: 'House' }, us, ['waxing-not-asked']],
    [
      'waxing that a rule of its own asks of all',
      { ...with_({ waxing: 'House' }), waxing: 'House' },
      with_({ waxing: 'House' }),
      [],
    ],
    [
      'waxing by the one rule that asks for it',
      { packs: ['ru-order-261'], add: [{ ...own, waxing: 'House' }] },
      { packs: ['ru-order-261'], add: [own] },
      ['waxing-not-asked'],
    ],
    ['waxed before is enough', us, with_({ stops: ['waxed'] }), ['waxed-before-is-enough'], ['requirement-dropped']],
    [
      'the only rule, for older sticks too',
      idleAnd({ appliesTo: fromDay }),
      idleAnd({}),
      ['uncovered-sticks-covered'],
      ['requirement-narrowed'],
    ],
    [
      'the only rule, for sticks a day older',
      idleAnd({ appliesTo: fromDay }),
      idleAnd({ appliesTo: { ...fromDay, inServiceFrom: day('2019-12-31') } }),
      ['uncovered-sticks-covered'],
      ['requirement-narrowed'],
    ],
    [
      'the only rule, in store too',
      idleAnd({ byClass: { stored: null } }),
      idleAnd({}),
      ['uncovered-sticks-covered'],
      ['interval-lengthened'],
    ],
    [
      'the only rule, with a test besides',
      idleAnd({ evidence: ['wet test'] }),
      idleAnd({ evidence: ['wet test', 'dry test'] }),
      ['uncovered-sticks-covered'],
      ['evidence-dropped'],
    ],
    [
      'another field beside the only rule',
      idleAnd({ appliesTo: fromDay }),
      idleAnd({ appliesTo: fromDay, words: 'other' }),
      [],
    ],
    [
      'another field where waxing stops newer sticks',
      with_({ stops: ['waxed'], appliesTo: fromDay }),
      with_({ stops: ['waxed'], appliesTo: fromDay, words: 'other' }),
      [],
    ],
    [
      'waxing stops sticks that no rule asks to be waxed',
      { packs: ['ru-order-261'], add: [own] },
      { packs: ['ru-order-261'], add: [{ ...own, stops: ['waxed'] }] },
      [],
      ['stop-dropped'],
    ],
    [
      'waxed before is enough, where the employer asks for wax',
      { packs: ['ru-order-261'], waxing: 'House' },
      { packs: ['ru-order-261', 'ufc-3-560-01-5-4'], waxing: 'House' },
      ['waxed-before-is-enough'],
      ['pack-dropped'],
    ],
    ['occasional use', us, { ...us, occasionalUse: { windowDays: 90, atMostUseDays: 3 } }, ['occasional-use-widened']],
    [
      'more use that counts as occasional',
      { ...us, occasionalUse: { windowDays: 90, atMostUseDays: 3 } },
      { ...us, occasionalUse: { windowDays: 90, atMostUseDays: 4 } },
      ['occasional-use-widened'],
    ],
    [
      'another window of occasional use',
      { ...us, occasionalUse: { windowDays: 90, atMostUseDays: 3 } },
      { ...us, occasionalUse: { windowDays: 91, atMostUseDays: 3 } },
      ['occasional-use-widened'],
      ['occasional-use-widened'],
    ],
    [
      'a hard day weighs less',
      { ...us, useWeights: { wet: 4 } },
      { ...us, useWeights: { wet: 3 } },
      ['use-weight-lessened'],
    ],
    ['a hard day weighs nothing more', { ...us, useWeights: { wet: 4, salt: 1 } }, us, ['use-weight-lessened']],
    [
      'calibrations as long as they say',
      { packs: ['ufc-3-560-01-5-4'], turnOn: ['ufc-3-560-01-5-5-1-1-calibration'] },
      { packs: ['ufc-3-560-01-5-4'] },
      ['calibration-cap-lengthened'],
    ],
    [
      'when people are told',
      {
        ...us,
        tellDaysBefore: [60, 0],
        tellOverdueEveryDays: 1,
        answerWithinHours: 1,
        overdueClimbs: { foremanAfterWeeks: 0, managerAfterWeeks: 0 },
      },
      {
        ...us,
        tellDaysBefore: [0],
        tellOverdueEveryDays: 31,
        answerWithinHours: 72,
        overdueClimbs: { foremanAfterWeeks: 9, managerAfterWeeks: 9 },
      },
      [],
    ],
  ]
  tableOf(cases, editPolicy)

  test('points to where it stands in the body', () => {
    const pointers = (before: EmployerPolicy, after: EmployerPolicy) =>
      waysOfLoosening(editPolicy(before, after)).map(({ pointer }) => pointer)
    expect(pointers({ ...us, packs: [...us.packs, 'us-mo-200'] }, us)).toEqual(['/packs'])
    expect(pointers(with_({}), ownInterval({ months: 13 }))).toEqual(['/add/0/interval'])
    expect(pointers({ ...us, woodForbidden: true }, us)).toEqual(['/woodForbidden'])
    const [shorten] = [{ requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 12 }, source: 'House' }]
    expect(pointers({ ...us, shorten: [shorten] }, us)).toEqual(['/shorten'])
    const cap = { packs: ['ufc-3-560-01-5-4' as const], turnOn: ['ufc-3-560-01-5-5-1-1-calibration'] }
    expect(pointers(cap, { packs: cap.packs })).toEqual(['/turnOn'])
  })

  test('says of every rule pack that leaving it out loosens', () => {
    for (const pack of ['us-29-cfr-1910-269-j', 'ufc-3-560-01-5-4', 'us-mo-200', 'jp-ordinance-351', 'ru-order-261']) {
      const others = ['us-29-cfr-1910-269-j', 'ru-order-261'].filter((one) => one !== pack)
      expect(codesOf(editPolicy({ packs: [...others, pack] }, { packs: others }))).toEqual(['pack-dropped'])
    }
  })

  test('the first entry loosens only where it leaves out what was pinned when the organisation was made', () => {
    const first = (...pinned: string[]): Edit => ({
      kind: 'policy',
      id: 'employer',
      before: [],
      after: on('2026-03-02', { packs: ['us-mo-200'] }),
      known: { pinned },
    })
    expect(codesOf(first())).toEqual([])
    expect(codesOf(first('us-mo-200'))).toEqual([])
    expect(waysOfLoosening(first('us-29-cfr-1910-269-j', 'us-mo-200'))).toEqual([
      {
        code: 'pack-dropped',
        says: { is: 'pinned pack dropped', pack: 'us-29-cfr-1910-269-j' },
        pointer: '/packs',
      },
    ])
  })

  test('counting only failures after refinishing or repair loosens, and counting all again does not', () => {
    const narrowed: EmployerPolicy = { ...us, removesOnlyAfter: 'refinishing or repair' }
    expect(codesOf(editPolicy(us, narrowed))).toEqual(['fewer-failures-remove'])
    expect(codesOf(editPolicy(narrowed, us))).toEqual([])
  })
})

const limit = (over: Partial<Limit> = {}): Limit => ({
  construction: 'FRP rod',
  state: 'dry',
  microamps: 10,
  source: 'sample',
  ...over,
})
const limits = (...all: Limit[]): Procedure => ({ ...aProcedure, limits: all })
type Check = Procedure['checks'][number]
const check = (over: Partial<Check> = {}): Check => ({
  state: 'dry',
  expectedMicroamps: 100,
  tolerancePercent: 10,
  openAtMostMicroamps: 1,
  ...over,
})
const checks = (...all: Check[]): Procedure => ({ ...aProcedure, checks: all })
const test_ = (over: Partial<WithstandTest> = {}): WithstandTest => ({
  construction: 'FRP rod',
  when: 'in service',
  voltage: { kilovoltsPerFoot: 75 },
  seconds: 60,
  source: 'sample',
  ...over,
})
const withstands = (...all: WithstandTest[]): Procedure => ({ ...aProcedure, withstand: all })

describe('an edit of a procedure', () => {
  const cases: readonly Case<Procedure>[] = [
    ['title and who approved it', aProcedure, { ...aProcedure, title: 'Other', approvedBy: 'Other' }, []],
    ['less overlap', aProcedure, { ...aProcedure, leastOverlapMetres: 0.049 }, ['overlap-lessened']],
    ['overlap the same in whole millimetres', aProcedure, { ...aProcedure, leastOverlapMetres: 0.0499 }, []],
    ['a reading at the limit passes', { ...aProcedure, comparison: 'less than' }, aProcedure, ['comparison-widened']],
    ['nothing guarded', { ...aProcedure, decision: 'guarded' }, aProcedure, ['decision-not-guarded']],
    ['a limit raised', limits(limit()), limits(limit({ microamps: 11 })), ['limit-raised']],
    [
      'a limit taken away',
      limits(limit(), limit({ state: 'wet' })),
      limits(limit()),
      ['limit-taken-away'],
      ['limit-added'],
    ],
    [
      'a stricter one beside it',
      limits(limit(), limit({ microamps: 5, spanMetres: 0.3 })),
      limits(limit()),
      ['limit-raised'],
    ],
    [
      'a higher one beside it changes nothing',
      limits(limit()),
      limits(limit(), limit({ microamps: 50, kilovolts: 100 })),
      [],
    ],
    [
      'a higher one in its place where it is more exact',
      limits(limit()),
      limits(limit({ microamps: 50, hertz: 60 })),
      ['limit-raised'],
      ['limit-added'],
    ],
    [
      'a limit no longer of all voltages',
      limits(limit()),
      limits(limit({ kilovolts: 100 })),
      ['limit-taken-away'],
      ['limit-added'],
    ],
    [
      'a limit no longer of all frequencies',
      limits(limit()),
      limits(limit({ hertz: 60 })),
      ['limit-taken-away'],
      ['limit-added'],
    ],
    [
      'a limit no longer of all spans',
      limits(limit()),
      limits(limit({ spanMetres: 0.3 })),
      ['limit-taken-away'],
      ['limit-added'],
    ],
    [
      'a span the same in whole millimetres',
      limits(limit({ spanMetres: 0.3 })),
      limits(limit({ spanMetres: 0.3001 })),
      [],
    ],
    [
      'a limit of another span',
      limits(limit({ spanMetres: 0.3 })),
      limits(limit({ spanMetres: 0.4 })),
      ['limit-taken-away', 'limit-added'],
      ['limit-taken-away', 'limit-added'],
    ],
    [
      'a narrower band',
      limits(limit({ diameterMillimetres: [20, 40] })),
      limits(limit({ diameterMillimetres: [20, 39] })),
      ['limit-taken-away'],
      ['limit-added'],
    ],
    [
      'one band in two parts',
      limits(limit({ diameterMillimetres: [20, 40] })),
      limits(limit({ diameterMillimetres: [30, 40] }), limit({ diameterMillimetres: [20, 30] })),
      [],
    ],
    [
      'two parts that leave a gap',
      limits(limit({ diameterMillimetres: [20, 40] })),
      limits(limit({ diameterMillimetres: [20, 29] }), limit({ diameterMillimetres: [30, 40] })),
      ['limit-taken-away'],
      ['limit-added'],
    ],
    [
      'a part of a band raised',
      limits(limit({ diameterMillimetres: [20, 40] })),
      limits(limit({ diameterMillimetres: [20, 30] }), limit({ diameterMillimetres: [30, 40], microamps: 12 })),
      ['limit-raised'],
    ],
    ['a wider tolerance', checks(check()), checks(check({ tolerancePercent: 11 })), ['tolerance-widened']],
    ['an open reading raised', checks(check()), checks(check({ openAtMostMicroamps: 2 })), ['open-reading-raised']],
    ['no check after the readings', checks(check({ afterToo: true })), checks(check()), ['check-after-not-asked']],
    [
      'another check figure',
      checks(check()),
      checks(check({ expectedMicroamps: 50 })),
      ['check-figures-changed'],
      ['check-figures-changed'],
    ],
    [
      'a check taken away',
      checks(check(), check({ expectedMicroamps: 50 })),
      checks(check()),
      ['check-figures-changed'],
      ['check-figures-changed'],
    ],
    [
      'no check of a state',
      checks(check(), check({ state: 'wet' })),
      checks(check()),
      ['check-figures-changed'],
      ['check-figures-changed'],
    ],
    [
      'one of two that share a figure left out',
      checks(check(), check({ tolerancePercent: 5 })),
      checks(check()),
      ['tolerance-widened'],
    ],
    [
      'fewer kilovolts per foot',
      withstands(test_()),
      withstands(test_({ voltage: { kilovoltsPerFoot: 74 } })),
      ['withstand-lowered'],
    ],
    [
      'fewer kilovolts per metre',
      withstands(test_({ voltage: { kilovoltsPerMetre: 250 } })),
      withstands(test_()),
      ['withstand-lowered'],
    ],
    [
      'fewer kilovolts a span',
      withstands(test_({ voltage: { kilovolts: 50 } })),
      withstands(test_({ voltage: { kilovolts: 49 } })),
      ['withstand-lowered'],
    ],
    [
      'fewer times the line voltage',
      withstands(test_({ voltage: { times: 3, of: 'line voltage' } })),
      withstands(test_({ voltage: { times: 2, of: 'line voltage' } })),
      ['withstand-lowered'],
    ],
    [
      'of the phase voltage',
      withstands(test_({ voltage: { times: 3, of: 'line voltage' } })),
      withstands(test_({ voltage: { times: 3, of: 'phase voltage' } })),
      ['withstand-lowered'],
      ['withstand-lowered'],
    ],
    [
      'a lower least',
      withstands(test_({ voltage: { times: 3, of: 'line voltage', atLeastKilovolts: 40 } })),
      withstands(test_({ voltage: { times: 3, of: 'line voltage' } })),
      ['withstand-lowered'],
    ],
    [
      'voltages of different kinds',
      withstands(test_()),
      withstands(test_({ voltage: { kilovolts: 5000 } })),
      ['withstand-lowered'],
      ['withstand-lowered'],
    ],
    ['fewer seconds', withstands(test_()), withstands(test_({ seconds: 59 })), ['withstand-lowered']],
    [
      'lower than the rule’s own',
      aProcedure,
      withstands(test_({ voltage: { kilovoltsPerFoot: 74 } })),
      ['withstand-lowered'],
    ],
    [
      'lower than the rule’s own of new ones',
      aProcedure,
      withstands(test_({ when: 'new', seconds: 300 })),
      ['withstand-lowered'],
    ],
    ['the rule’s own in words of its own', aProcedure, withstands(test_()), []],
    [
      'for fewer lines',
      withstands(test_()),
      withstands(test_({ lineKilovolts: [0, 100] })),
      ['withstand-lowered'],
      ['withstand-lowered'],
    ],
    [
      'a second one that asks more',
      withstands(test_(), test_({ voltage: { kilovoltsPerFoot: 80 } })),
      withstands(test_()),
      ['withstand-lowered'],
    ],
    ['for some sticks alone', { ...aProcedure, sticks: ['S-1'] }, aProcedure, ['sticks-not-named']],
    [
      'for one stick more',
      { ...aProcedure, sticks: ['S-1'] },
      { ...aProcedure, sticks: ['S-1', 'S-2'] },
      ['sticks-named'],
      ['sticks-not-named'],
    ],
    [
      'water that conducts more',
      { ...aProcedure, waterConductivityAtMostMicrosiemensPerCm: 10 },
      { ...aProcedure, waterConductivityAtMostMicrosiemensPerCm: 11 },
      ['water-ceiling-raised'],
    ],
    [
      'any water',
      { ...aProcedure, waterConductivityAtMostMicrosiemensPerCm: 10 },
      aProcedure,
      ['water-ceiling-raised'],
    ],
    ['any air', { ...aProcedure, ambient: { celsius: [10, 30] } }, aProcedure, ['ambient-widened']],
    [
      'warmer air',
      { ...aProcedure, ambient: { celsius: [10, 30] } },
      { ...aProcedure, ambient: { celsius: [10, 31] } },
      ['ambient-widened'],
    ],
    [
      'colder air',
      { ...aProcedure, ambient: { celsius: [10, 30] } },
      { ...aProcedure, ambient: { celsius: [9, 30] } },
      ['ambient-widened'],
    ],
    [
      'other air',
      { ...aProcedure, ambient: { relativeHumidityPercent: [0, 50] } },
      { ...aProcedure, ambient: { relativeHumidityPercent: [10, 60] } },
      ['ambient-widened'],
      ['ambient-widened'],
    ],
  ]
  tableOf(cases, editProcedure)
})

describe('the first entry of a procedure', () => {
  const first = (body: Procedure, ...others: Procedure[]) =>
    codesOf({ kind: 'procedure', id: 'PRC-2', before: [], after: on('2026-03-02', body), known: { others } })

  test.each<[string, Procedure, string[]]>([
    ['the same', aProcedure, []],
    ['a higher limit', limits(limit({ microamps: 11 })), ['limit-raised']],
    ['a higher limit beside one as strict', limits(limit(), limit({ microamps: 11 })), []],
    ['a higher limit of other sticks', limits(limit({ construction: 'wood', microamps: 50 })), []],
    ['less overlap', { ...aProcedure, leastOverlapMetres: 0.04 }, ['overlap-lessened']],
    ['less overlap, of other sticks', { ...limits(limit({ construction: 'wood' })), leastOverlapMetres: 0 }, []],
    ['a wider tolerance', { ...aProcedure, checks: [check({ tolerancePercent: 11 })] }, ['tolerance-widened']],
    ['a narrower tolerance', { ...aProcedure, checks: [check({ tolerancePercent: 9, expectedMicroamps: 7 })] }, []],
    [
      'a wider tolerance of a state it does not judge',
      { ...limits(limit()), checks: [check({ state: 'wet', tolerancePercent: 11 })] },
      [],
    ],
  ])('%s', (_, body, codes) => {
    expect(first(body, aProcedure)).toEqual(codes)
    expect(first(body)).toEqual([])
  })

  const banded = { diameterMillimetres: [20, 40] as [number, number] }
  test.each<[string, Partial<Limit>, Partial<Limit>, boolean]>([
    ['bands that overlap from below', banded, { diameterMillimetres: [10, 20] }, true],
    ['bands that overlap from above', banded, { diameterMillimetres: [40, 50] }, true],
    ['bands apart', banded, { diameterMillimetres: [41, 50] }, false],
    ['bands apart, the lower one new', banded, { diameterMillimetres: [10, 19] }, false],
    ['other spans', { spanMetres: 0.3 }, { spanMetres: 0.4 }, false],
    ['a span of any', {}, { spanMetres: 0.4 }, true],
    ['other voltages', { kilovolts: 100 }, { kilovolts: 50 }, false],
    ['a voltage of any', { kilovolts: 100 }, {}, true],
    ['other frequencies', { hertz: 50 }, { hertz: 60 }, false],
  ])('with a higher limit, of %s', (_, was, is, loosens) => {
    expect(first(limits(limit({ ...is, microamps: 11 })), limits(limit(was)))).toEqual(loosens ? ['limit-raised'] : [])
  })

  test('names the procedure beside which it is milder, and where', () => {
    const after = on('2026-03-02', { ...aProcedure, leastOverlapMetres: 0.04 })
    const [way] = waysOfLoosening({
      kind: 'procedure',
      id: 'PRC-2',
      before: [],
      after,
      known: { others: [aProcedure] },
    })
    expect(inEnglish.way(way ?? '')).toContain('Bench survey')
    expect(way?.pointer).toBe('/leastOverlapMetres')
  })

  test('is held to a decision that passes less, too', () => {
    expect(first(aProcedure, { ...aProcedure, decision: 'guarded' })).toEqual(['decision-not-guarded'])
    expect(first(aProcedure, { ...aProcedure, comparison: 'less than' })).toEqual(['comparison-widened'])
  })
})

describe('an edit of an instrument', () => {
  const of = (over: Partial<Instrument>): Instrument => ({ ...anInstrument, ...over })
  const cases: readonly Case<Instrument>[] = [
    [
      'a recorded calibration lengthened',
      of({}),
      of({ calibrationDueOn: day('2026-12-02') }),
      ['calibration-lengthened'],
    ],
    [
      'less uncertainty',
      of({ expandedUncertaintyPercent: 5 }),
      of({ expandedUncertaintyPercent: 4 }),
      ['uncertainty-lessened'],
    ],
    [
      'uncertainty left out, or filled in',
      of({ expandedUncertaintyPercent: 5 }),
      of({}),
      ['uncertainty-lessened'],
      ['uncertainty-lessened'],
    ],
    ['another span', of({}), of({ spanMetres: 0.4 }), ['span-changed'], ['span-changed']],
    ['another voltage', of({ kilovolts: 100 }), of({ kilovolts: 90 }), ['kilovolts-changed'], ['kilovolts-changed']],
    ['a voltage filled in', of({}), of({ kilovolts: 90 }), ['kilovolts-changed'], ['kilovolts-changed']],
    ['another frequency', of({ hertz: 50 }), of({ hertz: 60 }), ['hertz-changed'], ['hertz-changed']],
    ['another certificate or laboratory', of({ certificate: 'C-1' }), of({ laboratory: 'Invented' }), []],
  ]
  tableOf(cases, editInstrument)

  const newOne = of({ calibratedOn: day('2026-02-01'), calibrationDueOn: day('2029-02-01') })
  test('a new calibration of at most 36 months does not loosen, whatever its uncertainty', () => {
    expect(
      codesOf(editInstrument(of({ expandedUncertaintyPercent: 5 }), { ...newOne, expandedUncertaintyPercent: 1 })),
    ).toEqual([])
    expect(codesOf(editInstrument(of({ expandedUncertaintyPercent: 5 }), newOne))).toEqual([])
  })

  test('one of more than 36 months, or over another span, does', () => {
    expect(codesOf(editInstrument(of({}), { ...newOne, calibrationDueOn: day('2029-02-02') }))).toEqual([
      'calibration-too-long',
    ])
    expect(codesOf(editInstrument(of({}), { ...newOne, spanMetres: 0.4 }))).toEqual(['span-changed'])
  })

  test('an older one typed in late adds its period, but no uncertainty of today', () => {
    const older = of({ calibratedOn: day('2023-01-01'), calibrationDueOn: day('2023-12-31') })
    expect(codesOf(editInstrument(of({}), older))).toEqual([])
    expect(codesOf(editInstrument(of({ expandedUncertaintyPercent: 5 }), older))).toEqual(['uncertainty-lessened'])
  })

  test('nor does a new one lessen it for days before it began', () => {
    const edit = editInstrument(of({ expandedUncertaintyPercent: 5 }), { ...newOne, expandedUncertaintyPercent: 1 })
    expect(codesOf({ ...edit, after: { ...edit.after, effectiveFrom: day('2026-01-31') } } as Edit)).toEqual([
      'uncertainty-lessened',
    ])
  })

  test('is asked of every recorded period, not of the last edition alone', () => {
    const before = [
      on('2026-01-01', of({})),
      on('2026-02-01', newOne),
      on('2026-02-02', of({ calibrationDueOn: day('2025-01-01') })),
    ]
    const ways = (calibrationDueOn: string) =>
      codesOf({
        kind: 'instrument',
        id: 'INS-1',
        before,
        after: on('2026-03-02', of({ calibrationDueOn: day(calibrationDueOn) })),
      })
    expect(ways('2026-12-01')).toEqual([])
    expect(ways('2026-12-02')).toEqual(['calibration-lengthened'])
  })
})

describe('an edit of a stick', () => {
  const byLine = withstands(
    ...constructions.map((construction) => test_({ construction, voltage: { times: 3, of: 'line voltage' } })),
  )
  const banded = limits(
    ...constructions.flatMap((construction) => [
      limit({ construction, diameterMillimetres: [20, 35] }),
      limit({ construction, diameterMillimetres: [35, 50], microamps: 12 }),
    ]),
  )
  const newer = { ...own, appliesTo: { ...all, inServiceFrom: day('2020-01-01') } }
  const requirements = [...rulesFrom(us).requirements, newer]
  const edit =
    (earlier: readonly Stick[] = [], procedures: readonly Procedure[] = [aProcedure, byLine, banded]) =>
    (before: Stick, after: Stick): Edit => ({
      kind: 'stick',
      id: 'S-1',
      before: [...earlier, before].map((body, i) => on(`2026-01-0${i + 1}`, body)),
      after: on('2026-03-02', after),
      known: { requirements, procedures },
    })
  const of = (over: Partial<Stick>): Stick => ({ ...aStick, ...over })
  const sections = (...lengths: number[]) =>
    of({ sections: lengths.map((lengthMetres, i) => ({ name: `part ${i}`, lengthMetres })) })

  const cases: readonly Case<Stick>[] = [
    ['primary protection taken off', of({}), of({ primaryProtection: false }), ['primary-protection-taken-off']],
    ['another construction', of({}), of({ construction: 'wood' }), ['construction-changed'], ['construction-changed']],
    ['a shorter working length', of({}), of({ workingLengthMetres: 2.399 }), ['working-length-shortened']],
    ['a diameter with a higher limit', of({}), of({ diameterMillimetres: 40 }), ['diameter-changed']],
    ['a lower line voltage', of({ lineKilovolts: 230 }), of({ lineKilovolts: 138 }), ['line-voltage-lowered']],
    ['a line voltage filled in', of({}), of({ lineKilovolts: 138 }), ['line-voltage-lowered']],
    [
      'put into service before a rule for newer sticks',
      of({ inServiceSince: day('2020-01-01') }),
      of({ inServiceSince: day('2019-12-31') }),
      ['put-into-service-earlier'],
    ],
    [
      'another day on the same side of it',
      of({ inServiceSince: day('2021-01-01') }),
      of({ inServiceSince: day('2020-01-01') }),
      [],
    ],
    ['another lot or crew', of({}), of({ lot: 'L-8', crewId: 'CR-2' }), []],
    ['in sections, or in one piece', of({}), sections(1.2, 1.2), ['sections-changed'], ['sections-changed']],
    ['a longer section', sections(1.3, 1.2), sections(1.2, 1.2), ['sections-changed']],
    [
      'a section that made the stick up too short',
      sections(1.2, 1.1),
      sections(1.2, 1.2),
      ['sections-changed'],
      ['sections-changed'],
    ],
  ]
  tableOf(cases, edit())

  test('an older day where none was known loosens where a rule binds newer sticks alone', () => {
    const { inServiceSince: _, ...undated } = aStick
    expect(codesOf(edit()(undated, of({ inServiceSince: day('2019-12-31') })))).toEqual(['put-into-service-earlier'])
    expect(codesOf(edit()(undated, of({})))).toEqual([])
  })

  test.each<[string, Stick, Stick, string]>([
    ['diameter', of({}), of({ diameterMillimetres: 31 }), 'diameter-changed'],
    ['line voltage', of({ lineKilovolts: 138 }), of({ lineKilovolts: 230 }), 'line-voltage-lowered'],
    ['sections', sections(1.3, 1.2), sections(1.2, 1.2), 'sections-changed'],
  ])('set back to what was tested, %s lifts a hold', (_, tested, between, code) => {
    expect(codesOf(edit([tested], [])(between, tested))).toEqual([code])
  })

  test('of no limit and no voltage by the line, diameter and line voltage are free', () => {
    const free = edit([], [aProcedure])
    expect(codesOf(free(of({}), of({ diameterMillimetres: 40, lineKilovolts: 138 })))).toEqual([])
  })
})

describe('an edit of a depot, a crew or a person', () => {
  const today = day('2026-03-02')
  const depotIn = (from: string, to: string, date = '2026-03-02') =>
    codesOf({
      kind: 'depot',
      id: 'DEP-1',
      before: [on('2026-01-01', { ...aDepot, timeZone: from })],
      after: on(date, { ...aDepot, timeZone: to }),
      known: { today },
    })

  test.each([
    ['America/Chicago', 'America/Los_Angeles', ['day-ends-later'], []],
    ['America/Chicago', 'Pacific/Kiritimati', [], ['day-ends-later']],
    // the same but in summer
    ['America/Denver', 'America/Phoenix', ['day-ends-later'], []],
    // other weeks of the year have other clocks
    ['Europe/London', 'Africa/Casablanca', ['day-ends-later'], ['day-ends-later']],
    ['America/New_York', 'America/Detroit', [], []],
    ['UTC', 'UTC', [], []],
  ])('from %s to %s', (from, to, codes, back) => {
    expect(depotIn(from, to)).toEqual(codes)
    expect(depotIn(to, from)).toEqual(back)
  })

  test('looks over the year from when it counts, and back from today', () => {
    expect(depotIn('America/Denver', 'America/Phoenix', '2030-12-01')).toEqual(['day-ends-later'])
    expect(depotIn('America/Denver', 'America/Phoenix', '1950-01-01')).toEqual(['day-ends-later'])
  })

  test('name and hour of the morning are free', () => {
    const after = on('2026-03-02', { ...aDepot, name: 'Other', sweepHour: 20 })
    expect(
      codesOf({ kind: 'depot', id: 'DEP-1', before: [on('2026-01-01', aDepot)], after, known: { today } }),
    ).toEqual([])
  })

  const zones = new Map([
    ['DEP-1', ['America/Chicago']],
    ['DEP-W', ['America/New_York', 'America/Los_Angeles']],
    ['DEP-E', ['America/New_York']],
  ])
  const crewTo = (depotId: string, from = 'DEP-1') =>
    codesOf({
      kind: 'crew',
      id: 'CR-1',
      before: [on('2026-01-01', { ...aCrew, depotId: from })],
      after: on('2026-03-02', { ...aCrew, depotId, recipients: [] }),
      known: { today, zones },
    })

  test('a crew goes to a depot whose day ends later, now or by an edition to come', () => {
    expect(crewTo('DEP-W')).toEqual(['day-ends-later'])
    expect(crewTo('DEP-E')).toEqual([])
    expect(crewTo('DEP-1')).toEqual([])
    expect(crewTo('DEP-X')).toEqual(['day-ends-later'])
    expect(crewTo('DEP-1', 'DEP-X')).toEqual(['day-ends-later'])
    expect(crewTo('DEP-X', 'DEP-X')).toEqual([])
  })

  test('a person’s rights are no figure of a stick', () => {
    const after = on('2026-03-02', { ...aManager, role: 'owner' as const })
    expect(codesOf({ kind: 'person', id: 'P', before: [on('2026-01-01', aManager)], after })).toEqual([])
  })
})

describe('which edition it stands in place of', () => {
  const strict = { ...us, woodForbidden: true }
  const edit = (from: string, ...before: [string, EmployerPolicy][]) =>
    codesOf({
      kind: 'policy',
      id: 'employer',
      before: before.map(([date, body]) => on(date, body)),
      after: on(from, us),
      known: { pinned: [] },
    })

  test.each<[string, string, [string, EmployerPolicy][], string[]]>([
    [
      'the one in force on its day',
      '2026-03-02',
      [
        ['2026-01-01', us],
        ['2026-02-01', strict],
      ],
      ['wood-allowed'],
    ],
    [
      'not one that it follows no more',
      '2026-03-02',
      [
        ['2026-01-01', strict],
        ['2026-02-01', us],
      ],
      [],
    ],
    [
      'days gone, too',
      '2026-01-15',
      [
        ['2026-01-01', strict],
        ['2026-02-01', us],
      ],
      ['wood-allowed'],
    ],
    ['the first, for days before it', '2025-01-01', [['2026-01-01', strict]], ['wood-allowed']],
    [
      'not one to come, which stays',
      '2026-03-02',
      [
        ['2026-01-01', us],
        ['2027-01-01', strict],
      ],
      [],
    ],
    [
      'one to come, where it is of its day',
      '2027-01-01',
      [
        ['2026-01-01', us],
        ['2027-01-01', strict],
      ],
      ['wood-allowed'],
    ],
  ])('%s', (_, from, before, codes) => {
    expect(edit(from, ...before)).toEqual(codes)
  })
})
