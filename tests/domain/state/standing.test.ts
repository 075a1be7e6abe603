/** The status of a stick on a day, its due date and what a rule of the policy adds to what is held against it. */
import { describe, expect, test } from 'vitest'
import { type Requirement, requirement } from '../../../shared-domain/policy/requirement.ts'
import { everyStick } from '../../../shared-domain/policy/rule-pack.ts'
import { noRules, type Rules, rulesFrom } from '../../../shared-domain/policy/rules.ts'
import type { Stick } from '../../../shared-domain/registers.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { type Standing, standingOn } from '../../../shared-domain/state/standing.ts'
import { inEnglish } from '../../support/english.ts'
import { aStick, aTest, day, happened, history, usPolicy } from '../../support/trade.ts'

type Events = Parameters<typeof history>
const { crewId: _, ...nobodys } = aStick
const entered = ['2026-01-01', happened.registered()] as const
const tested = ['2026-01-06', happened.tested('pass')] as const
const [crew, store] = [happened.moved({ crewId: 'CR-1' }), happened.moved({ store: 'DEP-1' })]

const rule = (id: string, over: Partial<Requirement> = {}): Requirement =>
  requirement.parse({
    id,
    words: `tested by ${id} at most every 6 months`,
    source: { cited: `Rule ${id}`, jurisdiction: 'its own', confidence: 'from memory' },
    evidence: ['dry test'],
    interval: { months: 6 },
    appliesTo: everyStick,
    legalMaximum: true,
    ...over,
  })
const by = (...requirements: Requirement[]) => ({ ...usPolicy, requirements })
const standing = (on: string, policy: Rules, ...events: Events) =>
  standingOn(replay(history(...events)), day(on), policy)
/** With why it stands so, as people read it. */
const read = (found: Standing) => ({ ...found, why: inEnglish.why(found) })
const codes = (...args: Parameters<typeof standing>) => standing(...args).holds.map(({ code }) => code)

describe('the due date', () => {
  test('is of the clock that runs out first, with its rule', () => {
    const { dueOn, governedBy, clocks } = standing(
      '2026-03-01',
      by(rule('late', { interval: { months: 12 } }), rule('early')),
      entered,
      tested,
    )
    expect({ dueOn, governedBy }).toEqual({
      dueOn: '2026-07-06',
      governedBy: {
        requirement: 'early',
        words: 'tested by early at most every 6 months',
        source: 'Rule early',
        since: '2026-01-06',
        serviceClass: null,
      },
    })
    expect(clocks.map(({ requirement }) => requirement)).toEqual(['early', 'late'])
  })

  test('is none while any clock was never wound', () => {
    const unwound = rule('certified', { evidence: ['certificate'], interval: null, words: 'certified' })
    const missing = standing('2026-03-01', by(rule('early'), unwound), entered, tested)
    expect(read(missing)).toMatchObject({
      status: 'awaiting first test',
      why: 'It has not had its first full test yet.',
      dueOn: null,
      daysOverdue: 0,
      governedBy: null,
    })
    expect(missing.clocks).toHaveLength(2)
    const looked = rule('looked', { evidence: ['condition check'], interval: { months: 1 } })
    expect(standing('2026-03-01', by(looked, unwound), entered, tested)).not.toHaveProperty('duty')
  })

  test('is none, and no clock runs, without a policy or an entry', () => {
    for (const none of [standing('2026-03-01', noRules, entered, tested), standing('2026-03-01', usPolicy, tested)])
      expect(none).toMatchObject({ status: 'on hold', dueOn: null, governedBy: null, clocks: [] })
    expect(codes('2026-03-01', noRules, tested)).toEqual(['policy-missing'])
  })

  test('is none where nothing has an interval, and the stick is in service all the same', () => {
    const once = by(rule('once', { interval: null }))
    expect(read(standing('2026-03-01', once, entered, tested))).toMatchObject({
      status: 'in service',
      dueOn: null,
      governedBy: null,
      why: 'No requirement with an interval applies to it.',
    })
  })

  test('is none of one never tested that no certificate covers: it awaits its test, whatever is asked', () => {
    const once = by(rule('once', { interval: null, evidence: ['condition check'] }))
    const nothingAsked = { ...once, requirements: [] }
    for (const rules of [once, nothingAsked])
      expect(standing('2026-03-01', rules, entered)).toMatchObject({
        status: expect.stringMatching(/awaiting|on hold/),
      })
    const carried = ['2026-01-01', happened.registered({ ...aStick, primaryProtection: false })] as const
    expect(read(standing('2026-03-01', nothingAsked, carried))).toMatchObject({
      status: 'awaiting first test',
      dueOn: null,
      why: 'Nobody has tested it yet, and no certificate of its maker covers it.',
    })
  })

  test.each([
    ['2026-05-06', 'in service', 0, 'It may be used through 6 July 2026.'],
    ['2026-05-07', 'due soon', 0, 'Its test runs out on 6 July 2026; it may be used through that day.'],
    ['2026-07-06', 'due soon', 0, 'Its test runs out on 6 July 2026; it may be used through that day.'],
    ['2026-07-07', 'overdue', 1, 'Its test ran out on 6 July 2026.'],
    ['2026-07-16', 'overdue', 10, 'Its test ran out on 6 July 2026.'],
  ])('on %s: %s, %i days overdue', (on, status, daysOverdue, why) => {
    expect(read(standing(on, by(rule('early')), entered, tested))).toMatchObject({ status, daysOverdue, why })
  })

  test('what was never done is said without its interval, a test or a look', () => {
    expect(inEnglish.why(standing('2026-03-01', usPolicy, entered))).toBe('It has not had its first full test yet.')
    const looked = by(rule('looked', { evidence: ['condition check'], interval: { months: 1 } }))
    const carried = happened.registered({ ...aStick, primaryProtection: false })
    const awaited = standing('2026-03-01', looked, ['2026-01-01', carried])
    expect([awaited.status, inEnglish.why(awaited)]).toEqual([
      'awaiting first test',
      'It has not been looked over yet.',
    ])
  })

  test('counted in days of use it is expected beside, where enough was logged to say', () => {
    const counted = by(rule('counted', { interval: { useDays: 100 } }))
    const uses = Array.from({ length: 20 }, (_, i) => {
      const on = `2026-0${1 + Math.floor(i / 4)}-${String(7 + 5 * (i % 4)).padStart(2, '0')}`
      return [
        on,
        { kind: 'used', use: { factId: 'x', occurredOn: day(on), days: 3, conditions: [] } },
      ] as Events[number]
    })
    const clock = (...logged: Events) => standing('2026-06-20', counted, entered, tested, ...logged).clocks[0]
    expect(clock(...uses)).toMatchObject({
      dueOn: null,
      useDaysLeft: 40,
      expected: { on: expect.stringMatching(/^2026-/) as string },
    })
    expect(clock(...uses.slice(0, 1))).not.toHaveProperty('expected')
    expect(standing('2026-03-01', by(rule('early')), entered, tested, ...uses).clocks[0]).not.toHaveProperty('expected')
  })
})

describe('a stick that is gone for good', () => {
  const failedTwice = [
    ['2026-02-01', happened.tested('electrical')],
    ['2026-02-02', happened.step('cleaned')],
    ['2026-02-03', happened.tested('electrical')],
  ] as const

  test('says for what, in a sentence and in its parts', () => {
    const { status, why, removedFor } = read(standing('2026-03-01', usPolicy, entered, ...failedTwice))
    expect([status, why]).toEqual([
      'removed from service',
      'Failed again after it had been cleaned, refinished or repaired: 21 over the limit of 20.',
    ])
    expect(removedFor).toEqual({ reason: { code: 'reading-over-limit', text: '21 over the limit of 20' }, more: 0 })
  })

  test('is said to be, where nothing is known of what removed it', () => {
    const { removedFor: _, ...found } = standing('2026-03-01', usPolicy, entered, ...failedTwice)
    expect(inEnglish.why(found)).toBe('It is removed from service for good.')
  })

  test('and scrapped is scrapped, whatever it was removed for', () => {
    const scrapped = standing('2026-03-01', usPolicy, entered, ...failedTwice, [
      '2026-02-09',
      happened.moved('scrapped'),
    ])
    expect(read(scrapped)).toMatchObject({ status: 'scrapped', why: 'It was scrapped.' })
    expect(scrapped).not.toHaveProperty('removedFor')
    expect(standing('2026-03-01', usPolicy, entered, tested)).not.toHaveProperty('removedFor')
  })
})

test('everything that is held against it is said', () => {
  expect(
    inEnglish.why(
      standing(
        '2026-03-01',
        usPolicy,
        entered,
        ['2026-02-01', happened.defect()],
        ['2026-02-02', happened.step('repaired')],
      ),
    ),
  ).toBe('Reported from use: tingle. Was repaired and not yet tested since.')
})

describe('a clock that storage suspends', () => {
  const resting = rule('resting', { suspendedInStorageAfterMonths: 6 })
  const stands = (on: string, requirements: Requirement[], ...events: Events) => {
    const { status, dueOn, holds } = standing(on, by(...requirements), ...events)
    return [status, dueOn, ...holds.map(({ code }) => code)]
  }
  const laidBy = [entered, tested, ['2026-02-10', store]] as const

  test('runs out until it has lain there for longer, and rests from then on until its next test', () => {
    expect(stands('2026-07-06', [resting], ...laidBy)).toEqual(['due soon', '2026-07-06'])
    expect(stands('2026-08-10', [resting], ...laidBy)).toEqual(['overdue', '2026-07-06'])
    expect(stands('2026-08-11', [resting], ...laidBy)).toEqual(['on hold', null, 'resting-in-store'])
    const [hold] = standing('2026-08-11', by(resting), ...laidBy).holds
    expect(hold).toMatchObject({ since: '2026-07-06', detail: { source: 'Rule resting' } })
  })

  test('is no hold before it has run out, however long the stick has lain there', () => {
    const longSince = [entered, ['2026-01-02', store], ['2026-04-01', happened.tested('pass')]] as const
    expect(stands('2026-10-01', [resting], ...longSince)).toEqual(['due soon', '2026-10-01'])
    expect(stands('2026-10-02', [resting], ...longSince)).toEqual(['on hold', null, 'resting-in-store'])
  })

  test('rests nowhere but in store, and only while it is not used', () => {
    expect(stands('2026-08-11', [resting], entered, tested)).toEqual(['overdue', '2026-07-06'])
    expect(
      stands('2026-08-11', [resting], entered, tested, ['2026-02-10', happened.moved({ bench: 'DEP-1' })])[0],
    ).toBe('overdue')
    expect(stands('2026-10-11', [resting], ...laidBy, ['2026-03-02', happened.used()])[0]).toBe('overdue')
    expect(stands('2026-08-11', [resting], ...laidBy, ['2026-03-02', crew])[0]).toBe('overdue')
    // never moved, it is not known to rest
    expect(stands('2026-08-11', [resting], ['2026-01-01', happened.registered(nobodys)], tested)[0]).toBe('overdue')
  })

  test('suspends no other, and is not suspended where its own rule does not say so', () => {
    expect(stands('2026-08-11', [rule('other', { interval: { months: 5 } }), resting], ...laidBy)).toEqual([
      'on hold',
      '2026-06-06',
      'resting-in-store',
    ])
    expect(stands('2026-08-11', [rule('other')], ...laidBy)).toEqual(['overdue', '2026-07-06'])
    expect(stands('2026-08-11', [resting, rule('unwound', { evidence: ['certificate'] })], ...laidBy)).toEqual([
      'on hold',
      null,
      'resting-in-store',
    ])
  })
})

describe('a rule that stops a stick after what happened to it', () => {
  const stopping = rule('stopping', { stops: ['cleaned', 'incident', 'suspicion'] })
  const cleaned = ['2026-02-01', happened.step('cleaned')] as const

  test('holds it from then on, by that rule', () => {
    const [hold, ...rest] = standing('2026-03-01', by(rule('other'), stopping), entered, tested, cleaned).holds
    expect(hold).toMatchObject({
      code: 'test-after-cleaned',
      since: '2026-02-01',
      factId: '00000000-0000-4000-8000-000000000003',
      detail: { event: 'cleaned', source: 'Rule stopping' },
    })
    expect(rest).toEqual([])
    expect(codes('2026-03-01', by(rule('other')), entered, tested, cleaned)).toEqual([])
  })

  test('only where the rule is one for such sticks', () => {
    const ofWood = { ...stopping, appliesTo: { primaryProtectionOnly: false, constructions: ['wood' as const] } }
    expect(codes('2026-03-01', by(rule('other'), ofWood), entered, tested, cleaned)).toEqual([])
  })

  test('and not a second time after what always holds it', () => {
    expect(codes('2026-03-01', by(stopping), entered, tested, ['2026-02-01', happened.defect('drop')])).toEqual([
      'defect-reported',
    ])
  })
})

describe('a shelf limit of twelve months', () => {
  const shelf = rule('shelf', { interval: null, shelfMonths: 12 })
  const held = (on: string, ...events: Events) => codes(on, by(shelf), ...events).includes('shelf-limit')
  const nobodysEntry = ['2026-01-01', happened.registered(nobodys)] as const

  test('runs from the test of a stick that was laid by', () => {
    const laidBy = [nobodysEntry, ['2026-01-05', store], tested] as const
    expect([held('2027-01-06', ...laidBy), held('2027-01-07', ...laidBy)]).toEqual([false, true])
    const [hold] = standing('2027-01-07', by(rule('other', { interval: { months: 24 } }), shelf), ...laidBy).holds
    expect(hold?.detail).toEqual({ on: '2026-01-06', months: 12, source: 'Rule shelf' })
  })

  test.each<[string, string, Events, boolean]>([
    ['in the hands of its crew all the time', '2027-03-01', [entered, tested], false],
    ['laid by at once', '2027-03-01', [entered, tested, ['2026-01-07', store]], true],
    ['laid by on the last day of the limit', '2027-03-01', [entered, tested, ['2027-01-06', store]], true],
    ['laid by after it', '2027-03-01', [entered, tested, ['2027-01-07', store]], false],
    [
      'laid by, then issued',
      '2027-03-01',
      [entered, tested, ['2026-01-07', store], ['2026-02-01', crew], ['2026-02-02', store]],
      false,
    ],
    [
      'issued on the last day',
      '2027-03-01',
      [nobodysEntry, ['2026-01-05', store], tested, ['2027-01-06', crew]],
      false,
    ],
    ['issued a day late', '2027-03-01', [nobodysEntry, ['2026-01-05', store], tested, ['2027-01-07', crew]], true],
    [
      'given out after its test, and laid by',
      '2027-03-01',
      [nobodysEntry, tested, ['2026-01-07', crew], ['2026-02-01', store]],
      false,
    ],
    [
      'given out on the day of its test, and laid by',
      '2027-03-01',
      [nobodysEntry, tested, ['2026-01-06', crew], ['2026-02-01', store]],
      true,
    ],
    [
      'issued on the day of its test, then laid by',
      '2027-03-01',
      [nobodysEntry, ['2026-01-05', store], tested, ['2026-01-06', crew], ['2026-02-01', store]],
      false,
    ],
    [
      'at the bench alone',
      '2027-03-01',
      [nobodysEntry, ['2026-01-05', happened.moved({ bench: 'DEP-1' })], tested],
      true,
    ],
    ['never recorded anywhere', '2027-03-01', [nobodysEntry, tested], false],
    ['never tested', '2027-03-01', [nobodysEntry, ['2026-01-05', store]], false],
  ])('%s', (_, on, events, isHeld) => {
    expect(held(on, ...events)).toBe(isHeld)
  })

  test('is counted from the evidence of its own rule', () => {
    const certified = rule('certified', { evidence: ['certificate'], interval: null })
    const laidBy = [nobodysEntry, ['2026-01-05', store], tested] as const
    expect(codes('2027-01-07', by(certified, shelf), ...laidBy)).toContain('shelf-limit')
  })
})

describe('wax', () => {
  const asking = rule('asking', { waxing: 'Rule asking, words on wax' })
  const unwaxed = ['2026-02-01', happened.tested('pass', aTest({ waxed: false }))] as const
  const holds = (policy: Rules, ...events: Events) =>
    standing('2026-03-01', policy, entered, ...events).holds.filter(({ code }) => code === 'not-waxed')

  test('is asked for by a rule in force, or by the employer', () => {
    expect(holds(by(rule('other'), asking), unwaxed)).toMatchObject([
      {
        since: '2026-02-01',
        factId: '00000000-0000-4000-8000-000000000002',
        detail: { source: 'Rule asking, words on wax' },
      },
    ])
    expect(codes('2026-03-01', by(rule('other')), entered, unwaxed)).toEqual([])
    expect(holds({ ...by(rule('other')), waxing: 'house rule' }, unwaxed)[0]?.detail).toEqual({ source: 'house rule' })
    expect(holds({ ...by(asking), waxing: 'house rule' }, unwaxed)[0]?.detail).toEqual({ source: 'house rule' })
    expect(holds(by(asking), tested)).toEqual([])
    expect(holds(noRules, unwaxed)).toEqual([])
    expect(
      holds(by({ ...asking, appliesTo: { primaryProtectionOnly: false, constructions: ['wood'] } }), unwaxed),
    ).toEqual([])
  })

  test('comes before the readings where another rule asks for a test after it', () => {
    const after = rule('after', { stops: ['waxed'] })
    expect(holds(by(asking, rule('other'), after), unwaxed)[0]?.detail).toMatchObject({ beforeReadings: true })
    const waxedFirst = [['2026-01-20', happened.step('waxed')], unwaxed] as const
    expect(codes('2026-03-01', by(asking, after), entered, tested, ...waxedFirst)).toEqual([])
    expect(holds(by(asking), ...waxedFirst)).toHaveLength(1)
  })
})

describe('a release after a failure', () => {
  const repeat = [
    ['2026-02-01', happened.tested('electrical')],
    ['2026-02-02', happened.step('cleaned')],
    ['2026-02-03', happened.tested('pass')],
  ] as const
  const releasing = { ...usPolicy, releaseAfterFailure: true }

  test('is awaited where the policy asks for it', () => {
    expect(standing('2026-03-01', releasing, entered, ...repeat).holds).toMatchObject([
      { code: 'release-awaited', since: '2026-02-03', factId: '00000000-0000-4000-8000-000000000004' },
    ])
    expect(codes('2026-03-01', usPolicy, entered, ...repeat)).toEqual([])
    expect(codes('2026-03-01', releasing, entered, tested)).toEqual([])
    expect(codes('2026-03-01', noRules, entered, ...repeat)).toEqual(['policy-missing'])
    expect(codes('2026-03-01', releasing, entered, ...repeat, ['2026-02-04', happened.released()])).toEqual([])
  })
})

test('what is not relied on for protection needs no rule that covers it, and only wood is forbidden as wood', () => {
  const codesOf = (over: Partial<Stick>, policy: typeof usPolicy = by()) =>
    codes('2026-03-01', policy, ['2026-01-01', happened.registered({ ...aStick, ...over })], tested)
  expect(codesOf({})).toEqual(['no-requirement-covers'])
  expect(codesOf({ primaryProtection: false })).toEqual([])
  expect(codesOf({ construction: 'wood' }, { ...usPolicy, woodForbidden: true })).toEqual(['wood-forbidden'])
  expect(codesOf({}, { ...usPolicy, woodForbidden: true })).toEqual([])
})

test('a rule of the packs reads so too: a stick in store is looked over, and that is no test', () => {
  const policy = rulesFrom({ packs: ['us-29-cfr-1910-269-j', 'us-mo-200'] })
  expect(standing('2026-03-01', policy, entered, tested, ['2026-01-07', store])).toMatchObject({
    status: 'overdue',
    dueOn: '2026-02-06',
    duty: 'look',
    governedBy: { requirement: 'us-mo-200-15-18d-idle', serviceClass: 'stored' },
  })
})
