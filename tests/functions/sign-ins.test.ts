/**
 * Who somebody is that signs in: found once by their address, and from then on known by the provider's subject alone.
 */
import fc from 'fast-check'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { buildApi } from '../../functions/api/api.ts'
import { enterFirstOwner } from '../../functions/first-owner/first-owner.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import {
  bind,
  type ProviderSubject,
  setFree,
  signInOf,
  signOutEverywhere,
  whoIs,
} from '../../functions/store/sign-ins.ts'
import type { Item } from '../../functions/store/table.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { fakeTable } from '../support/fake-table.ts'
import { claimsOf, subjectFor, tokenRules } from '../support/sign-in.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

const issuer = 'https://login.utility.example'
const subject = (sub: string, of = issuer): ProviderSubject => ({ issuer: of, sub })
const email = 'nora@demo-utility.example'
const nora = { name: 'Nora Lund', email, role: 'bench', depots: ['*'] }

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse()
  await furnish(first)
  await first.done('PUT', '/v1/people/nora', nora)
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-03T15:00:00.000Z')
})

const arrives = (sub: string, address: string | null = email) =>
  bind(house.table, { subject: subject(sub), email: address, now: house.clock() })
const whyNot = async (...who: Parameters<typeof arrives>) => {
  const written = house.table.written()
  const binding = await arrives(...who)
  expect(house.table.written()).toBe(written)
  return binding.outcome === 'refused' ? binding.why : binding.outcome
}

describe('the first sign-in', () => {
  test.each(['2f1c9a4e-0000-4000-8000-000000000001', 'auth|64f1', email, 'aXNz_', 'ünï', ' ', '#', 'x'.repeat(2000)])(
    'binds a subject of whatever letters: %j',
    async (sub) => {
      expect(await arrives(sub)).toMatchObject({ outcome: 'bound', organisation: demo, personId: 'nora' })
      expect(await whoIs(house.table, subject(sub))).toMatchObject({ organisation: demo, personId: 'nora' })
    },
  )

  test('finds the address however its letters are written', async () => {
    expect(await arrives('a', 'NORA@Demo-Utility.example')).toMatchObject({ outcome: 'bound', personId: 'nora' })
  })

  test('counts once: from then on the subject is known, whatever the address', async () => {
    await arrives('a')
    expect(await arrives('a', 'manager@demo-utility.example')).toMatchObject({ personId: 'nora' })
    expect(await arrives('a', null)).toMatchObject({ personId: 'nora' })
    await house.done('PUT', '/v1/people/nora', { ...nora, email: 'nora.lund@demo-utility.example' })
    expect(await arrives('a')).toMatchObject({ outcome: 'bound', personId: 'nora' })
  })

  test('of the same subject at another provider is another sign-in', async () => {
    await arrives('a')
    expect(await whoIs(house.table, subject('a', 'https://other.example'))).toBeUndefined()
    const other = await bind(house.table, {
      subject: subject('a', 'https://other.example'),
      email,
      now: house.clock(),
    })
    expect(other).toEqual({ outcome: 'refused', why: 'bound to another sign-in' })
  })

  test('is refused with its reason, and writes nothing', async () => {
    expect(await whyNot('a', null)).toBe('address not verified')
    expect(await whyNot('a', 'nobody@demo-utility.example')).toBe('nobody has the address')
    await house.done('PUT', '/v1/people/nils', { ...nora, email: 'nils@demo-utility.example', until: '2026-03-02' })
    expect(await whyNot('a', 'nils@demo-utility.example')).toBe('ended')
    const later = { ...nora, email: 'ode@demo-utility.example', effectiveFrom: '2026-04-01' }
    await house.done('PUT', '/v1/people/ode', later)
    expect(await whyNot('a', 'ode@demo-utility.example')).toBe('not begun')
    await house.done('PUT', '/v1/people/nora-2', nora)
    expect(await whyNot('a')).toBe('several have the address')
    await house.done('PUT', '/v1/people/nora-2', { ...nora, until: '2026-03-02' })
    expect(await arrives('a')).toMatchObject({ personId: 'nora' })
    expect(await whyNot('b')).toBe('bound to another sign-in')
  })

  test('is possible anew once somebody was set free, for the same subject and for another', async () => {
    await arrives('a')
    const organisation = house.organisation()
    await setFree(organisation, 'nora')
    expect((await signInOf(organisation, 'nora'))?.subject).toBeUndefined()
    expect(await arrives('b')).toMatchObject({ personId: 'nora' })
    expect(await whyNot('a')).toBe('bound to another sign-in')
    house.at('2026-03-03T16:00:00.000Z')
    await setFree(house.organisation(), 'nora')
    expect(await arrives('a')).toMatchObject({ personId: 'nora' })
  })

  test('of one person by two at one moment, or of one subject as two: exactly one is bound', async () => {
    const others = ['ann', 'ben', 'cleo']
    const first = openHouse(furnished)
    for (const id of others)
      await first.done('PUT', `/v1/people/${id}`, { ...nora, email: `${id}@demo-utility.example` })
    const kept = first.table.items()
    const ids = ['nora', ...others]
    const arrival = fc.record({ sub: fc.constantFrom('a', 'b', 'c'), person: fc.constantFrom(...ids) })
    await fc.assert(
      fc.asyncProperty(fc.array(arrival, { minLength: 2, maxLength: 6 }), async (arrivals) => {
        const table = fakeTable(kept)
        const now = first.clock()
        const all = await Promise.all(
          arrivals.map(({ sub, person }) =>
            bind(table, { subject: subject(sub), email: `${person}@demo-utility.example`, now }),
          ),
        )
        const organisation = openOrganisation(table, demo)
        const bound = await Promise.all(
          ids.map(async (id) => [id, (await signInOf(organisation, id))?.subject] as const),
        )
        const subjects = bound.flatMap(([, one]) => one ?? [])
        expect(new Set(subjects).size).toBe(subjects.length)
        expect(subjects.length).toBeGreaterThan(0)
        // whoever was told that they are bound is, and both sides say so
        for (const [i, one] of all.entries()) {
          if (one.outcome !== 'bound') continue
          const known = await whoIs(table, subject(arrivals[i]?.sub ?? ''))
          expect(known?.personId).toBe(one.personId)
          expect((await signInOf(organisation, one.personId))?.subject).toBe(known?.subject)
        }
      }),
      { numRuns: 60 },
    )
  })
})

describe('a token', () => {
  const who = [demo, 'manager'] as const
  const at = '2026-03-03T15:00:00.000Z' as Instant

  async function asked(claims: unknown, now = at) {
    const api = buildApi({
      table: house.table,
      clock: () => now,
      claimsOf: () => claims,
      tokens: tokenRules,
      openApi: async () => ({}),
      feedsUrl: 'https://api.example',
    })
    const answer = await api.request('/v1/people')
    return { status: answer.status, type: answer.headers.get('content-type'), body: (await answer.json()) as object }
  }

  test('of ours is taken', async () => {
    expect((await asked(claimsOf(who, at))).status).toBe(200)
  })

  const good = claimsOf(who, at)
  test.each<[string, unknown]>([
    ['none', undefined],
    ['about the person', { ...good, token_use: 'id' }],
    ['of no use', { ...good, token_use: undefined }],
    ['of another client', { ...good, client_id: 'another' }],
    ['of no client', { ...good, client_id: undefined }],
    ['without the scope', { ...good, scope: 'openid email' }],
    ['with a scope that only begins like ours', { ...good, scope: 'quarterturn/api-of-others' }],
    ['without a subject', { ...good, sub: '' }],
    ['whose subject is no text', { ...good, sub: 7 }],
    ['without an issuer', { ...good, iss: undefined }],
    ['of no time', { ...good, iat: undefined }],
    ['of a time past all years', { ...good, iat: '1e300' }],
  ])('%s: 401, as problem details', async (_, claims) => {
    expect(await asked(claims)).toMatchObject({ status: 401, type: 'application/problem+json', body: { status: 401 } })
  })

  test('whose claims name an organisation or a role says nothing by them', async () => {
    const claims = { ...claimsOf([demo, 'crew'], at), organisation: 'other-utility', role: 'owner' }
    expect((await asked(claims)).status).toBe(403)
  })

  test('of a client or a scope in a list is read as the gateway hands lists on', async () => {
    expect((await asked({ ...good, client_id: '[other pages]', scope: '[openid quarterturn/api]' })).status).toBe(200)
  })

  test('of nobody whom we know: 403, with what to do', async () => {
    const unknown = await asked({ ...good, sub: 'somebody else' })
    expect([unknown.status, unknown.type]).toEqual([403, 'application/problem+json'])
    expect(JSON.stringify(unknown.body)).toContain('Sign in once on a page')
  })

  test('of somebody who was set free: 403, the same', async () => {
    await setFree(house.organisation(), 'manager')
    expect((await asked(good)).status).toBe(403)
  })

  test('from before its person signed out everywhere: 401; one from after it: 200', async () => {
    const out = '2026-03-03T15:30:00.000Z' as Instant
    await signOutEverywhere(house.organisation(), 'manager', out)
    expect(await asked(good, out)).toMatchObject({ status: 401, type: 'application/problem+json' })
    expect((await asked(claimsOf(who, '2026-03-03T15:30:01.000Z' as Instant), out)).status).toBe(200)
    // an earlier sign-out that comes late takes nothing back
    await signOutEverywhere(house.organisation(), 'manager', at)
    expect((await asked(good, out)).status).toBe(401)
    expect((await asked(claimsOf([demo, 'manager-2'], at), out)).status).toBe(200)
  })
})

describe('an address', () => {
  const theirs = { name: 'Tove Berg', email, role: 'bench', depots: ['*'] }
  const put = (who: 'owner' | 'other owner', body: object, id = 'tove') =>
    house.call('PUT', `/v1/people/${id}`, body, who)

  test('of another organisation is refused, in words that tell nothing of it', async () => {
    const written = house.table.written()
    const { status, text, json } = await put('other owner', { ...theirs, email: 'NORA@demo-utility.example' })
    expect([status, json.errors[0].pointer]).toEqual([422, '/email'])
    expect(text).not.toMatch(/organi[sz]ation|taken|demo-utility(?!\.example)/i)
    expect(house.table.written()).toBe(written)
  })

  test('may be had by two of one organisation', async () => {
    expect((await put('owner', nora, 'nora-2')).status).toBe(201)
  })

  test('is taken over once nobody there has it, today or on a day to come', async () => {
    await house.done('PUT', '/v1/people/nora', { ...nora, until: '2026-03-05' })
    expect((await put('other owner', theirs)).status).toBe(422)
    house.at('2026-03-06T15:00:00.000Z')
    expect((await put('other owner', theirs)).status).toBe(201)
    expect((await put('owner', nora, 'nora')).status).toBe(422)
    expect(await bind(house.table, { subject: subject('t'), email, now: house.clock() })).toMatchObject({
      organisation: 'other-utility',
      personId: 'tove',
    })
  })

  test('is not taken over from somebody who is to begin', async () => {
    await house.done('PUT', '/v1/people/nora', { ...nora, email: 'lund@demo-utility.example' })
    await house.done('PUT', '/v1/people/nora', { ...nora, effectiveFrom: '2026-04-01' })
    expect((await put('other owner', theirs)).status).toBe(422)
  })

  test('that two organisations enter at one moment is one’s', async () => {
    const free = 'free@neutral.example'
    const both = await Promise.all([
      put('owner', { ...nora, email: free }, 'new'),
      put('other owner', { ...theirs, email: free }),
    ])
    expect(both.map(({ status }) => status).sort()).toEqual([201, 422])
  })
})

describe('the first owner', () => {
  const at = '2026-03-03T15:00:00.000Z' as Instant
  const one = { organisation: 'new-utility', name: 'Nils Orr', email: 'nils@new-utility.example' }

  test('is entered once, owns every depot, and signs in', async () => {
    expect(await enterFirstOwner(house.table, one, at)).toBe('entered')
    expect(await enterFirstOwner(house.table, { ...one, email: 'other@new-utility.example' }, at)).toBe(
      'there are people already',
    )
    const [entry] = await openOrganisation(house.table, 'new-utility').entriesOfPeople(at)
    expect(entry?.body).toEqual({ name: one.name, email: one.email, role: 'owner', depots: ['*'] })
    expect(await bind(house.table, { subject: subject('n'), email: one.email, now: at })).toMatchObject({
      organisation: 'new-utility',
      personId: entry?.id,
    })
  })

  test('has an address of their own organisation', async () => {
    expect(await enterFirstOwner(house.table, { ...one, email }, at)).toBe('the address is another organisation’s')
  })

  test('of two who are entered at one moment is one', async () => {
    const both = await Promise.all(
      ['a@new-utility.example', 'b@new-utility.example'].map((address) =>
        enterFirstOwner(house.table, { ...one, email: address }, at),
      ),
    )
    expect(both.sort()).toEqual(['entered', 'there are people already'])
  })
})

test('a person of the house signs in by the subject that the house bound', async () => {
  expect(await whoIs(house.table, subjectFor([demo, 'bench']))).toMatchObject({ personId: 'bench' })
})
