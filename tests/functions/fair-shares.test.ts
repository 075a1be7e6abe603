/** One organisation floods: who else is answered, counted by a clock that the test sets. */
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { marshall } from '@aws-sdk/util-dynamodb'
import { afterAll, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { Refused } from '../../functions/ground/errors.ts'
import { fairShares } from '../../functions/requests/fair-shares.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { functionEnvironment } from '../support/function-environment.ts'
import { pagesOf } from '../support/pages.ts'
import { claimsOf } from '../support/sign-in.ts'
import { furnish, type House, openHouse, signedIn, type Who } from './house.ts'

const perSecond = 2
/** Twelve seconds' worth, and of danger fifty. */
const [atOnce, dangersAtOnce] = [24, 50]

let millis: number
let shares: ReturnType<typeof fairShares>
let house: House
beforeEach(async () => {
  millis = 0
  let isFurnished = false
  // every request that furnishes has its turn
  shares = fairShares(perSecond, () => {
    if (!isFurnished) millis += 1000
    return millis
  })
  house = openHouse([], undefined, { shares })
  await furnish(house)
  isFurnished = true
  millis += 60_000
})

let count = 0
const factId = () => `0199d9c4-7a3e-7bd0-9c55-${String(++count).padStart(12, '0')}`
const report = (who: Who) =>
  house.call('POST', '/v1/sticks/S-1/defects', { factId: factId(), occurredOn: '2026-03-02', kind: 'tingle' }, who)
const move = (who: Who, to: unknown) =>
  house.call('POST', '/v1/sticks/S-1/moves', { factId: factId(), occurredOn: '2026-03-02', to }, who)
const look = (who: Who) => house.call('GET', '/v1/depots', undefined, who)

/** How many of so many requests end with each status. */
async function times(most: number, ask: () => Promise<{ status: number }>): Promise<Record<number, number>> {
  const statuses: Record<number, number> = {}
  for (let i = 0; i < most; i++) {
    const { status } = await ask()
    statuses[status] = (statuses[status] ?? 0) + 1
  }
  return statuses
}

describe('an organisation that floods', () => {
  test('has its share, and is told how long to wait for more', async () => {
    expect(await times(200, () => look('manager'))).toEqual({ 200: atOnce, 429: 200 - atOnce })
    const { json, headers } = await look('manager')
    expect(headers.get('retry-after')).toBe('1')
    expect(json).toMatchObject({ status: 429, title: 'Too much at once', detail: expect.stringContaining('in 1 s') })
    millis += 1000
    expect(await times(10, () => look('manager'))).toEqual({ 200: perSecond, 429: 10 - perSecond })
  })

  test('takes no turn from another: all of its requests are admitted', async () => {
    await times(200, () => look('manager'))
    expect(await times(20, () => look('other manager'))).toEqual({ 200: 20 })
  })

  test('takes none from its own word of danger', async () => {
    await times(200, () => look('manager'))
    // an issue is none, though it comes in at the door of what may be
    expect((await move('manager', { crewId: 'CR-2' })).status).toBe(429)
    expect(await times(10, () => report('manager'))).toEqual({ 201: 10 })
    expect(await times(10, () => report('crew'))).toEqual({ 201: 10 })
    expect((await move('crew', 'missing')).status).toBe(201)
  })

  test('with danger itself takes none from whoever else reports it, nor from anything else', async () => {
    expect(await times(60, () => report('manager'))).toEqual({ 201: dangersAtOnce, 429: 60 - dangersAtOnce })
    expect((await report('crew')).status).toBe(201)
    expect((await look('manager')).status).toBe(200)
  })

  test('is told on a page too, where its reports of danger still go through', async () => {
    await times(200, () => look('manager'))
    const pages = pagesOf(house, 'manager', { shares: async () => shares })
    const send = (path: string, fields: Record<string, string>) =>
      pages.request(path, {
        method: 'POST',
        headers: { 'content-type': 'application/x-www-form-urlencoded' },
        body: new URLSearchParams({ factId: factId(), '/occurredOn': '2026-03-02', ...fields }).toString(),
      })
    const used = await send('/sticks/S-1/use', { '/days': '1' })
    expect([used.status, await used.text()]).toEqual([429, expect.stringContaining('Send the same again')])
    expect((await send('/sticks/S-1/report', { '/kind': 'tingle' })).status).toBe(303)
  })
})

test('askers whose buckets are full again are forgotten, and those who flood are not', () => {
  let now = 0
  const { admit } = fairShares(1, () => now)
  const ask = (organisation: string) => admit({ organisation, personId: 'p' }, {}, undefined)
  for (let i = 0; i < 12; i++) ask('flooding')
  expect(() => ask('flooding')).toThrow(Refused)
  for (let i = 0; i < 5000; i++) ask(`o-${i}`)
  expect(() => ask('flooding')).toThrow(Refused)
  now = 60_000
  for (let i = 0; i < 12; i++) ask('flooding')
  expect(() => ask('flooding')).toThrow(Refused)
})

/** The deployed handlers, over a table that only knows whose tokens they are. */
describe('the function as it is deployed', () => {
  let table: Server
  const before = { ...process.env }
  beforeAll(async () => {
    const known = openHouse().table.items()
    table = createServer((request, response) => {
      request.setEncoding('utf8')
      let body = ''
      request.on('data', (piece: string) => {
        body += piece
      })
      request.on('end', () => {
        const found = (Key: Record<string, { S?: string }>) =>
          known.find(({ pk, sk }) => pk === Key.pk?.S && sk === Key.sk?.S)
        const asked = JSON.parse(body) as { Key?: never; RequestItems?: Record<string, { Keys: never[] }> }
        const [name = '', { Keys = [] } = {}] = Object.entries(asked.RequestItems ?? {})[0] ?? []
        const items = Keys.flatMap((key) => found(key) ?? []).map((item) => marshall(item))
        const one = asked.Key === undefined ? undefined : found(asked.Key)
        const answer =
          name === ''
            ? { ...(one === undefined ? {} : { Item: marshall(one) }), Items: [] }
            : { Responses: { [name]: items } }
        response.setHeader('content-type', 'application/x-amz-json-1.0').end(JSON.stringify(answer))
      })
    })
    await new Promise<void>((ready) => table.listen(0, '127.0.0.1', ready))
    const { port } = table.address() as AddressInfo
    Object.assign(process.env, functionEnvironment, {
      REQUESTS_PER_SECOND: String(perSecond),
      AWS_ACCESS_KEY_ID: 'key',
      AWS_SECRET_ACCESS_KEY: 'secret',
      AWS_ENDPOINT_URL_DYNAMODB: `http://127.0.0.1:${port}`,
    })
  })
  afterAll(async () => {
    table.closeAllConnections()
    await new Promise((closed) => table.close(closed))
    for (const name of Object.keys(process.env)) if (!(name in before)) delete process.env[name]
    Object.assign(process.env, before)
  })

  test('gives each organisation the share that the stage says, and danger its own', async () => {
    // another test in this process may have loaded it, for an environment of its own
    vi.resetModules()
    const { handler } = (await import('../../functions/api/index.ts')) as unknown as { handler: Handler }
    const ask = async (who: Who, path = '/v1/depots', body?: string) => {
      const { statusCode } = await handler(eventOf(who, path, body), {})
      return { status: statusCode === 429 ? 429 : 200 }
    }
    const flood = await times(60, () => ask('manager'))
    expect(flood[200]).toBeGreaterThanOrEqual(atOnce)
    expect(flood[429]).toBeGreaterThan(0)
    expect(await times(20, () => ask('other manager'))).toEqual({ 200: 20 })
    const danger = JSON.stringify({ factId: factId(), kind: 'tingle' })
    expect(await times(10, () => ask('manager', '/v1/sticks/S-1/defects', danger))).toEqual({ 200: 10 })
  })
})

type Handler = (event: object, context: object) => Promise<{ readonly statusCode: number }>

function eventOf(who: Who, path: string, body: string | undefined): object {
  const method = body === undefined ? 'GET' : 'POST'
  const claims = claimsOf(signedIn[who], '2026-03-02T15:00:00.000Z' as Instant)
  return {
    version: '2.0',
    rawPath: path,
    rawQueryString: '',
    headers: { 'content-type': 'application/json' },
    requestContext: {
      http: { method, path, protocol: 'HTTP/1.1', sourceIp: '127.0.0.1', userAgent: '' },
      timeEpoch: 1_772_463_600_000,
      stage: '$default',
      authorizer: { jwt: { claims } },
    },
    isBase64Encoded: false,
    ...(body === undefined ? {} : { body }),
  }
}
