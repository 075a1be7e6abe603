/** What winds a clock, how far it runs, and which of several governs. */
import { describe, expect, test } from 'vitest'
import { clocksOf, type Evidence, type Wound } from '../../../shared-domain/policy/clocks.ts'
import type { Requirement } from '../../../shared-domain/policy/requirement.ts'
import { everyStick } from '../../../shared-domain/policy/rule-pack.ts'
import { type Rules, rulesFrom } from '../../../shared-domain/policy/rules.ts'
import type { CustodySpell, LoggedUse } from '../../../shared-domain/policy/service-class.ts'
import { aStick, day } from '../../support/trade.ts'

const own = (over: Partial<Requirement> = {}): Requirement => ({
  id: 'own-rule',
  words: 'tested dry at most every 6 months',
  source: { cited: 'company rule 1', jurisdiction: 'the employer', confidence: 'the employer’s own' },
  evidence: ['dry test'],
  interval: { months: 6 },
  appliesTo: everyStick,
  legalMaximum: false,
  ...over,
})
const under = (requirements: Requirement[], more: Partial<Rules> = {}): Rules => ({
  ...rulesFrom({ packs: [] }),
  requirements,
  ...more,
})
const dates = (kinds: Record<string, string>) => kinds as Evidence
const known = (evidence: Record<string, string>, more: Partial<Wound> = {}): Wound => ({
  evidence: dates(evidence),
  custodySpells: [],
  uses: [],
  ...more,
})
const spell = (since: string, kind: CustodySpell['kind']): CustodySpell => ({ since: day(since), kind })
const use = (on: string, days: number, ...conditions: LoggedUse['conditions']): LoggedUse => ({
  on: day(on),
  days,
  conditions,
})
const tested = { 'dry test': '2026-01-31' }

describe('evidence', () => {
  const ends = (one: Partial<Requirement>, evidence: Record<string, string>, policy: Partial<Rules> = {}) => {
    const [clock] = clocksOf(aStick, known(evidence), under([own(one)], policy))
    return [clock?.since, clock?.dueOn]
  }

  test('winds from the oldest of all that is asked for, in whatever order it is named', () => {
    const both = { 'dry test': '2026-01-31', 'wet test': '2025-11-30' }
    expect(ends({ evidence: ['dry test', 'wet test'] }, both)).toEqual(['2025-11-30', '2026-05-30'])
    expect(ends({ evidence: ['wet test', 'dry test'] }, both)).toEqual(['2025-11-30', '2026-05-30'])
  })

  test('of which one kind is missing winds nothing, whichever it is', () => {
    const evidence: Requirement['evidence'] = ['examination', 'dry test', 'wet test']
    for (const missing of evidence) {
      const rest = Object.fromEntries(evidence.filter((kind) => kind !== missing).map((kind) => [kind, '2026-01-31']))
      expect(ends({ evidence }, rest)).toEqual([null, null])
    }
  })

  describe('by an examination that stands alone', () => {
    const shown = { 'dry test': '2026-01-31', 'demonstrated examination': '2026-03-15' }
    const may = { examinationOnly: ['foam-filled FRP tube' as const] }
    const allowed = { examinationOnly: true }

    test('continues what a test began, where rule and employer let it', () => {
      expect(ends(may, shown, allowed)).toEqual(['2026-03-15', '2026-09-15'])
    })

    test.each([
      ['the employer does not', may, shown, {}],
      ['the rule does not', {}, shown, allowed],
      ['the rule names another construction', { examinationOnly: ['FRP rod' as const] }, shown, allowed],
      ['the test is newer', may, { ...shown, 'demonstrated examination': '2025-12-01' }, allowed],
    ])('not where %s', (_, one, evidence, policy) => {
      expect(ends(one, evidence, policy)).toEqual(['2026-01-31', '2026-07-31'])
    })

    test('and begins nothing', () => {
      expect(ends(may, { 'demonstrated examination': '2026-03-15' }, allowed)).toEqual([null, null])
    })
  })
})

describe('an interval', () => {
  const due = (interval: Requirement['interval'], uses: LoggedUse[] = [], useWeights: Rules['useWeights'] = {}) => {
    const [clock] = clocksOf(aStick, known(tested, { uses }), under([own({ interval })], { useWeights }))
    return [clock?.dueOn, clock?.useDaysLeft]
  }

  test('in months is to the day, clamped, unless it runs to the end of the month', () => {
    expect(due({ months: 1 })).toEqual(['2026-02-28', undefined])
    expect(due({ months: 3, counting: 'anniversary' })).toEqual(['2026-04-30', undefined])
    const onThe20th = known({ 'dry test': '2026-01-20' })
    const counting = (how: 'anniversary' | 'end of month') =>
      clocksOf(aStick, onThe20th, under([own({ interval: { months: 1, counting: how } })]))[0]?.dueOn
    expect([counting('anniversary'), counting('end of month')]).toEqual(['2026-02-20', '2026-02-28'])
  })

  test('in days, of which none is its own day alone', () => {
    expect(due({ days: 30 })).toEqual(['2026-03-02', undefined])
    expect(due({ days: 0 })).toEqual(['2026-01-31', undefined])
  })

  test('of none is asked once and for all', () => {
    expect(due(null)).toEqual([null, undefined])
  })

  describe('in days of use', () => {
    test('has no end until they are used up, and then ends on the day that used up the last', () => {
      expect(due({ useDays: 5 })).toEqual([null, 5])
      expect(due({ useDays: 5 }, [use('2026-02-10', 3)])).toEqual([null, 2])
      expect(due({ useDays: 5 }, [use('2026-02-10', 3), use('2026-02-20', 2), use('2026-02-25', 1)])).toEqual([
        '2026-02-20',
        0,
      ])
      expect(due({ useDays: 5 }, [use('2026-02-10', 9)])).toEqual(['2026-02-10', 0])
    })

    test('counts from the day of the evidence on, perhaps before it on that day; what came earlier is renewed', () => {
      expect(due({ useDays: 5 }, [use('2026-01-30', 4), use('2026-01-31', 1)])).toEqual([null, 4])
    })

    test('weighs by the hardest condition that the policy weighs, and never less than a day', () => {
      const weights = { wet: 2, salt: 3 }
      expect(due({ useDays: 20 }, [use('2026-02-10', 2, 'wet')], weights)).toEqual([null, 16])
      expect(due({ useDays: 20 }, [use('2026-02-10', 2, 'wet', 'salt')], weights)).toEqual([null, 14])
      expect(due({ useDays: 20 }, [use('2026-02-10', 2, 'high duty')], weights)).toEqual([null, 18])
      expect(due({ useDays: 20 }, [use('2026-02-10', 2, 'wet')], { wet: 0.5 })).toEqual([null, 18])
    })
  })
})

describe('where intervals differ by service class', () => {
  const byClass = { frequent: { months: 3 }, occasional: { months: 9 }, stored: { months: 12 } }
  const ends = (one: Partial<Requirement>, more: Partial<Wound>, policy: Partial<Rules> = {}) =>
    clocksOf(aStick, known(tested, more), under([own(one)], policy)).map((clock) => [clock.dueOn, clock.serviceClass])

  test('the strictest class since the evidence governs, and is named', () => {
    const store = spell('2026-01-01', 'store')
    expect(ends({ byClass }, { custodySpells: [store] })).toEqual([['2027-01-31', 'stored']])
    expect(ends({ byClass }, { custodySpells: [store, spell('2026-02-05', 'crew')] })).toEqual([
      ['2026-04-30', 'frequent'],
    ])
    expect(ends({ byClass }, {})).toEqual([['2026-04-30', 'frequent']])
  })

  test('a class it does not name runs on the interval of all', () => {
    expect(ends({ byClass: { stored: { months: 12 } } }, {})).toEqual([['2026-07-31', 'frequent']])
  })

  test('a class whose own interval is longer never lengthens it', () => {
    const odd = { frequent: { months: 12 }, stored: { months: 2 } }
    const spells = [spell('2026-01-01', 'crew'), spell('2026-02-05', 'store')]
    expect(ends({ byClass: odd }, { custodySpells: spells })).toEqual([['2026-03-31', 'stored']])
  })

  test('what is asked in occasional use is asked in frequent use too, so that no use lengthens a clock', () => {
    const odd = { frequent: null, occasional: { months: 2 } }
    const few = { occasionalUse: { windowDays: 365, atMostUseDays: 5 } }
    expect(ends({ byClass: odd }, { uses: [use('2026-01-15', 2)] }, few)).toEqual([['2026-03-31', 'occasional']])
    expect(ends({ byClass: odd }, { uses: [use('2026-01-15', 2), use('2026-02-15', 9)] }, few)).toEqual([
      ['2026-03-31', 'occasional'],
    ])
  })

  test('an interval without end gives way to one that ends', () => {
    const spells = [spell('2026-01-01', 'crew'), spell('2026-02-05', 'store')]
    const endless = { useDays: 9 }
    expect(ends({ byClass: { frequent: endless, stored: { months: 2 } } }, { custodySpells: spells })).toEqual([
      ['2026-03-31', 'stored'],
    ])
    expect(ends({ byClass: { frequent: { months: 2 }, stored: endless } }, { custodySpells: spells })).toEqual([
      ['2026-03-31', 'frequent'],
    ])
  })

  test('needed of stored sticks alone, it asks nothing of one that was never in store, tested or not', () => {
    const idle = { interval: null, byClass: { frequent: null, occasional: null, stored: { months: 1 } } }
    const spells = (kind: CustodySpell['kind']) => [spell('2026-01-01', kind)]
    const looked = (evidence: Record<string, string>, kind: CustodySpell['kind']) =>
      clocksOf(aStick, known(evidence, { custodySpells: spells(kind) }), under([own(idle)])).map(({ since, dueOn }) => [
        since,
        dueOn,
      ])
    expect([looked(tested, 'crew'), looked({}, 'crew'), looked({}, 'bench')]).toEqual([[], [], []])
    expect(looked(tested, 'store')).toEqual([['2026-01-31', '2026-02-28']])
    expect(looked({}, 'store')).toEqual([[null, null]])
  })
})

describe('of several clocks', () => {
  test('those never wound come first, then the earliest due, last those without an end; equals by name', () => {
    const names = clocksOf(
      aStick,
      known(tested),
      under([
        own({ id: 'z-endless', interval: null }),
        own({ id: 'b-half-year' }),
        own({ id: 'a-year', interval: { months: 12 } }),
        own({ id: 'y-unwound', evidence: ['wet test'] }),
        own({ id: 'a-half-year' }),
        own({ id: 'quarter', interval: { months: 3 } }),
      ]),
    ).map(({ requirement }) => requirement)
    expect(names).toEqual(['y-unwound', 'quarter', 'a-half-year', 'b-half-year', 'a-year', 'z-endless'])
  })

  test('only those run that are about such a stick', () => {
    const rules = [
      own({ id: 'protection', appliesTo: { ...everyStick, primaryProtectionOnly: true } }),
      own({ id: 'wood', appliesTo: { ...everyStick, constructions: ['wood'] } }),
      own({ id: 'all' }),
    ]
    const names = (over: object) =>
      clocksOf({ ...aStick, ...over }, known(tested), under(rules)).map(({ requirement }) => requirement)
    expect(names({ primaryProtection: true })).toEqual(['all', 'protection'])
    expect(names({ primaryProtection: false })).toEqual(['all'])
    expect(names({ primaryProtection: false, construction: 'wood' })).toEqual(['all', 'wood'])
  })

  test('each says what it asks, who asks it, and what winds it', () => {
    expect(clocksOf(aStick, known(tested), under([own()]))).toEqual([
      {
        requirement: 'own-rule',
        words: 'tested dry at most every 6 months',
        source: 'company rule 1',
        evidence: ['dry test'],
        since: '2026-01-31',
        serviceClass: null,
        dueOn: '2026-07-31',
      },
    ])
  })
})
