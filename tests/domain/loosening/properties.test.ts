/** What is said not to loosen makes nothing milder: on random registers, policies, histories and tests. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { judgeByEditions } from '../../../shared-domain/bench-test/editions.ts'
import type { Judgement } from '../../../shared-domain/bench-test/judge.ts'
import { waysOfLoosening } from '../../../shared-domain/loosening/loosening.ts'
import type { Dated } from '../../../shared-domain/loosening/way.ts'
import { type Clock, clocksOf } from '../../../shared-domain/policy/clocks.ts'
import { type EmployerPolicy, employerPolicy } from '../../../shared-domain/policy/policy.ts'
import type { Requirement } from '../../../shared-domain/policy/requirement.ts'
import { type Rules, rulesFrom } from '../../../shared-domain/policy/rules.ts'
import type { Instrument, Limit, Procedure, Stick, WithstandTest } from '../../../shared-domain/registers.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import type { StickState } from '../../../shared-domain/state/state.ts'
import { mayBeUsed } from '../../../shared-domain/state/use.ts'
import { constructions, evidenceKinds, serviceClasses, stoppingEvents } from '../../../shared-domain/words.ts'
import { tally } from '../../support/tally.ts'
import { aStick, aTest, day, happened } from '../../support/trade.ts'
import { anyCase, anySpoiltCase } from '../bench-test/any-case.ts'
import {
  anyDayOn,
  anyEmployerPolicy,
  anyHistory,
  anyInterval,
  anyRequirement,
  firstDay,
  lastDay,
  runs,
  seeded,
  withFact,
} from '../policy/any-policy.ts'

const on = <Body>(date: string, body: Body): Dated<Body> => ({ effectiveFrom: day(date), body })

/** A change and, as likely, its opposite. */
type Change<Body> = (body: Body) => Body
const both = <Body>(arbitrary: fc.Arbitrary<Change<Body>>, body: fc.Arbitrary<Body>) =>
  fc.tuple(body, fc.array(arbitrary, { minLength: 1, maxLength: 2 }), fc.boolean()).map(([one, changes, isBack]) => {
    const other = changes.reduce((so, change) => change(so), one)
    return isBack ? { before: other, after: one } : { before: one, after: other }
  })

const optional = <T>(one: fc.Arbitrary<T>) => fc.option(one, { nil: undefined })
/** A key left out where its value is nothing, as a body is. */
const set = <Body>(body: Body, over: { [key in keyof Body]?: Body[key] | undefined }): Body =>
  Object.fromEntries(Object.entries({ ...body, ...over }).filter(([, value]) => value !== undefined)) as Body

const requirementFields: fc.Arbitrary<Partial<{ [key in keyof Requirement]: Requirement[key] | undefined }>> = fc.oneof(
  fc.record({ interval: fc.option(anyInterval) }),
  fc.record({ evidence: fc.uniqueArray(fc.constantFrom(...evidenceKinds), { minLength: 1, maxLength: 3 }) }),
  fc.record({ evidence: fc.constant<Requirement['evidence']>(['dry test']) }),
  fc.record({ examinationOnly: optional(fc.subarray([...constructions])) }),
  fc.record({ shelfMonths: optional(fc.integer({ min: 1, max: 24 })) }),
  fc.record({ suspendedInStorageAfterMonths: optional(fc.integer({ min: 0, max: 12 })) }),
  fc.record({ stops: optional(fc.subarray([...stoppingEvents])) }),
  fc.record({ waxing: optional(fc.constant('company rule 2')) }),
  fc.record({
    byClass: optional(
      fc.dictionary(fc.constantFrom(...serviceClasses), fc.option(anyInterval), { noNullPrototype: true }),
    ),
  }),
  fc.record({
    statedBy: optional(
      fc.tuple(fc.record({ by: fc.constant('the maker'), interval: anyInterval, source: fc.constant('sheet') })),
    ),
  }),
  fc.record({
    appliesTo: fc
      .record({
        primaryProtectionOnly: fc.boolean(),
        constructions: fc.subarray([...constructions], { minLength: 1 }),
        inServiceFrom: optional(fc.constantFrom(firstDay, lastDay)),
      })
      .map((one) => set(one, {}) as Requirement['appliesTo']),
  }),
)

const policyFields: fc.Arbitrary<Partial<{ [key in keyof EmployerPolicy]: EmployerPolicy[key] | undefined }>> =
  fc.oneof(
    fc.record({ releaseAfterFailure: fc.boolean() }),
    fc.record({ woodForbidden: fc.boolean() }),
    fc.record({ examinationOnly: fc.boolean() }),
    fc.record({ waxing: optional(fc.constant('company rule 3')) }),
    fc.record({ useWeights: fc.record({ wet: fc.constantFrom(1, 1.5, 4), salt: fc.constantFrom(1, 10) }) }),
    fc.record({
      occasionalUse: optional(
        fc.record({ windowDays: fc.constantFrom(60, 90, 365, 730), atMostUseDays: fc.integer({ min: 1, max: 20 }) }),
      ),
    }),
    fc.record({ tellDaysBefore: fc.constantFrom<number[][]>([60, 0], [0]) }),
    anyEmployerPolicy.map(({ packs }) => ({ packs })),
    anyEmployerPolicy.map(({ shorten }) => ({ shorten })),
    anyEmployerPolicy.map(({ turnOn }) => ({ turnOn })),
  )

const policyChange: fc.Arbitrary<Change<EmployerPolicy>> = fc.oneof(
  { weight: 2, arbitrary: policyFields.map((over) => (policy: EmployerPolicy) => set(policy, over)) },
  anyRequirement.map((one) => (policy: EmployerPolicy) => ({
    ...policy,
    add: [...(policy.add ?? []).filter(({ id }) => id !== one.id), one],
  })),
  {
    weight: 4,
    arbitrary: fc.tuple(fc.nat(1), requirementFields).map(([at, over]) => (policy: EmployerPolicy) => ({
      ...policy,
      add: (policy.add ?? []).map((one, i) => (i === at % (policy.add ?? []).length ? set(one, over) : one)),
    })),
  },
)

/** Of little that is asked, so that many a stick is fit by it. */
const anyLightPolicy: fc.Arbitrary<EmployerPolicy> = fc
  .record({
    packs: fc.constantFrom<EmployerPolicy['packs'][]>(['us-29-cfr-1910-269-j'], ['ru-order-261'], ['us-mo-200']),
    add: fc.array(anyRequirement, { maxLength: 1 }),
    occasionalUse: optional(fc.constant({ windowDays: 90, atMostUseDays: 5 })),
  })
  .map((one) => set(one, {}) as EmployerPolicy)

const anyPolicyEdit = both(
  policyChange,
  fc.oneof({ weight: 3, arbitrary: anyLightPolicy }, { weight: 1, arbitrary: anyEmployerPolicy }),
)

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

const limitFields: fc.Arbitrary<Partial<{ [key in keyof Limit]: Limit[key] | undefined }>> = fc.oneof(
  fc.record({ microamps: fc.constantFrom(2.5, 9, 9.5, 10, 12, 19, 20, 30) }),
  fc.record({ diameterMillimetres: optional(fc.constantFrom<[number, number]>([20, 32], [32, 40], [33, 50])) }),
  fc.record({ spanMetres: optional(fc.constantFrom(0.3, 0.4)) }),
  fc.record({ kilovolts: optional(fc.constantFrom(100, 50)) }),
  fc.record({ hertz: optional(fc.constantFrom(50, 60)) }),
)
const checkFields: fc.Arbitrary<Partial<Procedure['checks'][number]>> = fc.oneof(
  fc.record({ tolerancePercent: fc.constantFrom(1, 5, 10, 45) }),
  fc.record({ openAtMostMicroamps: fc.constantFrom(0, 1, 2) }),
  fc.record({ afterToo: fc.boolean() }),
  fc.record({ expectedMicroamps: fc.constantFrom(20, 50, 100) }),
)
const withstandTest: fc.Arbitrary<WithstandTest> = fc
  .record({
    construction: fc.constantFrom(...constructions),
    when: fc.constantFrom('new', 'in service'),
    lineKilovolts: optional(fc.constantFrom<[number, number]>([0, 100], [100, 400])),
    voltage: fc.constantFrom<WithstandTest['voltage'][]>(
      { kilovoltsPerFoot: 75 },
      { kilovoltsPerMetre: 246.1 },
      { kilovoltsPerMetre: 450 },
      { kilovolts: 100 },
      { kilovolts: 300 },
      { times: 3, of: 'line voltage' },
      { times: 1, of: 'phase voltage', atLeastKilovolts: 200 },
    ),
    seconds: fc.constantFrom(30, 60, 300, 900),
    source: fc.constant('sample'),
  })
  .map((one) => set(one, {}) as WithstandTest)

const changeOne = <One>(all: readonly One[], at: number, over: { [key in keyof One]?: One[key] | undefined }): One[] =>
  all.map((one, i) => (i === at % all.length ? set(one, over) : one))

const procedureFields: fc.Arbitrary<Partial<{ [key in keyof Procedure]: Procedure[key] | undefined }>> = fc.oneof(
  fc.record({ leastOverlapMetres: fc.constantFrom(0, 0.03, 0.05, 0.08, 0.1) }),
  fc.record({ comparison: fc.constantFrom('not more than', 'less than') }),
  fc.record({ decision: fc.constantFrom('simple', 'guarded') }),
  fc.record({ waterConductivityAtMostMicrosiemensPerCm: optional(fc.constantFrom(5, 12, 50, 1000)) }),
  fc.record({
    ambient: optional(
      fc.constantFrom<NonNullable<Procedure['ambient']>[]>(
        { celsius: [10, 35] },
        { celsius: [9, 36] },
        { relativeHumidityPercent: [0, 40] },
        { celsius: [10, 35], relativeHumidityPercent: [0, 70] },
      ),
    ),
  }),
  fc.record({ withstand: optional(fc.array(withstandTest, { maxLength: 3 })) }),
)
const procedureChange: fc.Arbitrary<Change<Procedure>> = fc.oneof(
  { weight: 2, arbitrary: procedureFields.map((over) => (one: Procedure) => set(one, over)) },
  {
    weight: 4,
    arbitrary: fc.tuple(fc.nat(), limitFields).map(([at, over]) => (one: Procedure) => ({
      ...one,
      limits: changeOne(one.limits, at, over),
    })),
  },
  fc.tuple(fc.nat(), limitFields).map(([at, over]) => (one: Procedure) => {
    const like = one.limits[at % one.limits.length]
    return like === undefined ? one : { ...one, limits: [...one.limits, set(like, over)] }
  }),
  fc
    .nat()
    .map((at) => (one: Procedure) => ({ ...one, limits: one.limits.filter((_, i) => i !== at % one.limits.length) })),
  fc.tuple(fc.nat(), checkFields).map(([at, over]) => (one: Procedure) => ({
    ...one,
    checks: changeOne(one.checks, at, over),
  })),
  fc.tuple(fc.nat(), checkFields).map(([at, over]) => (one: Procedure) => {
    const like = one.checks[at % one.checks.length]
    return like === undefined ? one : { ...one, checks: [...one.checks, set(like, over)] }
  }),
  fc
    .nat()
    .map((at) => (one: Procedure) => ({ ...one, checks: one.checks.filter((_, i) => i !== at % one.checks.length) })),
)

const anyTest = fc.oneof(anyCase, anySpoiltCase)
const onLines = fc.constantFrom(undefined, 50, 100, 230)

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
        const judged = (procedure: Procedure) => judgeByEditions(one, { ...editions, stick, procedure })
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
    const fields: fc.Arbitrary<Partial<{ [key in keyof Instrument]: Instrument[key] | undefined }>> = fc.oneof(
      fc.record({ calibrationDueOn: fc.constantFrom(day('2026-02-01'), day('2026-06-01'), day('2028-01-01')) }),
      { weight: 4, arbitrary: fc.record({ expandedUncertaintyPercent: optional(fc.constantFrom(0, 3, 5, 8, 30)) }) },
      fc.record({ spanMetres: fc.constantFrom(0.25, 0.3, 0.4, 0.5) }),
      fc.record({ kilovolts: optional(fc.constantFrom(50, 100)) }),
      fc.record({ hertz: optional(fc.constantFrom(50, 60)) }),
    )
    fc.assert(
      fc.property(anyTest, fc.array(fields, { minLength: 1, maxLength: 2 }), ({ test: one, editions }, changes) => {
        const newest = editions.instruments.at(-1)
        fc.pre(newest !== undefined)
        const body = changes.reduce<Instrument>((so, over) => set(so, over), newest?.body as Instrument)
        const after = on('2026-01-20', body)
        const ways = waysOfLoosening({ kind: 'instrument', id: 'INS-1', before: editions.instruments, after })
        const instruments = [...editions.instruments, after]
        compare(seen, ways, [judgeByEditions(one, editions), judgeByEditions(one, { ...editions, instruments })])
      }),
      seeded,
    )
    seen.expectAtLeast(0.1, 'loosening', 'not loosening')
    seen.expectAtLeast(0.004, 'milder', 'stricter', 'passes by both')
  })

  const sections = fc.array(fc.constantFrom(0.3, 0.4, 0.65, 1.2), { minLength: 1, maxLength: 2 })
  const stickFields: fc.Arbitrary<Change<Stick>> = fc.oneof(
    fc.constantFrom(...constructions).map((construction) => (one: Stick) => ({ ...one, construction })),
    fc
      .constantFrom(-0.2, -0.05, 0.0004, 0.05, 0.2)
      .map((more) => (one: Stick) => ({ ...one, workingLengthMetres: one.workingLengthMetres + more })),
    fc.constantFrom(25, 32, 35, 45).map((diameterMillimetres) => (one: Stick) => ({ ...one, diameterMillimetres })),
    onLines.map((lineKilovolts) => (one: Stick) => set(one, { lineKilovolts })),
    fc.constantFrom(-0.05, 0, 0.05).map(
      (more) => (one: Stick) =>
        set(one, {
          sections: one.sections?.map(({ name, lengthMetres }) => ({ name, lengthMetres: lengthMetres + more })),
        }),
    ),
    sections.map(
      (lengths) => (one: Stick) =>
        set(one, { sections: lengths.map((lengthMetres, i) => ({ name: ['tip', 'middle'][i] ?? '', lengthMetres })) }),
    ),
    fc.boolean().map((primaryProtection) => (one: Stick) => ({ ...one, primaryProtection })),
  )

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
        const judged = (stick: Stick): Judgement => judgeByEditions(one, { ...editions, stick, procedure })
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
      sections: fc.constantFrom(undefined, [
        { name: 'tip', lengthMetres: 1.25 },
        { name: 'butt', lengthMetres: 1.25 },
      ]),
    })
    .map((one) => set({ ...aStick, ...one } as Stick, {}))

  test('it reads no fitter and is due no later, tested under any entry before', () => {
    const seen = tally(runs)
    const entries = fc.tuple(anyEntry, anyEntry, fc.nat(1), stickEdits())
    fc.assert(
      fc.property(entries, anyEmployerPolicy, ([first, second, testedUnder, change], employer) => {
        fc.pre(employerPolicy.safeParse(employer).success)
        const rules = rulesFrom(employer)
        const third = change(second)
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
