/** Sticks, histories and rules of every kind, for the laws of due dates. */
import fc from 'fast-check'
import type { BenchTest } from '../../../shared-domain/bench-test/bench-test.ts'
import { addDays, type CalendarDate } from '../../../shared-domain/calendar.ts'
import type { Use } from '../../../shared-domain/fact-bodies.ts'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import { rulePacks } from '../../../shared-domain/policy/packs.ts'
import type { EmployerPolicy } from '../../../shared-domain/policy/policy.ts'
import type { Interval, Requirement } from '../../../shared-domain/policy/requirement.ts'
import { rulesFrom } from '../../../shared-domain/policy/rules.ts'
import type { Stick } from '../../../shared-domain/registers.ts'
import {
  constructions,
  type EvidenceKind,
  evidenceKinds,
  serviceClasses,
  stoppingEvents,
} from '../../../shared-domain/words.ts'
import { tries } from '../../support/tier.ts'
import { aStick, aTest, day, happened, history } from '../../support/trade.ts'

export const runs = tries(10_000, 400)
export const seeded = { seed: 1910269, numRuns: runs }

/** A leap day lies in the first year of it. */
export const firstDay = day('2024-02-20')
export const lastDay = addDays(firstDay, 1_100)
const anyDay = fc.integer({ min: 0, max: 1_100 }).map((days) => addDays(firstDay, days))
/** Mostly soon after, when a clock may still run, or ten years on, when none does. */
export const anyDayOn = fc
  .oneof({ weight: 3, arbitrary: fc.integer({ min: 0, max: 200 }) }, fc.integer({ min: 0, max: 3_650 }))
  .map((days) => addDays(lastDay, days))

export const anyInterval: fc.Arbitrary<Interval> = fc.oneof(
  { weight: 2, arbitrary: fc.record({ months: fc.integer({ min: 1, max: 60 }) }) },
  {
    weight: 2,
    arbitrary: fc.record({
      months: fc.integer({ min: 1, max: 60 }),
      counting: fc.constantFrom('anniversary', 'end of month'),
    }),
  },
  { weight: 2, arbitrary: fc.record({ days: fc.integer({ min: 1, max: 1_500 }) }) },
  { weight: 3, arbitrary: fc.record({ useDays: fc.integer({ min: 1, max: 40 }) }) },
)
const optional = <T>(one: fc.Arbitrary<T>) => fc.option(one, { nil: undefined })
const seldom = <T>(one: fc.Arbitrary<T>) => fc.oneof({ weight: 4, arbitrary: fc.constant(undefined) }, one)
const anyIntervalOrNull = fc.option(anyInterval, { nil: null, freq: 5 })

/**
 * Use and service are kept since the last full test, so what it does not wind takes no interval that depends on them.
 */
const olderThanTest = (kinds: readonly EvidenceKind[]) =>
  kinds.includes('acceptance test') || kinds.includes('certificate')

/** Of the employer's own. */
export const anyRequirement: fc.Arbitrary<Requirement> = fc
  .record({
    id: fc.constantFrom('own-1', 'own-2', 'own-3', 'own-4', 'own-5'),
    evidence: fc.uniqueArray(fc.constantFrom(...evidenceKinds), { minLength: 1, maxLength: 2 }),
    examinationOnly: optional(fc.subarray([...constructions])),
    interval: anyIntervalOrNull,
    byClass: optional(
      fc.dictionary(fc.constantFrom(...serviceClasses), anyIntervalOrNull, { maxKeys: 3, noNullPrototype: true }),
    ),
    shelfMonths: optional(fc.integer({ min: 1, max: 24 })),
    suspendedInStorageAfterMonths: optional(fc.integer({ min: 0, max: 12 })),
    stops: optional(fc.subarray([...stoppingEvents])),
    statedBy: seldom(
      fc.array(fc.record({ by: fc.constant('the maker'), interval: anyInterval, source: fc.constant('instructions') })),
    ),
    appliesTo: fc.record({
      primaryProtectionOnly: fc.boolean(),
      constructions: fc.subarray([...constructions], { minLength: 1 }),
    }),
    inServiceFrom: seldom(anyDay),
  })
  .map(({ examinationOnly, interval, byClass, shelfMonths, suspendedInStorageAfterMonths, stops, ...rest }) => {
    const { statedBy, inServiceFrom, ...one } = rest
    return {
      ...one,
      appliesTo: { ...one.appliesTo, ...(inServiceFrom && { inServiceFrom }) },
      words: 'tested again',
      source: { cited: 'company rule 1', jurisdiction: 'the employer', confidence: 'the employer’s own' as const },
      legalMaximum: false,
      ...(olderThanTest(one.evidence)
        ? { interval: interval !== null && 'useDays' in interval ? null : interval }
        : { interval, ...(byClass ? { byClass } : statedBy && { statedBy }) }),
      ...(examinationOnly && { examinationOnly }),
      ...(shelfMonths && { shelfMonths }),
      ...(suspendedInStorageAfterMonths !== undefined && { suspendedInStorageAfterMonths }),
      ...(stops && { stops }),
    }
  })

const rules = rulePacks.flatMap((pack) => pack.requirements)
/** Around what the rules themselves allow, on both sides of it. */
const nearTheRule = fc.oneof(
  anyInterval,
  fc.record({ months: fc.constantFrom(1, 2, 5, 6, 7, 11, 12, 13, 23, 24, 25) }),
  fc.record({ months: fc.constantFrom(1, 6, 12, 23, 24), counting: fc.constant('end of month' as const) }),
  fc.record({ days: fc.constantFrom(28, 29, 31, 181, 182, 184, 365, 366, 730, 731) }),
)

const aRule = 'jp-ordinance-351-insulation'

/** What an employer may hand in; the half of it or so that goes too far does not validate. */
export const anyEmployerPolicy = fc
  .record({
    packs: fc.subarray(
      rulePacks.map(({ id }) => id),
      { minLength: 1 },
    ),
    shorten: fc.array(
      fc.record({
        requirement: fc.constantFrom(...rules.map(({ id }) => id)),
        interval: nearTheRule,
        source: fc.constant('company rule 7'),
      }),
      { maxLength: 2 },
    ),
    add: fc.uniqueArray(
      // now and then under the name of a rule, which an employer cannot take
      fc.oneof(
        { weight: 9, arbitrary: anyRequirement },
        anyRequirement.map((one) => ({ ...one, id: aRule })),
      ),
      { maxLength: 2, selector: ({ id }) => id },
    ),
    turnOn: fc.subarray(rules.filter((one) => one.optional).map(({ id }) => id)),
    occasionalUse: optional(
      fc.record({ windowDays: fc.integer({ min: 30, max: 730 }), atMostUseDays: fc.integer({ min: 1, max: 20 }) }),
    ),
    useWeights: fc.record({ wet: fc.constantFrom(1, 1.5, 4), salt: fc.constantFrom(1, 10) }),
    examinationOnly: fc.boolean(),
    woodForbidden: fc.boolean(),
    releaseAfterFailure: fc.boolean(),
  })
  .map(({ occasionalUse, ...one }): EmployerPolicy => ({ ...one, ...(occasionalUse && { occasionalUse }) }))

/** Laws of the clocks themselves hold whatever is let in, so long as each requirement has a name of its own. */
export const anyPolicy = anyEmployerPolicy.map(({ add, ...one }) =>
  rulesFrom({ ...one, add: add?.filter(({ id }) => id !== aRule) }),
)

const anyStick: fc.Arbitrary<Stick> = fc
  .record({
    construction: fc.constantFrom(...constructions),
    primaryProtection: fc.boolean(),
    inServiceSince: fc.option(anyDay, { nil: undefined }),
  })
  .map(({ inServiceSince, ...one }) => {
    const { inServiceSince: _, ...rest } = aStick
    return { ...rest, ...one, ...(inServiceSince && { inServiceSince }) }
  })

type Event = readonly [on: CalendarDate, happening: Happening]

const body = (on: CalendarDate) => ({ factId: 'x', occurredOn: on })
const withstood = {
  fromMetres: 0,
  toMetres: 2.4,
  kilovolts: 800,
  seconds: 300,
  outcome: 'withstood',
  state: 'dry',
} as const
const acceptance: Partial<BenchTest> = { reason: 'first issue', withstand: [withstood] }

export const anyUse = fc
  .record({
    occurredOn: anyDay,
    days: fc.integer({ min: 1, max: 20 }),
    conditions: fc.uniqueArray(fc.constantFrom('wet', 'salt', 'contaminated', 'high duty'), { maxLength: 2 }),
  })
  .map((use): Use => ({ factId: 'x', ...use }))
export const usedOn = (occurredOn: CalendarDate, use: Use): Event => [
  occurredOn,
  { kind: 'used', use: { ...use, occurredOn } },
]

/** What may stop a stick until it is tested: steps, reports, a look that finds something. */
export const anyStop: fc.Arbitrary<Event> = fc.tuple(
  anyDay,
  fc.constantFrom(
    happened.step('cleaned'),
    happened.step('waxed'),
    happened.step('repaired'),
    happened.step('refinished'),
    happened.defect('tingle'),
    happened.defect('drop'),
  ),
)

const anyMove: fc.Arbitrary<Event> = fc.tuple(
  anyDay,
  fc
    .constantFrom({ crewId: 'CR-1' }, { store: 'DEP-1' }, { store: 'DEP-1' }, { bench: 'DEP-1' })
    .map((to) => happened.moved(to)),
)

const anyEvidence: fc.Arbitrary<Event> = fc.tuple(
  anyDay,
  fc.constantFrom(
    happened.tested('pass'),
    happened.tested('pass'),
    happened.tested('pass', aTest(acceptance)),
    happened.tested('examined'),
    { kind: 'condition checked', check: { ...body(firstDay), by: 'Ines Roth', sound: true } } as const,
    { kind: 'certificate received', certificate: { ...body(firstDay), issuedBy: 'the maker' } } as const,
  ),
)

/** Tested in full, or new; without failures, in which a step also mends. */
const anyEvents = fc
  .tuple(
    anyStick,
    fc.array(anyEvidence, { minLength: 1, maxLength: 4 }),
    fc.array(
      fc.oneof(
        anyMove,
        anyUse.map((use) => usedOn(use.occurredOn, use)),
      ),
      { maxLength: 8 },
    ),
    fc.array(anyStop, { maxLength: 1 }),
  )
  .map(([stick, ...events]): Event[] => [[firstDay, happened.registered(stick)], ...events.flat()])

export const anyHistory: fc.Arbitrary<RecordedFact[]> = anyEvents.map((events) => history(...events))

/** The same facts with one more, recorded last wherever it lies in time. */
export const withFact = (facts: readonly RecordedFact[], [on, happening]: Event): RecordedFact[] => [
  ...facts,
  ...history([on, happening]).map((one) => ({ ...one, seq: facts.length + 1, factId: 'added' })),
]
