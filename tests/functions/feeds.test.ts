import { createHash, randomUUID } from 'node:crypto'
import ICAL from 'ical.js'
import { beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { buildFeed } from '../../functions/feed/feed.ts'
import type { Item } from '../../functions/store/table.ts'
import { aCrew, aDepot, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

let furnished: readonly Item[]
beforeAll(async () => {
  const house = openHouse()
  await furnish(house)
  await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest(), 'bench')
  furnished = house.table.items()
})

let house: House
let door: ReturnType<typeof buildFeed>
let logged: string[]
beforeEach(() => {
  house = openHouse(furnished)
  door = buildFeed({ table: house.table, clock: house.clock, from: 'notices@quarterturn.example' })
  logged = []
  for (const level of ['info', 'error'] as const) {
    vi.spyOn(console, level).mockImplementation((text) => {
      logged.push(String(text))
    })
  }
})

interface Made {
  readonly feedId: string
  readonly url: string
}

const make = async (who: Who = 'manager', crew = 'CR-1'): Promise<Made> =>
  (await house.done('POST', `/v1/crews/${crew}/feeds`, undefined, who)).json
const listed = async (who: Who = 'manager') =>
  (await house.done('GET', '/v1/crews/CR-1/feeds', undefined, who)).json.items
const revoke = (feedId: string, who: Who = 'manager', crew = 'CR-1') =>
  house.call('POST', `/v1/crews/${crew}/feeds/${feedId}/revoke`, undefined, who)

const fetched = (url: string, method = 'GET') => door.request(new URL(url).pathname, { method })

async function shown(url: string) {
  const answer = await fetched(url)
  expect(answer.status).toBe(200)
  const calendar = new ICAL.Component(ICAL.parse(await answer.text()))
  return calendar.getAllSubcomponents('vevent').map((one) => {
    const { startDate, sequence, summary, uid, description } = new ICAL.Event(one)
    return { on: startDate.toString(), sequence, summary, uid, description }
  })
}

describe('a feed is made', () => {
  test('with an address of 256 bits of chance, told once and kept only as a hash', async () => {
    const { url, feedId } = await make()
    const [, secret = ''] = /^https:\/\/api\.example\/feeds\/([\w-]{43})\.ics$/.exec(url) ?? []
    expect(Buffer.from(secret, 'base64url')).toHaveLength(32)
    const kept = JSON.stringify(house.table.items())
    expect(kept).not.toContain(secret)
    expect(kept).toContain(createHash('sha256').update(secret).digest('hex'))
    expect(JSON.stringify(await listed())).not.toContain(secret)
    expect(feedId).not.toContain(secret)
    expect((await make()).url).not.toBe(url)
  })

  test('the list says when, by whom and until when, the oldest first', async () => {
    const first = await make('crew')
    house.at('2026-03-03T15:00:00.000Z')
    const second = await make()
    await revoke(first.feedId)
    expect(await listed()).toEqual([
      {
        feedId: first.feedId,
        crewId: 'CR-1',
        madeAt: '2026-03-02T15:00:00.000Z',
        madeBy: 'crew',
        revokedAt: '2026-03-03T15:00:00.000Z',
        revokedBy: 'manager',
        makerLeft: false,
      },
      {
        feedId: second.feedId,
        crewId: 'CR-1',
        madeAt: '2026-03-03T15:00:00.000Z',
        madeBy: 'manager',
        revokedAt: null,
        revokedBy: null,
        makerLeft: false,
      },
    ])
  })

  test('by the crew itself, by those in charge of its depot, and by nobody else', async () => {
    const { feedId } = await make()
    for (const who of ['crew', 'manager', 'owner'] as const) await make(who)
    for (const who of ['other crew', 'south manager', 'bench'] as const) {
      const written = house.table.written()
      expect((await house.call('POST', '/v1/crews/CR-1/feeds', undefined, who)).status).toBe(403)
      expect((await house.call('GET', '/v1/crews/CR-1/feeds', undefined, who)).status).toBe(403)
      expect((await revoke(feedId, who)).status).toBe(403)
      expect(house.table.written()).toBe(written)
    }
  })

  test('for a crew that there is', async () => {
    expect((await house.call('POST', '/v1/crews/CR-77/feeds')).status).toBe(404)
    expect((await house.call('GET', '/v1/crews/CR-77/feeds')).status).toBe(404)
  })

  test('while the crew has fewer than fifty in use; the refusal says what to do', async () => {
    const made = []
    for (let i = 0; i < 50; i++) made.push(await make())
    const { status, json } = await house.call('POST', '/v1/crews/CR-1/feeds')
    expect([status, json.reasons[0].code]).toEqual([409, 'too-many-feeds'])
    expect(json.reasons[0].text).toContain('Revoke one')
    await revoke(made[7]?.feedId ?? '')
    await make()
  })
})

describe('what a feed shows', () => {
  test('every stick of its crew with a date, each on its due date', async () => {
    await house.done('PUT', '/v1/sticks/S-2', aStick)
    await house.done('PUT', '/v1/sticks/S-3', aStick)
    await house.done('POST', '/v1/sticks/S-3/bench-tests', aTest({ testedOn: day('2024-03-05') }), 'bench')
    await house.done('PUT', '/v1/sticks/S-4', { ...aStick, crewId: 'CR-2' })
    await house.done('POST', '/v1/sticks/S-4/bench-tests', aTest(), 'bench')
    const entries = await shown((await make()).url)
    // S-2 was never tested and has no date; S-4 is another crew's
    expect(entries.map(({ on, summary }) => [on, summary])).toEqual([
      ['2026-03-05', 'Stick S-3: bring it to the bench (due soon)'],
      ['2028-03-02', 'Stick S-1: bring it to the bench (in service)'],
    ])
    expect(entries[1]?.description).toContain('Bring to: North yard.')
    expect(entries[1]?.description).toContain('Known on 2 March 2026.')
  })

  test('a date that moves keeps its identifier and raises its sequence, wherever it moves', async () => {
    const { url } = await make()
    const seen = [await shown(url)]
    const next = async (what: () => Promise<unknown>) => {
      await what()
      seen.push(await shown(url))
    }
    const rules = { packs: ['us-29-cfr-1910-269-j'] }
    const shorten = { requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 12 }, source: 'Safety manual 4.2' }
    house.at('2026-05-04T15:00:00.000Z')
    await next(() => house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-05-04') }), 'bench'))
    await next(() => house.done('PUT', '/v1/policies/employer', { ...rules, shorten: [shorten] }))
    await next(() => house.done('PUT', '/v1/policies/employer', { ...rules, effectiveFrom: '2026-05-04' }))
    expect(seen.map((entries) => entries.map(({ on }) => on))).toEqual([
      ['2028-03-02'],
      ['2028-05-04'],
      ['2027-05-04'],
      ['2028-05-04'],
    ])
    const sequences = seen.map(([one]) => one?.sequence ?? 0)
    expect(sequences).toEqual([...new Set(sequences)].sort((a, b) => a - b))
    expect(new Set(seen.map(([one]) => one?.uid)).size).toBe(1)
  })

  test('looked at again after nothing happened it has the same sequence', async () => {
    const { url } = await make()
    const first = await shown(url)
    house.at('2026-03-02T20:00:00.000Z')
    expect(await shown(url)).toEqual(first)
  })

  test('the rules as they are in force now, before any list follows them', async () => {
    const { url } = await make()
    await house.done('PUT', '/v1/policies/employer', {
      packs: ['us-29-cfr-1910-269-j'],
      shorten: [{ requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 6 }, source: 'Safety manual 4.2' }],
    })
    expect((await shown(url)).map(({ on }) => on)).toEqual(['2026-09-02'])
  })

  test('no stick that must not be used for another reason than its age', async () => {
    const { url } = await make()
    const defect = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle', note: '' }
    await house.done('POST', '/v1/sticks/S-1/defects', defect, 'crew')
    expect(await shown(url)).toEqual([])
  })

  test('an overdue stick, with the warning first', async () => {
    const { url } = await make()
    house.at('2028-03-03T15:00:00.000Z')
    expect((await shown(url)).map(({ on, summary }) => [on, summary])).toEqual([
      ['2028-03-02', 'Stick S-1: do not use it, bring it to the bench (overdue)'],
    ])
  })

  test('of a crew without sticks an empty calendar with its name', async () => {
    const { url } = await make('manager', 'CR-2')
    expect(await shown(url)).toEqual([])
    expect(await (await fetched(url)).text()).toContain('\r\nX-WR-CALNAME:Sticks of Crew two\r\n')
  })

  test('all of a crew that carries more than one page of a list', async () => {
    const [one] = house.table.items().filter((item) => item.entity === 'stick')
    const copies = Array.from({ length: 300 }, (_, i) => {
      const text = JSON.stringify(one)
        .replaceAll('S-1"', `C-${1000 + i}"`)
        .replaceAll('#S-1', `#C-${1000 + i}`)
      return JSON.parse(text) as Item
    })
    const many = openHouse([...house.table.items(), ...copies])
    many.table.trouble({ pageOf: 40 })
    door = buildFeed({ table: many.table, clock: many.clock, from: 'notices@quarterturn.example' })
    const { url } = await make()
    const pointers = house.table.items().filter((item) => String(item.entity).startsWith('feed'))
    await many.table.transact(pointers.map((item) => many.table.put(item)))
    expect(await shown(url)).toHaveLength(301)
  })
})

describe('who comes to the door', () => {
  test('is answered so that nothing on the way keeps it or tells its address on', async () => {
    const { headers } = await fetched((await make()).url)
    expect(Object.fromEntries(headers)).toEqual({
      'content-type': 'text/calendar; charset=utf-8; method=PUBLISH',
      'content-disposition': 'inline; filename="due-dates.ics"',
      'cache-control': 'private, no-store',
      'referrer-policy': 'no-referrer',
      'x-content-type-options': 'nosniff',
      'x-robots-tag': 'noindex',
    })
  })

  test.each(['GET', 'HEAD'])('changes nothing by %s', async (method) => {
    const { url } = await make()
    const written = house.table.written()
    const answer = await fetched(url, method)
    expect([answer.status, (await answer.text()) === '']).toEqual([200, method === 'HEAD'])
    expect(house.table.written()).toBe(written)
  })

  test.each(['POST', 'PUT', 'DELETE'])('finds nothing by %s', async (method) => {
    expect((await fetched((await make()).url, method)).status).toBe(404)
  })

  test('with a revoked address finds nothing, as with one that never was', async () => {
    const { url, feedId } = await make()
    const other = await make()
    await revoke(feedId)
    const revoked = await fetched(url)
    const never = await fetched(url.replace(/.\.ics$/, '~.ics'))
    expect([revoked.status, never.status]).toEqual([404, 404])
    expect(await revoked.text()).toBe(await never.text())
    expect(revoked.headers.get('content-type')).toBe('application/problem+json')
    expect(revoked.headers.get('cache-control')).toBe('private, no-store')
    expect((await fetched(other.url)).status).toBe(200)
  })

  test('with an address changed in any letter, cut short or made longer finds nothing', async () => {
    const { pathname } = new URL((await make()).url)
    const secret = pathname.slice('/feeds/'.length, -'.ics'.length)
    const other = (letter: string) => (letter === 'A' ? 'B' : 'A')
    const changed = [...secret].map((letter, i) => secret.slice(0, i) + other(letter) + secret.slice(i + 1))
    for (const wrong of [
      ...changed,
      secret.slice(1),
      `${secret}A`,
      secret.toLowerCase(),
      '',
      ' ',
      '..',
      '%00',
      'ORG%23demo-utility',
    ])
      expect([wrong, (await door.request(`/feeds/${wrong}.ics`)).status]).toEqual([wrong, 404])
    for (const path of [`/feeds/${secret}`, `/feeds/${secret}.ICS`, `/feeds/${secret}.ics/x`, '/feeds/', '/'])
      expect([path, (await door.request(path)).status]).toEqual([path, 404])
  })

  test('in vain leaves a line in the log, and never the address', async () => {
    const { url, feedId } = await make()
    await revoke(feedId)
    await fetched(url)
    await fetched(url.replace(/.\.ics$/, 'A.ics').replace(/\/feeds\/./, '/feeds/A'))
    expect(logged.map((text) => JSON.parse(text))).toEqual([
      { level: 'info', event: 'feed asked for that is revoked', feedId },
      { level: 'info', event: 'feed asked for by an address that never was one' },
    ])
    for (const text of logged) expect(text).not.toContain(url.slice(30, 60))
  })

  test('of another organisation has a feed of its own, though all names are the same', async () => {
    await house.done('PUT', '/v1/depots/DEP-1', aDepot, 'other owner')
    await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, name: 'Theirs' }, 'other owner')
    const { url, feedId } = await make('other manager')
    expect(await shown(url)).toEqual([])
    expect(await (await fetched(url)).text()).toContain('Sticks of Theirs')
    expect(await listed()).toEqual([])
    expect((await revoke(feedId)).status).toBe(404)
  })

  test('while the table is away hears of a failure and of nothing else', async () => {
    const { url } = await make()
    const away = { ...house.table, page: () => Promise.reject(new Error('away')) }
    door = buildFeed({ table: away, clock: house.clock, from: 'notices@quarterturn.example' })
    const answer = await fetched(url)
    expect([answer.status, await answer.json()]).toEqual([
      500,
      { type: 'about:blank', title: 'Something failed on our side', status: 500 },
    ])
    expect(logged.join()).toContain('feed failed')
    expect(logged.join()).not.toContain(url.slice(30, 60))
  })
})

describe('revoking', () => {
  test('again changes nothing: the first stands', async () => {
    const { feedId } = await make()
    const first = await revoke(feedId, 'crew')
    house.at('2026-03-09T15:00:00.000Z')
    const written = house.table.written()
    expect(await revoke(feedId)).toEqual(first)
    expect(house.table.written()).toBe(written)
    expect(first.json).toMatchObject({ revokedAt: '2026-03-02T15:00:00.000Z', revokedBy: 'crew' })
  })

  test('by two at once is one revoking, and both hear the same', async () => {
    const { feedId } = await make()
    const both = await Promise.all([revoke(feedId, 'crew'), revoke(feedId, 'manager')])
    expect(both.map(({ status }) => status)).toEqual([200, 200])
    expect(both[0]?.json).toEqual(both[1]?.json)
  })

  test('what is no feed of this crew is not found', async () => {
    const { feedId } = await make('manager', 'CR-2')
    for (const wrong of [feedId, randomUUID(), 'x', '%23', '..%2F'])
      expect([wrong, (await revoke(wrong)).status]).toEqual([wrong, 404])
    expect((await revoke(feedId, 'manager', 'CR-2')).status).toBe(200)
  })
})
