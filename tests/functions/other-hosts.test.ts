/** Every host of a stage leads to the same functions. Pages have one of their own, as sessions do. */
import { beforeAll, expect, test } from 'vitest'
import { buildPages } from '../../functions/pages/pages.ts'
import { furnish, openHouse } from './house.ts'

const house = openHouse()
beforeAll(() => furnish(house))
const pages = buildPages({
  open: house.organisation,
  clock: house.clock,
  origin: 'https://pages.example',
  sessionOf: async () => house.session('manager'),
})
const at = (domainName: string, path: string) => pages.request(path, {}, { event: { requestContext: { domainName } } })

test('a page that was asked for at another host is led to the pages, with all that was asked', async () => {
  const answer = await at('answers.example', '/roster?status=overdue&q=S%201')
  expect(answer.status).toBe(308)
  expect(answer.headers.get('location')).toBe('https://pages.example/roster?status=overdue&q=S%201')
})

test('at their own host pages are shown, and whoever asks for its health is answered at any', async () => {
  expect((await at('pages.example', '/notices')).status).toBe(200)
  expect((await at('answers.example', '/healthz')).status).toBe(200)
})
