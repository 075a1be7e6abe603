/** Somebody is entered, signs in, and leaves: their account at the pool follows, and no door lets them in then. */
import { randomUUID } from 'node:crypto'
import { Secret, TOTP } from 'otpauth'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { signedInAs, type Visitor } from '../support/browser.ts'
import { furnish } from './furnish.ts'

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
})
afterAll(() => stack?.stop())

const email = 'noor@demo-utility.example'
const noor = { name: 'Noor Haas', email, role: 'manager', depots: ['*'] }

async function enter(over: object = {}) {
  const { status, text } = await stack.call('PUT', '/v1/people/noor', { ...noor, ...over }, 'owner')
  if (status > 201) throw new Error(`${status} ${text}`)
  return status
}

/** Managers set up an authenticator at their first sign-in. */
async function firstSignIn(): Promise<Visitor> {
  const one = await signedInAs(stack.pages, email, '__Host-authenticator')
  const page = await (await one.get('/sign-in/authenticator')).text()
  const [, fours = ''] = /<p class="secret">([^<]*)<\/p>/.exec(page) ?? []
  const code = new TOTP({ secret: Secret.fromBase32(fours.replaceAll(' ', '')) }).generate()
  expect((await one.post('/sign-in/authenticator', { code })).status).toBe(303)
  return one
}

/** Tokens say their moment in whole seconds: one from the second of a sign-out counts as one from before it. */
const nextSecond = () => new Promise((resolve) => setTimeout(resolve, 1100))

const subjects = async () => (await stack.mail(email)).map(({ subject }) => subject)
const passwords = async () => (await subjects()).filter((subject) => subject.includes('Your sign-in to Quarterturn'))
const asNoor = async () => stack.call('GET', '/v1/roster', undefined, await stack.parts.identity.accessToken(email))

test('an owner enters a manager, who is invited, gets a first password, signs in and reads', async () => {
  expect(stack.parts.pool.userOf(email)).toBeUndefined()
  expect(await enter()).toBe(201)
  await stack.settle()
  expect(await subjects()).toEqual(
    expect.arrayContaining([
      'Your sign-in to Quarterturn · Su acceso a Quarterturn',
      expect.stringContaining('You can sign in and see to the sticks of Demo utility'),
    ]),
  )
  // people of the first start were there before, and are sent no password
  expect((await stack.mail('manager@demo-utility.example')).map(({ subject }) => subject).join()).not.toContain(
    'Su acceso',
  )
  // known to the pool, and not yet to us
  expect((await asNoor()).status).toBe(403)
  const one = await firstSignIn()
  expect((await one.get('/roster')).status).toBe(200)
  expect((await asNoor()).status).toBe(200)
  await enter({ name: 'Noor Haas-Berg' })
  await stack.settle()
  expect(await passwords()).toHaveLength(1)
})

test('signed out everywhere by the owner, on a page: session and token end, and a new sign-in counts', async () => {
  const [one, owner] = [await signedInAs(stack.pages, email), await signedInAs(stack.pages, 'owner')]
  expect(await (await owner.get('/registers/people/noor')).text()).toContain('Sign out everywhere')
  const token = await stack.parts.identity.accessToken(email)
  await nextSecond()
  const way = '/registers/people/noor/sign-in/sign-out'
  const sent = await owner.post(way, { factId: randomUUID(), '/reason': 'a phone was lost' })
  expect(sent.status).toBe(303)
  expect((await one.get('/roster')).status).toBe(303)
  const refused = await stack.call('GET', '/v1/roster', undefined, token)
  expect([refused.status, refused.headers.get('content-type')]).toEqual([401, 'application/problem+json'])
  expect(await (await owner.get('/registers/people/noor')).text()).toContain('Olive Tran signed them out everywhere')
  expect((await (await signedInAs(stack.pages, email)).get('/roster')).status).toBe(200)
})

test('bound to a new sign-in: what they held is known no more, until they sign in by their address', async () => {
  const one = await signedInAs(stack.pages, email)
  const body = { factId: randomUUID(), reason: 'another account' }
  const freed = await stack.call('POST', '/v1/people/noor/sign-in/free', body, 'manager')
  expect([freed.status, freed.json]).toEqual([201, expect.objectContaining({ isBound: false })])
  await stack.settle()
  // they used their first password long ago
  expect(await passwords()).toHaveLength(1)
  expect((await one.get('/roster')).status).toBe(303)
  expect((await asNoor()).status).toBe(403)
  expect((await (await signedInAs(stack.pages, email)).get('/roster')).status).toBe(200)
  await nextSecond()
  expect((await asNoor()).status).toBe(200)
})

test('their entry is ended: session and token are refused at once, and their button is gone', async () => {
  const [one, token] = [await signedInAs(stack.pages, email), await stack.parts.identity.accessToken(email)]
  expect((await one.get('/roster')).status).toBe(200)
  await enter({ until: '2026-03-01' })
  const refused = await stack.call('GET', '/v1/roster', undefined, token)
  expect([refused.status, refused.headers.get('content-type')]).toEqual([401, 'application/problem+json'])
  expect(refused.text).toContain('no longer on the register of people')
  expect((await one.get('/roster')).status).toBe(303)
  await stack.settle()
  expect(stack.parts.pool.userOf(email)?.enabled).toBe(false)
  await expect(signedInAs(stack.pages, email)).rejects.toThrow('has no session')
})

test('who comes back has their account again, and whose last day comes loses it by the clock', async () => {
  await enter({ until: '2026-03-04' })
  await stack.settle()
  expect((await (await signedInAs(stack.pages, email)).get('/roster')).status).toBe(200)
  await stack.clock('2026-03-04T23:30:00Z')
  await stack.settle()
  expect(stack.parts.pool.userOf(email)?.enabled).toBe(true)
  await stack.clock('2026-03-05T00:30:00Z')
  await stack.settle()
  expect(stack.parts.pool.userOf(email)?.enabled).toBe(false)
  expect(await passwords()).toHaveLength(1)
})

test('an address that somebody else gets is an account of their own: the old password opens nothing', async () => {
  const before = stack.parts.pool.userOf(email)?.sub
  await stack.call('PUT', '/v1/people/tor', { ...noor, name: 'Tor Noor' }, 'owner')
  await stack.settle()
  const account = stack.parts.pool.userOf(email)
  expect(account?.enabled).toBe(true)
  expect(account?.sub).not.toBe(before)
  expect(await passwords()).toHaveLength(2)
})

test('whoever never used their first password is sent another when they are set free', async () => {
  const nils = { ...noor, name: 'Nils Orr', email: 'nils@demo-utility.example' }
  await stack.call('PUT', '/v1/people/nils', nils, 'owner')
  await stack.settle()
  const body = { factId: randomUUID(), reason: 'the seven days are over' }
  expect((await stack.call('POST', '/v1/people/nils/sign-in/free', body, 'owner')).status).toBe(201)
  await stack.settle()
  const sent = (await stack.mail(nils.email)).filter(({ subject }) => subject.includes('Your sign-in to Quarterturn'))
  expect(sent).toHaveLength(2)
})
