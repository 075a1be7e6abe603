/**
 * Every request of tests/requests.http, in its order, is answered with success: so the file says what the API takes
 * today.
 */
import { beforeAll, expect, test } from 'vitest'
import { openHouse, type Reply } from './house.ts'
import { type Asked, requests as all, sendAll, tokensNamed } from './requests.ts'

let replies: ReadonlyMap<Asked, Reply>
beforeAll(async () => {
  replies = await sendAll(openHouse([], '2026-03-02T15:00:00.000Z'))
})

test.each(all)('$method $path: $title', (one) => {
  const { status, text } = replies.get(one) ?? { status: 0, text: 'not sent' }
  expect(status >= 200 && status <= 202, `${status} ${text}`).toBe(true)
})

test('every token that a request uses is named at the top', () => {
  expect([...tokensNamed].sort()).toEqual(['api', ...new Set(all.map(({ who }) => who))].sort())
})

test('what they say of their answers is so', () => {
  const said = all.map((one) => ({ ...one, reply: replies.get(one) }))
  const last = (path: string) => said.findLast((one) => one.method === 'GET' && one.path === path)?.reply?.json
  const waits = said.filter(({ reply }) => reply?.status === 202).map(({ title }) => title)
  expect(waits).toEqual(all.map(({ title }) => title).filter((title) => title.includes('202')))
  expect(last('/v1/sticks/T-90')).toMatchObject({ status: 'in service', dueOn: '2028-03-02' })
  expect(last('/v1/roster?depot=DEP-90&status=on%20hold').items.length).toBe(2)
  expect(last('/v1/notices?stick=T-90').items.length).toBeGreaterThan(0)
  const verdicts = said.filter(({ path }) => path.endsWith('/bench-tests')).map(({ reply }) => reply?.json.verdict)
  expect(verdicts).toEqual(['pass', 'fail'])
})
