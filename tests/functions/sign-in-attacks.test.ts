/** Attacks on the sign-in and on the forms of the pages that are known from elsewhere: each is tried, and refused. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { returnAddress } from '../../functions/pages/return-address.ts'
import type { Lie } from '../support/provider.ts'
import { aCrew, aStick } from '../support/trade.ts'
import { furnish, openHouse } from './house.ts'
import { accountOf, locationOf, origin, secrets, signingIn } from './signing-in.ts'

const house = openHouse()
const { provider, site, signIn, callbackFor } = await signingIn(house)
const { browser } = site()
afterAll(provider.stop)

const hostile = '<img src=x onerror=alert(1)>"\'&<script>alert(2)</script>'
const ada = accountOf('ada@demo-utility.example')
const bea = accountOf('bea@demo-utility.example')

beforeAll(async () => {
  await furnish(house)
  const person = (name: string, email: string) => ({ name, email, role: 'manager', depots: ['*'] })
  await house.done('PUT', '/v1/people/ada', person('Ada Brink', 'ada@demo-utility.example'))
  await house.done('PUT', '/v1/people/bea', person('Bea Cole', 'bea@demo-utility.example'))
  await house.done('PUT', '/v1/people/hostile', person(hostile, 'hostile@demo-utility.example'))
})

const session = '__Host-session'

async function visitorAs(account = ada) {
  const one = browser()
  const answer = await signIn(one, account)
  if (answer.status !== 303) throw new Error(`${account.email}: ${answer.status}`)
  return one
}

describe('a callback', () => {
  test('is good once: played again it is refused, with its cookie put back too', async () => {
    const one = browser()
    const callback = await callbackFor(one, ada)
    const before = new Map(one.cookies)
    expect((await one.get(callback)).status).toBe(303)
    one.cookies.delete(session)
    expect((await one.get(callback)).status).toBe(400)
    for (const [name, value] of before) one.cookies.set(name, value)
    expect((await one.get(callback)).status).toBe(400)
    expect(one.cookies.has(session)).toBe(false)
  })

  test('of somebody else’s sign-in signs nobody in: an attacker hands a victim the attacker’s own', async () => {
    const [attacker, victim] = [browser(), browser()]
    const callback = await callbackFor(attacker, bea)
    expect((await victim.get(callback)).status).toBe(400)
    await callbackFor(victim, ada)
    expect((await victim.get(callback)).status).toBe(400)
    expect(victim.cookies.has(session)).toBe(false)
  })

  test.each([
    ['a state that nobody made', /state=[^&]*/, 'state=made-up'],
    ['no state', /&state=[^&]*/, ''],
    ['two states', /$/, '&state=made-up'],
    ['a code that nobody issued', /code=[^&]*/, 'code=made-up'],
    ['no code', /code=[^&]*&/, ''],
    ['another issuer', /$/, '&iss=https%3A%2F%2Fevil.example'],
    ['the word of a refusal', /code=[^&]*/, 'error=access_denied&error_description=%3Cscript%3E'],
  ])('with %s is refused', async (_, from, to) => {
    const one = browser()
    const callback = (await callbackFor(one, ada)).replace(from, to)
    const answer = await one.get(callback)
    expect(answer.status).toBe(400)
    expect(await answer.text()).not.toContain('<script')
    expect(one.cookies.has(session)).toBe(false)
  })

  test('with the code of another sign-in is refused: the code is bound to the browser that asked for it', async () => {
    const [attacker, victim] = [browser(), browser()]
    const code = new URLSearchParams((await callbackFor(attacker, bea)).split('?')[1]).get('code') ?? ''
    const callback = await callbackFor(victim, ada)
    expect((await victim.get(callback.replace(/code=[^&]*/, `code=${code}`))).status).toBe(400)
  })

  const lies: [string, Lie][] = [
    ['for another client', { claims: { aud: 'other' } }],
    ['of another issuer', { claims: { iss: 'https://evil.example' } }],
    ['with another nonce', { claims: { nonce: 'other' } }],
    ['that has run out', { claims: { exp: Date.parse('2026-03-02T14:00:00Z') / 1000 } }],
    ['of another key', { foreignKey: true }],
  ]
  test.each(lies)('with an ID token %s is refused', async (_, lie) => {
    const one = browser()
    expect((await signIn(one, ada, { lie })).status).toBe(400)
    expect(one.cookies.has(session)).toBe(false)
  })

  test('comes too late after ten minutes', async () => {
    const one = browser()
    const callback = await callbackFor(one, ada)
    house.at('2026-03-02T15:10:01.000Z')
    expect((await one.get(callback)).status).toBe(400)
    house.at('2026-03-02T15:00:00.000Z')
  })
})

describe('a session', () => {
  test('begins anew with each sign-in: what was planted before is not made good by it', async () => {
    const [attacker, victim] = [await visitorAs(bea), browser()]
    const planted = attacker.cookies.get(session) ?? ''
    victim.cookies.set(session, planted)
    expect((await signIn(victim, ada)).status).toBe(303)
    expect(victim.cookies.get(session)).not.toBe(planted)
    expect(await (await victim.get('/roster')).text()).toContain('Ada Brink')
    expect(await (await attacker.get('/roster')).text()).toContain('Bea Cole')
    const again = await visitorAs(bea)
    expect(again.cookies.get(session)).not.toBe(planted)
  })

  test('that was changed anywhere is none', async () => {
    const one = await visitorAs()
    const whole = one.cookies.get(session) ?? ''
    for (const at of [2, 30, Math.floor(whole.length / 2), whole.length - 3]) {
      const other = whole[at] === 'A' ? 'B' : 'A'
      one.cookies.set(session, whole.slice(0, at) + other + whole.slice(at + 1))
      expect((await one.get('/roster')).status, `changed at ${at}`).toBe(303)
    }
    for (const made of ['', 'x', '..', `${btoa('{"alg":"none"}')}..`, `${whole}.`, 'a'.repeat(9000)]) {
      one.cookies.set(session, made)
      expect((await one.get('/roster')).status).toBe(303)
    }
    one.cookies.set(session, whole)
    expect((await one.get('/roster')).status).toBe(200)
  })

  test('opens by the key before, and by none that is older', async () => {
    const one = await visitorAs()
    const [now] = secrets
    for (const [used, status] of [
      [['next', now], 200],
      [['after next', 'next'], 303],
    ] as const) {
      const later = site({ secrets: used }).browser()
      later.cookies.set(session, one.cookies.get(session) ?? '')
      expect((await later.get('/roster')).status).toBe(status)
    }
  })

  test('is not what was sealed for another purpose, nor the other way round', async () => {
    const one = await visitorAs()
    const callback = await callbackFor(one, ada)
    const [name = '', begun = ''] = [...one.cookies].find(([key]) => key.startsWith('__Host-sign-in-')) ?? []
    const real = one.cookies.get(session) ?? ''
    one.cookies.set(session, begun)
    expect((await one.get('/roster')).status).toBe(303)
    one.cookies.set('__Host-authenticator', real)
    expect(locationOf(await one.get('/sign-in/authenticator'))).toBe('/sign-in')
    one.cookies.set(name, real)
    expect((await one.get(callback)).status).toBe(400)
  })

  test('holds no token, and tells its reader nothing', async () => {
    const one = await visitorAs()
    const parts = (one.cookies.get(session) ?? '').split('.').map((part) => atob(part.replaceAll(/[-_]/g, '+')))
    expect(parts.join()).not.toMatch(/ada|demo-utility|for sub/)
    expect(parts[0]).toContain('"enc":"A256GCM"')
  })
})

const elsewhere = [
  ...[
    '//evil.example',
    '/\\evil.example',
    '\\\\evil.example',
    '/\t/evil.example',
    '/\n/evil.example',
    ' //evil.example',
  ],
  ...['https://evil.example', 'HTTPS:evil.example', 'javascript:alert(1)', 'data:text/html,x', 'evil.example'],
  ...['/%2f%2fevil.example/..%2f', '/%2Fevil.example', '/%5Cevil.example', '/.//evil.example', '/x/..//evil.example'],
  ...['//user@evil.example', 'https://pages.example@evil.example', '/@evil.example:80//', '////evil.example', '/%ff'],
  ...['/sign-in?to=/', '/signed-in?code=x', '/sign-out', '/healthz', '', '/\u0000', '/é', `/${'x'.repeat(3000)}`],
]

describe('the address to come back to', () => {
  test.each(elsewhere)('%j is never another site', async (to) => {
    const one = browser()
    const { origin: there } = new URL(returnAddress(to), origin)
    expect(there).toBe(origin)
    const back = await signIn(one, ada, { to })
    expect(back.status).toBe(303)
    expect(new URL(locationOf(back) ?? '', origin).origin).toBe(origin)
    expect(locationOf(back)).not.toMatch(/^\/[/\\]|sign|evil\.example$/)
  })

  test.each([
    '/',
    '/roster?status=on+hold&depot=DEP-1',
    '/sticks/S%201',
    '/sticks/S-1/bench-tests/a-b_c.d',
    '/notices?to=a%40b.example',
  ])('%s is kept as it is', (to) => expect(returnAddress(to)).toBe(to))
})

describe('a form', () => {
  const foreign = [
    ['of another site', { origin: 'https://evil.example' }],
    ['of another site, as its browser tells besides', { origin: 'null', 'sec-fetch-site': 'cross-site' }],
    ['of a neighbour', { origin: 'https://other.pages.example', 'sec-fetch-site': 'same-site' }],
    ['of nobody knows where', { origin: '' }],
    ['of this host in the clear', { origin: 'http://pages.example' }],
  ] as const
  test.each(foreign)('%s does nothing', async (_, headers) => {
    const one = await visitorAs()
    for (const path of ['/sign-out/everywhere', '/sign-out', '/sticks/S-1/report']) {
      const answer = await one.post(path, { factId: crypto.randomUUID(), '/kind': 'tingle' }, headers)
      expect([path, answer.status]).toEqual([path, 403])
      expect(await answer.text()).toContain('This was not sent from our own form')
    }
    expect((await one.get('/roster')).status).toBe(200)
  })

  test.each([
    'application/json',
    'text/plain',
    'multipart/form-data; boundary=x',
    'application/x-www-form-urlencodedx',
    '',
  ])('of the type %j is none: 415', async (type) => {
    const one = await visitorAs()
    const answer = await one.post('/sign-out/everywhere', {}, { 'content-type': type })
    expect(answer.status).toBe(415)
    expect((await one.get('/roster')).status).toBe(200)
  })

  test('without a session is not performed; what was typed is told as lost', async () => {
    await house.done('PUT', '/v1/sticks/S-7', aStick)
    const one = browser()
    const fields = { factId: crypto.randomUUID(), '/kind': 'tingle', '/occurredOn': '2026-03-02' }
    const sent = await one.post('/sticks/S-7/report', fields)
    expect([sent.status, locationOf(sent)]).toEqual([303, '/sign-in?to=%2Fsticks%2FS-7%2Freport&lost='])
    expect(await (await one.get(locationOf(sent) ?? '')).text()).toContain('what you typed is lost')
    const { json } = await house.call('GET', '/v1/sticks/S-7/facts')
    expect(json.items.map(({ kind }: { kind: string }) => kind)).toEqual(['registered'])
  })
})

describe('what the browser is told', () => {
  const paths = ['/roster', '/sticks/S-1', '/notices', '/sign-out', '/nowhere', '/signed-out', '/sign-in?lost=']

  test.each(paths)('%s takes no script, no style but its own, and no other site', async (path) => {
    const one = await visitorAs()
    const nonces = new Set<string>()
    for (let i = 0; i < 2; i++) {
      const answer = await one.get(path)
      const text = await answer.text()
      const policy = answer.headers.get('content-security-policy') ?? ''
      const [, nonce = ''] = /style-src 'nonce-([^']+)'/.exec(policy) ?? []
      expect(text).toContain(`<style nonce="${nonce}">`)
      const tags = text.replace(/<style.*?<\/style>/s, '').match(/<[^>]*>/g) ?? []
      expect(tags.length).toBeGreaterThan(20)
      // what stands in quotes is a value, whatever it says
      for (const tag of tags) expect(tag.replaceAll(/="[^"]*"/g, '=""')).not.toMatch(/<script|<style|\s(style|on\w+)=/i)
      expect(tags.join()).not.toMatch(/(href|action)="(?!\/|#|data:,"|mailto:|otpauth:)/)
      expect(policy).toMatch(/^default-src 'none'; .*base-uri 'none'; frame-ancestors 'none'$/)
      expect(policy).not.toContain('unsafe')
      nonces.add(nonce)
    }
    expect(nonces.size).toBe(2)
  })

  test.each([...paths, '/healthz', '/sign-in', '/'])(
    '%s is kept nowhere on the way, and opens in no frame',
    async (path) => {
      const { headers } = await (await visitorAs()).get(path)
      expect(headers.get('cache-control')).toBe('no-store')
      expect(headers.get('x-frame-options')).toBe('DENY')
      expect(headers.get('x-content-type-options')).toBe('nosniff')
      expect(headers.get('strict-transport-security')).toContain('max-age=63072000')
      expect(headers.get('referrer-policy')).toBe('same-origin')
    },
  )

  test('names that somebody stored are text wherever they stand', async () => {
    const packs = ['us-29-cfr-1910-269-j']
    await house.done('PUT', '/v1/organisations/demo-utility', { name: hostile, packs })
    await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, name: hostile })
    await house.done('PUT', '/v1/depots/DEP-8', { name: hostile, timeZone: 'Europe/Madrid', sweepHour: 6 })
    const one = await visitorAs(accountOf('hostile@demo-utility.example'))
    for (const path of ['/roster', '/sticks/S-1', '/notices', '/sign-out', `/sticks/${encodeURIComponent(hostile)}`]) {
      const text = (await (await one.get(path)).text()).replace(/<style.*?<\/style>/s, '')
      expect(text, path).not.toMatch(/<script|<img/i)
      expect(text, path).toContain('&lt;script&gt;')
    }
  })

  test('an address told by the provider is text', async () => {
    const one = browser()
    const answer = await signIn(one, { sub: 'z', email: hostile, email_verified: true })
    const text = await answer.text()
    expect([answer.status, text.includes('<script>'), text.includes('&lt;script&gt;')]).toEqual([403, false, true])
  })
})
