/** A foreman hands a fit stick over to another crew of the depot; nobody else of a crew does. */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { pagesOf } from '../support/pages.ts'
import { aCrew, aStick, aTest } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const ana = { name: 'Ana Ferro', email: 'ana@crew-one.example' }
let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse()
  await furnish(first)
  await first.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [{ ...ana, role: 'foreman' }] })
  await first.done('PUT', '/v1/crews/CR-3', { ...aCrew, name: 'Crew three', recipients: [] })
  await first.done('PUT', '/v1/sticks/S-2', { ...aStick, crewId: 'CR-2' })
  for (const id of ['S-1', 'S-2']) await first.done('POST', `/v1/sticks/${id}/bench-tests`, aTest({ at: '08:40' }))
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished)
})

const move = (to: unknown, at = '08:50') => ({ factId: randomUUID(), occurredOn: '2026-03-02', at, to })
const toCrew = (crewId: string) => move({ crewId })
const hand = (body: object, who: Who = 'crew', stick = 'S-1') =>
  house.call('POST', `/v1/sticks/${stick}/moves`, body, who)
const crewOf = async (stick: string) => (await house.call('GET', `/v1/sticks/${stick}`)).json.crewId

test('it is with the other crew from then on, and the foreman sees it no more', async () => {
  expect((await hand(toCrew('CR-3'))).status).toBe(201)
  expect(await crewOf('S-1')).toBe('CR-3')
  expect((await house.call('GET', '/v1/sticks/S-1', undefined, 'crew')).status).toBe(403)
})

test('sent again, it is answered by what stands, and nothing is written', async () => {
  const body = toCrew('CR-3')
  await hand(body)
  const before = house.table.items()
  const again = await hand(body)
  expect([again.status, again.json]).toEqual([200, { factId: body.factId, stickId: 'S-1', recorded: true }])
  expect((await hand({ ...body, to: { crewId: 'CR-1' } })).status).toBe(409)
  expect(house.table.items()).toEqual(before)
})

test('an id that is none is refused in words, whoever sends it', async () => {
  const body = { ...toCrew('CR-3'), factId: 'x'.repeat(3000) }
  expect((await hand(body, 'other crew')).status).toBe(403)
  expect((await hand(body)).status).toBe(422)
})

test.each([
  ['to a crew of another depot', toCrew('CR-2')],
  ['to a crew that is not there', toCrew('CR-9')],
  ['to the crew that has it', toCrew('CR-1')],
  ['to a store', move({ store: 'DEP-1' })],
  ['to the bench', move({ bench: 'DEP-1' })],
  ['to somebody outside', move({ lentTo: 'a neighbour', returnBy: '2026-04-01' })],
  ['to the scrap', move('scrapped')],
])('not %s', async (_, body) => {
  expect((await hand(body)).status).toBe(403)
  expect(house.table.items()).toEqual(furnished)
})

test('not by one of the crew who is no foreman, nor of a stick of another crew', async () => {
  await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [{ ...ana, role: 'crew' }] })
  const refused = await hand(toCrew('CR-3'))
  expect([refused.status, refused.text]).toEqual([403, expect.stringContaining('A foreman may hand a stick')])
  expect((await hand(toCrew('CR-3'), 'crew', 'S-2')).status).toBe(403)
  expect((await hand(toCrew('CR-3'), 'other crew')).status).toBe(403)
})

test.each([
  ['at the bench', { bench: 'DEP-1' }, 403],
  ['in a store', { store: 'DEP-1' }, 403],
  ['lent out', { lentTo: 'a neighbour', returnBy: '2026-04-01' }, 403],
  ['missing', 'missing', 403],
])('not of what is %s', async (_, to, status) => {
  await house.done('POST', '/v1/sticks/S-1/moves', move(to, '08:45'), 'bench')
  expect((await hand(toCrew('CR-3'))).status).toBe(status)
})

test('not of what must not be used: the reasons are told', async () => {
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', at: '08:45', kind: 'tingle' }
  await house.done('POST', '/v1/sticks/S-1/defects', tingle, 'crew')
  const { status, json } = await hand(toCrew('CR-3'))
  expect(status).toBe(409)
  expect(json.reasons.map(({ text }: { text: string }) => text).join(' ')).toContain('tingle')
})

test('is offered where it can be done, and nowhere else', async () => {
  const offers = async (path: string, who: Who = 'crew') =>
    (await (await pagesOf(house, who).request(path)).text()).includes('/sticks/S-1/hand-over')
  expect([await offers('/sticks/S-1'), await offers('/sticks/S-1/say')]).toEqual([true, true])
  expect(await offers('/sticks/S-1', 'bench')).toBe(false)
  await house.done('POST', '/v1/sticks/S-1/moves', move({ bench: 'DEP-1' }, '08:45'), 'bench')
  expect([await offers('/sticks/S-1'), await offers('/sticks/S-1/say')]).toEqual([false, false])
})
