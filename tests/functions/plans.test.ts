/** A plan of a bench from the table: asked for, made, told, and told again when weeks are lost and hours added. */
import { beforeEach, expect, test, vi } from 'vitest'
import { makeThose } from '../../functions/plan/make.ts'
import { askForNight } from '../../functions/plan/nightly.ts'
import { calendarFor } from '../../functions/questions/feeds.ts'
import { handedOn } from '../../functions/store/handed-on.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { planAll } from '../support/planning.ts'
import type { ToldPlan } from '../support/told-plan.ts'
import { aDepot, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

/** Sticks that fall due two years after their test: in the week of 16 March 2026, and in the weeks after. */
const tested = { 'S-21': '2024-03-20', 'S-22': '2024-03-21', 'S-23': '2024-03-27', 'S-24': '2024-05-13' } as const
const lost = [
  { week: '2026-03-02', minutes: 0 },
  { week: '2026-03-09', minutes: 0 },
  { week: '2026-03-16', minutes: 0 },
]

let house: House
beforeEach(async () => {
  house = openHouse()
  house.at('2026-03-02T15:00:00.000Z') // a Monday
  await furnish(house)
  for (const [stickId, testedOn] of Object.entries(tested)) {
    await house.done('PUT', `/v1/sticks/${stickId}`, aStick)
    await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest({ testedOn: day(testedOn) }), 'bench')
  }
})

const settings = { weekMinutes: 1200, keepPercent: 0, marginWeeks: 1 }
const bench = (more: object = {}) => house.done('PUT', '/v1/depots/DEP-1/bench', { ...settings, ...more })
async function planned(): Promise<ToldPlan> {
  const { id } = (await house.done('POST', '/v1/plans', { depotId: 'DEP-1' })).json
  await planAll(house)
  return (await house.call('GET', `/v1/plans/${id}`)).json
}
const weekOf = ({ weeks }: ToldPlan, stickId: string) => weeks.find(({ stickIds }) => stickIds.includes(stickId))?.week

test('without hours there is no plan, and it says so', async () => {
  expect(await planned()).toMatchObject({ state: 'planned', progress: 1, weeks: [], value: null, bound: null })
  expect((await planned()).broken).toEqual([expect.objectContaining({ code: 'bench-hours-missing' })])
})

test('each stick gets the week before that of its date, and no stick a week after it', async () => {
  await bench()
  const plan = await planned()
  expect(plan).toMatchObject({ state: 'planned', progress: 1 })
  expect(plan.broken).toEqual([])
  // due 20, 21 and 27 March and 13 May 2026; the last weeks that end by then begin on 9, 9, 16 March and 4 May
  expect(Object.keys(tested).map((one) => weekOf(plan, one))).toEqual([
    '2026-03-02',
    '2026-03-02',
    '2026-03-09',
    '2026-04-27',
  ])
  expect(plan.value).toBe(plan.bound)
  for (const { minutes, capacityMinutes } of plan.weeks) expect(minutes).toBeLessThanOrEqual(capacityMinutes)
})

test('a bench that loses weeks says what breaks, and so many hours more mend it', async () => {
  await bench({ weeks: lost })
  const broken = await planned()
  const short = broken.broken.filter(({ code }) => code === 'bench-short')
  expect(short.length).toBeGreaterThan(0)
  expect(weekOf(broken, 'S-24')).toBe('2026-04-27')
  const weeks = lost.map((one) => ({ ...one, minutes: short.find(({ week }) => week === one.week)?.minutes ?? 0 }))
  await bench({ weeks })
  const mended = await planned()
  expect(mended.broken).toEqual([])
  expect(weekOf(mended, 'S-21')).toMatch(/^2026-03-0[29]$/)
})

test('what was planned stays where it can, and what moved says why', async () => {
  await bench()
  await planned()
  await bench({ pins: [{ stickId: 'S-24', week: '2026-04-06' }] })
  const plan = await planned()
  expect(weekOf(plan, 'S-24')).toBe('2026-04-06')
  expect(weekOf(plan, 'S-23')).toBe('2026-03-09')
  const newest = house.table.items().find(({ entity, sk }) => entity === 'depot plan' && sk === 'NEWEST')
  expect(newest?.changes).toEqual([{ stickId: 'S-24', from: '2026-04-27', to: '2026-04-06', why: 'somebody chose' }])
})

test('digests and calendars name the planned week beside the due date, as long as it is true', async () => {
  const lineOf = () => {
    const digests = house.table.items().filter(({ entity, kind }) => entity === 'notice' && kind === 'digest')
    const lines = digests.flatMap((one) => one.lines as { stickId: string; dueOn: string; plannedOn?: string }[])
    return lines.find(({ stickId }) => stickId === 'S-23')
  }
  const { url } = (await house.done('POST', '/v1/crews/CR-1/feeds')).json
  const secret = url.split('/').at(-1)?.replace('.ics', '')
  const inCalendar = async () => {
    const calendar = await calendarFor(house.table, { secret, now: house.clock() })
    return calendar?.lines.find(({ line }) => line.stickId === 'S-23')?.line.plannedOn
  }
  expect(await inCalendar()).toBeUndefined()
  await bench()
  expect(weekOf(await planned(), 'S-23')).toBe('2026-03-09')
  expect(await inCalendar()).toBe('2026-03-09')
  await sweep(house.table, house.clock)
  expect(lineOf()).toMatchObject({ dueOn: '2026-03-27', plannedOn: '2026-03-09' })
  // its week is over
  house.at('2026-03-16T15:00:00.000Z')
  expect(await inCalendar()).toBeUndefined()
})

test('a pin after the due date is not kept, and the plan says so', async () => {
  await bench({ pins: [{ stickId: 'S-21', week: '2026-03-30' }] })
  const plan = await planned()
  expect(plan.broken.map(({ code }) => code)).toEqual(['pin-given-up'])
  expect(weekOf(plan, 'S-21')).toBe('2026-03-02')
})

test('where the solver breaks off the plan by due dates stands', async () => {
  vi.spyOn(console, 'error').mockImplementation(() => undefined)
  await bench()
  const { id } = (await house.done('POST', '/v1/plans', {})).json
  const waiting = house.table.items().filter(({ entity }) => entity === 'plan')
  const openSolver = async () => () => {
    throw new Error('out of memory')
  }
  const record = { messageId: 'one', body: handedOn(waiting) } as Parameters<typeof makeThose>[1][number]
  await makeThose({ table: house.table, clock: house.clock, openSolver }, [record], () => true)
  const plan: ToldPlan = (await house.call('GET', `/v1/plans/${id}`)).json
  expect(plan.state).toBe('planned')
  expect(weekOf(plan, 'S-23')).toBe('2026-03-09')
})

test('a run that has no time left hands the rest on', async () => {
  await bench()
  await house.done('POST', '/v1/plans', {})
  const head = () => house.table.items().find(({ entity }) => entity === 'plan')
  const record = { messageId: 'one', body: handedOn([head() ?? { pk: '', sk: '' }]) } as Parameters<
    typeof makeThose
  >[1][number]
  const openSolver = async () => () => null
  await makeThose({ table: house.table, clock: house.clock, openSolver }, [record], () => false)
  expect(head()).toMatchObject({ state: 'waiting', queue: 'SYSTEM#PLANS', places: [] })
  await planAll(house)
  expect(head()).toMatchObject({ state: 'planned' })
  expect(head()).not.toHaveProperty('queue')
})

test('each night asks once for a plan of a bench that has hours, also after nights that were missed', async () => {
  await house.done('PUT', '/v1/depots/DEP-2', { ...aDepot, name: 'Without hours' })
  await bench()
  house.at('2026-03-03T08:00:00.000Z') // two in the morning in Chicago
  expect(await askForNight(house)).toEqual({ depots: 0, failed: 0 })
  house.at('2026-03-06T10:00:00.000Z')
  expect(await askForNight(house)).toEqual({ depots: 1, failed: 0 })
  expect(await askForNight(house)).toEqual({ depots: 0, failed: 0 })
  await planAll(house)
  house.at('2026-03-06T18:00:00.000Z')
  expect(await askForNight(house)).toEqual({ depots: 0, failed: 0 })
})
