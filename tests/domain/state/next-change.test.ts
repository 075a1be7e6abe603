import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, type CalendarDate } from '../../../shared-domain/calendar.ts'
import type { Happening } from '../../../shared-domain/facts.ts'
import type { Requirement } from '../../../shared-domain/policy/requirement.ts'
import { type Rules, rulesFrom } from '../../../shared-domain/policy/rules.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { nextChangeOn } from '../../../shared-domain/state/next-change.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { seenAs } from '../../../shared-domain/state/use.ts'
import { tally } from '../../support/tally.ts'
import { tries } from '../../support/tier.ts'
import { aStick, day, happened, history } from '../../support/trade.ts'

const houseRule = (more: Partial<Requirement>): Requirement => ({
  id: 'house',
  words: 'tested at most every 2 years',
  source: { cited: 'House rule 7', jurisdiction: 'employer', confidence: 'the employer’s own' },
  evidence: ['dry test'],
  interval: { months: 24 },
  legalMaximum: false,
  appliesTo: { primaryProtectionOnly: true, constructions: ['foam-filled FRP tube', 'hollow FRP tube'] },
  ...more,
})

const withRule = (more: Partial<Requirement>, woodForbidden = false) =>
  rulesFrom({ packs: ['us-29-cfr-1910-269-j'], woodForbidden, add: [houseRule(more)] })

function next(events: readonly [string, Happening][], on: string, rules: Rules): CalendarDate | null {
  const state = replay(history(...events))
  return nextChangeOn(state, standingOn(state, day(on), rules), { day: day(on), rules })
}

const runs = tries(4000, 400)

describe('the next day on which time alone changes how a stick stands', () => {
  const tested: [string, Happening][] = [
    ['2026-03-01', happened.registered()],
    ['2026-03-02', happened.moved({ store: 'DEP-1' })],
    ['2026-03-03', happened.tested('pass')],
  ]

  test('its limit on the shelf: the day after six months, and none once that is past', () => {
    const rules = withRule({ shelfMonths: 6 })
    expect(next(tested, '2026-03-03', rules)).toBe('2026-09-04')
    expect(next(tested, '2026-09-03', rules)).toBe('2026-09-04')
    expect(next(tested, '2026-09-04', rules)).toBeNull()
  })

  test('none where no rule asks for it, though a due date is ahead: the ladder tells of that', () => {
    expect(next(tested, '2026-03-03', withRule({}))).toBeNull()
  })

  test('none of a stick that was issued in time', () => {
    const issued: [string, Happening][] = [...tested, ['2026-05-01', happened.moved({ crewId: 'CR-1' })]]
    expect(next(issued, '2026-05-02', withRule({ shelfMonths: 6 }))).toBeNull()
  })

  test('an entry on the register that counts from a day to come', () => {
    const wooden = { ...aStick, construction: 'wood' as const }
    const entered: [string, Happening][] = [...tested, ['2026-06-01', happened.registered(wooden)]]
    expect(next(entered, '2026-03-05', withRule({}, true))).toBe('2026-06-01')
  })

  test('none of what is out of service for good', () => {
    const gone: [string, Happening][] = [...tested, ['2026-04-01', happened.moved('scrapped')]]
    expect(next(gone, '2026-04-02', withRule({ shelfMonths: 6 }))).toBeNull()
  })

  test('is the first of all days to come on which it stands otherwise', () => {
    const seen = tally(runs)
    const happening = fc.oneof(
      fc.constantFrom('pass', 'pass', 'electrical').map((ending) => happened.tested(ending as 'pass')),
      fc.constantFrom({ store: 'DEP-1' }, { crewId: 'CR-1' }, { bench: 'DEP-1' }).map((to) => happened.moved(to)),
    )
    const entry = fc.tuple(
      fc.integer({ min: 0, max: 400 }),
      fc.constantFrom('hollow FRP tube', 'wood', 'foam-filled FRP tube'),
    )
    const rule = fc.record({
      shelfMonths: fc.constantFrom(undefined, 1, 3, 6),
      suspendedInStorageAfterMonths: fc.constantFrom(undefined, 1, 4),
      interval: fc.constantFrom({ months: 3 }, { months: 6 }),
    })
    const events = fc.array(fc.tuple(fc.integer({ min: 0, max: 120 }), happening), { maxLength: 6 })
    const entries = fc.array(entry, { maxLength: 2 })
    fc.assert(
      fc.property(events, entries, rule, fc.boolean(), (some, entered, more, woodForbidden) => {
        const rules = withRule(
          Object.fromEntries(Object.entries(more).filter(([, value]) => value !== undefined)),
          woodForbidden,
        )
        const registered = entered.map(([offset, construction]): [number, Happening] => [
          offset,
          happened.registered({ ...aStick, construction: construction as 'wood' }),
        ])
        const ordered = [...some, ...registered]
          .toSorted(([a], [b]) => a - b)
          .map(([offset, what]): [string, Happening] => [addDays(day('2026-01-02'), offset), what])
        const state = replay(history(['2026-01-01', happened.registered()], ...ordered))
        const from = addDays(day('2026-01-02'), 121)
        const standsAs = (on: CalendarDate) => {
          const { status, dueOn } = standingOn(state, on, rules)
          return `${seenAs(status)} ${dueOn}`
        }
        const known = standsAs(from)
        const daysAhead = Array.from({ length: 600 }, (_, i) => addDays(from, i + 1))
        const expected = daysAhead.find((on) => standsAs(on) !== known) ?? null
        const found = nextChangeOn(state, standingOn(state, from, rules), { day: from, rules })
        seen.count(expected === null ? 'none' : standsAs(expected).replace(/ [^ ]*$/, ''))
        expect(found).toBe(expected)
      }),
      { numRuns: runs, seed: 20261129 },
    )
    seen.expectAtLeast(0.1, 'none', 'on hold')
    seen.expectAtLeast(0.002, 'usable')
  })
})
