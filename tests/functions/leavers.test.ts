/** Whoever has ended reads, writes, hears and confirms nothing; and a crew sees nobody's contacts but its own. */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { buildAnswers } from '../../functions/answers/answers.ts'
import { deliver } from '../../functions/deliver-notices/deliver-notices.ts'
import { tellOfUndelivered } from '../../functions/follow-up/undelivered.ts'
import { routes } from '../../functions/requests/routes.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { confirmationPath } from '../../functions/web/confirmation-link.ts'
import { aCrew, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse, owedOf } from './house.ts'

const ana = 'ana@crew-one.example'
const bo = 'bo@crew-one.example'
const mia = 'manager@demo-utility.example'
const manager = { name: 'Mia Okafor', email: mia, role: 'manager', depots: ['*'] }
const anaAsPerson = { name: 'Ana Ferro', email: ana, role: 'crew', depots: [], crewId: 'CR-1' }

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  await first.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-02-19') }), 'bench')
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-02T15:00:00.000Z')
})

const ends = (id: string, entry: object, until = '2026-03-01') =>
  house.done('PUT', `/v1/people/${id}`, { ...entry, until })
const tingle = () =>
  house.done(
    'POST',
    '/v1/sticks/S-1/defects',
    { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' },
    'bench',
  )
const noticesIn = () => house.table.items().filter((item) => item.entity === 'notice') as unknown as Notice[]
const noticeTo = (email: string) => noticesIn().find(({ to }) => to.email === email) as Notice

describe('whoever has ended', () => {
  test.each(routes.map(({ method, path }) => [method, path] as const))('is refused %s %s', async (method, path) => {
    await ends('manager', manager)
    const written = house.table.written()
    const { status, json } = await house.call(
      method,
      path.replaceAll(/:\w+/g, 'S-1'),
      method === 'GET' ? undefined : {},
      'manager',
    )
    expect([status, json.detail]).toEqual([
      401,
      'This person is no longer on the register of people: 2026-03-01 was the last day.',
    ])
    expect(house.table.written()).toBe(written)
  })

  test('may all through the last day, by the day of UTC, and nothing from then on', async () => {
    await ends('manager', manager, '2026-03-04')
    const reads = async () => (await house.call('GET', '/v1/sticks/S-1', undefined, 'manager')).status
    house.at('2026-03-04T23:59:59.000Z')
    expect(await reads()).toBe(200)
    house.at('2026-03-05T00:00:00.000Z')
    expect(await reads()).toBe(401)
  })

  test('may again once another edition says so', async () => {
    await ends('manager', manager)
    await house.done('PUT', '/v1/people/manager', manager)
    expect((await house.call('GET', '/v1/sticks/S-1', undefined, 'manager')).status).toBe(200)
  })

  test('and was an owner has ended too', async () => {
    await house.done('PUT', '/v1/people/olu', { ...manager, email: 'olu@demo-utility.example', role: 'owner' })
    await ends('owner', { ...manager, email: 'own@demo-utility.example', role: 'owner' })
    expect((await house.call('GET', '/v1/people')).status).toBe(401)
  })

  test('is told of no hold, no digest and no report on an unknown number', async () => {
    await ends('manager', manager)
    await tingle()
    expect(owedOf(house)).toEqual([`hold ${ana}`, `hold ${bo}`, 'hold manager-2@demo-utility.example'])
    const report = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
    await house.done('POST', '/v1/sticks/NOT-THERE/defects', report, 'crew')
    house = openHouse(furnished, '2028-02-21T15:00:00.000Z')
    await ends('manager', manager, '2028-02-01')
    await sweep(house.table, house.clock)
    expect(owedOf(house).join()).toContain('digest manager-2@')
    expect(owedOf(house).join()).not.toContain(mia)
  })

  test('is not sent what was owed before: it goes to the next person, and the managers hear why', async () => {
    await tingle()
    await ends('crew', anaAsPerson)
    const sent: string[] = []
    const mailer = {
      send: async ({ to }: Notice) => `ses-${sent.push(to.email)}`,
      quota: async () => ({ mostPerSecond: 10, mostADay: null, sentADay: 0 }),
    }
    const pace = { hasRoomForOthers: async () => true, turn: async () => true, backOff: async () => false }
    for (const notice of noticesIn()) await deliver({ table: house.table, mailer, clock: house.clock, pace }, notice)
    expect(sent.sort()).toEqual([bo, 'manager-2@demo-utility.example', mia])
    expect(noticeTo(ana)).toMatchObject({ state: 'not delivered', undeliveredWhy: 'left' })
    await tellOfUndelivered(house.table, house.clock())
    const told = noticesIn().filter(({ missed }) => missed?.email === ana)
    expect(told.map(({ to, missed }) => [to.email, missed?.why])).toContainEqual([mia, 'left'])
    expect(
      noticesIn()
        .filter(({ passedOnFor }) => passedOnFor?.includes('Ana Ferro'))
        .map(({ to }) => to.email),
    ).toEqual([bo])
  })

  test('and whose address another person has by now leaves that one told', async () => {
    await tingle()
    await ends('crew', anaAsPerson)
    await house.done('PUT', '/v1/people/ana-2', {
      ...anaAsPerson,
      name: 'Ana Lima',
      email: ana.toUpperCase().replace('CREW-ONE.EXAMPLE', 'crew-one.example'),
    })
    expect(await house.organisation().hasLeft(ana, house.clock())).toBe(false)
    await ends('ana-2', { ...anaAsPerson, name: 'Ana Lima' })
    expect(await house.organisation().hasLeft(ana, house.clock())).toBe(true)
    expect(await house.organisation().hasLeft('nobody@crew-one.example', house.clock())).toBe(false)
  })

  test('confirms nothing: the link in the mail is no longer good, and others are asked', async () => {
    await tingle()
    const answers = (email: string, method: string) =>
      buildAnswers({ table: house.table, clock: house.clock }).request(confirmationPath(noticeTo(email)) ?? '', {
        method,
      })
    expect((await answers(ana, 'GET')).status).toBe(200)
    await ends('crew', anaAsPerson)
    for (const method of ['GET', 'POST']) {
      const answer = await answers(ana, method)
      expect([answer.status, await answer.text()]).toEqual([403, expect.stringContaining('no longer on the register')])
    }
    expect(noticeTo(ana).answeredAt).toBeUndefined()
    expect((await answers(bo, 'POST')).status).toBe(200)
  })

  test('and made a feed is shown as its maker; the feed is the crew’s and stays', async () => {
    const { feedId } = (await house.done('POST', '/v1/crews/CR-1/feeds', undefined, 'crew')).json
    await ends('crew', anaAsPerson)
    const { items } = (await house.done('GET', '/v1/crews/CR-1/feeds')).json
    expect(items).toMatchObject([{ feedId, madeBy: 'crew', makerLeft: true, revokedAt: null }])
  })
})

describe('a crew', () => {
  const read = async (path: string, who: 'crew' | 'other crew' | 'crew of none' | 'bench' = 'crew') =>
    (await house.call('GET', `/v1/${path}`, undefined, who)).json
  const cy = { name: 'Cy Dahl', email: 'cy@crew-two.example', role: 'foreman' }
  beforeEach(() =>
    house.done('PUT', '/v1/people/crew-of-none', { ...anaAsPerson, email: 'noa@crew-none.example', crewId: undefined }),
  )

  test('reads the contacts of its own people, and of others name and depot', async () => {
    const other = { id: 'CR-2', name: 'Crew two', depotId: 'DEP-2' }
    expect(await read('crews/CR-1')).toMatchObject({ recipients: aCrew.recipients })
    const { items } = await read('crews')
    expect(items[0]).toMatchObject({ id: 'CR-1', recipients: aCrew.recipients })
    for (const seen of [items[1], await read('crews/CR-2')]) {
      expect(seen).toMatchObject(other)
      expect(seen).not.toHaveProperty('recipients')
    }
    expect(JSON.stringify(await read('crews', 'crew of none'))).not.toMatch(/@|recipients/)
    expect((await read('crews/CR-2', 'bench')).recipients).toEqual([cy])
  })

  test('sees in the notices its own sticks, and no address but its own', async () => {
    // both crews of one depot hear of theirs in the managers' one digest
    await house.done('PUT', '/v1/crews/CR-2', { name: 'Crew two', depotId: 'DEP-1', recipients: [cy] })
    await house.done('PUT', '/v1/sticks/S-2', { ...aStick, crewId: 'CR-2' })
    await house.done('POST', '/v1/sticks/S-2/bench-tests', aTest({ testedOn: day('2026-02-19') }), 'bench')
    const kai = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'crew' }
    const lia = { name: 'Lia Norr', phone: '+1 555 0200', role: 'crew' }
    await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, kai] })
    await house.done('PUT', '/v1/crews/CR-2', { name: 'Crew two', depotId: 'DEP-1', recipients: [cy, lia] })
    house.at('2028-02-20T15:00:00.000Z')
    await sweep(house.table, house.clock)
    house.table.settled()
    const digests = noticesIn().filter(({ to }) => to.email === mia)
    expect(digests[0]?.lines.map(({ stickId }) => stickId).sort()).toEqual(['S-1', 'S-2'])
    const { items } = await read('notices?limit=100')
    expect(items.length).toBeGreaterThan(2)
    for (const one of items) expect(one.sticks).toEqual(['S-1'])
    const shown = JSON.stringify(items)
    expect(shown).not.toMatch(/demo-utility\.example|crew-two|0200|Lia/)
    expect(shown).toContain(ana)
    expect(items.find(({ to }: { to: { role: string } }) => to.role === 'manager')).toMatchObject({
      to: { name: 'Mia Okafor', email: null },
    })
    for (const asked of [`to=${mia}`, 'person=manager'])
      expect(await read(`notices?${asked}`)).toEqual({ items: [], next: null })
    expect((await read(`notices?to=${bo}`)).items.length).toBe(1)
    expect((await read('notices?person=crew')).items.length).toBe(1)
    expect(JSON.stringify(await read('notices', 'bench'))).toContain(mia)
  })

  test('sees whole what went to its reader’s own mailbox', async () => {
    await tingle()
    await house.done('PUT', '/v1/people/crew-of-none', { ...anaAsPerson, email: bo, crewId: undefined })
    const { items } = await read('notices?person=crew-of-none', 'crew of none')
    expect(items.map(({ to }: { to: { email: string } }) => to.email)).toEqual([bo])
  })
})
