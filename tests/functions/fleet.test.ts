/** A year of the fleet and what it teaches, through the API: counted by hand from what was recorded. */
import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { adviceFor } from '../../functions/questions/fleet.ts'
import type { Item } from '../../functions/store/table.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { pagesOf } from '../support/pages.ts'
import { anInstrument, aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

let furnished: readonly Item[]

const bench = (house: House, stickId: string, record: BenchTest, who: Who = 'bench') =>
  house.done('POST', `/v1/sticks/${stickId}/bench-tests`, record, who)

/**
 * On 2 March 2026: S-1 passed in 2024, was due on 10 February 2026, failed on the 20th, and somebody confirmed that two
 * hours later. Thirty sticks of two lots were tested in 2022; of the lot BAD ten failed of thirteen, of the rest two.
 */
beforeAll(async () => {
  const house = openHouse()
  await furnish(house)
  const of2022 = { ...anInstrument, calibratedOn: '2022-01-01', calibrationDueOn: '2023-12-31' }
  await house.done('PUT', '/v1/instruments/INS-1', of2022)
  await bench(house, 'S-1', aTest({ testedOn: day('2024-02-10') }))
  for (let i = 0; i < 30; i++) {
    const stickId = `L-${String(i).padStart(2, '0')}`
    const isBad = i < 13
    const lot = isBad ? 'BAD' : 'GOOD'
    await house.done('PUT', `/v1/sticks/${stickId}`, { ...aStick, lot, crewId: isBad ? 'CR-1' : 'CR-2' })
    const fails = isBad ? i < 10 : i < 15
    await bench(house, stickId, (fails ? overTheLimit : aTest)({ testedOn: day('2022-05-02'), at: '09:00' }))
  }
  house.at('2026-02-20T15:00:00.000Z')
  await bench(house, 'S-1', overTheLimit({ testedOn: day('2026-02-20'), at: '08:00' }))
  house.table.settled()
  for (const item of house.table.items())
    if (item.entity === 'notice' && String(item.noticeStickKey).endsWith('#S-1#NOTICES') && item.answer !== undefined)
      await house.table.transact([house.table.put({ ...item, answeredAt: '2026-02-20T17:00:00.000Z' } as Item)])
  house.at('2026-03-02T15:00:00.000Z')
  furnished = house.table.items()
})

const get = async (house: House, path: string, who: Who = 'manager') =>
  (await house.done('GET', path, undefined, who)).json

describe('the report of a year', () => {
  test('counts sticks, tests, causes, overdue days and how long until a hold was confirmed', async () => {
    const report = await get(openHouse(furnished), '/v1/fleet/report')
    expect(report).toMatchObject({ year: 2026, from: '2026-01-01', to: '2026-03-02', on: '2026-03-02', isAll: true })
    expect(report.depotIds).toEqual(['DEP-1', 'DEP-2'])
    expect(report.sticks).toMatchObject({ atEnd: 31, entered: 0, removed: 0, scrapped: 0 })
    expect(report.tests).toMatchObject({ pass: 0, fail: 1, incomplete: 0, invalid: 0, passRate: 0 })
    expect(report.tests.byReason).toContainEqual({ reason: 'periodic', pass: 0, fail: 1, incomplete: 0, invalid: 0 })
    expect(report.causes).toEqual({ electrical: 1, examination: 0, reports: [] })
    // S-1 from 11 to 19 February; the 18 sticks that passed on 2 May 2022 were due on 2 May 2024, so 61 days each
    expect(report.overdue).toEqual({ sticks: 19, days: 9 + 18 * 61 })
    expect(report.confirmations).toEqual({ matters: 1, confirmed: 1, medianHours: 2, longestHours: 2 })
  })

  test('of a year gone by counts its own tests alone, to its end', async () => {
    const report = await get(openHouse(furnished), '/v1/fleet/report?year=2022')
    expect(report).toMatchObject({ year: 2022, from: '2022-01-01', to: '2022-12-31' })
    expect(report.tests).toMatchObject({ pass: 18, fail: 12, passRate: 0.6 })
    // by hand: the exact limits of 18 of 30
    expect(report.tests.limits.low).toBeCloseTo(0.406, 3)
    expect(report.tests.limits.high).toBeCloseTo(0.7734, 3)
  })

  test('of one depot counts what lies there, and of one that is not one’s own there is none', async () => {
    const house = openHouse(furnished)
    const report = await get(house, '/v1/fleet/report?depot=DEP-2')
    expect([report.depotIds, report.sticks.atEnd]).toEqual([['DEP-2'], 17])
    expect((await get(house, '/v1/fleet/advice?depot=DEP-1')).sticks).toBe(14)
    for (const path of ['report?depot=DEP-1', 'advice?depot=DEP-1', 'report?depot=DEP-9'])
      expect((await house.call('GET', `/v1/fleet/${path}`, undefined, 'south manager')).status).toBe(404)
  })

  test('of a year to come, or of no year, is refused', async () => {
    const house = openHouse(furnished)
    for (const year of ['2027', '1979', 'last'])
      expect((await house.call('GET', `/v1/fleet/report?year=${year}`)).status).toBe(422)
  })

  test('counts a stick that is removed or scrapped since, and a report of danger by its kind', async () => {
    const house = openHouse(furnished)
    const fact = (more: object) => ({ factId: randomUUID(), occurredOn: '2026-03-02', ...more })
    await house.done('POST', '/v1/sticks/L-20/defects', fact({ kind: 'tingle' }), 'crew')
    await house.done('POST', '/v1/sticks/L-21/removals', fact({ reason: 'worn' }), 'manager')
    await house.done('POST', '/v1/sticks/L-22/moves', fact({ to: 'scrapped' }), 'manager')
    house.table.settled()
    const report = await get(house, '/v1/fleet/report')
    expect(report.sticks).toMatchObject({ atEnd: 29, removed: 1, scrapped: 1 })
    expect(report.causes.reports).toEqual([{ kind: 'tingle', times: 1 }])
    expect(report.confirmations.confirmed).toBe(1)
    expect(report.confirmations.matters).toBeGreaterThan(1)
  })
})

describe('the page of the year', () => {
  const page = async (house: House, path: string, who: Who = 'manager', language = 'en') => {
    const answer = await pagesOf(house, who).request(path, { headers: { 'accept-language': language } })
    const text = (await answer.text()).replace(/<style.*?<\/style>/s, '')
    return { answer, text, words: text.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ') }
  }

  test('says the lot that stands out first, with a way to what a recall of it would call back', async () => {
    const { text, words } = await page(openHouse(furnished), '/outlook/year')
    expect(words).toContain('The fleet in 2026')
    expect(words).toContain('From 1 January 2026 to 2 March 2026. Depots: North yard and South yard.')
    expect(words).toContain('Lot BAD: 10 of 13 sticks failed; of all others 3 of 18.')
    expect(text).toContain('<a class="do" href="/recall/lot?lot=BAD">')
    expect(text.indexOf('/recall/lot')).toBeLessThan(text.indexOf('<table'))
    expect(words).toContain('foam-filled FRP tube 0 of 1: 0 % (0 to 97.5 %) 24 months Too few to tell.')
    expect(words).toContain('Days overdue, of all sticks together 1107')
    expect(words).toContain('Hours until somebody confirmed, half of them at most 2')
    expect(text).not.toMatch(/ style="/)
  })

  test('is of another year, and of one’s own depots, and leads to its file', async () => {
    const { words, text } = await page(openHouse(furnished), '/outlook/year?year=2022')
    expect(words).toContain('All tests 18 12 0 0')
    expect(words).toContain('60 % (exact limits at 95 %: 40.6 to 77.3 %)')
    expect(text).toContain('href="/outlook/year.csv?year=2022"')
    const south = await page(openHouse(furnished), '/outlook/year', 'south manager')
    expect(south.words).toContain('Depots: South yard.')
    expect(south.words).not.toContain('BAD')
  })

  test('comes as a file: a line for each figure, with its part, its row and its column', async () => {
    const { answer, text } = await page(openHouse(furnished), '/outlook/year.csv?year=2022')
    expect(answer.headers.get('content-disposition')).toBe('attachment; filename="fleet-2022.csv"')
    expect(text.split('\r\n').slice(0, 2)).toEqual([
      '"Part","Row","Column","Value"',
      '"Sticks","In the fleet at the end","Count",30',
    ])
    expect(text).toContain('"Tests","All tests","Passed",18\r\n')
    expect(text).toContain('"Tests",,,"Passed, of those that passed or failed: 60 % ')
    expect(text).toContain('"Lots","BAD","Advice","Lot BAD: 10 of 13 sticks failed;')
  })

  test('speaks Spanish, and is led to from the weeks ahead by whoever may read it', async () => {
    const house = openHouse(furnished)
    const { words } = await page(house, '/outlook/year', 'manager', 'es')
    expect(words).toContain('El parque en 2026')
    expect(words).toContain('Lote BAD: fallaron 10 de 13 pértigas')
    expect((await page(house, '/outlook')).text).toContain('href="/outlook/year"')
    expect((await page(house, '/outlook', 'bench')).text).not.toContain('href="/outlook/year"')
    expect((await page(house, '/outlook/year', 'bench')).answer.status).toBe(403)
  })
})

describe('advice', () => {
  test('names the lot that fails more often than the rest, with its chance put right for three lots', async () => {
    const { lots } = await get(openHouse(furnished), '/v1/fleet/advice')
    expect(lots).toMatchObject({ looked: 3, failed: 13, tested: 31, text: null })
    expect(lots.standingOut).toMatchObject([{ lot: 'BAD', failed: 10, tested: 13, restFailed: 3, restTested: 18 }])
    expect(lots.standingOut[0].chancePutRight).toBeCloseTo(3 * lots.standingOut[0].chance, 12)
    expect(lots.standingOut[0].text).toMatch(
      /^Lot BAD: 10 of 13 sticks failed; of all others 3 of 18\. Chance alone does that in at most 0\.\d+ % of /,
    )
  })

  test('says of each group how many reached the end of the interval, and that one stick is too few', async () => {
    const { groups, target, sticks } = await get(openHouse(furnished), '/v1/fleet/advice?target=0.9')
    expect([target, sticks]).toEqual([0.9, 31])
    expect(groups[0]).toMatchObject({
      ...{ by: 'construction', name: aStick.construction, passed: 0, tested: 1, months: 24 },
      advice: { code: 'too-few', months: null },
    })
    expect(groups[0].advice.text).toContain('Too few to tell. Intervals that came to their end: 1; a word takes 36')
  })

  test('is of one’s own depots alone, and refuses a share that is none', async () => {
    const house = openHouse(furnished)
    const { depotIds, lots } = await get(house, '/v1/fleet/advice', 'south manager')
    expect(depotIds).toEqual(['DEP-2'])
    expect(lots).toMatchObject({ tested: 17, failed: 2, looked: 1, standingOut: [] })
    expect(lots.text).toBe('No lot fails more often than chance would have it. Lots looked at: 1.')
    for (const target of ['0.4', '1', '0', 'most'])
      expect((await house.call('GET', `/v1/fleet/advice?target=${target}`)).status).toBe(422)
    for (const who of ['crew', 'bench'] as const)
      expect((await house.call('GET', '/v1/fleet/advice', undefined, who)).status).toBe(403)
  })

  test('keeps no more of a great fleet than one page of it', async () => {
    const house = openHouse(furnished)
    let [held, most] = [0, 0]
    const { organisation, ...asker } = house.asker()
    const sticks = {
      ...organisation.sticks,
      standingPage: async (...asked: Parameters<typeof organisation.sticks.standingPage>) => {
        const page = await organisation.sticks.standingPage(asked[0], asked[1], { ...asked[2], limit: 4 })
        held = page.sticks.length
        most = Math.max(most, held)
        return page
      },
    }
    const advice = await adviceFor({ ...asker, organisation: { ...organisation, sticks } }, { target: 0.95 })
    expect([advice.sticks, most, advice.tested.of]).toEqual([31, 4, 31])
  })
})
