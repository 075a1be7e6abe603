/** The page of a plan: each of its forms without script, in both languages, and what others see of it. */
import { beforeEach, describe, expect, test } from 'vitest'
import { planSettingsOf } from '../../functions/store/plans.ts'
import { pagesOf } from '../support/pages.ts'
import { planAll } from '../support/planning.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

let house: House
let site: ReturnType<typeof pagesOf>
beforeEach(async () => {
  house = openHouse()
  house.at('2026-03-02T15:00:00.000Z') // a Monday
  await furnish(house)
  site = pagesOf(house)
  for (const [stickId, testedOn] of [
    ['S-21', '2024-03-10'],
    ['S-22', '2024-05-13'],
  ] as const) {
    await house.done('PUT', `/v1/sticks/${stickId}`, aStick)
    await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest({ testedOn: day(testedOn) }), 'bench')
  }
})

const plain = (markup: string) => markup.replaceAll(/<style[\s\S]*?<\/style>|<[^>]+>/g, ' ').replaceAll(/\s+/g, ' ')
const page = async (path = '/plan?depot=DEP-1', headers = {}) =>
  plain(await (await site.request(path, { headers })).text())
const send = (fields: Record<string, string>) =>
  site.request('/plan', {
    method: 'POST',
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams({ depot: 'DEP-1', ...fields }).toString(),
  })
async function saved(fields: Record<string, string>): Promise<void> {
  const answer = await send(fields)
  expect([answer.status, answer.headers.get('location')]).toEqual([303, '/plan?depot=DEP-1&done=recorded'])
  await planAll(house)
}
const kept = async () => (await planSettingsOf(house.organisation(), 'DEP-1'))?.settings

const hours = {
  act: 'hours',
  hours: '12.5',
  margin: '1',
  away: '2',
  keep: '0',
  setUp: '12',
  reading: '0.5',
  wetting: '10',
  refinishing: '60',
  failing: '4',
}

test('of a bench of which nobody said the hours, the page asks for them', async () => {
  expect(await page()).toContain('There is no plan of this bench yet')
  await saved({ act: 'anew' })
  expect(await page()).toContain('There is no plan of this bench yet')
})

test('of no depot, or of one that is nobody’s, there is no plan', async () => {
  for (const depot of ['', 'DEP-99', 'not a name']) expect((await send({ ...hours, depot })).status).toBe(404)
  expect((await site.request('/plan/try')).status).toBe(404)
  expect((await site.request('/plan/week.csv?depot=DEP-99')).status).toBe(404)
})

test('hours are kept as minutes, and the plan is made of them', async () => {
  expect(await page('/plan')).toContain('Hours in a usual week')
  await saved(hours)
  expect(await kept()).toMatchObject({
    ...{ weekMinutes: 750, marginWeeks: 1, weeksAway: 2, keepPercent: 0 },
    work: { setUpMinutes: 12, failingShare: 0.04 },
  })
  expect(await page()).toContain('Nothing breaks')
  expect(await page('/plan?depot=DEP-1', { 'accept-language': 'es' })).toMatch(/Nada falla.*Lo que cuesta este plan/)
})

describe('with hours', () => {
  beforeEach(() => saved(hours))

  test('weeks get other hours, any day stands for its week, and empty hours take it back', async () => {
    await saved({ act: 'weeks', from: '2026-03-04', to: '2026-03-15', weekHours: '0' })
    expect((await kept())?.weeks).toEqual([
      { week: '2026-03-02', minutes: 0 },
      { week: '2026-03-09', minutes: 0 },
    ])
    expect(await page()).toMatch(
      /What breaks.*In the week of 2 March 2026 the bench lacks [\d.]+ hours for 1 stick: S-21/,
    )
    await saved({ act: 'weeks', from: '2026-03-03', to: '', weekHours: '' })
    expect((await kept())?.weeks).toEqual([{ week: '2026-03-09', minutes: 0 }])
    expect(await page()).toContain('Nothing breaks')
  })

  test('a stick gets a week, and is let go again', async () => {
    await saved({ act: 'stick', stick: ' S-22 ', week: '2026-04-08' })
    expect((await kept())?.pins).toEqual([{ stickId: 'S-22', week: '2026-04-06' }])
    expect(await page()).toMatch(/S-22 due 13 May 2026 chosen/)
    await saved({ act: 'stick', stick: 'S-22', week: '' })
    expect((await kept())?.pins).toEqual([])
  })

  test('a week is locked once, and freed', async () => {
    await saved({ act: 'lock', lock: '2026-03-04' })
    await saved({ act: 'lock', lock: '2026-03-02' })
    expect((await kept())?.lockedWeeks).toEqual(['2026-03-02'])
    expect(await page()).toMatch(/2 March 2026 locked/)
    await saved({ act: 'lock', unlock: '2026-03-02' })
    expect((await kept())?.lockedWeeks).toEqual([])
  })

  test('a crew keeps more at hand, which breaks the plan, and loaners mend it', async () => {
    const all = (await kept()) !== undefined && { act: 'cover', crew: 'CR-1', construction: aStick.construction }
    if (!all) throw new Error('nothing is kept')
    await saved({ ...all, least: '9', loaners: '' })
    expect(await page()).toContain('Crew Crew one has too few sticks left of')
    await saved({ ...all, least: '9', loaners: '9' })
    expect((await kept())?.cover).toEqual([
      { crewId: 'CR-1', constructions: [aStick.construction], least: 9, loaners: 9 },
    ])
    expect(await page()).toContain('Nothing breaks')
    await saved({ ...all, least: '', loaners: '' })
    expect((await kept())?.cover).toEqual([])
  })

  test.each([
    { act: 'weeks', from: '2026-02-30', weekHours: '1' },
    { act: 'weeks', from: '2026-03-02', weekHours: '-1' },
    { act: 'hours', hours: 'many' },
    { act: 'stick', stick: 'S-22', week: 'soon' },
    { act: 'nothing' },
  ])('what has not the form of its field is refused, and nothing is kept: %o', async (fields) => {
    const before = await kept()
    const answer = await send(fields as Record<string, string>)
    expect([answer.status, plain(await answer.text())]).toEqual([
      422,
      expect.stringMatching(/Nothing was saved.*Plan anew/),
    ])
    expect(await kept()).toEqual(before)
  })

  test('a bench reads it and changes nothing; a trial of no figure is refused', async () => {
    site = pagesOf(house, 'bench')
    expect(await page()).not.toContain('Save and plan anew')
    expect((await send({ act: 'anew' })).status).toBe(403)
    expect((await site.request('/plan/try?depot=DEP-1&hours=many')).status).toBe(404)
    expect((await site.request('/plan/try?depot=DEP-1&closedFrom=soon')).status).toBe(404)
    expect(await page('/plan/try?depot=DEP-1&hours=0')).toMatch(/Hours that the bench lacks 0 [1-9]/)
  })

  test('while a plan is made the page says so, and looks again', async () => {
    await send({ act: 'anew' })
    const text = await (await site.request('/plan?depot=DEP-1')).text()
    expect(text).toContain('data-looks-again="/plan?depot=DEP-1"')
    await planAll(house)
    expect(await (await site.request('/plan?depot=DEP-1')).text()).not.toContain('data-looks-again')
  })
})
