/** What the loading of the demo tells of its progress. */
import { expect, test } from 'vitest'
import { type Call, loadDemo, type Progress } from '../../seed/load.ts'
import type { CalendarDate } from '../../shared-domain/calendar.ts'

async function loaded(call: Call): Promise<Progress[]> {
  const told: Progress[] = []
  const startDay = '2026-11-24' as CalendarDate
  await loadDemo({ call, setClock: async () => undefined, startDay, progress: (now) => told.push(now) })
  return told
}

test('thirty months go in, half a year a step, and every request is counted', async () => {
  let sent = 0
  const told = await loaded(async ({ method }) => {
    if (method !== 'GET') sent += 1
    return { status: method === 'GET' ? 404 : 201, body: {} }
  })
  const steps = [...new Set(told.map(({ from, to, months }) => `${from} to ${to} of ${months}`))]
  expect(steps).toEqual(['1 to 6 of 30', '7 to 12 of 30', '13 to 18 of 30', '19 to 24 of 30', '25 to 30 of 30'])
  expect(told[0]?.done).toBe(0)
  // the last request, which says that all is in, is told by the end of the loading
  expect(told.at(-1)).toMatchObject({ done: sent - 1, requests: sent })
  const counts = told.map(({ done }) => done)
  expect(counts).toEqual(counts.toSorted((one, other) => one - other))
})

test('a demo that is there already tells nothing', async () => {
  const body = { effectiveFrom: '2024-05-25' }
  expect(await loaded(async () => ({ status: 200, body }))).toEqual([])
})
