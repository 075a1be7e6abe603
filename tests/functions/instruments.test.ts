/** Instruments: until when each counts, how it read what is known, and the tests that were judged with it. */
import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { instrumentsFor } from '../../functions/questions/instruments.ts'
import type { Item } from '../../functions/store/table.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { addDays } from '../../shared-domain/calendar.ts'
import { pagesOf } from '../support/pages.ts'
import { anInstrument, aProcedure, aStick, aTest, day } from '../support/trade.ts'
import { typedForm } from '../support/typed-form.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const check = (over: Partial<BenchTest['instrumentChecks'][number]> = {}) => ({
  state: 'dry' as const,
  when: 'before' as const,
  openMicroamps: 0,
  checkMicroamps: 98,
  ...over,
})

let furnished: readonly Item[]
beforeAll(async () => {
  const house = openHouse()
  await furnish(house)
  for (const [id, calibratedOn, calibrationDueOn] of [
    ['OUT-LONG', '2024-01-10', '2025-01-10'],
    ['OUT', '2025-02-20', '2026-03-01'],
    ['LAST-DAY', '2025-03-02', '2026-03-02'],
    ['SOON', '2025-03-10', '2026-03-10'],
  ] as const)
    await house.done('PUT', `/v1/instruments/${id}`, { ...anInstrument, calibratedOn, calibrationDueOn })
  house.table.settled()
  furnished = house.table.items()
})

async function bench(house: House, stickId: string, over: Partial<BenchTest> = {}): Promise<string> {
  const record = aTest(over)
  await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, record)
  return record.factId
}

interface Listed {
  readonly testedOn: string
  readonly stickId: string | null
  readonly factId: string | null
}

async function all(house: House, path: string, limit: number, who: Who = 'bench'): Promise<Listed[]> {
  const items: Listed[] = []
  for (let cursor: string | null = ''; cursor !== null; ) {
    const more = cursor === '' ? '' : `&cursor=${cursor}`
    const { json } = await house.done('GET', `/v1/instruments/${path}?limit=${limit}${more}`, undefined, who)
    expect(json.items.length).toBeLessThanOrEqual(limit)
    items.push(...json.items)
    cursor = json.next
  }
  return items
}

const page = async (house: House, path: string) => {
  const pages = pagesOf(house)
  return (await pages.request(path)).text()
}
const wordsOf = (text: string) => text.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ')

describe('the list', () => {
  test('begins with those out of calibration, the longest out first, then the soonest to run out', async () => {
    const house = openHouse(furnished)
    const listed = await instrumentsFor(house.asker())
    expect(listed.map(({ id, isIn, through }) => [id, isIn, through])).toEqual([
      ['OUT-LONG', false, '2025-01-10'],
      ['OUT', false, '2026-03-01'],
      ['LAST-DAY', true, '2026-03-02'],
      ['SOON', true, '2026-03-10'],
      ['INS-1', true, '2026-12-01'],
    ])
    const text = wordsOf(await page(house, '/instruments'))
    expect(text).toContain('OUT out of calibration A test with it proves nothing')
    expect(text).toContain('1 March 2026 1 day ago')
    expect(text).toContain('2 March 2026 today is its last day')
    expect(text).toContain('10 March 2026 in 8 days')
  })

  test('counts a newer calibration, no slip taken back, and ends where a rule of the policy ends it', async () => {
    const house = openHouse(furnished)
    const renewed = { ...anInstrument, calibratedOn: '2026-03-02', calibrationDueOn: '2027-03-02' }
    await house.done('PUT', '/v1/instruments/OUT', renewed)
    const out = async () => (await instrumentsFor(house.asker())).find(({ id }) => id === 'OUT')
    expect(await out()).toMatchObject({ isIn: true, through: '2027-03-02', calibratedOn: '2026-03-02' })
    const packs = ['us-29-cfr-1910-269-j', 'ufc-3-560-01-5-4']
    const capped = { packs, turnOn: ['ufc-3-560-01-5-5-1-1-calibration'], effectiveFrom: '2020-01-01' }
    await house.done('PUT', '/v1/policies/employer', capped)
    house.table.settled()
    const ins1 = (await instrumentsFor(house.asker())).find(({ id }) => id === 'INS-1')
    // three years by its certificate, and twelve months by the rule
    expect(ins1).toMatchObject({ isIn: false, through: '2025-01-01' })
  })
})

describe('checks', () => {
  test('come with the newest test first, each beside what its procedure asked then', async () => {
    const house = openHouse(furnished)
    const older = await bench(house, 'S-1', {
      testedOn: day('2026-02-20'),
      instrumentChecks: [check(), check({ state: 'wet', openMicroamps: 2 })],
    })
    await house.done('PUT', '/v1/procedures/PRC-1', {
      ...aProcedure,
      checks: aProcedure.checks.map((one) => ({ ...one, tolerancePercent: 1 })),
      effectiveFrom: '2026-03-02',
    })
    const newer = await bench(house, 'S-1', {
      at: '08:00',
      instrumentChecks: [check(), check({ when: 'after', checkMicroamps: 100 })],
    })
    house.table.settled()
    const { json } = await house.done('GET', '/v1/instruments/INS-1/checks', undefined, 'bench')
    const expected = { expectedMicroamps: 100, tolerancePercent: 10, openAtMostMicroamps: 1 }
    const of = { stickId: 'S-1', procedureId: 'PRC-1' }
    const now = { ...of, testedOn: '2026-03-02', at: '08:00', factId: newer, state: 'dry', openMicroamps: 0 }
    const then = { ...of, testedOn: '2026-02-20', at: null, factId: older, checkMicroamps: 98, when: 'before' }
    const stricter = { ...expected, tolerancePercent: 1 }
    expect(json).toEqual({
      items: [
        { ...now, when: 'before', checkMicroamps: 98, expected: stricter, isRight: false },
        { ...now, when: 'after', checkMicroamps: 100, expected: stricter, isRight: true },
        { ...then, state: 'dry', openMicroamps: 0, expected, isRight: true },
        { ...then, state: 'wet', openMicroamps: 2, expected, isRight: false },
      ],
      next: null,
      charts: expect.anything(),
    })
  })

  test('of a state of which the procedure asks nothing are neither right nor wrong', async () => {
    const house = openHouse(furnished)
    const onlyDry = { ...aProcedure, checks: aProcedure.checks.filter(({ state }) => state === 'dry') }
    await house.done('PUT', '/v1/procedures/PRC-2', onlyDry)
    await bench(house, 'S-1', { procedureId: 'PRC-2', instrumentChecks: [check({ state: 'wet' })] })
    house.table.settled()
    const { json } = await house.done('GET', '/v1/instruments/INS-1/checks', undefined, 'bench')
    expect(json.items).toMatchObject([{ state: 'wet', expected: null, isRight: null }])
    expect(await page(house, '/instruments/INS-1')).not.toContain('<svg class="chart" viewBox="0 0 720')
  })
})

describe('control charts', () => {
  const falling = [100, 101, 100, 99, 100, 101, 99, 100, 98, 97, 96, 95, 94, 93]

  async function benchOfFalling(): Promise<House> {
    const house = openHouse(furnished)
    // what was read before the last calibration is charted no more
    await bench(house, 'S-1', { testedOn: day('2024-12-30'), instrumentChecks: [check({ checkMicroamps: 60 })] })
    const renewed = { ...anInstrument, calibratedOn: '2026-02-01', calibrationDueOn: '2027-02-01' }
    await house.done('PUT', '/v1/instruments/INS-1', renewed)
    for (const [i, checkMicroamps] of falling.entries()) {
      const testedOn = addDays(day('2026-02-02'), i)
      // the same session judges two sticks, with the same check typed in twice
      for (const at of ['08:00', '09:00'])
        await bench(house, 'S-1', { testedOn, at, instrumentChecks: [check({ checkMicroamps })] })
    }
    await bench(house, 'S-1', { testedOn: day('2026-02-20'), instrumentChecks: [] })
    house.table.settled()
    return house
  }

  test('are of one reading a day since the last calibration, and warn of a drift while checks are right', async () => {
    const house = await benchOfFalling()
    const { json } = await house.done('GET', '/v1/instruments/INS-1/checks?limit=5', undefined, 'bench')
    const { since, daysWithoutCheck, isAll, series } = json.charts
    expect([since, daysWithoutCheck, isAll, series.length]).toEqual(['2026-02-01', 1, true, 1])
    const [dry] = series
    expect(dry.readings.map(({ microamps }: { microamps: number }) => microamps)).toEqual(falling)
    expect(dry.readings[1]).toEqual({ testedOn: '2026-02-03', microamps: 101, step: 1 })
    // by hand: mean 98.0714, thirteen steps that sum to 15, so limits 3.0687 away and steps to 3.7696
    expect(dry.limits.mean).toBeCloseTo(98.0714, 4)
    expect(dry.limits.high - dry.limits.mean).toBeCloseTo(3.0687, 4)
    expect(dry.limits.highStep).toBeCloseTo(3.7696, 4)
    expect(dry.warnings).toContainEqual({
      code: 'falling',
      text: 'From 9 February 2026 to 15 February 2026 each reading is lower than the one before: it drifts.',
      from: '2026-02-09',
      to: '2026-02-15',
    })
    expect(json.items.every(({ isRight }: { isRight: boolean | null }) => isRight !== false)).toBe(true)
    const second = await house.done(
      'GET',
      `/v1/instruments/INS-1/checks?limit=5&cursor=${json.next}`,
      undefined,
      'bench',
    )
    expect(second.json.charts).toBeUndefined()
  })

  test('say in words that there are too few readings for limits', async () => {
    const house = openHouse(furnished)
    await bench(house, 'S-1', { testedOn: day('2026-02-20'), instrumentChecks: [check()] })
    house.table.settled()
    const { series } = (await house.done('GET', '/v1/instruments/INS-1/checks', undefined, 'bench')).json.charts
    const text =
      'Too few readings for limits. Days with a reading: 1; limits take 10. Until then look at what the procedure asks.'
    expect(series).toMatchObject([{ limits: null, text, warnings: [] }])
    expect(wordsOf(await page(house, '/instruments/INS-1'))).toContain(text)
  })

  test('stand on the page with a table beside them, and say what warns', async () => {
    const text = await page(await benchOfFalling(), '/instruments/INS-1')
    const words = wordsOf(text)
    expect(words).toContain('each reading is lower than the one before: it drifts.')
    expect(words).toContain('Mean 98.07 µA, limits 95 and 101.14 µA, the band.')
    expect(words).toContain('Days on which no test with it has a check: 1.')
    expect(words).toContain('3 February 2026 101 µA 1 µA')
    expect(text).toMatch(/<title id="chart-0-title">Readings, dry, piece of 100 µA<\/title><desc id="chart-0-desc">/)
    // 95, 94 and 93 lie below the limit of 95.003
    expect(text.match(/class="reading wrong full"/g)?.length).toBeGreaterThanOrEqual(3)
  })
})

test('a calibration at which it was found to read wrong says by how much, and leads to what it judged', async () => {
  const house = openHouse(furnished)
  const found = {
    ...anInstrument,
    calibratedOn: '2026-02-20',
    calibrationDueOn: '2027-02-20',
    foundOutOfTolerance: true,
    certificate: 'C-77',
    laboratory: 'Invented laboratory',
  }
  const wrong = { ...found, foundError: { kind: 'percent of full scale', value: -5 } }
  const refused = await house.call('PUT', '/v1/instruments/INS-1', wrong)
  expect([refused.status, refused.json.errors[0].pointer]).toEqual([422, '/foundError/fullScaleMicroamps'])
  const notFound = { ...found, foundOutOfTolerance: false, foundError: { kind: 'percent of reading', value: -5 } }
  expect((await house.call('PUT', '/v1/instruments/INS-1', notFound)).json.errors[0].pointer).toBe(
    '/foundOutOfTolerance',
  )
  await house.done('PUT', '/v1/instruments/INS-1', {
    ...found,
    foundError: { kind: 'percent of full scale', value: -5, fullScaleMicroamps: 200 },
  })
  house.table.settled()
  const text = await page(house, '/instruments/INS-1')
  expect(wordsOf(text)).toContain('had read wrong by -5 % of the full scale of 200 µA')
  expect(wordsOf(text)).toContain('C-77, Invented laboratory')
  expect(text).toContain('/recall/instrument?instrument=INS-1&amp;lastGoodOn=2024-01-01&amp;foundOutOn=2026-02-20')
  const [, link = ''] = /href="([^"]*foundOutOn[^"]*)"/.exec(text) ?? []
  const form = typedForm(await page(house, link.replaceAll('&amp;', '&')))
  expect(Object.fromEntries(form)).toMatchObject({
    '/cause/instrumentId': 'INS-1',
    '/cause/lastGoodOn': '2024-01-01',
    '/cause/foundOutOn': '2026-02-20',
    '/cause/error/kind': 'percent of full scale',
    '/cause/error/value': '-5',
    '/cause/error/fullScaleMicroamps': '200',
  })
  // bench people calibrate, and recall nothing
  expect(await (await pagesOf(house, 'bench').request('/instruments/INS-1')).text()).not.toContain('/recall/')
})

describe('of many tests', () => {
  const tests = 57

  async function benchOfMany(): Promise<House> {
    const house = openHouse(furnished)
    for (let i = 0; i < tests; i++) {
      const [stickId, on] = [`M-${i % 5}`, addDays(day('2026-01-01'), Math.floor(i / 3))]
      if (i < 5) await house.done('PUT', `/v1/sticks/${stickId}`, { ...aStick, crewId: i === 4 ? 'CR-2' : 'CR-1' })
      await bench(house, stickId, {
        testedOn: on,
        at: `0${i % 9}:00`,
        instrumentChecks: [check(), check({ state: 'wet' }), check({ when: 'after' })],
      })
    }
    house.table.settled()
    return house
  }

  test('each test and each check comes once, newest day first, whatever the size of a page', async () => {
    const house = await benchOfMany()
    for (const [path, whole] of [
      ['INS-1/tests', tests],
      ['INS-1/checks', 3 * tests],
    ] as const) {
      const wide = await all(house, path, 200)
      expect(wide).toHaveLength(whole)
      const days = wide.map(({ testedOn }) => testedOn)
      expect(days).toEqual([...days].sort().reverse())
      for (const limit of [1, 7, 50]) expect(await all(house, path, limit)).toEqual(wide)
    }
    expect(new Set((await all(house, 'INS-1/tests', 200)).map(({ factId }) => factId)).size).toBe(tests)
  })

  test('those of another’s sticks are left out, and of their checks the stick is not named', async () => {
    const house = await benchOfMany()
    await house.done('PUT', '/v1/people/north-bench', {
      name: 'Nils Orr',
      email: 'nils@demo-utility.example',
      depots: ['DEP-1'],
      role: 'bench',
    })
    const seen = await all(house, 'INS-1/tests', 50, 'north bench')
    const others = Array.from({ length: tests }, (_, i) => i % 5).filter((stick) => stick === 4).length
    expect(seen).toHaveLength(tests - others)
    expect(seen.some(({ stickId }) => stickId === 'M-4')).toBe(false)
    const checks = await all(house, 'INS-1/checks', 50, 'north bench')
    expect(checks).toHaveLength(3 * tests)
    const unnamed = checks.filter(({ stickId, factId }) => stickId === null && factId === null)
    expect(unnamed).toHaveLength(3 * others)
  })

  test('the page leads on to the earlier ones and back, and shows each once', async () => {
    const house = await benchOfMany()
    const linkTo = (text: string, rel: string) =>
      new RegExp(`<a href="([^"]*)" rel="${rel}">`).exec(text)?.[1]?.replaceAll('&amp;', '&') ?? ''
    const first = await page(house, '/instruments/INS-1')
    const second = await page(house, linkTo(first, 'next'))
    const shown = (text: string) => [...text.matchAll(/bench-tests\/([0-9a-f-]{36})"/g)].map(([, id]) => id)
    const third = await page(house, linkTo(second, 'next'))
    expect([first, second, third].map((text) => shown(text).length)).toEqual([25, 25, 7])
    expect(new Set([first, second, third].flatMap(shown)).size).toBe(tests)
    expect(linkTo(third, 'next')).toBe('')
    expect(shown(await page(house, linkTo(second, 'prev')))).toEqual(shown(first))
  })
})

test('a verdict is the one that counts by now, and a test that was a slip is listed no more', async () => {
  const house = openHouse(furnished)
  const late = { ...anInstrument, calibratedOn: '2025-02-20', calibrationDueOn: '2026-03-01' }
  const invalid = await bench(house, 'S-1', { testedOn: day('2026-03-02'), at: '08:00', instrumentId: 'OUT' })
  const slip = await bench(house, 'S-1', { testedOn: day('2026-02-20'), instrumentId: 'OUT' })
  const verdicts = async () => {
    house.table.settled()
    const { items } = (await house.done('GET', '/v1/instruments/OUT/tests')).json
    return items.map(({ factId, verdict }: { factId: string; verdict: string }) => [factId, verdict])
  }
  expect(await verdicts()).toEqual([
    [invalid, 'invalid'],
    [slip, 'pass'],
  ])
  await house.done('PUT', '/v1/instruments/OUT', {
    ...late,
    calibratedOn: '2026-03-02',
    calibrationDueOn: '2027-03-01',
  })
  const again = { factId: randomUUID(), reason: 'the certificate came late' }
  await house.done('POST', `/v1/sticks/S-1/bench-tests/${invalid}/judgements`, again, 'bench-2')
  const correction = { factId: randomUUID(), corrects: slip, reason: 'another stick', replacement: null }
  await house.done('POST', '/v1/corrections', correction, 'manager')
  expect(await verdicts()).toEqual([[invalid, 'pass']])
})

test('the page of an instrument says how it stands, and draws its checks over the band that is asked for', async () => {
  const house = openHouse(furnished)
  await bench(house, 'S-1', { testedOn: day('2026-02-20'), instrumentChecks: [check(), check({ checkMicroamps: 50 })] })
  house.table.settled()
  const text = await page(house, '/instruments/INS-1')
  expect(wordsOf(text)).toContain('in calibration In calibration through 1 December 2026.')
  expect(wordsOf(text)).toContain('From 20 February 2026 to 20 February 2026. Readings: 2. Not as asked: 1.')
  expect(wordsOf(text)).toContain('The axis does not begin with nought.')
  expect(text.match(/<circle class="reading full" cx="\d+[.\d]*" cy/g)).toHaveLength(2)
  expect(text.match(/class="reading wrong full"/g)).toHaveLength(2)
  expect(wordsOf(text)).toContain('before: 50 µA, empty 0 µA not as asked')
  expect(text).not.toMatch(/ style="/)
  const out = wordsOf(await page(house, '/instruments/OUT'))
  expect(out).toContain('Out of calibration since 1 March 2026.')
})
