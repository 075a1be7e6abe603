/** The laws that due dates keep, whatever the stick, its history and the rules. */
import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { addDays, type CalendarDate } from '../../../shared-domain/calendar.ts'
import { applies, type Clock, clocksOf } from '../../../shared-domain/policy/clocks.ts'
import { employerPolicy } from '../../../shared-domain/policy/policy.ts'
import type { Interval, Requirement } from '../../../shared-domain/policy/requirement.ts'
import { noRules, type Rules, rulesFrom } from '../../../shared-domain/policy/rules.ts'
import type { Stick } from '../../../shared-domain/registers.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { hasCode } from '../../../shared-domain/state/hold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import type { StickState } from '../../../shared-domain/state/state.ts'
import { mayBeUsed } from '../../../shared-domain/state/use.ts'
import { tally } from '../../support/tally.ts'
import {
  anyDayOn,
  anyEmployerPolicy,
  anyHistory,
  anyInterval,
  anyPolicy,
  anyRequirement,
  anyStop,
  anyUse,
  firstDay,
  lastDay,
  runs,
  seeded,
  usedOn,
  withFact,
} from './any-policy.ts'

const clocksUnder = (policy: Rules, state: StickState) => {
  const stick = state.registrations.at(-1)?.stick
  return stick === undefined ? [] : clocksOf(stick, state, policy)
}
const never = '0000-00-00'
const endless = '9999-99-99'
/** Text that compares as days do. */
const endOf = ({ since, dueOn }: Clock) => (since === null ? never : (dueOn ?? endless))
/** The last day of use: never, while anything is unwound. */
const dueUnder = (policy: Rules, state: StickState) => clocksUnder(policy, state).map(endOf).sort()[0] ?? endless

/** Clock by clock, which is more than the date alone; answers whether any ends earlier. */
function expectNoneLater(before: readonly Clock[], after: readonly Clock[]): boolean {
  const pairs = before.map((one) => {
    const same = after.find(({ requirement }) => requirement === one.requirement)
    return { was: endOf(one), is: same === undefined ? 'gone' : endOf(same) }
  })
  expect(pairs.filter(({ was, is }) => !(is <= was))).toEqual([])
  return pairs.some(({ was, is }) => is < was)
}
const usable = (state: StickState, on: CalendarDate, policy: Rules) => mayBeUsed(standingOn(state, on, policy).status)

describe('nothing of these makes anything due later, or fit that was not', () => {
  test('another requirement', () => {
    const seen = tally(runs)
    fc.assert(
      fc.property(anyHistory, anyPolicy, anyRequirement, anyDayOn, (facts, policy, more, on) => {
        const state = replay(facts)
        const with_ = { ...policy, requirements: [...policy.requirements, { ...more, id: 'one-more' }] }
        expectNoneLater(clocksUnder(policy, state), clocksUnder(with_, state))
        // a stick that no rule covered is on hold for that alone, and another rule covers it
        const uncovered = hasCode(standingOn(state, on, policy).holds, 'no-requirement-covers')
        expect(usable(state, on, with_) && !uncovered ? usable(state, on, policy) : true).toBe(true)
        seen.count(dueUnder(with_, state) < dueUnder(policy, state) && 'due earlier')
        seen.count(usable(state, on, policy) && !usable(state, on, with_) && 'unfit by it')
      }),
      seeded,
    )
    seen.expectAtLeast(0.05, 'due earlier')
    seen.expectAtLeast(0.009, 'unfit by it')
  })

  test('a stopping event, wherever in its history', () => {
    const seen = tally(runs)
    fc.assert(
      fc.property(anyHistory, anyPolicy, anyStop, anyDayOn, (facts, policy, stop, on) => {
        const [without, with_] = [replay(facts), replay(withFact(facts, stop))]
        const earlier = expectNoneLater(clocksUnder(policy, without), clocksUnder(policy, with_))
        expect(usable(with_, on, policy) && !usable(without, on, policy)).toBe(false)
        seen.count(usable(without, on, policy) && !usable(with_, on, policy) && 'unfit by it')
        seen.count(earlier && 'earlier')
      }),
      seeded,
    )
    seen.expectAtLeast(0.009, 'unfit by it')
    seen.expectAtLeast(0.001, 'earlier')
  })

  test('another event that a requirement names', () => {
    fc.assert(
      fc.property(anyHistory, anyPolicy, fc.nat(), anyDayOn, (facts, policy, at, on) => {
        const state = replay(facts)
        const stops = ['cleaned' as const, 'waxed' as const]
        const stopped = changed(policy, at, (one) => ({ ...one, stops: [...(one.stops ?? []), ...stops] }))
        expect(dueUnder(stopped, state)).toBe(dueUnder(policy, state))
        expect(usable(state, on, stopped) && !usable(state, on, policy)).toBe(false)
      }),
      seeded,
    )
  })

  test('a use, wherever in its history, while no use counts as occasional', () => {
    const seen = tally(runs)
    fc.assert(
      fc.property(anyHistory, anyPolicy, anyUse, anyDayOn, (facts, any, use, on) => {
        const policy = { ...any, occasionalUse: undefined }
        const [without, with_] = [replay(facts), replay(withFact(facts, usedOn(use.occurredOn, use)))]
        seen.count(expectNoneLater(clocksUnder(policy, without), clocksUnder(policy, with_)) && 'earlier')
        expectNoFitter(without, with_, on, policy)
      }),
      seeded,
    )
    seen.expectAtLeast(0.005, 'earlier')
  })

  test('a use after all its evidence, by thresholds of any kind; one before may be what shows occasional use', () => {
    const seen = tally(runs)
    fc.assert(
      fc.property(anyHistory, anyPolicy, anyUse, anyDayOn, (facts, policy, use, on) => {
        const without = replay(facts)
        const newest = Object.values(without.evidence).sort().at(-1) ?? firstDay
        const with_ = replay(withFact(facts, usedOn(addDays(newest, 1), use)))
        seen.count(expectNoneLater(clocksUnder(policy, without), clocksUnder(policy, with_)) && 'earlier')
        expectNoFitter(without, with_, on, policy)
        const classes = (state: StickState) => JSON.stringify(clocksUnder(policy, state).map((one) => one.serviceClass))
        seen.count(classes(with_) !== classes(without) && 'no longer occasional')
      }),
      seeded,
    )
    seen.expectAtLeast(0.005, 'earlier')
    seen.expectAtLeast(0.005, 'no longer occasional')
  })

  test('a shorter interval', () => {
    const seen = tally(runs)
    fc.assert(
      fc.property(anyHistory, anyPolicy, fc.nat(), anyInterval, anyDayOn, (facts, policy, at, interval, on) => {
        const state = replay(facts)
        const shorter = (than: Interval | null) => (isShorter(interval, than) ? interval : than)
        const shortened = changed(policy, at, ({ byClass, ...one }) => ({
          ...one,
          interval: shorter(one.interval),
          ...(byClass && {
            byClass: Object.fromEntries(Object.entries(byClass).map(([kind, than]) => [kind, shorter(than)])),
          }),
        }))
        seen.count(expectNoneLater(clocksUnder(policy, state), clocksUnder(shortened, state)) && 'earlier')
        expect(usable(state, on, shortened) && !usable(state, on, policy)).toBe(false)
      }),
      seeded,
    )
    seen.expectAtLeast(0.005, 'earlier')
  })

  test('a rule shortened, or another requirement, in what the employer hands in', () => {
    const seen = tally(runs)
    fc.assert(
      fc.property(anyHistory, anyEmployerPolicy, (facts, employer) => {
        fc.pre(employerPolicy.safeParse(employer).success)
        const { shorten: _, add: __, ...bare } = employer
        const state = replay(facts)
        const [without, with_] = [rulesFrom(bare), rulesFrom(employer)]
        expectNoneLater(clocksUnder(without, state), clocksUnder(with_, state))
        seen.count(dueUnder(with_, state) < dueUnder(without, state) && 'due earlier')
      }),
      seeded,
    )
    seen.expectAtLeast(0.05, 'due earlier')
  })
})

/** What lay tested on the shelf is issued by its use, if that was within the limit. */
function expectNoFitter(without: StickState, with_: StickState, on: CalendarDate, policy: Rules): void {
  const laidBy = hasCode(standingOn(without, on, policy).holds, 'shelf-limit')
  if (!laidBy) expect(usable(with_, on, policy) && !usable(without, on, policy)).toBe(false)
}

/** One of its requirements changed. */
function changed(policy: Rules, at: number, change: (one: Requirement) => Requirement): Rules {
  const chosen = at % policy.requirements.length
  return { ...policy, requirements: policy.requirements.map((one, i) => (i === chosen ? change(one) : one)) }
}

function isShorter(one: Interval, than: Interval | null): boolean {
  if (than === null) return false
  if ('useDays' in one || 'useDays' in than) return 'useDays' in one && 'useDays' in than && one.useDays < than.useDays
  if ('days' in one && 'days' in than) return one.days < than.days
  // a month has 28 to 31 days, and the end of one is at most 30 days away
  const least = 'days' in than ? than.days : than.months * 28
  const most = 'days' in one ? one.days : one.months * 31 + 31
  return most < least
}

/**
 * The legal maxima once more, written down from the documents and counted by another library: the last days of use from
 * what is known of a stick, none where the document asks for nothing.
 */
interface Known {
  readonly state: StickState
  readonly stick: Stick
  readonly examinationOnly: boolean
}
const monthsOn = (date: CalendarDate | undefined, months: number) =>
  date === undefined ? never : Temporal.PlainDate.from(date).add({ months }).toString()

/** Where it has been since a day; who had it until then, and gave it away on that day, has not had it since. */
function heldSince({ custodySpells }: StickState, since: CalendarDate | undefined) {
  const spells = custodySpells.filter((_, i) => (custodySpells[i + 1]?.since ?? endless) > (since ?? never))
  const kinds = spells.map(({ kind }) => kind)
  const used = kinds.includes('used from store')
  return {
    stored: kinds.includes('store') || used,
    inUse: kinds.includes('crew') || kinds.includes('lent') || used,
  }
}

const maxima: Readonly<Record<string, (known: Known) => string[]>> = {
  // (j)(2)(iii): every 2 years; (C)(2): of a rod or foam-filled tube an examination may stand alone
  'us-29-cfr-1910-269-j': ({ stick, state: { evidence }, examinationOnly }) => {
    if (!stick.primaryProtection) return []
    const test = evidence['dry test']
    const may = examinationOnly && ['FRP rod', 'foam-filled FRP tube'].includes(stick.construction)
    const examined = may ? evidence['demonstrated examination'] : undefined
    return [monthsOn(test !== undefined && examined !== undefined && examined > test ? examined : test, 24)]
  },
  // 5-4.10: dry 6 months, 12 in long storage; 5-4.11: wet 2 years, of FRP
  'ufc-3-560-01-5-4': ({ stick, state }) => {
    const { 'dry test': dry, 'wet test': wet } = state.evidence
    const { stored, inUse } = heldSince(state, dry)
    const dryUntil = monthsOn(dry, stored && !inUse ? 12 : 6)
    return stick.construction === 'wood' ? [dryUntil] : [dryUntil, monthsOn(wet, 24)]
  },
  // 15-18d: at least once a month if not in use
  'us-mo-200': ({ state }) => {
    const check = state.evidence['condition check']
    return heldSince(state, check).stored ? [monthsOn(check, 1)] : []
  },
  // Art. 351(1): within every 6 months
  'jp-ordinance-351': ({ state: { evidence } }) => [monthsOn(evidence['dry test'], 6)],
  // Annex 7: once in 24 months; condition at least every 6 months
  'ru-order-261': ({ state: { evidence } }) => [
    monthsOn(evidence['dry test'], 24),
    monthsOn(evidence['condition check'], 6),
  ],
}

describe('no policy that validates puts a date past a legal maximum', () => {
  test('of any pack in force', () => {
    const seen = tally(runs)
    fc.assert(
      fc.property(anyHistory, anyEmployerPolicy, anyDayOn, (facts, employer, on) => {
        seen.count(!employerPolicy.safeParse(employer).success && 'refused')
        fc.pre(employerPolicy.safeParse(employer).success)
        const state = replay(facts)
        const policy = rulesFrom(employer)
        const known = { state, stick: stickOf(state), examinationOnly: policy.examinationOnly }
        const legal = employer.packs.flatMap((pack) => maxima[pack]?.(known) ?? [never])
        const most = legal.sort()[0] ?? endless
        expect(dueUnder(policy, state) <= most).toBe(true)
        expect(usable(state, on, policy) && on > most).toBe(false)
        seen.count(most !== endless && most !== never && 'bound')
        seen.count(dueUnder(policy, state) === most && 'at the maximum')
      }),
      seeded,
    )
    seen.expectAtLeast(0.2, 'refused')
    seen.expectAtLeast(0.5, 'bound')
    seen.expectAtLeast(0.2, 'at the maximum')
  })
})

function stickOf(state: StickState): Stick {
  const stick = state.registrations[0]?.stick
  if (stick === undefined) throw new Error('every history here begins with an entry on the register')
  return stick
}

test('a due date is the same on whatever day it is asked for', () => {
  const seen = tally(runs)
  fc.assert(
    fc.property(anyHistory, anyPolicy, anyDayOn, anyDayOn, (facts, policy, today, another) => {
      const [now, then] = [today, another].map((on) => standingOn(replay(facts), on, policy))
      expect(now?.clocks.map(certain)).toEqual(then?.clocks.map(certain))
      // a clock at rest in store is not governing but a hold, from the day on which its interval ran out
      const resting = [now, then].some((one) => hasCode(one?.holds ?? [], 'resting-in-store'))
      if (!resting) expect(now?.dueOn).toBe(then?.dueOn)
      seen.count(now?.dueOn != null && !resting && 'due')
      seen.count(resting && 'resting')
    }),
    seeded,
  )
  seen.expectAtLeast(0.3, 'due')
  seen.expectAtLeast(0.01, 'resting')
})

/** Without the likely date, which advises from the day of asking on. */
const certain = ({ expected: _, ...clock }: Clock) => clock

describe('what is not known makes a stick unfit', () => {
  test('no policy', () => {
    fc.assert(
      fc.property(anyHistory, anyDayOn, (facts, on) => {
        expect(usable(replay(facts), on, noRules)).toBe(false)
      }),
      seeded,
    )
  })

  test('no entry on the register, and so no construction', () => {
    fc.assert(
      fc.property(anyHistory, anyPolicy, anyDayOn, ([, ...facts], policy, on) => {
        expect(usable(replay(facts), on, policy)).toBe(false)
      }),
      seeded,
    )
  })

  test('no evidence of a kind that a requirement asks for', () => {
    const seen = tally(runs)
    fc.assert(
      fc.property(anyHistory, anyPolicy, fc.nat(), anyDayOn, (facts, policy, at, on) => {
        const state = replay(facts)
        const asking = policy.requirements.filter((one) => applies(one, stickOf(state)) && runs_(one, state))
        const kinds = asking.flatMap((one) => one.evidence)
        const kind = kinds[at % kinds.length]
        fc.pre(kind !== undefined)
        const evidence = Object.fromEntries(Object.entries(state.evidence).filter(([known]) => known !== kind))
        seen.count(usable(state, addDays(lastDay, 1), policy) && 'fit with it')
        expect(usable({ ...state, evidence }, on, policy)).toBe(false)
      }),
      seeded,
    )
    seen.expectAtLeast(0.02, 'fit with it')
  })
})

/** Whether it asks for its evidence in the service that the stick has been in. */
function runs_({ interval, byClass }: Requirement, { custodySpells }: StickState): boolean {
  const kinds = custodySpells.map(({ kind }) => kind)
  const asks = (kind: 'frequent' | 'stored') => (byClass?.[kind] === undefined ? interval : byClass[kind]) !== null
  return (
    byClass === undefined ||
    (kinds.includes('store') ? asks('stored') : false) ||
    (kinds.includes('crew') && asks('frequent'))
  )
}
