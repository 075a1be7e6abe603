/** The API's front door, as API Gateway has it: routes, tokens, events, limits. */
import type { webcrypto } from 'node:crypto'
import { exportJWK, generateKeyPair, SignJWT, UnsecuredJWT } from 'jose'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { people } from '../../cdk/local/people/people.ts'
import { type FixtureStack, startFixtureStack } from './fixture-stack.ts'

let stack: FixtureStack
beforeAll(async () => {
  stack = await startFixtureStack({
    now: '2026-03-02T15:00:00Z',
    change: (resources) => {
      for (const [id, { Properties }] of Object.entries(resources)) {
        if (id.startsWith('RestDoorFunction')) Properties.Timeout = 2
      }
    },
  })
})
afterAll(() => stack?.stop())

const unauthorised = { status: 401, text: '{"message":"Unauthorized"}' }

describe('a token', () => {
  test('of ours opens the door, and its claims come as text', async () => {
    const { status, json } = await stack.call('GET', '/v1/anything', undefined, 'bench-2')
    expect(status).toBe(200)
    expect(json).toMatchObject({
      requestContext: {
        authorizer: {
          jwt: {
            claims: {
              sub: 'bench-2',
              organisation: 'demo-utility',
              role: 'bench',
              token_use: 'access',
              exp: expect.stringMatching(/^\d+$/),
            },
            scopes: null,
          },
        },
      },
    })
  })

  test('none, an empty one, or something else in its place: 401', async () => {
    expect(await stack.call('GET', '/v1/anything', undefined, '')).toMatchObject(unauthorised)
    for (const authorization of ['', 'Bearer', 'Bearer ', 'Basic b3duZXI6', 'Bearer a.b.c', 'Bearer null']) {
      expect(await stack.call('GET', '/v1/anything', undefined, '', { authorization })).toMatchObject(unauthorised)
    }
  })

  // a verifier that lets the token name its own algorithm (mastra-ai/mastra PR#12695)
  test('that names its own algorithm: none, or a secret that is the public key: 401', async () => {
    const { issuer, audience } = stack.parts.identity
    const claims = { sub: 'owner', organisation: 'demo-utility', role: 'owner' }
    const unsigned = new UnsecuredJWT(claims)
      .setIssuer(issuer)
      .setAudience(audience)
      .setIssuedAt()
      .setExpirationTime('1h')
    expect(await stack.call('GET', '/v1/anything', undefined, unsigned.encode())).toMatchObject(unauthorised)
    const { keys } = (await (await fetch(`${issuer}/jwks`)).json()) as { keys: [{ n: string; kid: string }] }
    const confused = await signed({ alg: 'HS256', kid: keys[0].kid }, new TextEncoder().encode(keys[0].n))
    expect(await stack.call('GET', '/v1/anything', undefined, confused)).toMatchObject(unauthorised)
  })

  test('signed by somebody else, even under our key’s name: 401', async () => {
    const { privateKey } = await generateKeyPair('RS256')
    expect(
      await stack.call('GET', '/v1/anything', undefined, await signed({ alg: 'RS256', kid: 'local' }, privateKey)),
    ).toMatchObject(unauthorised)
  })

  test('about the person and not for the API (an identity token): 401', async () => {
    const [owner] = people
    if (owner === undefined) throw new Error('nobody')
    const token = await stack.parts.identity.identityToken(owner)
    expect(await stack.call('GET', '/v1/anything', undefined, token)).toMatchObject(unauthorised)
  })

  test.each([
    ['for another audience', { audience: 'https://other.example' }],
    ['from another issuer', { issuer: 'https://other.example' }],
    ['run out', { lifetimeSeconds: -60 }],
    ['not valid yet', { notBeforeSeconds: 600 }],
    ['without an end', { lifetimeSeconds: null }],
  ])('%s: 401', async (_, change) => {
    const token = await stack.parts.identity.sign({ sub: 'owner', organisation: 'demo-utility', role: 'owner' }, change)
    expect(await stack.call('GET', '/v1/anything', undefined, token)).toMatchObject(unauthorised)
  })

  test('the same without such a fault is taken, so that it was the fault that was refused', async () => {
    const token = await stack.parts.identity.sign({ sub: 'owner', organisation: 'demo-utility', role: 'owner' }, {})
    expect((await stack.call('GET', '/v1/anything', undefined, token)).status).toBe(200)
  })

  test('is checked against real time, wherever the settable clock stands', async () => {
    await stack.clock('2031-03-02T15:00:00Z')
    expect((await stack.call('GET', '/v1/anything')).status).toBe(200)
    await stack.clock('2026-03-02T15:00:00Z')
  })

  async function signed(header: { alg: string; kid: string }, key: webcrypto.CryptoKey | Uint8Array): Promise<string> {
    const { issuer, audience } = stack.parts.identity
    const claims = new SignJWT({ sub: 'owner', organisation: 'demo-utility', role: 'owner' }).setProtectedHeader(header)
    return claims.setIssuer(issuer).setAudience(audience).setIssuedAt().setExpirationTime('1h').sign(key)
  }

  test('our provider hands out no private key', async () => {
    const text = await (await fetch(`${stack.parts.identity.issuer}/jwks`)).text()
    expect(Object.keys(JSON.parse(text).keys[0])).not.toContain('d')
    expect(Object.keys(await exportJWK((await generateKeyPair('RS256', { extractable: true })).privateKey))).toContain(
      'd',
    )
  })
})

describe('a route', () => {
  test('the contract is read without a token', async () => {
    const { status, json } = await stack.call('GET', '/v1/openapi.json', undefined, '')
    expect(status).toBe(200)
    expect(json).toMatchObject({ routeKey: 'GET /v1/openapi.json' })
    expect(json).not.toHaveProperty('requestContext.authorizer')
  })

  test('whatever no other route leads to comes to the pages, whether there is a token or not', async () => {
    for (const path of ['/', '/roster', '/v2/sticks', '/v1'])
      for (const token of ['owner', '', 'no token'])
        expect((await stack.call('POST', path, {}, token)).json).toMatchObject({ pages: '$default', rawPath: path })
    expect(await stack.call('GET', '/local/nothing')).toMatchObject({ status: 404 })
  })
})

describe('the event', () => {
  test('has the shape of payload format 2.0', async () => {
    const path = '/v1/sticks/S%2D1?on=2026-03-02&x=1&x=2&empty='
    const { json } = await stack.call('PUT', path, { a: 'ü' }, 'owner', { 'X-Own': 'yes', cookie: 'a=1; b=2' })
    expect(json).toMatchObject({
      version: '2.0',
      routeKey: 'ANY /v1/{proxy+}',
      rawPath: '/v1/sticks/S%2D1',
      rawQueryString: 'on=2026-03-02&x=1&x=2&empty=',
      cookies: ['a=1', 'b=2'],
      headers: { 'x-own': 'yes', 'content-type': 'application/json', 'x-forwarded-proto': 'http' },
      queryStringParameters: { on: '2026-03-02', x: '1,2', empty: '' },
      pathParameters: { proxy: 'sticks/S-1' },
      body: '{"a":"ü"}',
      isBase64Encoded: false,
      requestContext: {
        http: { method: 'PUT', path: '/v1/sticks/S%2D1', protocol: 'HTTP/1.1', sourceIp: '127.0.0.1' },
        stage: '$default',
        time: expect.stringMatching(/^\d\d\/\w{3}\/\d{4}:\d\d:\d\d:\d\d \+0000$/),
      },
    })
    // the gateway judges tokens by the real time, whatever the settable clock says
    const { timeEpoch } = (json as { requestContext: { timeEpoch: number } }).requestContext
    expect(Math.abs(Date.now() - timeEpoch)).toBeLessThan(60_000)
    expect(json).not.toHaveProperty('headers.cookie')
  })

  test('bytes that are no text come in base64', async () => {
    const form = await stack.call('POST', '/v1/imports', 'a=1', 'owner', {
      'content-type': 'application/x-www-form-urlencoded',
    })
    expect(form.json).toMatchObject({ body: 'YT0x', isBase64Encoded: true })
    const csv = await stack.call('POST', '/v1/imports', 'a;b', 'owner', { 'content-type': 'text/csv' })
    expect(csv.json).toMatchObject({ body: 'a;b', isBase64Encoded: false })
  })

  test('without a body or a query has neither', async () => {
    const { json } = await stack.call('GET', '/v1/anything')
    for (const name of ['body', 'queryStringParameters', 'cookies']) expect(json).not.toHaveProperty(name)
  })
})

describe('the answer', () => {
  test('cookies, redirections and bytes arrive', async () => {
    const redirected = await stack.call('GET', '/v1/redirect')
    expect(redirected.status).toBe(303)
    expect(redirected.headers.getSetCookie()).toEqual(['one=1', 'two=2'])
    const bytes = await fetch(`${stack.api}/v1/bytes`, { headers: { authorization: `Bearer ${stack.tokens.owner}` } })
    expect(Buffer.from(await bytes.arrayBuffer()).toString('base64')).toBe('iVBORw==')
  })

  test('a function that throws or ends: 500, and the next call is served', async () => {
    for (const path of ['/v1/throw', '/v1/exit']) {
      expect(await stack.call('GET', path)).toMatchObject({ status: 500, text: '{"message":"Internal Server Error"}' })
    }
    expect((await stack.call('GET', '/v1/now')).status).toBe(200)
    expect(stack.logs().some(({ text, error }) => error && text.includes('as asked'))).toBe(true)
  })

  test('a function that takes longer than its timeout: 500 after it', async () => {
    const started = performance.now()
    expect((await stack.call('GET', '/v1/slow')).status).toBe(500)
    expect(performance.now() - started).toBeGreaterThan(1_900)
    expect(stack.logs().at(-1)?.text).toContain('Task timed out after 2.00 seconds')
  })

  test('more than 6 MB out: 500; more than 6 MB in: 413', async () => {
    expect((await stack.call('GET', '/v1/large')).status).toBe(500)
    expect(
      (await stack.call('POST', '/v1/imports', 'x'.repeat(7 * 1024 * 1024), 'owner', { 'content-type': 'text/csv' }))
        .status,
    ).toBe(413)
    expect(
      (await stack.call('POST', '/v1/imports', 'x'.repeat(11 * 1024 * 1024), 'owner', { 'content-type': 'text/csv' }))
        .status,
    ).toBe(413)
  })
})

describe('the surroundings of a function', () => {
  test('are those of Lambda: its own variables, its own key, and nothing of this machine', async () => {
    const environment = (await stack.call('GET', '/v1/environment')).json as Record<string, string>
    expect(environment).toMatchObject({
      TABLE_NAME: expect.stringMatching(/^Quarterturn-Table/),
      FEEDS_URL: stack.api,
      AWS_REGION: 'us-east-1',
      AWS_LAMBDA_FUNCTION_NAME: expect.stringMatching(/^Quarterturn-Rest/),
    })
    expect(Object.keys(environment).filter((name) => !/^(AWS_|TABLE_NAME|FEEDS_URL|TZ$)/.test(name))).toEqual([])
    expect(environment).not.toHaveProperty('PATH')
  })
})
