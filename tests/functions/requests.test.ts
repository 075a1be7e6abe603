/** Every request of tests/requests.http, in its order, is answered with success: so the file says what the API takes today. */
import { readFileSync } from 'node:fs'
import { beforeAll, expect, test } from 'vitest'
import { furnish, openHouse, type Reply, type Who } from './house.ts'

interface Asked {
  readonly title: string
  readonly method: string
  readonly path: string
  readonly who: Who
  readonly body: string | undefined
}

const [head = '', ...parts] = readFileSync('tests/requests.http', 'utf8').split(/^### /m)

function asked(part: string): Asked {
  const [heading = '', ...body] = part.split('\n\n')
  const [title = '', request = '', authorization = '', contentType] = heading.split('\n')
  const [method = '', url = ''] = request.split(' ')
  const who = /^Authorization: Bearer \{\{(.+)\}\}$/.exec(authorization)?.[1]
  const text = body.join('\n\n').trim()
  expect([url.startsWith('{{api}}/v1/'), contentType]).toEqual([
    true,
    text === '' ? undefined : 'Content-Type: application/json',
  ])
  return { title, method, path: url.replace('{{api}}', ''), who: who as Who, body: text === '' ? undefined : text } // a name that nobody has is answered 401
}

const all = parts.map(asked)
const replies = new Map<Asked, Reply>()

beforeAll(async () => {
  const house = openHouse([], '2026-03-02T15:00:00.000Z')
  await furnish(house)
  for (const one of all) {
    house.at(house.clock())
    replies.set(one, await house.send(one.method, one.path, one.body, one.who))
  }
})

test.each(all)('$method $path: $title', (one) => {
  const { status, text } = replies.get(one) ?? { status: 0, text: 'not sent' }
  expect(status >= 200 && status <= 202, `${status} ${text}`).toBe(true)
})

test('every token that a request uses is named at the top', () => {
  const named = [...head.matchAll(/^@(\S+) =/gm)].map(([, name]) => name)
  expect(named.sort()).toEqual(['api', ...new Set(all.map(({ who }) => who))].sort())
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
