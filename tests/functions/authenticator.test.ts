/** The authenticator that owners and managers set up before any page opens to them. */
import { Secret, TOTP } from 'otpauth'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { Authenticator } from '../../functions/pages/ways.ts'
import type { Visitor } from '../support/browser.ts'
import { furnish, openHouse } from './house.ts'
import { accountOf, locationOf, signingIn } from './signing-in.ts'

const house = openHouse()
const { provider, site, signIn } = await signingIn(house)
afterAll(provider.stop)

/** As the pool keeps them: by the token of whoever is signing in. */
const secretsBy = new Map<string, Secret>()
const setUp = new Set<string>()
const code = (secret: Secret) => new TOTP({ secret }).generate()
const atPool: Authenticator = {
  isSetUp: async (token) => setUp.has(token),
  begin: async (token) => {
    const secret = new Secret({ size: 32 })
    secretsBy.set(token, secret)
    return secret.base32
  },
  finish: async (token, given) => {
    const secret = secretsBy.get(token)
    const isRight = secret !== undefined && new TOTP({ secret }).validate({ token: given, window: 1 }) !== null
    if (isRight) setUp.add(token)
    return isRight
  },
}
const { browser } = site({ authenticator: atPool })
const path = '/sign-in/authenticator'

beforeAll(async () => {
  await furnish(house)
  const person = (id: string, role: string) => ({
    name: 'Ada Brink',
    email: `${id}@demo-utility.example`,
    role,
    depots: ['*'],
  })
  for (const [id, role] of Object.entries({ ada: 'manager', bea: 'manager', ova: 'owner', ben: 'bench', fay: 'bench' }))
    await house.done('PUT', `/v1/people/${id}`, person(id, role))
})

const account = (id: string) => accountOf(`${id}@demo-utility.example`)

async function shown(one: Visitor) {
  const answer = await one.get(path)
  const text = await answer.text()
  const [, fours = ''] = /<p class="secret">([^<]*)<\/p>/.exec(text) ?? []
  return { status: answer.status, text, fours }
}

test.each(['ada', 'ova'])(
  '%s, without one, reaches no page before it is set up, and then the page asked for',
  async (id) => {
    const one = browser()
    const back = await signIn(one, account(id), { to: '/notices' })
    expect([back.status, locationOf(back)]).toEqual([303, path])
    expect((await one.get('/roster')).status).toBe(303)

    const { text, fours } = await shown(one)
    expect(fours).toMatch(/^([A-Z2-7]{4} )+[A-Z2-7]{1,4}$/)
    const secret = fours.replaceAll(' ', '')
    expect(text).toContain(
      `otpauth://totp/Quarterturn%3A${id}%40demo-utility.example?secret=${secret}&amp;issuer=Quarterturn`,
    )
    expect(text).toContain('If the phone is lost later')
    expect((await shown(one)).fours, 'looked at again').toBe(fours)

    const wrong = await one.post(path, { code: '000000' })
    expect(wrong.status).toBe(422)
    const again = await wrong.text()
    expect(again).toContain('This code does not fit')
    expect(again).toContain(fours)
    expect((await one.get('/roster')).status).toBe(303)

    const right = code(Secret.fromBase32(secret))
    const done = await one.post(path, { code: `${right.slice(0, 3)} ${right.slice(3)}` })
    expect([done.status, locationOf(done)]).toEqual([303, '/notices'])
    expect((await one.get('/notices')).status).toBe(200)
    expect([...one.cookies.keys()]).toEqual(['__Host-session'])
    expect(locationOf(await one.get(path))).toBe('/sign-in')
  },
)

test('whoever has one is let in at once: the provider asked for its code', async () => {
  setUp.add('for sub of bea@demo-utility.example')
  const one = browser()
  expect(locationOf(await signIn(one, account('bea'), { to: '/roster' }))).toBe('/roster')
  expect((await one.get('/roster')).status).toBe(200)
})

test('bench people need none; who becomes a manager meanwhile reaches no page before it is set up', async () => {
  const one = browser()
  await signIn(one, account('fay'))
  expect((await one.get('/roster')).status).toBe(200)
  const entry = { name: 'Fay Lund', email: 'fay@demo-utility.example', role: 'manager', depots: ['*'] }
  await house.done('PUT', '/v1/people/fay', entry)
  expect((await one.get('/roster')).status).toBe(303)
  expect(locationOf(await signIn(one, account('fay')))).toBe(path)
})

test('a code is asked for from our own form alone, and for ten minutes', async () => {
  const one = browser()
  await signIn(one, account('fay'))
  await shown(one)
  expect((await one.post(path, { code: '123456' }, { origin: 'https://evil.example' })).status).toBe(403)
  house.at('2026-03-02T15:11:00.000Z')
  expect(locationOf(await one.post(path, { code: '123456' }))).toBe('/sign-in')
  house.at('2026-03-02T15:00:00.000Z')
})
