/** Signing in to the pages: the way there and back, who is let in, and what each request asks anew. */
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { aStick } from '../support/trade.ts'
import { furnish, openHouse } from './house.ts'
import { accountOf, locationOf, signingIn } from './signing-in.ts'

const house = openHouse()
const { provider, site, signIn, callbackFor } = await signingIn(house)
const { browser } = site()
afterAll(provider.stop)

const person = (email: string, over: object = {}) => ({
  name: 'Ada Brink',
  email,
  role: 'manager',
  depots: ['*'],
  ...over,
})
const enter = (id: string, body: object) => house.done('PUT', `/v1/people/${id}`, body)
const ada = accountOf('ada@demo-utility.example')

beforeAll(async () => {
  await furnish(house)
  await house.done('PUT', '/v1/organisations/demo-utility', { name: 'Demo utility', packs: ['us-29-cfr-1910-269-j'] })
  await enter('ada', person('ada@demo-utility.example'))
  await enter('bea', person('bea@demo-utility.example', { role: 'bench', language: 'es', units: 'US customary' }))
  await enter('cid', person('cid@demo-utility.example', { role: 'crew', depots: [], crewId: 'CR-1' }))
})

/** Somebody signed in, in a browser of their own. */
async function visitorAs(email: string) {
  const one = browser()
  const answer = await signIn(one, accountOf(email))
  if (answer.status !== 303) throw new Error(`${email}: ${answer.status} ${await answer.text()}`)
  return one
}

describe('a page without a session', () => {
  test.each([
    ...['/', '/roster', '/roster?status=on+hold', '/sticks/S-1', '/sticks/none', '/sticks/S-1/bench-tests/none'],
    ...['/notices', '/crew', '/bench', '/imports', '/recalls', '/proposals', '/instruments', '/outlook', '/plan'],
  ])('%s leads to the sign-in, and from there back to itself', async (path) => {
    const one = browser()
    const answer = await one.get(path)
    expect([answer.status, locationOf(answer)]).toEqual([303, `/sign-in?${new URLSearchParams({ to: path })}`])
    const back = await signIn(one, ada, { to: path })
    expect([back.status, locationOf(back)]).toEqual([303, path])
  })

  test.each(['/nowhere', '/roster/x', '/sticks', '/v2/roster', '/.env', '/sticks/S-1/none'])(
    '%s is no page, and says so to anybody',
    async (path) => {
      const answer = await browser().get(path)
      expect(answer.status).toBe(404)
      expect(await answer.text()).toContain('<h1>Nothing of this name exists</h1>')
    },
  )

  test('answers whoever asks whether it is there', async () => {
    const answer = await browser().get('/healthz')
    expect([answer.status, await answer.text()]).toEqual([200, 'ok'])
  })
})

describe('whoever signs in', () => {
  test('is named on every page, with the organisation and the way out', async () => {
    const one = await visitorAs('ada@demo-utility.example')
    for (const path of ['/roster', '/notices', '/proposals', '/sticks/S-1', '/sticks/none', '/nowhere', '/sign-out']) {
      const text = await (await one.get(path)).text()
      expect(text, path).toMatch(/<span>Ada Brink, Demo utility<\/span>\s<a href="\/sign-out">Sign out<\/a>/)
    }
  })

  test('is found by the address once, and by the subject alone from then on', async () => {
    await enter('dan', person('dan@demo-utility.example'))
    await visitorAs('dan@demo-utility.example')
    const renamed = { sub: 'sub of dan@demo-utility.example', email: 'elsewhere@pool.example' }
    const one = browser()
    expect((await signIn(one, renamed)).status).toBe(303)
    expect(await (await one.get('/roster')).text()).toContain('Ada Brink')
    const other = { ...accountOf('dan@demo-utility.example'), sub: 'another subject' }
    const refused = await signIn(browser(), other)
    expect(refused.status).toBe(403)
    expect(await refused.text()).toContain('signs in by another account')
  })

  test.each<[string, object, string]>([
    ['nobody has the address', accountOf('nobody@demo-utility.example'), 'Nobody is entered with the address'],
    ['the address is not confirmed', { ...ada, sub: 'x', email_verified: false }, 'has not confirmed that ada@'],
    ['no address is told', { sub: 'y' }, 'tells no e-mail address of yours'],
  ])('is not let in where %s, and is told what to do', async (_, account, words) => {
    const one = browser()
    const answer = await signIn(one, account as typeof ada)
    expect(answer.status).toBe(403)
    const text = await answer.text()
    expect(text).toContain(words)
    expect(text).toContain('Sign in as somebody else')
    expect([...one.cookies.keys()]).toEqual([])
    expect((await one.get('/roster')).status).toBe(303)
  })

  test('reads in the language and the units of the own entry, whatever the browser asks for', async () => {
    const one = await visitorAs('bea@demo-utility.example')
    const answer = await one.get('/sticks/S-1')
    expect(answer.headers.get('content-language')).toBe('es')
    expect(await answer.text()).toContain('7 pies 10.5 pulg')
  })

  test.each<[string, string]>([
    ['ada@demo-utility.example', '/roster'],
    ['cid@demo-utility.example', '/crew'],
    ['bea@demo-utility.example', '/roster?bench=true'],
  ])('%s begins at %s', async (email, start) => {
    expect(locationOf(await (await visitorAs(email)).get('/'))).toBe(start)
  })
})

describe('what a person may not see', () => {
  test('is refused in words, and another organisation’s does not exist', async () => {
    await house.done(
      'PUT',
      '/v1/depots/DEP-9',
      { name: 'Yard', timeZone: 'Europe/Madrid', sweepHour: 6 },
      'other owner',
    )
    const crew = { name: 'Theirs', depotId: 'DEP-9', recipients: [] }
    await house.done('PUT', '/v1/crews/CR-9', crew, 'other owner')
    await house.done('PUT', '/v1/sticks/THEIRS', { ...aStick, crewId: 'CR-9' }, 'other owner')
    const one = await visitorAs('cid@demo-utility.example')
    expect((await one.get('/sticks/THEIRS')).status).toBe(404)
    expect((await one.get('/roster')).status).toBe(200)
    for (const path of ['/proposals', '/roster?crew=CR-2']) {
      const answer = await one.get(path)
      expect([path, answer.status]).toEqual([path, 403])
      expect(await answer.text()).toContain('You may not see this')
    }
    expect(await (await one.get('/roster')).text()).not.toContain('href="/proposals"')
  })
})

describe('a session', () => {
  test('ends with the last day of the entry, at the next page', async () => {
    const email = 'eve@demo-utility.example'
    await enter('eve', person(email))
    const one = await visitorAs(email)
    expect((await one.get('/roster')).status).toBe(200)
    await enter('eve', person(email, { until: '2026-03-01' }))
    expect((await one.get('/roster')).status).toBe(303)
    const again = await signIn(one, accountOf(email))
    expect([again.status, (await again.text()).includes('has ended')]).toEqual([403, true])
  })

  test('has the rights of the entry as it is at each page', async () => {
    const email = 'fay@demo-utility.example'
    await enter('fay', person(email))
    const one = await visitorAs(email)
    expect((await one.get('/proposals')).status).toBe(200)
    await enter('fay', person(email, { role: 'bench' }))
    expect((await one.get('/proposals')).status).toBe(403)
  })

  test('is over after eight hours', async () => {
    const one = await visitorAs('ada@demo-utility.example')
    house.at('2026-03-02T22:59:00.000Z')
    expect((await one.get('/roster')).status).toBe(200)
    house.at('2026-03-02T23:01:00.000Z')
    expect((await one.get('/roster')).status).toBe(303)
    house.at('2026-03-02T15:00:00.000Z')
  })

  test('ends in this browser by a button that says what it does, and at the provider too', async () => {
    const one = await visitorAs('ada@demo-utility.example')
    const page = await one.get('/sign-out')
    expect(await page.text()).toContain('Ends your session here')
    // a browser holds what a form leads to against this
    expect(page.headers.get('content-security-policy')).toContain(`form-action 'self' ${provider.issuer}`)
    expect((await one.get('/roster')).status).toBe(200)
    const left = await one.post('/sign-out')
    expect([left.status, new URL(locationOf(left) ?? '').origin]).toEqual([303, provider.issuer])
    expect((await one.get('/roster')).status).toBe(303)
    expect((await one.get('/signed-out')).status).toBe(200)
  })

  test('ends everywhere, and a new one begins after it', async () => {
    const [here, there] = [await visitorAs('ada@demo-utility.example'), await visitorAs('ada@demo-utility.example')]
    const stranger = await visitorAs('bea@demo-utility.example')
    house.at('2026-03-02T15:00:01.000Z')
    expect((await here.post('/sign-out/everywhere')).status).toBe(303)
    for (const one of [here, there]) expect((await one.get('/roster')).status).toBe(303)
    expect((await stranger.get('/roster')).status).toBe(200)
    house.at('2026-03-02T15:00:02.000Z')
    expect((await (await visitorAs('ada@demo-utility.example')).get('/roster')).status).toBe(200)
  })
})

test('two tabs at once end well, each at its own page', async () => {
  const one = browser()
  const [first, second] = [
    await callbackFor(one, ada, { to: '/sticks/S-1' }),
    await callbackFor(one, ada, { to: '/notices' }),
  ]
  expect(locationOf(await one.get(second))).toBe('/notices')
  expect(locationOf(await one.get(first))).toBe('/sticks/S-1')
  expect([...one.cookies.keys()]).toEqual(['__Host-session'])
})

test('many tabs leave no more cookies than a browser may send', async () => {
  const one = browser()
  for (let i = 0; i < 20; i++) await one.get('/sign-in?to=/roster')
  expect(one.cookies.size).toBeLessThanOrEqual(6)
  expect((await signIn(one, ada)).status).toBe(303)
})

test('a sign-in that is broken off at the provider can be begun anew', async () => {
  const one = browser()
  const callback = await callbackFor(one, ada, { to: '/notices' })
  const answer = await one.get(callback.replace(/code=[^&]*/, 'error=access_denied'))
  expect(answer.status).toBe(400)
  expect(await answer.text()).toContain('href="/sign-in?to=%2Fnotices"')
})

test('a provider that does not answer is a failure of ours, and rings', async () => {
  const said = vi.spyOn(console, 'error').mockImplementation(() => undefined)
  const answer = await site({ issuer: 'http://127.0.0.1:1' }).browser().get('/sign-in')
  expect([answer.status, JSON.parse(String(said.mock.calls[0]?.[0])).event]).toEqual([500, alarmWords.pageFailed])
  said.mockRestore()
})
