/**
 * The registers: every entry adds an edition, dated and signed; nothing is overwritten, and a fact keeps those it was
 * judged by.
 */
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import type { RegisterKind } from '../../functions/store/keys.ts'
import type { Item } from '../../functions/store/table.ts'
import {
  aCrew,
  aDepot,
  aManager,
  anInstrument,
  aProcedure,
  aStick,
  aTest,
  day,
  overTheLimit,
  survey,
} from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
})

const put = (path: string, body: object) => house.call('PUT', `/v1/${path}`, body, 'manager')
/** By two people, where it loosens. */
const putByTwo = (path: string, body: object) => house.done('PUT', `/v1/${path}`, body, 'manager')
const get = async (path: string) => (await house.call('GET', `/v1/${path}`, undefined, 'manager')).json
const editions = (kind: RegisterKind, id: string) => house.organisation().registers.editions(kind, id)
const brings = async (over: Parameters<typeof aTest>[0], stickId = 'S-1') =>
  (await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest(over), 'bench')).json

describe.each([
  ['depots/NEW', 'depot', aDepot, { ...aDepot, name: 'West yard' }],
  ['crews/NEW', 'crew', aCrew, { ...aCrew, name: 'Crew nine' }],
  ['people/NEW', 'person', aManager, { ...aManager, name: 'Mia O.' }],
  [
    'instruments/NEW',
    'instrument',
    anInstrument,
    { ...anInstrument, calibratedOn: '2025-02-01', calibrationDueOn: '2027-01-01' },
  ],
  ['procedures/NEW', 'procedure', aProcedure, { ...aProcedure, title: 'Bench survey, revised' }],
] as const)('%s', (path, kind, one, another) => {
  const id = 'NEW'

  test('the first entry is 201, dated today and signed', async () => {
    const { status, json } = await put(path, one)
    expect(status).toBe(201)
    expect(json).toEqual({
      ...JSON.parse(JSON.stringify(one)),
      id,
      edition: '2026-03-10#0001',
      effectiveFrom: '2026-03-10',
      recordedAt: '2026-03-10T15:00:00.000Z',
      recordedBy: 'manager',
      ...(kind === 'procedure' ? { warnings: [] } : {}),
    })
    expect(await get(path)).toEqual(json)
  })

  test('the same again, in whatever order of names and on whatever day, adds nothing', async () => {
    const first = await put(path, one)
    const written = house.table.written()
    house.at('2026-03-12T15:00:00.000Z')
    const again = await put(path, Object.fromEntries(Object.entries(one).reverse()))
    expect(again).toMatchObject({ status: 200, json: first.json })
    expect(house.table.written()).toBe(written)
  })

  test('another adds an edition; the first stays, and is in force until then', async () => {
    await put(path, one)
    house.at('2026-03-12T15:00:00.000Z')
    const second = await put(path, another)
    expect([second.status, second.json.edition]).toEqual([200, '2026-03-12#0002'])
    expect((await editions(kind, id)).map((edition) => edition.body)).toEqual([one, another])
    expect(await get(`${path}?on=2026-03-11`)).toMatchObject(JSON.parse(JSON.stringify(one)))
    expect(await get(`${path}?on=2026-03-12`)).toMatchObject(JSON.parse(JSON.stringify(another)))
    expect(await get(path)).toMatchObject(JSON.parse(JSON.stringify(another)))
  })

  test('back to what it was is an edition too', async () => {
    for (const body of [one, another, one]) await put(path, body)
    expect((await editions(kind, id)).map((edition) => edition.edition.slice(-4))).toEqual(['0001', '0002', '0003'])
    expect(await get(path)).toMatchObject(JSON.parse(JSON.stringify(one)))
  })

  test('a backdated edition is in force on its days and no others, and is added once', async () => {
    await put(path, one)
    const backdated = { ...another, effectiveFrom: '2026-01-15' }
    const added = await put(path, backdated)
    expect([added.status, added.json.edition]).toEqual([200, '2026-01-15#0002'])
    const written = house.table.written()
    expect((await put(path, backdated)).json).toEqual(added.json)
    expect((await put(path, one)).status).toBe(200)
    expect(house.table.written()).toBe(written)
    expect(await get(`${path}?on=2026-03-09`)).toMatchObject({ edition: '2026-01-15#0002' })
    expect(await get(path)).toMatchObject({ edition: '2026-03-10#0001' })
  })

  test('two put at once, of different days, are both kept, one numbered after the other', async () => {
    await put(path, one)
    const replies = await Promise.all([
      put(path, { ...another, effectiveFrom: '2026-01-15' }),
      put(path, { ...another, effectiveFrom: '2026-02-15' }),
    ])
    expect(replies.map(({ json }) => json.edition.slice(-4)).sort()).toEqual(['0002', '0003'])
    await put(path, { ...another, effectiveFrom: '2026-03-01' })
    expect((await editions(kind, id)).map((edition) => edition.number).sort()).toEqual([1, 2, 3, 4])
  })

  test('one for next month is not in force today, and keeps today’s from nothing', async () => {
    await put(path, one)
    await put(path, { ...another, effectiveFrom: '2026-04-01' })
    expect(await get(path)).toMatchObject(JSON.parse(JSON.stringify(one)))
    const written = house.table.written()
    expect((await put(path, one)).status).toBe(200)
    expect(house.table.written()).toBe(written)
    house.at('2026-04-01T15:00:00.000Z')
    expect(await get(path)).toMatchObject({ edition: '2026-04-01#0002' })
  })
})

test('a register lists each entry once, as it was last put', async () => {
  await put('depots/DEP-1', { ...aDepot, name: 'West yard' })
  const { items, next } = await get('depots')
  expect(items.map(({ id, name }: { id: string; name: string }) => [id, name])).toEqual([
    ['DEP-1', 'West yard'],
    ['DEP-2', 'South yard'],
  ])
  expect(next).toBeNull()
})

describe('the employer’s policy', () => {
  test('is listed beside the rule packs that ship, in full, with their sources', async () => {
    const { items, packs } = await get('policies')
    expect(items).toMatchObject([{ id: 'employer', packs: ['us-29-cfr-1910-269-j'] }])
    expect(items[0].inWords.tellDaysBefore).toEqual([60, 30, 14, 7, 1, 0])
    expect(packs[0].requirements[0].source.cited).toBe('29 CFR 1910.269(j)(2)(iii)')
  })

  test('binds the moment it is recorded: 90 days ahead is then due soon', async () => {
    await brings({ testedOn: day('2024-06-01') })
    expect((await get('sticks/S-1')).status).toBe('in service')
    const { status } = await put('policies/employer', { packs: ['us-29-cfr-1910-269-j'], tellDaysBefore: [90, 30] })
    expect(status).toBe(200)
    expect((await get('sticks/S-1')).status).toBe('due soon')
    expect((await get('sticks/S-1?on=2026-03-09')).status).toBe('in service')
  })

  test.each([
    [{ packs: [] }, '/packs'],
    [{ packs: ['au-1'] }, '/packs/0'],
    [{ packs: ['us-29-cfr-1910-269-j'], tellDaysBefore: [] }, '/tellDaysBefore'],
    [{ packs: ['us-29-cfr-1910-269-j'], tellDaysBefore: [30, 60] }, '/tellDaysBefore'],
    [{ packs: ['us-29-cfr-1910-269-j'], tellOverdueEveryDays: 0 }, '/tellOverdueEveryDays'],
    [{ packs: ['us-29-cfr-1910-269-j'], intervalMonths: 36 }, '/intervalMonths'],
  ])('cannot be %j', async (body, pointer) => {
    const { status, json } = await put('policies/employer', body)
    expect([status, json.errors.map((one: { pointer: string }) => one.pointer)]).toEqual([422, [pointer]])
  })
})

describe('a procedure', () => {
  const check = (over: object) => ({ ...aProcedure, checks: aProcedure.checks.map((one) => ({ ...one, ...over })) })

  test('whose check tells nothing is refused', async () => {
    for (const tolerancePercent of [50, 100]) {
      const { status, json } = await put('procedures/NEW', check({ tolerancePercent }))
      expect([status, json.errors]).toEqual([
        422,
        [0, 1].map((at) => ({
          in: 'body',
          pointer: `/checks/${at}/tolerancePercent`,
          came: tolerancePercent,
          expected: 'less than 50',
        })),
      ])
    }
    // wider than that of another procedure, it waits for a second person
    expect((await put('procedures/NEW', check({ tolerancePercent: 49.9 }))).status).toBe(202)
  })

  test('with a limit above its check piece is taken, and says so whenever it is read', async () => {
    const warned = [{ code: 'limit-above-check-piece', pointer: '/limits/0' }]
    const limits = aProcedure.limits.map((one, i) => (i === 0 ? { ...one, microamps: 100.5 } : one))
    await putByTwo('procedures/NEW', { ...aProcedure, limits })
    expect((await get('procedures/NEW')).warnings).toMatchObject(warned)
    const { items } = await get('procedures')
    expect(items.map(({ id, warnings }: { id: string; warnings: object[] }) => [id, warnings.length])).toEqual([
      ['NEW', 1],
      ['PRC-1', 0],
    ])
    const again = await put('procedures/NEW', { ...aProcedure, limits })
    expect([again.status, again.json.warnings]).toMatchObject([200, warned])
    expect((await put('procedures/NEW', aProcedure)).json.warnings).toEqual([])
  })

  test('without a check for a state it has limits for is taken with a warning too', async () => {
    const checks = aProcedure.checks.filter(({ state }) => state === 'dry')
    const { status, json } = await put('procedures/NEW', { ...aProcedure, checks })
    expect([status, json.warnings]).toMatchObject([201, [{ code: 'no-check-piece', pointer: '/checks' }]])
  })
})

describe('a calibration with a slip of the year in it is refused', () => {
  const enters = (calibratedOn: string, calibrationDueOn: string) =>
    put('instruments/INS-2', { spanMetres: 0.3, calibratedOn, calibrationDueOn })
  const faults = async (...period: Parameters<typeof enters>) => {
    const { status, json } = await enters(...period)
    return [
      status,
      ...(json.errors ?? []).map(({ pointer, expected }: { pointer: string; expected: string }) => [pointer, expected]),
    ]
  }
  const tooLong = ['/calibrationDueOn', 'a date at most 36 months after calibratedOn: check the year']
  const notBegun = (today: string) => ['/calibratedOn', `a date not after ${today}, today: check the year`]

  test('where it runs for longer than 36 months, counted by the calendar', async () => {
    expect(await faults('2026-03-01', '2029-03-02')).toEqual([422, tooLong])
    expect(await faults('2026-03-01', '2036-03-01')).toEqual([422, tooLong])
    expect(await faults('2024-02-29', '2027-03-01')).toEqual([422, tooLong])
    expect(await faults('9999-01-01', '9999-12-31')).toEqual([422, tooLong])
    expect((await enters('2026-03-01', '2029-03-01')).status).toBe(201)
    expect((await enters('2024-02-29', '2027-02-28')).status).toBe(200)
  })

  test('where it has not begun, by the clock of the depot where the day has come furthest', async () => {
    expect(await faults('2026-03-11', '2027-03-11')).toEqual([422, notBegun('2026-03-10')])
    expect((await enters('2026-03-10', '2027-03-10')).status).toBe(201)
    await house.done('PUT', '/v1/depots/DEP-3', { ...aDepot, timeZone: 'Pacific/Auckland' })
    expect((await enters('2026-03-11', '2027-03-11')).status).toBe(200)
    expect(await faults('2026-03-12', '2027-03-12')).toEqual([422, notBegun('2026-03-11')])
  })
})

test('a stick whose diameter was typed in inches is refused, and a limit for such sticks', async () => {
  const { status, json } = await put('sticks/S-9', { ...aStick, diameterMillimetres: 1.25 })
  expect([status, json.errors]).toEqual([
    422,
    [{ in: 'body', pointer: '/diameterMillimetres', came: 1.25, expected: 'at least 10: millimetres, not inches' }],
  ])
  expect((await put('sticks/S-9', { ...aStick, diameterMillimetres: 9.99 })).status).toBe(422)
  expect((await put('sticks/S-9', { ...aStick, diameterMillimetres: 10 })).status).toBe(201)
  const banded = (diameterMillimetres: [number, number]) => ({
    ...aProcedure,
    limits: aProcedure.limits.map((limit) => ({ ...limit, diameterMillimetres })),
  })
  const inches = await put('procedures/PRC-9', banded([1, 1.75]))
  expect([inches.status, inches.json.errors[0]]).toEqual([
    422,
    {
      in: 'body',
      pointer: '/limits/0/diameterMillimetres',
      came: [1, 1.75],
      expected: 'at least 10: millimetres, not inches',
    },
  ])
  expect((await put('procedures/PRC-9', banded([0, 10]))).status).toBe(201)
})

describe('calibration periods add up', () => {
  const period = (calibratedOn: string, calibrationDueOn: string, effectiveFrom?: string) =>
    put('instruments/INS-2', {
      spanMetres: 0.3,
      calibratedOn,
      calibrationDueOn,
      ...(effectiveFrom === undefined ? {} : { effectiveFrom }),
    })
  let hour = 0
  const verdicts = async (...days: string[]) => {
    const found = []
    for (const on of days) {
      // the same test told twice is refused: this one was repeated, a minute later each
      hour += 1
      const at = `08:${String(hour).padStart(2, '0')}`
      found.push((await brings({ testedOn: day(on), at, instrumentId: 'INS-2' })).verdict)
    }
    return found
  }

  test('a test counts inside any of them, through its last day, and in no gap between', async () => {
    await period('2024-01-01', '2025-01-01')
    await period('2025-07-01', '2026-07-01')
    expect(await verdicts('2023-12-31', '2024-01-01', '2025-01-01')).toEqual(['invalid', 'pass', 'pass'])
    expect(await verdicts('2025-01-02', '2025-06-30', '2025-07-01', '2026-03-10')).toEqual([
      'invalid',
      'invalid',
      'pass',
      'pass',
    ])
  })

  test('the newest stands alone where it leaves no doubt, and the others are pinned too where it does', async () => {
    await period('2024-01-01', '2025-01-01', '2024-01-01')
    await period('2025-07-01', '2026-07-01', '2025-07-01')
    expect(await verdicts('2024-06-01', '2026-03-01')).toEqual(['pass', 'pass'])
    const { items } = (await house.call('GET', '/v1/sticks/S-1/facts')).json
    const pinned = items.flatMap((fact: { pinned?: { instrumentEditions: string[] } }) =>
      fact.pinned === undefined ? [] : [fact.pinned.instrumentEditions.length],
    )
    expect(pinned.slice(-2).sort()).toEqual([1, 2])
    expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
  })

  test('a rule ends them sooner, and the verdict is proved with the policy of its day', async () => {
    await period('2024-07-01', '2026-07-01')
    const packs = ['us-29-cfr-1910-269-j', 'ufc-3-560-01-5-4']
    await putByTwo('policies/employer', {
      packs,
      turnOn: ['ufc-3-560-01-5-5-1-1-calibration'],
      effectiveFrom: '2026-03-09',
    })
    expect(await verdicts('2025-07-02', '2026-03-08', '2026-03-09')).toEqual(['pass', 'pass', 'invalid'])
    expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
  })

  test('one entered late, backdated or not, counts for tests that come after the entry', async () => {
    await period('2025-07-01', '2026-07-01')
    expect(await verdicts('2025-03-01')).toEqual(['invalid'])
    await period('2024-07-01', '2025-07-01', '2024-07-01')
    expect(await verdicts('2025-03-01', '2026-03-01')).toEqual(['pass', 'pass'])
  })
})

describe('a test keeps the editions it was judged by', () => {
  test('a stricter procedure of today changes no verdict of yesterday, and binds from its day', async () => {
    const strict = aProcedure.limits.map((limit) => ({ ...limit, microamps: 3 }))
    expect((await brings({ testedOn: day('2026-03-08'), at: '08:00' })).verdict).toBe('pass')
    await put('procedures/PRC-1', { ...aProcedure, limits: strict, effectiveFrom: '2026-03-09' })
    expect((await brings({ testedOn: day('2026-03-08') })).verdict).toBe('pass')
    expect((await brings({ testedOn: day('2026-03-09') })).verdict).toBe('fail')
    expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
  })

  test('a stick entered as longer since is judged by its length of the day', async () => {
    await put('sticks/S-1', { ...aStick, workingLengthMetres: 3.6 })
    expect((await brings({ testedOn: day('2026-03-09') })).verdict).toBe('pass')
    expect((await brings({ testedOn: day('2026-03-10') })).verdict).toBe('incomplete')
    expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
  })

  test('a proof that a state or a verdict was tampered with fails', async () => {
    await house.done('POST', '/v1/sticks/S-1/bench-tests', overTheLimit({ testedOn: day('2026-03-09') }))
    const items = house.table.items().map((item) => structuredClone(item) as unknown as Record<string, never>)
    const faultsAfter = async (change: (item: Record<string, never>) => unknown) => {
      const changed = structuredClone(items)
      for (const item of changed) change(item)
      return (await proveStick(openHouse(changed as unknown as Item[]).organisation(), 'S-1')).faults
    }
    const none = () => undefined
    expect(await faultsAfter(none)).toEqual([])
    expect(
      await faultsAfter(({ sk, state }) => sk === 'STATE' && Object.assign(state as unknown as object, { holds: [] })),
    ).toEqual(['the stored state is not the replay of its facts'])
    const better = ({ fact }: { fact?: { judgement?: object } }) =>
      Object.assign(fact?.judgement ?? {}, { worst: null })
    expect((await faultsAfter(better))[0]).toMatch(/judged again it is fail/)
  })
})

describe('a stick on the register', () => {
  const facts = async () => (await get('sticks/S-1/facts')).items.length

  test('put again as it is adds nothing, though it has moved since', async () => {
    await brings({ testedOn: day('2026-03-09') })
    const move = { factId: crypto.randomUUID(), occurredOn: '2026-03-10', to: { bench: 'DEP-2' } }
    await house.done('POST', '/v1/sticks/S-1/moves', move)
    const written = house.table.written()
    const again = await put('sticks/S-1', aStick)
    expect(again).toMatchObject({ status: 200, json: { custody: { bench: 'DEP-2' }, depotId: 'DEP-2' } })
    expect(house.table.written()).toBe(written)
  })

  test('another entry adds a fact, a backdated one too, each once', async () => {
    const wood = { ...aStick, construction: 'wood', effectiveFrom: '2026-02-25' }
    for (const body of [{ ...aStick, lot: 'L-8' }, wood, wood, { ...aStick, lot: 'L-8' }]) {
      expect((await putByTwo('sticks/S-1', body)).status).toBe(200)
    }
    expect(await facts()).toBe(3)
    expect(await get('sticks/S-1')).toMatchObject({ construction: 'foam-filled FRP tube', lot: 'L-8' })
    expect(await get('sticks/S-1?on=2026-03-09')).toMatchObject({ construction: 'wood', lot: 'L-7' })
    expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
  })

  test('begins in nobody’s hands if it names no crew, and awaits its first test', async () => {
    const { crewId: _, ...ofNoCrew } = aStick
    const { status, json } = await put('sticks/S-9', ofNoCrew)
    expect([status, json.status, json.custody, json.depotId]).toEqual([201, 'awaiting first test', null, null])
  })

  test('with the sections that were tested stays fit when it goes to another crew', async () => {
    const sections = [0.8, 0.8, 0.8].map((lengthMetres, i) => ({ name: `section ${i}`, lengthMetres }))
    const telescoping = { ...aStick, sections, effectiveFrom: '2026-03-01' }
    await house.done('PUT', '/v1/sticks/S-9', telescoping)
    const readings = (leakage: number, settled?: boolean) =>
      sections.flatMap(({ name }) => survey(0.8, leakage, () => ({ section: name }), settled))
    const test = aTest({
      testedOn: day('2026-03-05'),
      dry: { readings: readings(4) },
      wet: { water: 'distilled', appearance: 'beads', readings: readings(9, true) },
    })
    const { verdict } = (await house.done('POST', '/v1/sticks/S-9/bench-tests', test, 'bench')).json
    expect(verdict).toBe('pass')
    await house.done('PUT', '/v1/sticks/S-9', { ...telescoping, crewId: 'CR-2', effectiveFrom: '2026-03-10' })
    expect(await get('sticks/S-9')).toMatchObject({ status: 'in service', holds: [] })
  })

  test('sections of one name are refused', async () => {
    const sections = [1, 2].map((lengthMetres) => ({ name: 'tip', lengthMetres }))
    const { status, json } = await put('sticks/S-9', { ...aStick, sections })
    expect([status, json.errors[0].pointer]).toEqual([422, '/sections'])
  })
})
