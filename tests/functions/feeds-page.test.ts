/** Calendar feeds made and revoked on a page, by whoever may keep them. */
import { beforeAll, beforeEach, expect, test } from 'vitest'
import { buildFeed } from '../../functions/feed/feed.ts'
import type { Item } from '../../functions/store/table.ts'
import { pagesOf } from '../support/pages.ts'
import { aTest } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse()
  await furnish(first)
  await first.done('POST', '/v1/sticks/S-1/bench-tests', aTest())
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-02T16:00:00.000Z')
})

const site = (who: Who) => pagesOf(house, who, { feedsUrl: 'https://api.example' })
const open = async (path: string, who: Who = 'crew') => {
  const answer = await site(who).request(path)
  return { status: answer.status, text: await answer.text() }
}
const press = (path: string, who: Who = 'crew') =>
  site(who).request(path, {
    method: 'POST',
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
    body: '',
  })
const door = () => buildFeed({ table: house.table, clock: house.clock, from: 'notices@quarterturn.example' })
const addressIn = (text: string) => /<code>(https:[^<]*)<\/code>/.exec(text)?.[1] ?? ''

test('a feed is made with one button, and its address is told on that page alone', async () => {
  expect((await open('/crews/CR-1/feeds')).text).toContain('There is no feed yet.')
  const made = await press('/crews/CR-1/feeds')
  const text = await made.text()
  const url = addressIn(text)
  expect([made.status, url]).toEqual([200, expect.stringMatching(/^https:\/\/api\.example\/feeds\/[\w-]{43}\.ics$/)])
  expect(text).toContain(`href="${url.replace('https:', 'webcal:')}"`)
  const answer = await door().request(new URL(url).pathname)
  expect([answer.status, await answer.text()]).toEqual([200, expect.stringContaining('S-1')])
  const list = await open('/crews/CR-1/feeds')
  expect(list.text).toContain('Made by crew, 2 March 2026, 10:00 CST.')
  expect(list.text).not.toContain('.ics')
})

test('it speaks the language of whoever made it', async () => {
  const ana = { name: 'Ana Ferro', email: 'ana@crew-one.example', role: 'crew', depots: [], crewId: 'CR-1' }
  await house.done('PUT', '/v1/people/crew', { ...ana, language: 'es' })
  const url = addressIn(await (await press('/crews/CR-1/feeds')).text())
  expect(await (await door().request(new URL(url).pathname)).text()).toContain('Pértiga S-1')
  expect((await open('/crews/CR-1/feeds')).text).toContain('<html lang="es">')
})

test('it is revoked on a page of its own, and leads nowhere from then on', async () => {
  const url = addressIn(await (await press('/crews/CR-1/feeds')).text())
  const [path = ''] = /\/crews\/CR-1\/feeds\/[^"]*\/revoke/.exec((await open('/crews/CR-1/feeds')).text) ?? []
  expect((await open(path)).text).toContain('That cannot be undone.')
  const revoked = await press(path)
  expect([revoked.status, revoked.headers.get('location')]).toEqual([303, `${path}?done=recorded`])
  expect((await door().request(new URL(url).pathname)).status).toBe(404)
  const { text } = await open('/crews/CR-1/feeds')
  expect(text).toContain('Revoked by crew, 2 March 2026, 10:00 CST.')
  expect(text).not.toContain(path)
})

test('nobody else’s are shown, made or revoked', async () => {
  for (const who of ['other crew', 'bench', 'south manager'] as const) {
    expect((await open('/crews/CR-1/feeds', who)).status).toBe(403)
    expect((await press('/crews/CR-1/feeds', who)).status).toBe(403)
  }
  expect((await open('/crews/CR-1/feeds', 'other manager')).status).toBe(404)
})
