/** Signing in at the provider of the stack, through the deployed template: pages, the API, and the authenticator. */
import { Secret, TOTP } from 'otpauth'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { signedInAs, visitor } from '../support/browser.ts'
import { furnish } from './furnish.ts'

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
})
afterAll(() => stack?.stop())

test.each(['owner', 'manager', 'manager-2', 'bench', 'bench-2', 'crew'])(
  '%s signs in with a button, and the clock may go on for months meanwhile',
  async (person) => {
    const one = await signedInAs(stack.pages, person)
    expect((await one.get(person === 'crew' ? '/' : '/roster')).status).toBe(person === 'crew' ? 303 : 200)
    await stack.clock('2026-05-02T15:00:00Z')
    expect((await one.get('/notices')).status).toBe(200)
    await stack.clock('2026-03-02T15:00:00Z')
    expect((await signedInAs(stack.pages, person)).cookies.has('__Host-session')).toBe(true)
  },
)

test('a page asks who it is and comes back to itself; what is no page says so; the stack tells it is up', async () => {
  const nobody = visitor((path, init) => fetch(stack.pages + path, init), stack.pages)
  const asked = await nobody.get('/sticks/S-1?past=0')
  expect([asked.status, asked.headers.get('location')]).toEqual([303, '/sign-in?to=%2Fsticks%2FS-1%3Fpast%3D0'])
  expect((await nobody.get('/nowhere')).status).toBe(404)
  expect((await nobody.get('/healthz')).status).toBe(200)
  expect((await nobody.get('/v1/roster')).status).toBe(401)
})

test('signing out everywhere ends the other browser and the tokens of programs, and nobody else’s', async () => {
  const [here, there] = [await signedInAs(stack.pages, 'manager-2'), await signedInAs(stack.pages, 'manager-2')]
  expect((await stack.call('GET', '/v1/roster', undefined, 'manager-2')).status).toBe(200)
  const left = await here.post('/sign-out/everywhere')
  expect([left.status, new URL(left.headers.get('location') ?? '').pathname]).toEqual([303, '/logout'])
  expect((await there.get('/roster')).status).toBe(303)
  const refused = await stack.call('GET', '/v1/roster', undefined, 'manager-2')
  expect([refused.status, refused.headers.get('content-type')]).toEqual([401, 'application/problem+json'])
  expect((await stack.call('GET', '/v1/roster', undefined, 'manager')).status).toBe(200)
  expect((await (await signedInAs(stack.pages, 'manager-2')).get('/roster')).status).toBe(200)
})

test('a manager without an authenticator sets one up with the pool’s secret before any page opens', async () => {
  const email = 'new-manager@demo-utility.example'
  const entry = { name: 'Noor Haas', email, role: 'manager', depots: ['*'] }
  expect((await stack.call('PUT', '/v1/people/new-manager', entry)).status).toBe(201)
  await stack.settle()
  const button = stack.parts.pool.userOf(email)?.button ?? ''
  const one = await signedInAs(stack.pages, button, '__Host-authenticator')
  expect((await one.get('/roster')).status).toBe(303)
  const page = await (await one.get('/sign-in/authenticator')).text()
  const [, fours = ''] = /<p class="secret">([^<]*)<\/p>/.exec(page) ?? []
  const code = new TOTP({ secret: Secret.fromBase32(fours.replaceAll(' ', '')) }).generate()
  expect((await one.post('/sign-in/authenticator', { code: code === '000000' ? '111111' : '000000' })).status).toBe(422)
  expect((await one.post('/sign-in/authenticator', { code })).status).toBe(303)
  expect((await one.get('/roster')).status).toBe(200)
  const again = await signedInAs(stack.pages, button)
  expect((await again.get('/roster')).status).toBe(200)
})
