/** More notices than one transaction takes: all of them go out, each once, wherever the recording breaks off. */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { writeStillOwed } from '../../functions/follow-up/still-owed.ts'
import type { Item } from '../../functions/store/table.ts'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { aCrew } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

const crewOf = (size: number) =>
  Array.from({ length: size }, (_, i) => ({ name: `Hand ${i}`, email: `hand-${i}@crew-one.example`, role: 'crew' }))
const addresses = (size: number) => crewOf(size).map(({ email }) => email)
/** The most that a crew may have, and of managers as many as it takes. */
const hands = 40
const managers = 230

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse()
  await furnish(first)
  await first.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: crewOf(hands) })
  for (let i = 0; i < managers; i++) {
    const email = `boss-${i}@demo-utility.example`
    await first.done('PUT', `/v1/people/boss-${i}`, { name: `Boss ${i}`, email, role: 'manager', depots: ['*'] })
  }
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished)
  vi.spyOn(console, 'error').mockImplementation(() => undefined)
})

const report = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
const reports = (stickId = 'S-1') => house.call('POST', `/v1/sticks/${stickId}/defects`, report, 'crew')
const told = () =>
  house.table
    .items()
    .filter(({ entity }) => entity === 'notice')
    .map(({ to }) => (to as { email: string }).email)
const everybody = () => [
  ...addresses(hands),
  ...furnished
    .filter(({ pk, entity, kind, newest }) => {
      const { body } = (newest ?? {}) as { body?: { role: string; depots: string[] } }
      return (
        pk.startsWith('ORG#demo-utility#') &&
        entity === 'register' &&
        kind === 'person' &&
        body?.role === 'manager' &&
        body.depots.includes('*')
      )
    })
    .map(({ newest }) => (newest as { body: { email: string } }).body.email),
]
const waiting = () => house.table.items().filter(({ entity, queue }) => entity === 'still owed' && queue !== undefined)
/** The next round, when the indexes show what was written. */
const round = () => {
  house.table.settled()
  return writeStillOwed(house.table, addSeconds(house.clock(), 120))
}

test('of a hold: the whole crew and every manager, and nothing waits any more', async () => {
  expect((await reports()).status).toBe(201)
  expect(told().sort()).toEqual(everybody().sort())
  expect(waiting()).toEqual([])
  expect(await round()).toEqual({ written: 0, failed: 0 })
})

test('of a report on a number that no stick has: every manager there is', async () => {
  expect((await reports('NOT-THERE')).status).toBe(202)
  expect(told()).toHaveLength(everybody().length - hands + 1) // and the manager of the other depot
  expect(waiting()).toEqual([])
})

test('the crew is told in the very transaction of the fact, before any page', async () => {
  house.table.trouble({ crashBefore: 2 })
  expect((await reports()).status).toBe(201)
  expect(addresses(hands).filter((email) => !told().includes(email))).toEqual([])
  expect(waiting()).toHaveLength(1)
})

describe('broken off', () => {
  test.each([
    ['before the first page', { crashBefore: 2 }],
    ['after the first page', { crashAfter: 2 }],
    ['before the second page', { crashBefore: 3 }],
    ['after the last page', { crashAfter: 3 }],
    ['by somebody else who writes', { lose: [2] }],
  ])('%s: the next round writes what is left, each once', async (_, trouble) => {
    house.table.trouble(trouble)
    expect((await reports()).status).toBe(201)
    house.table.trouble({})
    const before = told()
    await round()
    expect(told().sort()).toEqual(everybody().sort())
    expect(told().filter((email) => before.includes(email))).toHaveLength(before.length)
    expect(waiting()).toEqual([])
  })

  test('the round itself broken off, and run again', async () => {
    house.table.trouble({ crashBefore: 2 })
    await reports()
    house.table.trouble({ crashAfter: 1 })
    expect(await round()).toEqual({ written: 0, failed: 1 })
    house.table.trouble({})
    expect(await round()).toEqual({ written: 1, failed: 0 })
    expect(told().sort()).toEqual(everybody().sort())
  })

  test('nobody takes it up in the first minute: whoever recorded is at it', async () => {
    house.table.trouble({ crashBefore: 2 })
    await reports()
    house.table.trouble({})
    house.table.settled()
    expect(await writeStillOwed(house.table, house.clock() as Instant)).toEqual({ written: 0, failed: 0 })
  })

  test('sent again, it is answered as known; what is left waits for the round', async () => {
    house.table.trouble({ crashBefore: 2 })
    await reports()
    house.table.trouble({})
    expect((await reports()).status).toBe(200)
    expect(waiting()).toHaveLength(1)
  })
})
