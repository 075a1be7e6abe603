/** A table that takes connections and answers nothing: whoever waits is told so in time, through every door. */
import { createServer, type Server, type Socket } from 'node:net'
import type { APIGatewayProxyEventV2, APIGatewayProxyStructuredResultV2 } from 'aws-lambda'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { functionEnvironment } from '../support/function-environment.ts'
import { pagesOf } from '../support/pages.ts'
import { openHouse } from './house.ts'

const mostMillis = 5_000

type Handler = (event: APIGatewayProxyEventV2, context: object) => Promise<APIGatewayProxyStructuredResultV2>

let hole: Server
const taken = new Set<Socket>()
const before = { ...process.env }
const handlers = new Map<string, Handler>()

beforeAll(async () => {
  hole = createServer((socket) => taken.add(socket.on('error', () => undefined)))
  await new Promise<void>((ready) => hole.listen(0, '127.0.0.1', ready))
  const { port } = hole.address() as { port: number }
  Object.assign(process.env, functionEnvironment, {
    AWS_ACCESS_KEY_ID: 'key',
    AWS_SECRET_ACCESS_KEY: 'secret',
    AWS_ENDPOINT_URL_DYNAMODB: `http://127.0.0.1:${port}`,
  })
  // another test in this process may have loaded them, for an environment of its own
  vi.resetModules()
  for (const name of ['api', 'pages', 'answers', 'feed']) {
    const { handler } = (await import(`../../functions/${name}/index.ts`)) as { handler: Handler }
    handlers.set(name, handler)
  }
})
afterAll(async () => {
  for (const socket of taken) socket.destroy()
  await new Promise((closed) => hole.close(closed))
  for (const name of Object.keys(process.env)) if (!(name in before)) delete process.env[name]
  Object.assign(process.env, before)
})

const claims = {
  iss: 'https://issuer.example',
  sub: 'somebody',
  client_id: 'pages',
  scope: 'quarterturn/api',
  iat: '1772463600',
}

function event(method: string, path: string, more: object = {}): APIGatewayProxyEventV2 {
  const http = { method, path, protocol: 'HTTP/1.1', sourceIp: '127.0.0.1', userAgent: '' }
  return {
    version: '2.0',
    rawPath: path,
    rawQueryString: '',
    headers: { 'content-type': 'application/json' },
    requestContext: { http, timeEpoch: 1_772_463_600_000, stage: '$default', authorizer: { jwt: { claims } } },
    isBase64Encoded: false,
    ...more,
  } as unknown as APIGatewayProxyEventV2
}

const defect = JSON.stringify({ factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f00aa', kind: 'tingle' })
const link = `/answers/demo-utility/N-1/${'9'.repeat(13)}/${'a'.repeat(43)}`

/** What each is asked, by the function that answers. */
const asked: readonly (readonly [name: string, event: APIGatewayProxyEventV2])[] = [
  ['api', event('GET', '/v1/sticks/S-1')],
  ['api', event('POST', '/v1/sticks/S-1/defects', { body: defect })],
  ['feed', event('GET', `/feeds/${'a'.repeat(43)}.ics`)],
  ['answers', event('GET', link)],
]

const handlersAsked = new Set(asked.map(([name]) => name))

describe('a table that answers nothing', () => {
  test('is told as 503 within five seconds, by whatever reads it, after a second try', {
    timeout: 30_000,
  }, async () => {
    const all = asked.map(async ([name, one]) => {
      const from = performance.now()
      const answer = await handlers.get(name)?.(one, {})
      return { name, answer, millis: performance.now() - from }
    })
    for (const { name, answer, millis } of await Promise.all(all)) {
      expect([name, answer?.statusCode]).toEqual([name, 503])
      expect(millis).toBeLessThan(mostMillis)
      if (name !== 'api') continue
      expect(JSON.parse(answer?.body ?? '')).toMatchObject({ status: 503, title: 'The records are out of reach' })
      expect(answer?.headers).toMatchObject({ 'content-type': 'application/problem+json', 'retry-after': '5' })
    }
    // both of the API read at the same moment, in one call
    expect(taken.size).toBe(2 * handlersAsked.size)
  })

  test('keeps nobody from what needs no table', async () => {
    const answer = await handlers.get('pages')?.(event('GET', '/healthz'), {})
    expect(answer?.statusCode).toBe(200)
  })

  test('is told by a page too, which says what to do', async () => {
    const late = Object.assign(new Error('nothing came'), { name: 'TimeoutError' })
    const open = () => {
      throw late
    }
    const answer = await pagesOf(openHouse(), 'manager', { open }).request('/roster')
    expect([answer.status, await answer.text()]).toEqual([503, expect.stringContaining('Please try again')])
  })
})
