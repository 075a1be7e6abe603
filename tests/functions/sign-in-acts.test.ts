/** What others do to a person's sign-in: their sessions end, or they are bound to a new one. Who did it is kept. */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { buildApi } from '../../functions/api/api.ts'
import { bind, hashOf, signInOf } from '../../functions/store/sign-ins.ts'
import type { Item } from '../../functions/store/table.ts'
import { pagesOf } from '../support/pages.ts'
import { claimsOf, subjectFor, tokenRules } from '../support/sign-in.ts'
import { demo, furnish, type House, openHouse, type Who } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse()
  await furnish(first)
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-03T15:00:00.000Z')
})

const because = (reason = 'another account') => ({ factId: randomUUID(), reason })
const act = (what: 'free' | 'sign-out', body: object = because(), { id = 'bench', who = 'owner' as Who } = {}) =>
  house.call('POST', `/v1/people/${id}/sign-in/${what}`, body, who)
const bench = () => signInOf(house.organisation(), 'bench')
/** With a token of this moment. */
const asksAsBench = () => house.call('GET', '/v1/roster', undefined, 'bench')

describe('somebody is set free', () => {
  test('and known by nothing they held; the next sign-in by their address is theirs', async () => {
    expect((await asksAsBench()).status).toBe(200)
    const body = because()
    const done = await act('free', body, { who: 'manager' })
    expect(done.status).toBe(201)
    expect(done.json).toMatchObject({
      personId: 'bench',
      isBound: false,
      boundAt: null,
      acts: [{ ...body, act: 'set free', by: 'manager', at: '2026-03-03T15:00:00.000Z' }],
    })
    expect((await asksAsBench()).status).toBe(403)
    const subject = { issuer: 'https://login.utility.example', sub: 'another' }
    const email = 'bench@demo-utility.example'
    expect(await bind(house.table, { subject, email, now: house.clock() })).toMatchObject({ personId: 'bench' })
    expect((await bench())?.subject).toBe(hashOf(subject))
    // the account from before is theirs no more
    expect((await asksAsBench()).status).toBe(403)
  })

  test('once, however often it is sent: what was bound since stays; under another reason it is refused', async () => {
    const body = because()
    expect((await act('free', body)).status).toBe(201)
    const subject = { issuer: 'https://login.utility.example', sub: 'another' }
    await bind(house.table, { subject, email: 'bench@demo-utility.example', now: house.clock() })
    expect((await act('free', body)).status).toBe(200)
    expect((await bench())?.subject).toBe(hashOf(subject))
    const otherwise = await act('free', { ...body, reason: 'a whim' })
    expect([otherwise.status, otherwise.json.reasons[0].code]).toEqual([409, 'fact-id-used'])
    expect((await act('sign-out', body)).status).toBe(409)
  })

  test('by nobody for themselves, nor an owner by a manager, nor whoever is not there', async () => {
    expect((await act('free', because(), { id: 'manager', who: 'manager' })).status).toBe(403)
    expect((await act('free', because(), { id: 'owner', who: 'manager' })).status).toBe(403)
    expect((await act('free', because(), { id: 'nobody' })).status).toBe(404)
    expect((await act('free', { factId: randomUUID() })).status).toBe(422)
    expect(house.table.written()).toBe(0)
  })
})

describe('somebody is signed out everywhere', () => {
  test('tokens and sessions from before end, a token from after counts, and they stay bound', async () => {
    const pages = pagesOf(house, 'bench')
    const [before, sinceWhen] = [house.session('bench'), (await bench())?.boundAt]
    expect((await pages.request('/roster')).status).toBe(200)
    house.at('2026-03-03T15:00:10.000Z')
    const { status, json } = await act('sign-out', because('a phone was lost'))
    expect([status, json.isBound, json.sessionsSince]).toEqual([201, true, '2026-03-03T15:00:10.000Z'])
    expect((await bench())?.boundAt).toBe(sinceWhen)
    const old = pagesOf({ ...house, session: () => before }, 'bench')
    expect((await old.request('/roster')).status).toBe(303)
    house.at('2026-03-03T15:00:11.000Z')
    expect((await asksAsBench()).status).toBe(200)
  })

  test('by the gateway’s clock, which judges tokens, whatever the calendar of the house says', async () => {
    const gateway = (at: string) => ({ event: { requestContext: { timeEpoch: Date.parse(at) } } })
    const api = buildApi({
      table: house.table,
      clock: house.clock,
      claimsOf: () => claimsOf([demo, 'owner'], '2026-11-30T09:00:00.000Z' as never),
      tokens: tokenRules,
      openApi: async () => ({}),
      feedsUrl: 'https://api.example',
    })
    const init = { method: 'POST', body: JSON.stringify(because()) }
    const answer = await api.request('/v1/people/bench/sign-in/sign-out', init, gateway('2026-11-30T09:30:00Z'))
    expect(answer.status).toBe(201)
    expect((await bench())?.sessionsSince).toBe('2026-11-30T09:30:00.000Z')
    // an earlier moment lets nothing in again
    await act('sign-out')
    expect((await bench())?.sessionsSince).toBe('2026-11-30T09:30:00.000Z')
  })
})

describe('the page of a person’s entry', () => {
  const form = (fields: Record<string, string>) => ({ method: 'POST', body: new URLSearchParams(fields) })

  test('says how they sign in, and does both', async () => {
    const pages = pagesOf(house, 'owner')
    const entry = async () => (await pages.request('/registers/people/bench')).text()
    expect(await entry()).toContain('Bound to the account by which they signed in first')
    const asked = await (await pages.request('/registers/people/bench/sign-in/free')).text()
    expect(asked).toContain('Whoever signs in next by the address on their entry is bound to them')
    const way = '/registers/people/bench/sign-in'
    const sent = await pages.request(`${way}/free`, form({ factId: randomUUID(), '/reason': 'a new account' }))
    expect([sent.status, sent.headers.get('location')]).toEqual([303, `${way}/free?done=recorded`])
    expect(await (await pages.request(`${way}/free?done=recorded`)).text()).toContain('They can sign in anew')
    await pages.request(`${way}/sign-out`, form({ factId: randomUUID(), '/reason': 'a phone was lost' }))
    const after = await entry()
    for (const text of ['Not bound yet', 'had them bound to a new sign-in', 'a new account', 'a phone was lost'])
      expect(after).toContain(text)
    expect((await bench())?.subject).toBeUndefined()
  })

  test('offers neither to whoever may not enter them, and nobody their own freeing', async () => {
    const links = async (who: Who, id: string) =>
      [
        ...(await (await pagesOf(house, who).request(`/registers/people/${id}`)).text()).matchAll(
          /sign-in\/([\w-]+)"/g,
        ),
      ].map(([, way]) => way)
    expect(await links('manager', 'owner')).toEqual([])
    expect(await links('manager', 'manager')).toEqual(['sign-out'])
    expect(await links('manager', 'bench')).toEqual(['free', 'sign-out'])
    const tried = await pagesOf(house, 'manager').request(
      '/registers/people/owner/sign-in/free',
      form({ factId: randomUUID(), '/reason': 'mine' }),
    )
    expect(tried.status).toBe(403)
    expect((await pagesOf(house, 'bench').request('/registers/people/bench/sign-in/free')).status).toBe(403)
  })
})

test('another organisation’s people are not there', async () => {
  expect((await act('free', because(), { who: 'other owner' })).status).toBe(404)
  expect((await house.call('GET', '/v1/people/bench/sign-in', undefined, 'other owner')).status).toBe(404)
  expect((await bench())?.subject).toBe(hashOf(subjectFor([demo, 'bench'])))
})
