/** A bench is planned through the local stack: a storm takes its weeks, it says what breaks, hours mend it. */
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import type { ToldPlan } from '../support/told-plan.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { ana, bring, furnish, put } from './furnish.ts'

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02') // a Monday
  await furnish(stack)
  for (const [i, testedOn] of ['2024-03-10', '2024-03-11', '2024-03-12', '2024-04-20', '2024-06-01'].entries()) {
    await put(stack, `/v1/sticks/S-2${i}`, aStick)
    await bring(stack, aTest({ testedOn: day(testedOn) }), `S-2${i}`)
  }
})
afterAll(async () => {
  await stack?.stop()
})

async function planned(): Promise<ToldPlan> {
  const asked = await stack.call('POST', '/v1/plans', { depotId: 'DEP-1' }, 'manager')
  expect([asked.status, asked.text]).toEqual([202, expect.stringContaining('"state":"waiting"')])
  await stack.settle()
  const answer = await stack.call('GET', `/v1/plans/${(asked.json as ToldPlan).id}`, undefined, 'bench')
  expect(answer.status).toBe(200)
  return answer.json as ToldPlan
}

const bench = (more: object) =>
  put(stack, '/v1/depots/DEP-1/bench', { weekMinutes: 900, keepPercent: 0, marginWeeks: 1, ...more })
const weekOf = ({ weeks }: ToldPlan, stickId: string) => weeks.find(({ stickIds }) => stickIds.includes(stickId))?.week

test('a plan keeps due dates and hours, and a crew does not ask for one', async () => {
  await bench({})
  const plan = await planned()
  expect(plan).toMatchObject({ state: 'planned', progress: 1, broken: [] })
  expect(plan.weeks.flatMap(({ stickIds }) => stickIds).sort()).toEqual(['S-20', 'S-21', 'S-22', 'S-23', 'S-24'])
  // due 10, 11 and 12 March 2026: the last week that ends by then is the first
  for (const one of ['S-20', 'S-21', 'S-22']) expect(weekOf(plan, one)).toBe('2026-03-02')
  expect(plan.value).toBe(plan.bound)
  expect((await stack.call('POST', '/v1/plans', {}, 'crew')).status).toBe(403)
  expect((await stack.call('GET', `/v1/plans/${plan.id}`, undefined, 'other-organisation-manager')).status).toBe(404)
})

test('a storm closes two weeks: it says what is lacking where, and just so much mends it', async () => {
  const lost = ['2026-03-02', '2026-03-09']
  await bench({ weeks: lost.map((week) => ({ week, minutes: 0 })) })
  const plan = await planned()
  expect(plan.broken).toEqual([expect.objectContaining({ code: 'bench-short', week: '2026-03-02' })])
  expect(plan.broken[0]?.text).toMatch(/bench lacks [\d.]+ hours for 3 sticks: S-20, S-21, S-22\./)
  const minutes = plan.broken[0]?.minutes ?? 0
  expect(minutes).toBe(plan.weeks[0]?.minutes)
  await bench({ weeks: [{ week: '2026-03-02', minutes }, ...lost.slice(1).map((week) => ({ week, minutes: 0 }))] })
  expect((await planned()).broken).toEqual([])
})

test('the page shows it, takes other hours without script, and hands out the list of a week', async () => {
  const browser = await stack.signedIn()
  const page = await (await browser.get('/plan?depot=DEP-1')).text()
  expect(page).toContain('Nothing breaks')
  const list = await (await browser.get('/plan/week.csv?depot=DEP-1&week=2026-03-02')).text()
  expect(list.split('\r\n').filter((line) => line.includes('S-2'))).toHaveLength(3)
})

test('the next night makes a plan by itself, of what is left', async () => {
  await stack.day('2026-03-03')
  // the morning's mail names the planned week beside the due date
  const [mail] = (await stack.mail(ana)).filter(({ subject }) => !subject.startsWith('You can sign in'))
  expect(mail?.text).toMatch(/Bring it in: the week of \d+ \w+ 2026, at the latest by 20 April 2026/)
  await bring(stack, aTest({ testedOn: day('2026-03-03'), at: '07:00' }), 'S-20')
  await stack.day('2026-03-05')
  await stack.settle()
  const page = await (await (await stack.signedIn()).get('/plan?depot=DEP-1')).text()
  expect(page).toContain('As of 5 March 2026')
  expect(page).toMatch(/S-20<\/a><\/th>[\s\S]*it needs no week here any more/)
})
