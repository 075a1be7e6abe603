/** The interval rules of the packs, read as tests; how each text was read stands in the pack beside it. */
import { describe, expect, test } from 'vitest'
import { calibrationDoubts } from '../../shared-domain/bench-test/trust.ts'
import type { Defect, Use } from '../../shared-domain/fact-bodies.ts'
import { rulePacks } from '../../shared-domain/policy/packs.ts'
import { employerPolicy } from '../../shared-domain/policy/policy.ts'
import { type Requirement, requirement } from '../../shared-domain/policy/requirement.ts'
import { rulesFrom } from '../../shared-domain/policy/rules.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import type { Construction, StoppingEvent } from '../../shared-domain/words.ts'
import { askedBy, textOf } from '../support/english.ts'
import { aStick, aTest, day, happened, history } from '../support/trade.ts'

type Events = Parameters<typeof history>
const crew = { crewId: 'CR-1' }
const store = { store: 'DEP-1' }
const looked = (sound = true) =>
  ({
    kind: 'condition checked',
    check: { factId: 'x', occurredOn: day('2026-03-02'), by: 'Ines Roth', sound },
  }) as const
const standing = (packs: string[], on: string, events: Events, more: object = {}) => {
  const { status, dueOn, holds, governedBy } = standingOn(
    replay(history(['2026-01-05', happened.registered()], ...events)),
    day(on),
    rulesFrom(employerPolicy.parse({ packs, ...more })),
  )
  return { status, dueOn, holds: holds.map(({ code }) => code), by: governedBy?.source }
}
const use = (on: string, days: number, conditions: Use['conditions'] = []): Events[number] => [
  on,
  { kind: 'used', use: { factId: 'x', occurredOn: day(on), days, conditions } },
]
const reported = (kind: Defect['kind']) =>
  ({ kind: 'defect reported', defect: { factId: 'x', occurredOn: day('2026-02-01'), kind } }) as const
const tested = ['2026-01-06', happened.tested('pass')] as const

test('every pack is data that the schema takes, says what was not verified, and lets local codes decide', () => {
  const ids = rulePacks.flatMap(({ requirements }) => requirements.map(({ id }) => id))
  expect(new Set(ids).size).toBe(ids.length)
  for (const pack of rulePacks) {
    expect(pack.title).toMatch(/CFR|UFC|MO-200|Ordinance|Order/)
    expect(pack.caveat).toMatch(/current edition decide/)
    for (const one of pack.requirements) expect(requirement.parse(one)).toEqual(one)
  }
})

/** Whose sticks, whether its source states the interval as a maximum, and what stops a stick by its text. */
test.each<[string, string, 'protection' | 'every stick', boolean, StoppingEvent[]]>([
  [
    'us-29-cfr-1910-269-j-frp',
    '29 CFR 1910.269(j)(2)(iii)',
    'protection',
    true,
    ['repaired', 'refinished', 'suspicion'],
  ],
  [
    'us-29-cfr-1910-269-j-wood',
    '29 CFR 1910.269(j)(2)(iii)',
    'protection',
    true,
    ['repaired', 'refinished', 'suspicion'],
  ],
  [
    'ufc-3-560-01-5-4-10-dry',
    'UFC 3-560-01, 5-4.10',
    'every stick',
    true,
    ['cleaned', 'waxed', 'repaired', 'refinished'],
  ],
  ['ufc-3-560-01-5-4-11-wet', 'UFC 3-560-01, 5-4.11', 'every stick', true, ['repaired', 'refinished']],
  ['ufc-3-560-01-5-4-1-certificate', 'UFC 3-560-01, 5-4.1', 'every stick', false, []],
  ['us-mo-200-15-18d-idle', 'TM 5-684 / NAVFAC MO-200, 15-18d', 'every stick', true, []],
  [
    'jp-ordinance-351-insulation',
    'Ordinance on Industrial Safety and Health, Art. 351(1), (2)',
    'every stick',
    true,
    [],
  ],
  ['ru-order-261-electrical', 'Order 261, Annex 7', 'every stick', true, []],
  [
    'ru-order-261-condition',
    'Order 261, register and periodic inspection of protective means',
    'every stick',
    true,
    [],
  ],
])('%s: %s, of %s, a maximum %s, stopped by %j', (id, cited, sticks, legalMaximum, stops) => {
  const one = rulePacks.flatMap(({ requirements }) => requirements).find((rule) => rule.id === id)
  expect(one?.source.cited).toBe(cited)
  expect(one?.appliesTo.primaryProtectionOnly).toBe(sticks === 'protection')
  expect(one?.legalMaximum).toBe(legalMaximum)
  expect(one?.stops ?? []).toEqual(stops)
})

describe('UFC 3-560-01 5-4 (2006 with Change 1)', () => {
  const ufc = ['ufc-3-560-01-5-4']

  test('5-4.10: dry at most 6 months in frequent use; 5-4.11: wet at most 2 years; the earlier governs', () => {
    expect(standing(ufc, '2026-03-01', [tested])).toMatchObject({ dueOn: '2026-07-06', by: 'UFC 3-560-01, 5-4.10' })
  })

  test('5-4.10: 12 months in long storage, from a test after which it was only in store', () => {
    const stored: Events = [['2026-01-05', happened.moved(store)], tested]
    expect(standing(ufc, '2026-08-01', stored)).toMatchObject({ status: 'in service', dueOn: '2027-01-06' })
  })

  test('5-4.10: taken into use, the stricter interval governs from the same test', () => {
    const taken: Events = [['2026-01-05', happened.moved(store)], tested, ['2026-08-01', happened.moved(crew)]]
    expect(standing(ufc, '2026-08-01', taken)).toMatchObject({ status: 'overdue', dueOn: '2026-07-06' })
    const back: Events = [...taken, ['2026-08-02', happened.moved(store)]]
    expect(standing(ufc, '2026-08-03', back).dueOn).toBe('2026-07-06')
  })

  test.each(['cleaned', 'waxed'] as const)('5-4.10: %s, and to be tested dry again', (step) => {
    const events: Events = [tested, ['2026-02-01', happened.step(step)]]
    expect(standing(ufc, '2026-02-02', events).holds).toEqual([`test-after-${step}`])
    expect(standing(ufc, '2026-02-04', [...events, ['2026-02-03', happened.tested('pass')]]).status).toBe('in service')
    expect(standing(['us-29-cfr-1910-269-j'], '2026-02-02', events).status).toBe('in service')
  })

  test('5-4.10, 5-4.11: two clocks on one stick, and of wood the dry one alone', () => {
    const clocks = (construction: Construction) =>
      standingOn(
        replay(history(['2026-01-05', happened.registered({ ...aStick, construction })], tested)),
        day('2026-02-01'),
        rulesFrom({ packs: ufc }),
      ).clocks.map(({ source, dueOn }) => [source, dueOn])
    const dry = ['UFC 3-560-01, 5-4.10', '2026-07-06']
    expect(clocks('hollow FRP tube')).toEqual([dry, ['UFC 3-560-01, 5-4.11', '2028-01-06']])
    expect(clocks('wood')).toEqual([dry])
  })

  test.each(['repaired', 'refinished'] as const)('5-4.9: %s, and to be tested dry and, of FRP, wet', (step) => {
    const events: Events = [tested, ['2026-02-01', happened.step(step)]]
    expect(standing(ufc, '2026-02-02', events).status).toBe('on hold')
    expect(standing(ufc, '2026-02-03', [...events, ['2026-02-03', happened.tested('incomplete')]]).status).toBe(
      'on hold',
    )
    expect(standing(ufc, '2026-02-03', [...events, ['2026-02-03', happened.tested('pass')]]).dueOn).toBe('2026-08-03')
  })

  test.each<[string, Events[number]]>([
    ['5-4.4: contaminated after wiping', ['2026-02-01', reported('contamination')]],
    ['5-4.4: no longer glossy', ['2026-02-01', reported('lost gloss')]],
    ['5-4.6: a tingle in contact with the conductor', ['2026-02-01', reported('tingle')]],
    ['5-4.6: failed a test', ['2026-02-01', happened.tested('electrical')]],
  ])('%s: removed, and tested', (_, what) => {
    expect(standing(ufc, '2026-02-01', [tested, what]).status).toBe('on hold')
  })

  test('5-4.2: FRP only, where the employer is bound by it', () => {
    const wood = replay(history(['2026-01-05', happened.registered({ ...aStick, construction: 'wood' })], tested))
    const held = (woodForbidden: boolean) =>
      standingOn(wood, day('2026-02-01'), rulesFrom({ packs: ufc, woodForbidden })).holds.map(({ code }) => code)
    expect([held(true), held(false)]).toEqual([['wood-forbidden'], []])
  })

  test('5-5.1.1: turned on, a calibration counts for 12 months at most, whatever its certificate says', () => {
    const turnOn = ['ufc-3-560-01-5-5-1-1-calibration']
    const { calibrationCap } = rulesFrom(employerPolicy.parse({ packs: ['us-29-cfr-1910-269-j', ...ufc], turnOn }))
    for (const off of [{ packs: ufc }, { packs: ['us-29-cfr-1910-269-j'], turnOn }])
      expect(rulesFrom(employerPolicy.parse(off)).calibrationCap).toBeUndefined()
    const judged = (testedOn: string, calibrationDueOn: string) =>
      calibrationDoubts(
        aTest({ testedOn: day(testedOn) }),
        [{ calibratedOn: day('2025-03-01'), calibrationDueOn: day(calibrationDueOn) }],
        calibrationCap,
      ).map(textOf)
    expect(judged('2026-03-01', '2027-03-01')).toEqual([])
    expect(judged('2026-03-02', '2027-03-01')).toEqual([
      'The instrument was out of calibration on 2 March 2026 (calibrated for 1 March 2025 to 1 March 2026, ' +
        '12 months at most by UFC 3-560-01, 5-5.1.1); a test counts inside such a period',
    ])
    // one that says less stays as it is
    expect(judged('2025-09-02', '2025-09-01')).toEqual([expect.not.stringContaining('at most')])
  })

  test('5-4.1: the maker’s certificate, where the employer asks for it', () => {
    const turnOn = ['ufc-3-560-01-5-4-1-certificate']
    expect(standing(ufc, '2026-02-01', [tested], { turnOn }).status).toBe('awaiting first test')
    const received = {
      kind: 'certificate received',
      certificate: { factId: 'x', occurredOn: day('2026-01-05'), issuedBy: 'the maker' },
    } as const
    expect(standing(ufc, '2026-02-01', [['2026-01-05', received], tested], { turnOn }).status).toBe('in service')
  })
})

describe('Ordinance on Industrial Safety and Health (Japan), Art. 351', () => {
  const japan = ['jp-ordinance-351']

  test('(1): within every 6 months', () => {
    expect(standing(japan, '2026-07-07', [tested])).toMatchObject({ status: 'overdue', dueOn: '2026-07-06' })
  })

  test('(3): what is not as it should be is not used until it is mended (from memory)', () => {
    expect(standing(japan, '2026-02-01', [tested, ['2026-02-01', reported('crack')]]).status).toBe('on hold')
  })

  test('(1) proviso, (2): not during non-use of more than 6 months, and before it is used again', () => {
    const stored: Events = [tested, ['2026-02-01', happened.moved(store)]]
    expect(standing(japan, '2026-07-20', stored).status).toBe('overdue')
    expect(standing(japan, '2026-08-02', stored)).toMatchObject({ status: 'on hold', holds: ['resting-in-store'] })
    expect(standing(japan, '2026-09-01', [...stored, ['2026-09-01', happened.moved(crew)]]).status).toBe('overdue')
  })
})

describe('Order 261 (Russia), 30 June 2003', () => {
  const russia = ['ru-order-261']

  test('a test every 24 months, a look at its condition every 6; a full test is a look too', () => {
    expect(standing(russia, '2026-03-01', [tested]).dueOn).toBe('2026-07-06')
    const looks = ['2026-07-01', '2026-12-30', '2027-06-29', '2027-12-28'].map((on) => [on, looked()] as const)
    expect(standing(russia, '2028-01-01', [tested, ...looks]).dueOn).toBe('2028-01-06')
  })

  test('what is not sound is out of service', () => {
    expect(standing(russia, '2026-07-02', [tested, ['2026-07-01', looked(false)]]).status).toBe('on hold')
  })
})

describe('TM 5-684 / NAVFAC MO-200 15-18d: idle stock looked at at least once a month', () => {
  const packs = ['us-29-cfr-1910-269-j', 'us-mo-200']

  test('before anybody looked, it is not fit in store, relied on for protection or not', () => {
    const stored = replay(
      history(
        ['2026-01-05', happened.registered({ ...aStick, primaryProtection: false })],
        ['2026-01-05', happened.moved(store)],
      ),
    )
    expect(standingOn(stored, day('2026-01-06'), rulesFrom({ packs })).status).toBe('awaiting first test')
  })

  test('runs in store alone', () => {
    expect(standing(packs, '2026-03-01', [tested]).dueOn).toBe('2028-01-06')
    const stored: Events = [tested, ['2026-01-07', happened.moved(store)]]
    expect(standing(packs, '2026-02-01', stored).dueOn).toBe('2026-02-06')
    expect(standing(packs, '2026-02-06', [...stored, ['2026-02-05', looked()]]).dueOn).toBe('2026-03-05')
  })

  test('shortened by the employer it still runs in store alone', () => {
    const shorten = [{ requirement: 'us-mo-200-15-18d-idle', interval: { days: 14 }, source: 'company rule 9' }]
    expect(standing(packs, '2026-03-01', [tested], { shorten }).dueOn).toBe('2028-01-06')
    const stored: Events = [tested, ['2026-01-07', happened.moved(store)]]
    expect(standing(packs, '2026-01-15', stored, { shorten }).dueOn).toBe('2026-01-20')
  })
})

/**
 * Rules about other goods, or too new or too local for a pack: written as data here, to show that it can carry them.
 */
const rule = (id: string, over: Partial<Requirement>): Requirement =>
  requirement.parse({
    id,
    words: `tested at most as often as ${id} says`,
    source: { cited: id, jurisdiction: 'of the document named', confidence: 'read in a secondary copy' },
    evidence: ['dry test'],
    interval: null,
    appliesTo: { primaryProtectionOnly: false, constructions: ['foam-filled FRP tube'] },
    legalMaximum: true,
    ...over,
  })
const under = (add: Requirement[], on: string, ...events: Events) =>
  standing(['us-29-cfr-1910-269-j'], on, events, { add })
const withstood = { fromMetres: 0, toMetres: 2.4, kilovolts: 800, seconds: 300, outcome: 'withstood' as const }
const acceptance = aTest({ reason: 'first issue', withstand: [{ ...withstood, state: 'dry' }] })
const accepted = ['2026-01-06', happened.tested('pass', acceptance)] as const

/** No fact of the product tells of these yet; the rules that name them bind once one does. */
const stoppedBy = (event: StoppingEvent, add: Requirement[]) => {
  const state = replay(history(['2026-01-05', happened.registered()], tested))
  const events = [{ event, since: day('2026-02-01'), factId: 'x' }]
  const policy = rulesFrom(employerPolicy.parse({ packs: ['us-29-cfr-1910-269-j'], add }))
  return standingOn({ ...state, events }, day('2026-02-01'), policy).holds.map(({ code }) => code)
}

/**
 * 29 CFR 1910.137(c)(2)(viii), Table I-5, is 29 CFR 1926.97 Table E-4; its rows were read in secondary copies. None of
 * these goods is an item of the product.
 */
describe('the rubber goods of 29 CFR 1910.137, as proof of reach', () => {
  type Row = readonly [goods: string, beforeFirstIssue: boolean, months: number | null, stops: StoppingEvent[]]
  const table: Row[] = [
    ['line hose', false, null, ['suspicion', 'repaired']],
    ['covers', false, null, ['suspicion', 'repaired']],
    ['blankets', true, 12, ['suspicion', 'repaired']],
    ['gloves', true, 6, ['suspicion', 'repaired', 'use without protectors']],
    ['sleeves', true, 12, ['suspicion', 'repaired']],
  ]
  const written = ([goods, beforeFirstIssue, months, stops]: Row): Requirement[] => [
    rule(`1910.137-${goods.replace(' ', '-')}`, {
      interval: months === null ? null : { months },
      stops,
      // the footnote: tested and not issued within 12 months, it may not be placed into service
      ...(months === null ? {} : { shelfMonths: 12 }),
    }),
    ...(beforeFirstIssue ? [rule('1910.137-before-first-issue', { evidence: ['acceptance test'] })] : []),
  ]

  test.each(table)('%s: before first issue %s, every %s months, and on the events named', (...row) => {
    const [, beforeFirstIssue, months, stops] = row
    const rules = written(row)
    expect(under(rules, '2026-02-01', tested).status).toBe(beforeFirstIssue ? 'awaiting first test' : 'in service')
    expect(under(rules, '2026-02-01', accepted)).toMatchObject({
      status: 'in service',
      dueOn: { 6: '2026-07-06', 12: '2027-01-06' }[months ?? 0] ?? '2028-01-06',
    })
    const events: [StoppingEvent, Events[number]][] = [
      ['suspicion', ['2026-02-01', happened.defect()]],
      ['repaired', ['2026-02-01', happened.step('repaired')]],
    ]
    for (const [event, what] of events) {
      expect(stops).toContain(event)
      expect(under(rules, '2026-02-01', accepted, what).status).toBe('on hold')
    }
    const unprotected = stops.includes('use without protectors') ? ['test-after-use-without-protectors'] : []
    expect(stoppedBy('use without protectors', rules)).toEqual(unprotected)
  })

  test('the footnote: tested, not issued, and past 12 months: not to be placed into service', () => {
    const shelf = [rule('1910.137-shelf', { shelfMonths: 12 })]
    const shelved: Events = [['2026-01-05', happened.moved(store)], tested]
    expect(under(shelf, '2027-01-06', ...shelved).status).toBe('in service')
    expect(under(shelf, '2027-01-07', ...shelved)).toMatchObject({ status: 'on hold', holds: ['shelf-limit'] })
    expect(under(shelf, '2027-01-07', ...shelved, ['2026-06-01', happened.moved(crew)]).status).toBe('in service')
  })
})

/**
 * Every shape of interval rule that the documents read so far have, with a rule of each; further up where a pack ships
 * it.
 */
describe('the shapes that rules have', () => {
  test('every few months: 29 CFR 1926.404(b)(1)(iii)(E), 3, and 6 where fixed and not exposed (read in a copy)', () => {
    const moved = rule('1926.404-moved', { interval: { months: 3 }, stops: ['repaired', 'incident'] })
    const fixed = rule('1926.404-fixed', { interval: { months: 6 }, stops: ['repaired', 'incident'] })
    expect(under([moved], '2026-02-01', tested).dueOn).toBe('2026-04-06')
    expect(under([fixed], '2026-02-01', tested).dueOn).toBe('2026-07-06')
    expect(under([fixed], '2026-02-01', tested, ['2026-02-01', happened.defect('drop')]).status).toBe('on hold')
  })

  test('the maker’s interval, else the company’s, else yearly: NR-10 10.7.8 (Brazil), from memory', () => {
    const yearly = { interval: { months: 12 }, legalMaximum: false }
    const due = (statedBy: Requirement['statedBy']) => {
      const { dueOn, by } = under([rule('NR-10-10.7.8', { ...yearly, statedBy })], '2026-02-01', tested)
      return [dueOn, by]
    }
    const maker = { by: 'the maker', interval: { months: 6 }, source: 'instructions for use' }
    const company = { by: 'the company', interval: { months: 18 }, source: 'procedure 4' }
    expect(due([])).toEqual(['2027-01-06', 'NR-10-10.7.8'])
    expect(due([company])).toEqual(['2027-07-06', 'procedure 4 (the company), as NR-10-10.7.8 says'])
    expect(due([maker, company])).toEqual(['2026-07-06', 'instructions for use (the maker), as NR-10-10.7.8 says'])
  })

  test('only what was put into service since a day: Alberta OHS Code s. 799 (read in a copy)', () => {
    // it asks for the maker's declaration, of equipment from its effective date on; that date was not read, this is a
    // sample
    const one = rule('s-799', {
      evidence: ['certificate'],
      appliesTo: {
        primaryProtectionOnly: false,
        constructions: ['foam-filled FRP tube'],
        inServiceFrom: day('2023-03-31'),
      },
    })
    const { inServiceSince: _, ...unknownDay } = aStick
    const status = (stick: typeof aStick) =>
      standingOn(
        replay(history(['2026-01-05', happened.registered(stick)], tested)),
        day('2026-02-01'),
        rulesFrom(employerPolicy.parse({ packs: ['us-29-cfr-1910-269-j'], add: [one] })),
      ).status
    expect(status({ ...aStick, inServiceSince: day('2023-03-30') })).toBe('in service')
    expect(status({ ...aStick, inServiceSince: day('2023-03-31') })).toBe('awaiting first test')
    expect(status(unknownDay)).toBe('awaiting first test')
  })

  /**
   * Chinese rules for live working, from memory: a preventive and an inspection test yearly, half a year apart. One
   * test of either kind at most every half year is never later than what that asks.
   */
  test('two tests by turns: written as one every half year', () => {
    const turns = rule('two-by-turns', { interval: { months: 6 } })
    expect(under([turns], '2026-02-01', tested).dueOn).toBe('2026-07-06')
  })

  test.each([
    // customary beside ANSI/SAIA A92.2, from memory
    ['A92.2'],
    // Chinese rules for live working: a preventive test and an inspection test yearly, from memory
    ['preventive-test'],
  ])('yearly: %s', (id) => {
    expect(under([rule(id, { interval: { months: 12 } })], '2026-02-01', tested).dueOn).toBe('2027-01-06')
  })

  test('before first issue: a certificate, California T8 2945 App. B and OAR 437-002-2309 (in copies)', () => {
    const atPurchase = rule('T8-2945', { evidence: ['certificate'] })
    const received = (on: string): Events[number] => [
      on,
      { kind: 'certificate received', certificate: { factId: 'x', occurredOn: day(on), issuedBy: 'the maker' } },
    ]
    expect(under([atPurchase], '2026-02-01', tested).status).toBe('awaiting first test')
    expect(
      under([atPurchase], '2029-02-01', received('2026-01-05'), tested, ['2029-01-31', happened.tested('pass')]),
    ).toMatchObject({ status: 'in service', dueOn: '2031-01-31' })
  })

  // each rule where the document was read in a copy or, of the last, on a commercial page: Chinese preventive-test
  // rules
  test.each<[StoppingEvent, string]>([
    ['cleaned', 'UFC 3-560-01, 5-4.10'],
    ['waxed', 'UFC 3-560-01, 5-4.10'],
    ['use without protectors', '29 CFR 1910.137(c)(2)(vii)(D)'],
    ['batch problem', 'preventive test where a batch shows a problem'],
  ])('an event, %s: %s', (event, cited) => {
    const one = rule('stops', { stops: [event], source: { cited, jurisdiction: 'its own', confidence: 'from memory' } })
    expect(stoppedBy(event, [one])).toEqual([`test-after-${event.replaceAll(' ', '-')}`])
    expect(stoppedBy(event, [rule('other', { stops: [] })])).toEqual([])
  })

  // 29 CFR 1910.269(j)(2)(ii), (iii)(C)(1); 29 CFR 1926.404(b)(1)(iii)(E): read in copies; held whatever the policy
  // names
  test.each<[StoppingEvent, Events[number]]>([
    ['suspicion', ['2026-02-01', happened.defect()]],
    ['incident', ['2026-02-01', happened.defect('drop')]],
    ['repaired', ['2026-02-01', happened.step('repaired')]],
    ['refinished', ['2026-02-01', happened.step('refinished')]],
  ])('an event, %s', (_, what) => {
    expect(under([], '2026-02-01', tested, what).status).toBe('on hold')
    expect(under([], '2026-02-04', tested, what, ['2026-02-03', happened.tested('pass')]).status).toBe('in service')
  })

  test('a check before use each day: 29 CFR 1910.269(j)(2)(i) (read in a copy), Ordinance Art. 352 (secondary)', () => {
    const daily = rule('j-2-i-daily', { evidence: ['condition check'], interval: { days: 0 } })
    const checked: Events = [tested, ['2026-02-01', looked()]]
    expect(under([daily], '2026-02-01', ...checked)).toMatchObject({ status: 'due soon', dueOn: '2026-02-01' })
    expect(under([daily], '2026-02-02', ...checked).status).toBe('overdue')
    expect(under([daily], '2026-02-02', ...checked, ['2026-02-02', looked()]).status).toBe('due soon')
  })

  // each read in a copy, the last two in secondary copies; 29 CFR 1910.269(p)(1)(i) says each shift, finer than a date
  test.each([
    ['UFC-5-4.4', 'wiped and looked at before each day’s use'],
    ['MIL-HDBK-1025-10-4.4.2.3', 'wiped and inspected daily'],
    ['1910.67-c-2-i', 'controls tested each day before use'],
    ['1910.137-c-2-ii', 'rubber goods inspected before each day’s use'],
  ])('each day, %s: %s', (id, words) => {
    const daily = rule(id, { words, evidence: ['condition check'], interval: { days: 0 } })
    const looks = (on: string): Events => [tested, ['2026-02-01', looked()], [on, looked()]]
    expect(under([daily], '2026-02-02', ...looks('2026-02-01')).status).toBe('overdue')
    expect(under([daily], '2026-02-02', ...looks('2026-02-02')).dueOn).toBe('2026-02-02')
  })

  // Ordinance Art. 352 (secondary copy); 29 CFR 1910.137(c)(2)(iv) (read in a copy)
  test('what such a look finds holds the stick until it is tested', () => {
    const found: Events = [tested, ['2026-02-01', looked(false)]]
    expect(under([], '2026-02-01', ...found).status).toBe('on hold')
    expect(under([], '2026-02-03', ...found, ['2026-02-02', looked()]).status).toBe('on hold')
    expect(under([], '2026-02-03', ...found, ['2026-02-02', happened.tested('pass')]).status).toBe('in service')
  })

  // 29 CFR 1926.404(b)(1)(iii)(E), (F) (read in a copy); Chinese preventive-test rules (commercial page): before first
  // use
  test('before first use: what was never tested is not fit for use', () => {
    expect(under([], '2026-02-01').status).toBe('awaiting first test')
    expect(under([], '2026-02-01', tested).status).toBe('in service')
  })

  // Order 261, periodic inspection (secondary copy): portable grounds, no item of the product
  test('every three months: Order 261 of portable grounds', () => {
    const grounds = rule('order-261-grounds', { evidence: ['condition check'], interval: { months: 3 } })
    expect(under([grounds], '2026-02-01', tested).dueOn).toBe('2026-04-06')
  })

  // TM 5-684 15-19 (read in a copy); 29 CFR 1910.137(c)(2)(xi) (read in a copy); Chinese rules, after overhaul
  // (commercial page)
  test('repaired, and to be tested before it is used', () => {
    const repaired: Events = [tested, ['2026-02-01', happened.step('repaired')]]
    expect(under([], '2026-02-02', ...repaired).holds).toEqual(['test-after-repair'])
    expect(under([], '2026-02-03', ...repaired, ['2026-02-03', happened.tested('pass')]).status).toBe('in service')
  })

  // 29 CFR 1910.137(c)(2)(x) (read in a copy); a Chinese operating rule: failed ones are scrapped, never downgraded
  // (weak source)
  test('failed is not used, and nothing makes a lesser stick of it', () => {
    const failed: Events = [tested, ['2026-02-01', happened.tested('electrical')]]
    expect(under([], '2026-02-02', ...failed).status).toBe('on hold')
    const twice: Events = [
      ...failed,
      ['2026-02-02', happened.step('refinished')],
      ['2026-02-03', happened.tested('electrical')],
    ]
    expect(under([], '2026-02-04', ...twice).status).toBe('removed from service')
    expect(under([], '2026-02-06', ...twice, ['2026-02-05', happened.tested('pass')]).status).toBe(
      'removed from service',
    )
  })

  test('several sources: the most stringent stands, TM 5-684 / NAVFAC MO-200 15-1 (read in a copy)', () => {
    const both = ['us-29-cfr-1910-269-j', 'ufc-3-560-01-5-4', 'jp-ordinance-351', 'ru-order-261']
    for (const packs of [both, both.toReversed()]) {
      expect(standing(packs, '2026-02-01', [tested])).toMatchObject({ dueOn: '2026-07-06' })
    }
    const stored: Events = [['2026-01-05', happened.moved(store)], tested]
    expect(standing(['ufc-3-560-01-5-4', 'us-mo-200'], '2026-02-01', stored).dueOn).toBe('2026-02-06')
  })

  // which edition binds on a day is the register of policies' to say
  test('editions side by side: the older Table I-6 asked for nothing after use without protectors (secondary)', () => {
    const source = {
      cited: 'Table I-6',
      jurisdiction: 'United States, federal',
      confidence: 'read in a secondary copy',
    }
    const gloves = { interval: { months: 6 } } as const
    const older = rule('gloves', {
      ...gloves,
      source: { ...source, effectiveTo: '2014-07-09' } as Requirement['source'],
    })
    const newer = rule('gloves', {
      ...gloves,
      source: { ...source, cited: 'Table I-5', effectiveFrom: '2014-07-10' } as Requirement['source'],
      stops: ['use without protectors'],
    })
    expect(stoppedBy('use without protectors', [older])).toEqual([])
    expect(stoppedBy('use without protectors', [newer])).toEqual(['test-after-use-without-protectors'])
  })
})

describe('the employer’s own layer', () => {
  const us = { packs: ['us-29-cfr-1910-269-j'] }
  const rule = 'us-29-cfr-1910-269-j-frp'
  const shortened = (interval: object) =>
    employerPolicy.safeParse({ ...us, shorten: [{ requirement: rule, interval, source: 'company rule 7' }] })

  test('may shorten and count use; what would lengthen past the maximum is refused, naming the rule', () => {
    for (const interval of [{ months: 12 }, { months: 24 }, { days: 730 }, { useDays: 300 }]) {
      expect(shortened(interval).success, JSON.stringify(interval)).toBe(true)
    }
    for (const interval of [{ months: 25 }, { days: 731 }, { months: 24, counting: 'end of month' }]) {
      const [issue] = shortened(interval).error?.issues ?? []
      expect(issue?.path, JSON.stringify(interval)).toEqual(['shorten', 0, 'interval'])
      expect(askedBy(issue)).toContain('29 CFR 1910.269(j)(2)(iii)')
    }
  })

  test('counts days of use, hard ones for more, until none is left', () => {
    const more = {
      shorten: [{ requirement: rule, interval: { useDays: 30 }, source: 'company rule 7' }],
      useWeights: { wet: 2 },
    }
    const used = (days: number) => standing(us.packs, '2026-03-02', [tested, use('2026-03-01', days, ['wet'])], more)
    expect(used(14)).toMatchObject({ status: 'in service', dueOn: '2028-01-06' })
    expect(used(15)).toMatchObject({ status: 'overdue', dueOn: '2026-03-01' })
  })

  test('may call logged use occasional; silence is frequent use', () => {
    const own = requirement.parse({
      id: 'own-rule',
      words: 'tested dry at most every 3 months in frequent use, 9 in occasional use',
      source: { cited: 'company rule 8', jurisdiction: 'the employer', confidence: 'the employer’s own' },
      evidence: ['dry test'],
      interval: { months: 3 },
      byClass: { occasional: { months: 9 } },
      appliesTo: { primaryProtectionOnly: false, constructions: ['foam-filled FRP tube'] },
      legalMaximum: false,
    })
    const more = { add: [own], occasionalUse: { windowDays: 365, atMostUseDays: 5 } }
    expect(standing(us.packs, '2026-02-01', [tested], more).dueOn).toBe('2026-04-06')
    expect(standing(us.packs, '2026-02-01', [use('2026-01-05', 4), tested], more).dueOn).toBe('2026-10-06')
    expect(standing(us.packs, '2026-02-02', [use('2026-01-05', 4), tested, use('2026-02-01', 4)], more).dueOn).toBe(
      '2026-04-06',
    )
  })
})
