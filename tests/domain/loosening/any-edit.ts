/** Edits of every kind, as likely to loosen as to tighten. */
import fc from 'fast-check'
import type { Dated } from '../../../shared-domain/loosening/way.ts'
import type { EmployerPolicy } from '../../../shared-domain/policy/policy.ts'
import type { Requirement } from '../../../shared-domain/policy/requirement.ts'
import type { Instrument, Limit, Procedure, Stick, WithstandTest } from '../../../shared-domain/registers.ts'
import { constructions, evidenceKinds, serviceClasses, stoppingEvents } from '../../../shared-domain/words.ts'
import { day } from '../../support/trade.ts'
import { anyEmployerPolicy, anyInterval, anyRequirement, firstDay, lastDay } from '../policy/any-policy.ts'

export const on = <Body>(date: string, body: Body): Dated<Body> => ({ effectiveFrom: day(date), body })

/** A change and, as likely, its opposite. */
export type Change<Body> = (body: Body) => Body
const both = <Body>(arbitrary: fc.Arbitrary<Change<Body>>, body: fc.Arbitrary<Body>) =>
  fc.tuple(body, fc.array(arbitrary, { minLength: 1, maxLength: 2 }), fc.boolean()).map(([one, changes, isBack]) => {
    const other = changes.reduce((so, change) => change(so), one)
    return isBack ? { before: other, after: one } : { before: one, after: other }
  })

export const optional = <T>(one: fc.Arbitrary<T>) => fc.option(one, { nil: undefined })
/** A key left out where its value is nothing, as a body is. */
export const set = <Body>(body: Body, over: { [key in keyof Body]?: Body[key] | undefined }): Body =>
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

export const policyChange: fc.Arbitrary<Change<EmployerPolicy>> = fc.oneof(
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
export const anyLightPolicy: fc.Arbitrary<EmployerPolicy> = fc
  .record({
    packs: fc.constantFrom<EmployerPolicy['packs'][]>(['us-29-cfr-1910-269-j'], ['ru-order-261'], ['us-mo-200']),
    add: fc.array(anyRequirement, { maxLength: 1 }),
    occasionalUse: optional(fc.constant({ windowDays: 90, atMostUseDays: 5 })),
  })
  .map((one) => set(one, {}) as EmployerPolicy)

export const anyPolicyEdit = both(
  policyChange,
  fc.oneof({ weight: 3, arbitrary: anyLightPolicy }, { weight: 1, arbitrary: anyEmployerPolicy }),
)

export const limitFields: fc.Arbitrary<Partial<{ [key in keyof Limit]: Limit[key] | undefined }>> = fc.oneof(
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
export const withstandTest: fc.Arbitrary<WithstandTest> = fc
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
    demonstrationId: fc.constant('DEM-1'),
  })
  .map((one) => set(one, {}) as WithstandTest)

export const changeOne = <One>(
  all: readonly One[],
  at: number,
  over: { [key in keyof One]?: One[key] | undefined },
): One[] => all.map((one, i) => (i === at % all.length ? set(one, over) : one))

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
export const procedureChange: fc.Arbitrary<Change<Procedure>> = fc.oneof(
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

export const onLines = fc.constantFrom(undefined, 50, 100, 230)

export const instrumentFields: fc.Arbitrary<Partial<{ [key in keyof Instrument]: Instrument[key] | undefined }>> =
  fc.oneof(
    fc.record({ calibrationDueOn: fc.constantFrom(day('2026-02-01'), day('2026-06-01'), day('2028-01-01')) }),
    { weight: 4, arbitrary: fc.record({ expandedUncertaintyPercent: optional(fc.constantFrom(0, 3, 5, 8, 30)) }) },
    fc.record({ spanMetres: fc.constantFrom(0.25, 0.3, 0.4, 0.5) }),
    fc.record({ kilovolts: optional(fc.constantFrom(50, 100)) }),
    fc.record({ hertz: optional(fc.constantFrom(50, 60)) }),
  )

const sections = fc.array(fc.constantFrom(0.3, 0.4, 0.65, 1.2), { minLength: 1, maxLength: 2 })
export const stickFields: fc.Arbitrary<Change<Stick>> = fc.oneof(
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
