/** The interval rules of the packs, read as tests; how each text was read stands in the pack beside it. */
import { describe, expect, test } from 'vitest'
import type { Use } from '../../shared-domain/facts.ts'
import { employerPolicy, policyFrom, rulePacks } from '../../shared-domain/policy/policy.ts'
import { type Requirement, requirement } from '../../shared-domain/policy/requirement.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { day, happened, history } from '../support/trade.ts'

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
    policyFrom(employerPolicy.parse({ packs, ...more })),
  )
  return { status, dueOn, holds: holds.map(({ code }) => code), by: governedBy?.source }
}
const use = (on: string, days: number, conditions: Use['conditions'] = []): Events[number] => [
  on,
  { kind: 'used', use: { factId: 'x', occurredOn: day(on), days, conditions } },
]
const tested = ['2026-01-06', happened.tested('pass')] as const

test('every pack is data that the schema takes, says what was not verified, and lets local codes decide', () => {
  const ids = rulePacks.flatMap(({ requirements }) => requirements.map(({ id }) => id))
  expect(new Set(ids).size).toBe(ids.length)
  for (const pack of rulePacks) {
    expect(pack.caveat).toMatch(/current edition decide/)
    for (const one of pack.requirements) expect(requirement.parse(one)).toEqual(one)
  }
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
 * 29 CFR 1910.137(c)(2)(viii), Table I-5, read in secondary copies: shapes of rules that the data can carry, with none of
 * these goods among the product's items. Gloves: before first issue, every 6 months, and on the events named.
 */
describe('the rubber goods of 29 CFR 1910.137, as proof of reach', () => {
  const gloves: Requirement = requirement.parse({
    id: 'gloves',
    words: 'tested at most every 6 months',
    source: {
      cited: '29 CFR 1910.137(c)(2)(viii), Table I-5',
      jurisdiction: 'United States, federal',
      confidence: 'read in a secondary copy',
    },
    evidence: ['dry test'],
    interval: { months: 6 },
    shelfMonths: 12,
    stops: ['suspicion', 'repaired', 'use without protectors'],
    appliesTo: { primaryProtectionOnly: false, constructions: ['foam-filled FRP tube'] },
    legalMaximum: true,
  })
  const blankets = { ...gloves, id: 'blankets', interval: { months: 12 }, stops: ['suspicion' as const] }
  const shelf = { ...blankets, id: 'shelf', interval: null }
  const under = (add: Requirement[], on: string, ...events: Events) =>
    standing(['us-29-cfr-1910-269-j'], on, events, { add })

  test('gloves 6 months, blankets 12: the earliest governs', () => {
    expect(under([blankets], '2026-02-01', tested).dueOn).toBe('2027-01-06')
    expect(under([blankets, gloves], '2026-02-01', tested).dueOn).toBe('2026-07-06')
  })

  test('the footnote: tested, not issued, and past 12 months: not to be placed into service', () => {
    const shelved: Events = [['2026-01-05', happened.moved(store)], tested]
    expect(under([shelf], '2027-01-06', ...shelved).status).toBe('in service')
    expect(under([shelf], '2027-01-07', ...shelved)).toMatchObject({ status: 'on hold', holds: ['shelf-limit'] })
    expect(under([shelf], '2027-01-07', ...shelved, ['2026-06-01', happened.moved(crew)]).status).toBe('in service')
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
      expect(issue?.message).toContain('29 CFR 1910.269(j)(2)(iii)')
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
