/** What is said not to loosen makes nothing milder: on random registers, policies, histories and tests. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { BenchTest } from '../../../shared-domain/bench-test/bench-test.ts'
import { judgeByEditions } from '../../../shared-domain/bench-test/editions.ts'
import type { Judgement } from '../../../shared-domain/bench-test/judge.ts'
import { waysOfLoosening } from '../../../shared-domain/loosening/loosening.ts'
import { type Clock, clocksOf } from '../../../shared-domain/policy/clocks.ts'
import { employerPolicy } from '../../../shared-domain/policy/policy.ts'
import { type Rules, rulesFrom } from '../../../shared-domain/policy/rules.ts'
import type { Instrument, Procedure, Stick } from '../../../shared-domain/registers.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import type { StickState } from '../../../shared-domain/state/state.ts'
import { mayBeUsed } from '../../../shared-domain/state/use.ts'
import { tally } from '../../support/tally.ts'
import { aStick, aTest, day, happened } from '../../support/trade.ts'
import { anyCase, anySpoiltCase } from '../bench-test/any-case.ts'
import { shown } from '../bench-test/fixtures.ts'
import {
  anyDayOn,
  anyEmployerPolicy,
  anyHistory,
  firstDay,
  lastDay,
  runs,
  seeded,
  withFact,
} from '../policy/any-policy.ts'
import {
  anyPolicyEdit,
  type Change,
  changeOne,
  instrumentFields,
  limitFields,
  on,
  onLines,
  optional,
  procedureChange,
  set,
  stickFields,
  withstandTest,
} from './any-edit.ts'

/** Passed without wax, waxed before it or not; passed after a failure; stopped by what a rule may name. */
const anySoonFact = fc
  .tuple(
    fc.constantFrom(
      ...Array.from({ length: 6 }, () => happened.tested('pass')),
      happened.tested('pass', aTest({ waxed: false })),
      happened.tested('pass', aTest({ waxed: false })),
      happened.tested('electrical'),
      happened.step('cleaned'),
      happened.step('waxed'),
      happened.step('refinished'),
      happened.moved({ store: 'DEP-1' }),
      happened.moved({ crewId: 'CR-1' }),
    ),
    fc.integer({ min: 0, max: 3 }),
  )
  .map(([what, more]): [typeof lastDay, typeof what] => [day(`2026-12-${String(10 + more)}`), what])
const anyState = fc
  .tuple(anyHistory, fc.array(anySoonFact, { maxLength: 3 }))
  .map(([facts, soon]) => replay(soon.reduce((so, fact) => renumbered(withFact(so, fact)), facts)))
const renumbered = (facts: ReturnType<typeof withFact>) =>
  facts.map((fact, i) => ({ ...fact, factId: `fact ${i}`, seq: i + 1 }))

const never = '0000-00-00'
const endless = '9999-99-99'
const endOf = ({ since, dueOn }: Clock) => (since === null ? never : (dueOn ?? endless))
function dueUnder(rules: Rules, state: StickState): string {
  const stick = state.registrations.at(-1)?.stick
  return (stick === undefined ? [] : clocksOf(stick, state, rules).map(endOf)).sort()[0] ?? endless
}
const usable = (state: StickState, date: typeof lastDay, rules: Rules) =>
  mayBeUsed(standingOn(state, date, rules).status)

test('of a policy: no stick reads fitter, or is due later', () => {
  const seen = tally(runs)
  fc.assert(
    fc.property(anyPolicyEdit, anyState, anyDayOn, ({ before, after }, state, far) => {
      fc.pre(employerPolicy.safeParse(before).success && employerPolicy.safeParse(after).success)
      const ways = waysOfLoosening({
        kind: 'policy',
        id: 'employer',
        before: [on('2026-01-01', before)],
        after: on('2026-03-02', after),
        known: { pinned: [] },
      })
      const [was, is] = [rulesFrom(before), rulesFrom(after)]
      const days = [day('2026-12-20'), day('2027-01-10'), day('2027-06-10'), far]
      const fit = days.map((date) => ({ was: usable(state, date, was), is: usable(state, date, is) }))
      const fitter = fit.some((one) => one.is && !one.was)
      const later = dueUnder(is, state) > dueUnder(was, state)
      seen.count(ways.length === 0 ? 'not loosening' : 'loosening')
      if (ways.length > 0) {
        seen.count(fitter && 'fitter', later && 'due later')
        return
      }
      expect({ fitter, later }).toEqual({ fitter: false, later: false })
      seen.count(
        fit.some((one) => one.was && !one.is) && 'stricter',
        fit.some((one) => one.was && one.is) && 'fit by both',
      )
      seen.count(dueUnder(is, state) < dueUnder(was, state) && 'due earlier')
    }),
    seeded,
  )
  seen.expectAtLeast(0.2, 'loosening', 'not loosening')
  seen.expectAtLeast(0.01, 'fitter', 'due later', 'stricter', 'due earlier', 'fit by both')
})

/** A pass is never made of what was none, nor doubt of a failure but by asking more of how it was measured. */
function isMilder(is: Judgement, was: Judgement): boolean {
  if (is.verdict === 'pass') return was.verdict !== 'pass'
  return was.verdict === 'fail' && is.verdict === 'incomplete'
}

const anyTest = fc.oneof(anyCase, anySpoiltCase)
/** So that what is below the rule's own is judged by its figure. */
const demonstration = shown('withstand').body
const demonstrated = (test: BenchTest): BenchTest => ({ ...test, demonstrationId: 'DEM-1' })

describe('of what a test is judged by: no test passes that did not, and no failure is a thing left out', () => {
  /** Judged by the one and by the other. */
  function compare(
    seen: ReturnType<typeof tally>,
    ways: readonly unknown[],
    [was, is]: readonly [Judgement, Judgement],
  ): void {
    const milder = isMilder(is, was)
    seen.count(ways.length === 0 ? 'not loosening' : 'loosening')
    if (ways.length > 0) {
      seen.count(milder && 'milder')
      return
    }
    expect({ was: was.verdict, is: is.verdict, milder }).toMatchObject({ milder: false })
    seen.count(was.verdict === 'pass' && is.verdict !== 'pass' && 'stricter', is.verdict === 'pass' && 'passes by both')
  }

  test('a procedure', () => {
    const seen = tally(runs)
    const edits = fc.tuple(anyTest, onLines, fc.array(procedureChange, { minLength: 1, maxLength: 2 }), fc.boolean())
    fc.assert(
      fc.property(edits, ([{ test: one, editions }, lineKilovolts, changes, isBack]) => {
        const other = changes.reduce((so, change) => change(so), editions.procedure)
        const [before, after] = isBack ? [other, editions.procedure] : [editions.procedure, other]
        const ways = waysOfLoosening({
          kind: 'procedure',
          id: 'PRC-1',
          before: [on('2026-01-01', before)],
          after: on('2026-03-02', after),
          known: { others: [] },
        })
        const stick = set(editions.stick, { lineKilovolts })
        const judged = (procedure: Procedure) =>
          judgeByEditions(demonstrated(one), { ...editions, stick, procedure, demonstration })
        compare(seen, ways, [judged(before), judged(after)])
      }),
      seeded,
    )
    seen.expectAtLeast(0.2, 'loosening', 'not loosening')
    seen.expectAtLeast(0.004, 'milder', 'stricter')
    seen.expectAtLeast(0.02, 'passes by both')
  })

  test('an instrument, but for what a new certificate says', () => {
    const seen = tally(runs)
    fc.assert(
      fc.property(
        anyTest,
        fc.array(instrumentFields, { minLength: 1, maxLength: 2 }),
        ({ test: one, editions }, changes) => {
          const newest = editions.instruments.at(-1)
          fc.pre(newest !== undefined)
          const body = changes.reduce<Instrument>((so, over) => set(so, over), newest?.body as Instrument)
          const after = on('2026-01-20', body)
          const ways = waysOfLoosening({ kind: 'instrument', id: 'INS-1', before: editions.instruments, after })
          const instruments = [...editions.instruments, after]
          compare(seen, ways, [judgeByEditions(one, editions), judgeByEditions(one, { ...editions, instruments })])
        },
      ),
      seeded,
    )
    seen.expectAtLeast(0.1, 'loosening', 'not loosening')
    seen.expectAtLeast(0.004, 'milder', 'stricter', 'passes by both')
  })

  test('a stick', () => {
    const seen = tally(runs)
    const procedures = fc.tuple(
      optional(fc.array(withstandTest, { maxLength: 2 })),
      fc.array(fc.tuple(fc.nat(), limitFields), { maxLength: 3 }),
    )
    const edits = fc.tuple(anyTest, procedures, fc.array(stickFields, { minLength: 1, maxLength: 2 }), fc.boolean())
    fc.assert(
      fc.property(edits, ([{ test: one, editions }, [withstand, over], changes, isBack]) => {
        const limits = over.reduce((so, [at, fields]) => changeOne(so, at, fields), editions.procedure.limits)
        const procedure = set({ ...editions.procedure, limits }, { withstand })
        const other = changes.reduce((so, change) => change(so), editions.stick)
        const [before, after] = isBack ? [other, editions.stick] : [editions.stick, other]
        const ways = waysOfLoosening({
          kind: 'stick',
          id: 'S-1',
          before: [on('2026-01-01', before)],
          after: on('2026-03-02', after),
          known: { requirements: [], procedures: [procedure] },
        })
        const judged = (stick: Stick): Judgement =>
          judgeByEditions(demonstrated(one), { ...editions, stick, procedure, demonstration })
        compare(seen, ways, [judged(before), judged(after)])
      }),
      seeded,
    )
    seen.expectAtLeast(0.2, 'loosening', 'not loosening')
    seen.expectAtLeast(0.01, 'milder', 'stricter', 'passes by both')
  })
})

describe('of a stick’s entry', () => {
  const anyEntry: fc.Arbitrary<Stick> = fc
    .record({
      construction: fc.constantFrom('FRP rod', 'FRP rod', 'wood'),
      workingLengthMetres: fc.constantFrom(2.3, 2.4, 2.5),
      diameterMillimetres: fc.constantFrom(31, 32),
      primaryProtection: fc.constantFrom(true, true, false),
      lineKilovolts: fc.constantFrom(undefined, 138, 230),
      inServiceSince: fc.constantFrom(undefined, firstDay, lastDay),
      lot: fc.constantFrom(undefined, 'L-7', 'L-7', 'L-7', 'L-9'),
      sameStick: fc.constantFrom(undefined, undefined, true as const),
      sections: fc.constantFrom(undefined, [
        { name: 'tip', lengthMetres: 1.25 },
        { name: 'butt', lengthMetres: 1.25 },
      ]),
    })
    .map((one) => set({ ...aStick, ...one } as Stick, {}))

  test('it reads no fitter and is due no later, tested under any entry before', () => {
    const seen = tally(runs)
    const isPutBack = fc.constantFrom(false, false, false, true)
    const entries = fc.tuple(anyEntry, anyEntry, fc.nat(1), stickEdits(), isPutBack)
    fc.assert(
      fc.property(entries, anyEmployerPolicy, ([first, second, testedUnder, change, putBack], employer) => {
        fc.pre(employerPolicy.safeParse(employer).success)
        const rules = rulesFrom(employer)
        const third = putBack ? first : change(second)
        const editions = [on('2026-01-01', first), on('2026-01-02', second)]
        const ways = waysOfLoosening({
          kind: 'stick',
          id: 'S-1',
          before: editions,
          after: on('2026-03-02', third),
          known: { requirements: rules.requirements, procedures: [] },
        })
        const state = stateOf([first, second], testedUnder)
        const edited = stateOf([first, second, third], testedUnder)
        const date = day('2026-03-10')
        const fitter = usable(edited, date, rules) && !usable(state, date, rules)
        const later = dueUnder(rules, edited) > dueUnder(rules, state)
        seen.count(ways.length === 0 ? 'not loosening' : 'loosening')
        if (ways.length > 0) return seen.count(fitter && 'fitter', later && 'due later')
        expect({ fitter, later }).toEqual({ fitter: false, later: false })
        seen.count(
          usable(edited, date, rules) && 'fit by both',
          usable(state, date, rules) && !usable(edited, date, rules) && 'stricter',
        )
      }),
      seeded,
    )
    seen.expectAtLeast(0.1, 'loosening', 'not loosening')
    seen.expectAtLeast(0.005, 'fitter', 'due later', 'fit by both', 'stricter')
  })

  /** Of one field, into what another entry says. */
  function stickEdits(): fc.Arbitrary<Change<Stick>> {
    const keys = [
      'construction',
      'workingLengthMetres',
      'diameterMillimetres',
      'primaryProtection',
      'lineKilovolts',
      'inServiceSince',
      'lot',
      'sameStick',
      'sections',
    ] as const
    return fc.tuple(anyEntry, fc.subarray([...keys], { minLength: 1, maxLength: 2 })).map(
      ([other, chosen]) =>
        (stick: Stick) =>
          set(stick, Object.fromEntries(chosen.map((key) => [key, other[key]]))),
    )
  }

  /** Tested on the first day, by the one or the other entry. */
  function stateOf(entries: readonly Stick[], testedUnder: number): StickState {
    const registrations = entries.map((stick, i) => ({ seq: i + 1, effectiveFrom: day(`2026-01-0${i + 1}`), stick }))
    const passed = replay(
      renumbered(
        withFact(withFact([], [day('2026-01-01'), happened.registered()]), [
          day('2026-01-05'),
          happened.tested('pass'),
        ]),
      ),
    )
    return { ...passed, registrations, testedSeq: testedUnder + 1 }
  }
})
