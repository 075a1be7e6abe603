/**
 * Through the doors, on random registers, policies, histories and editors: what one person edits alone makes no stick
 * fitter, due later or judged more mildly, but for what the contract names as not loosening; what two approve in one
 * moment applies once.
 */
import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { Refused } from '../../functions/ground/errors.ts'
import { judged } from '../../functions/recording/judging.ts'
import type { Item } from '../../functions/store/table.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { addMonths, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { type EmployerPolicy, employerPolicy } from '../../shared-domain/policy/policy.ts'
import type { Requirement } from '../../shared-domain/policy/requirement.ts'
import type { Depot, Instrument, Procedure, Stick } from '../../shared-domain/registers.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { mayBeUsed } from '../../shared-domain/state/use.ts'
import { depotOf } from '../../shared-domain/state/whereabouts.ts'
import { constructions } from '../../shared-domain/words.ts'
import {
  anyLightPolicy,
  type Change,
  instrumentFields,
  policyChange,
  procedureChange,
  set,
  stickFields,
} from '../domain/loosening/any-edit.ts'
import { anyEmployerPolicy } from '../domain/policy/any-policy.ts'
import { tally } from '../support/tally.ts'
import { tries } from '../support/tier.ts'
import {
  aDemonstration,
  aDepot,
  anInstrument,
  anOrganisation,
  aProcedure,
  aStick,
  aTest,
  day,
} from '../support/trade.ts'
import { demo, furnish, type House, openHouse, type Who } from './house.ts'

const runs = tries(10_000, 150)
const now = '2026-03-02T15:00:00.000Z'

interface World {
  readonly items: readonly Item[]
  readonly seen: Seen
}
let worlds: readonly World[]
beforeAll(async () => {
  const sound = fc.oneof(anyLightPolicy, anyEmployerPolicy).filter((one) => employerPolicy.safeParse(one).success)
  const drawn = fc.sample(sound, { seed: 16, numRuns: 2 })
  const law = { packs: ['us-29-cfr-1910-269-j'] }
  const occasional = { ...law, packs: ['ru-order-261'], occasionalUse: { windowDays: 90, atMostUseDays: 5 } }
  const policies = [law, { ...law, releaseAfterFailure: true }, occasional, ...drawn]
  worlds = await Promise.all(policies.map(async (policy, i) => made(policy, i)))
}, 120_000)

const sticks = ['S-1', 'S-2', 'S-3', 'S-4'] as const

/**
 * Sticks at two depots: tested, overdue, held, failed and mended, of another lot; how much so, differs from world to
 * world.
 */
async function made(policy: object, which: number): Promise<World> {
  const house = openHouse([], '2024-06-03T15:00:00.000Z')
  await furnish(house)
  const { done } = house
  await done('PUT', '/v1/depots/DEP-2', { ...aDepot, name: 'South yard', timeZone: 'America/Denver' })
  await done('PUT', '/v1/organisations/demo-utility', anOrganisation)
  await done('PUT', '/v1/demonstrations/DEM-1', { ...aDemonstration, kind: 'withstand' })
  const guarded = { ...aProcedure, decision: which % 2 === 0 ? 'guarded' : 'simple', sticks: ['S-2'] }
  await done('PUT', '/v1/procedures/PRC-2', guarded)
  await done('PUT', '/v1/instruments/INS-2', { ...anInstrument, expandedUncertaintyPercent: 5 })
  for (const id of ['S-2', 'S-3', 'S-4'])
    await done('PUT', `/v1/sticks/${id}`, {
      ...aStick,
      construction: id === 'S-4' ? 'FRP rod' : aStick.construction,
      crewId: id === 'S-3' ? 'CR-2' : 'CR-1',
    })
  const procedureOf = (id: string) => (id === 'S-2' ? 'PRC-2' : 'PRC-1')
  const bring = (id: string, on: string, over: Partial<BenchTest> = {}) =>
    done('POST', `/v1/sticks/${id}/bench-tests`, aTest({ testedOn: day(on), procedureId: procedureOf(id), ...over }))
  for (const [i, id] of sticks.entries()) {
    const on = addMonths(day('2024-06-03'), ((which * 5 + i * 7) % 20) + 1)
    house.at(`${on}T18:00:00.000Z`)
    await bring(id, on, { instrumentId: id === 'S-2' ? 'INS-2' : 'INS-1' })
  }
  house.at('2026-02-27T15:00:00.000Z')
  const factId = (n: number) => `00000000-0000-4000-8000-00000000000${n}`
  if (which === 1)
    await done('POST', '/v1/sticks/S-4/defects', { factId: factId(1), occurredOn: '2026-02-27', kind: 'tingle' })
  if (which % 3 === 0) await done('PUT', '/v1/sticks/S-1', { ...aStick, lot: 'L-77' })
  await done('PUT', '/v1/policies/employer', { ...policy, effectiveFrom: '2024-01-01' })
  house.at(now)
  await done('PUT', '/v1/policies/employer', {
    packs: ['us-mo-200', 'us-29-cfr-1910-269-j'],
    effectiveFrom: '2028-01-01',
  })
  const items = house.table.items()
  return { items, seen: await seenIn(openHouse(items, now)) }
}

/** At these instants, and around the ends of days by any clock. */
const instants = [
  '2026-03-02T15:00:00.000Z',
  '2026-03-09T06:30:00.000Z',
  '2026-06-03T05:30:00.000Z',
  '2026-09-04T05:15:00.000Z',
  '2027-03-01T07:30:00.000Z',
  '2028-06-01T12:00:00.000Z',
  '2031-01-01T12:00:00.000Z',
] as Instant[]

/** As near to what is asked as tests are: a little over, or a little short of it, in one way. */
const marginal: readonly Partial<BenchTest>[] = [
  {},
  reading(9.9),
  reading(10),
  reading(11),
  checked(92),
  checked(105),
  { instrumentId: 'INS-2' },
  { instrumentId: 'INS-2', ...reading(9.6) },
  { ambient: { celsius: 9.5, relativeHumidityPercent: 45 } },
  withstood(330),
]

function reading(leakageMicroamps: number): Partial<BenchTest> {
  const { dry } = aTest()
  return { dry: { readings: (dry?.readings ?? []).map((one, i) => (i === 3 ? { ...one, leakageMicroamps } : one)) } }
}

function checked(checkMicroamps: number): Partial<BenchTest> {
  return { instrumentChecks: aTest().instrumentChecks.map((one) => ({ ...one, checkMicroamps })) }
}

function withstood(kilovolts: number): Partial<BenchTest> {
  const row = { fromMetres: 0, toMetres: aStick.workingLengthMetres, kilovolts, seconds: 60 } as const
  const rows = (['dry', 'wet'] as const).map((state) => ({ ...row, state, outcome: 'withstood' as const }))
  return { dry: undefined, wet: undefined, withstand: rows, demonstrationId: 'DEM-1' } as unknown as Partial<BenchTest>
}

interface Seen {
  readonly fit: readonly boolean[]
  readonly due: readonly string[]
  readonly verdicts: readonly Verdict[]
}
interface Verdict {
  readonly rank: number
  readonly codes: readonly string[]
}

/** Everything that an edit might make milder. */
async function seenIn(house: House): Promise<Seen> {
  const organisation = house.organisation()
  const [fit, due, verdicts] = [[] as boolean[], [] as string[], [] as Verdict[]]
  for (const id of sticks) {
    const { state } = (await organisation.sticks.stored(id)) ?? {}
    if (state === undefined) throw new Error('a world without its stick')
    for (const instant of instants) {
      const crew = state.crewId === null ? undefined : await organisation.crewNow(state.crewId, instant)
      const zone = await organisation.zoneAt(depotOf(state, crew?.body.depotId ?? null), instant)
      const date = localDateAt(instant, zone)
      const standing = standingOn(state, date, await organisation.rulesOn(date))
      fit.push(mayBeUsed(standing.status))
      const ends = standing.clocks.map(({ since, dueOn }) => (since === null ? '0000' : (dueOn ?? '9999')))
      due.push(ends.sort()[0] ?? '9999')
    }
    for (const testedOn of [day('2026-03-02'), day('2026-11-01')])
      for (const over of marginal) {
        const procedureId = id === 'S-2' ? 'PRC-2' : 'PRC-1'
        verdicts.push(await verdictOn(aTest({ testedOn, procedureId, ...over })))
      }

    async function verdictOn(one: BenchTest): Promise<Verdict> {
      const found = await judged(organisation, one, { stickId: id, state: state as never }).catch((error: unknown) => {
        if (error instanceof Refused) return undefined
        throw error
      })
      const { verdict, reasons } = found?.judgement ?? { verdict: 'refused', reasons: [] }
      return { rank: ranks.indexOf(verdict), codes: reasons.map(({ code }) => code) }
    }
  }
  return { fit, due, verdicts }
}

/** `refused`: the test cannot have been of the stick as it is entered, or is not this procedure's to judge. */
const ranks = ['refused', 'fail', 'invalid', 'incomplete', 'pass']
const pass = ranks.indexOf('pass')

interface Edit {
  readonly kind:
    | 'policy'
    | 'procedure'
    | 'instrument'
    | 'stick'
    | 'depot'
    | 'crew'
    | 'person'
    | 'demonstration'
    | 'organisation'
  readonly id: string
  readonly change: (body: never) => object
}

const edit = <Body extends object>(kind: Edit['kind'], ids: readonly string[], change: fc.Arbitrary<Change<Body>>) =>
  // the kind decides the body's type
  fc.record({ kind: fc.constant(kind), id: fc.constantFrom(...ids), change }) as unknown as fc.Arbitrary<Edit>
const over = <Body extends object>(fields: fc.Arbitrary<object>): fc.Arbitrary<Change<Body>> =>
  fields.map((more) => (body: Body) => set(body, more as Partial<Body>))
const own: Requirement = {
  id: 'own-test',
  words: 'tested by the company’s own rule',
  source: { cited: 'company rule 4', jurisdiction: 'the company', confidence: 'the employer’s own' },
  evidence: ['dry test'],
  interval: { months: 12 },
  appliesTo: { primaryProtectionOnly: false, constructions: [...constructions] },
  legalMaximum: false,
}
const zones = ['America/Chicago', 'America/Denver', 'Pacific/Kiritimati', 'Pacific/Honolulu', 'America/Phoenix']

const anyEdit: fc.Arbitrary<Edit> = fc.oneof(
  { weight: 3, arbitrary: edit('policy', ['employer'], policyChange) },
  edit<EmployerPolicy>(
    'policy',
    ['employer'],
    fc.constantFrom(6, 12, 18, 30).map((months) => (policy: EmployerPolicy) => ({
      ...policy,
      add: [...(policy.add ?? []).filter(({ id }) => id !== own.id), { ...own, interval: { months } }],
    })),
  ),
  { weight: 3, arbitrary: edit('procedure', ['PRC-1', 'PRC-2', 'PRC-9'], procedureChange) },
  edit<Procedure>(
    'procedure',
    ['PRC-1', 'PRC-2'],
    over(fc.record({ sticks: fc.option(fc.subarray([...sticks], { minLength: 1 }), { nil: undefined }) })),
  ),
  edit<Instrument>('instrument', ['INS-1', 'INS-2', 'INS-9'], over(instrumentFields)),
  edit<Instrument>(
    'instrument',
    ['INS-1', 'INS-2'],
    over(
      fc.record({
        calibratedOn: fc.constantFrom('2025-12-01', '2026-03-01'),
        calibrationDueOn: fc.constantFrom('2026-12-01', '2027-06-01', '2028-12-01'),
        foundOutOfTolerance: fc.constantFrom(undefined, undefined, true),
      }),
    ),
  ),
  { weight: 4, arbitrary: edit('stick', sticks, stickFields) },
  {
    weight: 3,
    arbitrary: edit<Stick>(
      'stick',
      sticks,
      over(
        fc.record({
          lot: fc.constantFrom(undefined, 'L-7', 'L-77'),
          sameStick: fc.constantFrom(undefined, undefined, true),
        }),
      ),
    ),
  },
  edit<Depot>('depot', ['DEP-1', 'DEP-2'], over(fc.record({ timeZone: fc.constantFrom(...zones) }))),
  edit('crew', ['CR-1', 'CR-2'], over(fc.record({ depotId: fc.constantFrom('DEP-1', 'DEP-2') }))),
  edit(
    'person',
    ['manager', 'bench', 'crew'],
    over(
      fc.record({ role: fc.constantFrom('crew', 'manager', 'owner'), depots: fc.constantFrom(['*'], ['DEP-2'], []) }),
    ),
  ),
  edit(
    'demonstration',
    ['DEM-1', 'DEM-9'],
    over(
      fc.record({
        until: fc.constantFrom(undefined, '2026-03-01'),
        kind: fc.constantFrom('withstand', 'examination alone'),
      }),
    ),
  ),
  edit(
    'organisation',
    [demo],
    over(fc.record({ packs: fc.constantFrom(['us-mo-200'], ['us-29-cfr-1910-269-j', 'us-mo-200']) })),
  ),
)

const paths = {
  policy: 'policies',
  procedure: 'procedures',
  instrument: 'instruments',
  stick: 'sticks',
  depot: 'depots',
  crew: 'crews',
  person: 'people',
  demonstration: 'demonstrations',
  organisation: 'organisations',
} as const
const pathOf = ({ kind, id }: Edit) => `/v1/${paths[kind]}/${id}`

/** What stands there today, or else what there is of its kind. */
async function bodyOf({ organisation }: House, { kind, id }: Edit): Promise<object> {
  if (kind === 'stick') return (await organisation().sticks.stored(id))?.state.registrations.at(-1)?.stick ?? aStick
  const known = await organisation().registers.inForce(kind, id, day('2026-03-02'))
  const { effectiveFrom: _, ...body } =
    known?.body ??
    { procedure: aProcedure, instrument: anInstrument, demonstration: aDemonstration }[kind as 'procedure']
  return body
}

const editors: readonly Who[] = ['owner', 'owner', 'manager', 'manager', 'manager-2', 'south manager', 'bench', 'crew']
const days = fc.constantFrom(undefined, undefined, '2025-06-01', '2026-03-02', '2026-05-01', '2027-01-01')
const editsInWorlds = fc.record({
  which: fc.nat(4),
  one: anyEdit,
  who: fc.constantFrom(...editors),
  effectiveFrom: days,
})

async function opened({
  which,
  one,
  who,
  effectiveFrom,
}: typeof editsInWorlds extends fc.Arbitrary<infer E> ? E : never) {
  const world = worlds[which]
  if (world === undefined) throw new Error('no such world')
  const house = openHouse(world.items, now)
  const before = await bodyOf(house, one)
  // a stick's entry is of no day to come
  const from = one.kind === 'stick' && effectiveFrom !== undefined && effectiveFrom > now ? undefined : effectiveFrom
  const body = { ...one.change(before as never), ...(from === undefined ? {} : { effectiveFrom: from }) }
  const put = (sent: object, by: Who = who) => house.call('PUT', pathOf(one), sent, by)
  return { house, world, before, body, from, put }
}

/** A new calibration takes away only what its lack, or its uncertainty, spoke against. */
const ofCalibration: ReadonlySet<string> = new Set([
  'instrument-out-of-calibration',
  'uncertainty-missing',
  'reading-in-guard-band',
])
function isOfNewCalibration(one: Edit, body: object, [was, is]: readonly [Verdict, Verdict]): boolean {
  if (one.kind !== 'instrument') return false
  const { calibratedOn, calibrationDueOn, foundOutOfTolerance } = body as Instrument
  const gone = was.codes.filter((code) => !is.codes.includes(code))
  return (
    !foundOutOfTolerance &&
    calibratedOn !== anInstrument.calibratedOn &&
    calibrationDueOn <= addMonths(calibratedOn, 36) &&
    gone.every((code) => ofCalibration.has(code))
  )
}

describe('an edit by one person', () => {
  test('makes no stick fitter, due later or judged more mildly', async () => {
    const seen = tally(runs)
    await fc.assert(
      fc.asyncProperty(editsInWorlds, async (edited) => {
        const { house, world, body, put } = await opened(edited)
        const { status } = await put(body)
        const { kind } = edited.one
        const outcome = status === 200 || status === 201 ? 'alone' : status === 202 ? 'two' : 'refused'
        seen.count(outcome, `${kind} ${outcome}`)
        const after = await seenIn(house)
        if (outcome !== 'alone') {
          expect(after).toEqual(world.seen)
          return
        }
        const fitter = after.fit.some((is, i) => is && !world.seen.fit[i])
        const later = after.due.some((is, i) => is > (world.seen.due[i] ?? ''))
        const milder = after.verdicts.filter((is, i) => {
          const was = world.seen.verdicts[i]
          if (was === undefined || isOfNewCalibration(edited.one, body, [was, is])) return false
          // of a stick entered otherwise a test may be told that could not have been of it: nothing was judged then
          if (was.rank === 0 && kind !== 'procedure') return false
          return is.rank === pass ? was.rank !== pass : is.rank === ranks.indexOf('incomplete') && was.rank === 1
        })
        expect({ fitter, later, milder }).toEqual({ fitter: false, later: false, milder: [] })
        seen.count(
          after.fit.some((is, i) => !is && world.seen.fit[i] === true) && 'less fit',
          after.due.some((is, i) => is < (world.seen.due[i] ?? '')) && 'due earlier',
          after.verdicts.some((is, i) => is.rank < (world.seen.verdicts[i]?.rank ?? 0)) && 'judged more strictly',
        )
      }),
      { seed: 1910, numRuns: runs },
    )
    seen.expectAtLeast(0.1, 'alone', 'two', 'refused')
    seen.expectAtLeast(0.01, 'less fit', 'due earlier', 'judged more strictly')
    seen.expectAtLeast(
      0.01,
      'policy alone',
      'policy two',
      'procedure alone',
      'procedure two',
      'stick alone',
      'stick two',
    )
    seen.expectAtLeast(
      0.004,
      'instrument alone',
      'instrument two',
      'depot alone',
      'depot two',
      'crew alone',
      'crew two',
    )
  }, 1_800_000)

  test('taken back by its author on the same day leaves all as it was', async () => {
    const few = Math.ceil(runs / 10)
    const seen = tally(few)
    const ofSlips = editsInWorlds.filter(({ one: { kind } }) => ['procedure', 'instrument', 'stick'].includes(kind))
    await fc.assert(
      fc.asyncProperty(ofSlips, async (edited) => {
        const { house, world, before, body, from, put } = await opened(edited)
        const first = await put(body)
        if (first.status !== 200) return seen.count('not alone')
        const day_ = from === undefined ? {} : { effectiveFrom: from }
        const back = await put({ ...before, ...day_ })
        // what stood on that day may be another edition than that of today
        if (back.status !== 200) return seen.count('another stood there')
        seen.count('taken back')
        expect(await seenIn(house)).toEqual(world.seen)
      }),
      { seed: 1911, numRuns: few },
    )
    seen.expectAtLeast(0.1, 'taken back')
  }, 600_000)
})

test('approved by two in one moment it applies once', async () => {
  const few = Math.ceil(runs / 10)
  const seen = tally(few)
  const loosening = editsInWorlds.filter(({ who }) => who === 'manager' || who === 'bench')
  await fc.assert(
    fc.asyncProperty(loosening, async (edited) => {
      const { house, body, put } = await opened(edited)
      const { status, json } = await put(body)
      if (status !== 202) return
      const { kind, id } = edited.one
      const count = async () =>
        kind === 'stick'
          ? (await house.organisation().sticks.stored(id))?.state.registrations.length
          : (await house.organisation().registers.editions(kind, id)).length
      const before = (await count()) ?? 0
      const approve = (who: Who) => house.call('POST', `/v1/proposals/${json.proposal.id}/approve`, {}, who)
      const both = await Promise.all([approve('manager-2'), approve('owner')])
      const isDone = both.some((one) => one.status === 200)
      // who had a hand in what a stick's number stands for is no second person
      for (const one of both) expect(isDone ? [200, 403] : [403, 409, 422]).toContain(one.status)
      expect(await count()).toBe(before + (isDone ? 1 : 0))
      seen.count(isDone && 'applied')
    }),
    { seed: 1912, numRuns: few },
  )
  seen.expectAtLeast(0.1, 'applied')
}, 600_000)
