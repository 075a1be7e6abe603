/** The API's front door, as API Gateway has it: routes, tokens, events, limits. */
import type { webcrypto } from 'node:crypto'
import { exportJWK, generateKeyPair, type JWTPayload, SignJWT, UnsecuredJWT } from 'jose'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { TokenChange } from '../../cdk/local/people/identity.ts'
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

const forbidden = { status: 403, text: '{"message":"Forbidden"}' }
/** The claims of a token that opens the door. */
const ours = (): JWTPayload => ({
  sub: 'somebody',
  token_use: 'access',
  client_id: stack.parts.identity.clientId,
  scope: 'openid quarterturn/api',
})
const unauthorised = { status: 401, text: '{"message":"Unauthorized"}' }

describe('a token', () => {
  test('of ours opens the door, and its claims come as text, in the pool’s shape', async () => {
    const { status, json } = await stack.call('GET', '/v1/anything', undefined, 'bench-2')
    expect(status).toBe(200)
    const { jwt } = (json as { requestContext: { authorizer: { jwt: { claims: object; scopes: string[] } } } })
      .requestContext.authorizer
    const sub = stack.parts.pool.userOf('bench-2@demo-utility.example')?.sub
    expect(jwt.claims).toEqual({
      sub,
      username: sub,
      iss: stack.parts.identity.issuer,
      client_id: stack.parts.identity.clientId,
      token_use: 'access',
      scope: 'openid email aws.cognito.signin.user.admin quarterturn/api',
      iat: expect.stringMatching(/^\d+$/),
      exp: expect.stringMatching(/^\d+$/),
    })
    expect(jwt.scopes).toEqual(['quarterturn/api'])
  })

  test('none, an empty one, or something else in its place: 401', async () => {
    expect(await stack.call('GET', '/v1/anything', undefined, '')).toMatchObject(unauthorised)
    for (const authorization of ['', 'Bearer', 'Bearer ', 'Basic b3duZXI6', 'Bearer a.b.c', 'Bearer null']) {
      expect(await stack.call('GET', '/v1/anything', undefined, '', { authorization })).toMatchObject(unauthorised)
    }
  })

  // a verifier that lets the token name its own algorithm (mastra-ai/mastra PR#12695)
  test('that names its own algorithm: none, or a secret that is the public key: 401', async () => {
    const { issuer } = stack.parts.identity
    const unsigned = new UnsecuredJWT(ours()).setIssuer(issuer).setIssuedAt().setExpirationTime('1h')
    expect(await stack.call('GET', '/v1/anything', undefined, unsigned.encode())).toMatchObject(unauthorised)
    const { keys } = (await (await fetch(`${issuer}/.well-known/jwks.json`)).json()) as {
      keys: [{ n: string; kid: string }]
    }
    const confused = await signed({ alg: 'HS256', kid: keys[0].kid }, new TextEncoder().encode(keys[0].n))
    expect(await stack.call('GET', '/v1/anything', undefined, confused)).toMatchObject(unauthorised)
  })

  test('signed by somebody else, even under our key’s name: 401', async () => {
    const { privateKey } = await generateKeyPair('RS256')
    expect(
      await stack.call('GET', '/v1/anything', undefined, await signed({ alg: 'RS256', kid: 'local' }, privateKey)),
    ).toMatchObject(unauthorised)
  })

  test('about the person and not for the API (an identity token): 403, as it has no scope', async () => {
    const token = await stack.parts.identity.identityToken('owner@demo-utility.example')
    expect(await stack.call('GET', '/v1/anything', undefined, token)).toMatchObject(forbidden)
  })

  test.each([
    ['of another scope', { scope: 'openid email' }],
    ['of none', { scope: undefined }],
    ['of one that only begins like ours', { scope: 'quarterturn/api-of-others' }],
  ])('%s: 403', async (_, claims) => {
    const token = await stack.parts.identity.sign({ ...ours(), ...claims })
    expect(await stack.call('GET', '/v1/anything', undefined, token)).toMatchObject(forbidden)
  })

  test.each<[string, JWTPayload, TokenChange]>([
    ['of another client', { client_id: 'another' }, {}],
    ['of no client', { client_id: undefined }, {}],
    ['for another audience, whatever the client', { aud: 'https://other.example' }, {}],
    ['from another pool', {}, { issuer: 'https://cognito-idp.us-east-1.amazonaws.com/us-east-1_Another' }],
    ['run out', {}, { lifetimeSeconds: -60 }],
    ['not valid yet', {}, { notBeforeSeconds: 600 }],
    ['without an end', {}, { lifetimeSeconds: null }],
  ])('%s: 401', async (_, claims, change) => {
    const token = await stack.parts.identity.sign({ ...ours(), ...claims }, change)
    expect(await stack.call('GET', '/v1/anything', undefined, token)).toMatchObject(unauthorised)
  })

  test('the same without such a fault is taken, so that it was the fault that was refused', async () => {
    const { clientId, sign } = stack.parts.identity
    expect((await stack.call('GET', '/v1/anything', undefined, await sign(ours()))).status).toBe(200)
    const withAudience = { ...ours(), client_id: undefined, aud: clientId }
    expect((await stack.call('GET', '/v1/anything', undefined, await sign(withAudience))).status).toBe(200)
  })

  test('is checked against real time, wherever the settable clock stands', async () => {
    await stack.clock('2031-03-02T15:00:00Z')
    expect((await stack.call('GET', '/v1/anything')).status).toBe(200)
    await stack.clock('2026-03-02T15:00:00Z')
  })

  async function signed(header: { alg: string; kid: string }, key: webcrypto.CryptoKey | Uint8Array): Promise<string> {
    const { issuer } = stack.parts.identity
    const token = new SignJWT(ours()).setProtectedHeader(header).setIssuer(issuer)
    return token.setIssuedAt().setExpirationTime('1h').sign(key)
  }

  test('our provider hands out no private key', async () => {
    const text = await (await fetch(`${stack.parts.identity.issuer}/.well-known/jwks.json`)).text()
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
    expect(
      Object.keys(environment).filter(
        (name) => !/^(AWS_|TABLE_NAME|FEEDS_URL|ORIGIN_URL|UPLOADS_BUCKET|REQUESTS_|TOKEN_|TZ$)/.test(name),
      ),
    ).toEqual([])
    expect(environment).not.toHaveProperty('PATH')
  })
})
