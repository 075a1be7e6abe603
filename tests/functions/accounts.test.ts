/** Accounts at the user pool follow the register of people: made, ended on their day, and opened again. */
import { randomUUID } from 'node:crypto'
import type { SQSRecord } from 'aws-lambda'
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { type AccountsParts, seeToDue, seeToThose } from '../../functions/accounts/accounts.ts'
import { enterFirstOwner } from '../../functions/first-owner/first-owner.ts'
import { accountOf } from '../../functions/store/accounts.ts'
import { handedOn } from '../../functions/store/handed-on.ts'
import { keysOf } from '../../functions/store/keys.ts'
import type { Item } from '../../functions/store/table.ts'
import { accountsQueue } from '../../functions/store/table-shape.ts'
import { type FakePool, fakePool } from '../support/fake-pool.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

const email = 'nora@demo-utility.example'
const nora = { name: 'Nora Lund', email, role: 'bench', depots: ['*'] }

let furnished: readonly Item[]
let house: House
let pool: FakePool
let parts: AccountsParts
beforeAll(async () => {
  const first = openHouse()
  await furnish(first)
  const people = fakePool()
  // the index shows by now what was written
  first.at(first.clock())
  await seeToDue({ table: first.table, clock: first.clock, pool: async () => people })
  furnished = first.table.items()
})
beforeEach(() => {
  for (const way of ['info', 'error'] as const) vi.spyOn(console, way).mockImplementation(() => undefined)
  house = openHouse(furnished, '2026-03-03T15:00:00.000Z')
  pool = fakePool()
  parts = { table: house.table, clock: house.clock, pool: async () => pool }
})
afterEach(() => vi.restoreAllMocks())

const put = (over: object = {}, id = 'nora') => house.done('PUT', `/v1/people/${id}`, { ...nora, ...over })
const message = (...ids: string[]) =>
  ({ messageId: 'm', body: handedOn(ids.map((id) => keysOf(demo).accountsOwed(id))) }) as SQSRecord
/** As the queue hands it over. */
const handed = async (...ids: string[]) => (await seeToThose(parts, [message(...ids)])).batchItemFailures.length
/** As the clock takes it up. */
function due() {
  house.at(house.clock())
  return seeToDue(parts)
}
const waiting = () =>
  house.table.items().flatMap((item) => (item.queue === accountsQueue ? [`${item.personId} ${item.queueAt}`] : []))

/** What the pool was asked for since it was looked at last. */
const asked = () => pool.asked.splice(0)

describe('somebody is entered', () => {
  test('and has an account at once, also where they begin later; sent again nothing more is asked', async () => {
    await put({ effectiveFrom: '2026-04-01' })
    expect(pool.asked).toEqual([])
    expect(await handed('nora')).toBe(0)
    expect(asked()).toEqual([`make ${email}`])
    expect(await handed('nora')).toBe(0)
    await put({ effectiveFrom: '2026-04-01', name: 'Nora Lund-Berg' })
    expect(await handed('nora')).toBe(0)
    expect([asked(), waiting()]).toEqual([[], []])
  })

  test('who is at the pool already is left as they are there', async () => {
    pool.accounts.set(email, false)
    await put()
    await handed('nora')
    expect(asked()).toEqual([`make ${email}`])
    expect(pool.accounts.get(email)).toBe(false)
    expect(await accountOf(house.table, email)).toEqual(expect.objectContaining({ standing: 'made' }))
  })

  test('the first owner too, whom the command may have made there', async () => {
    const owner = { organisation: 'new-utility', name: 'Nils Orr', email: 'nils@new-utility.example' }
    await enterFirstOwner(house.table, owner, house.clock())
    expect(await due()).toEqual({ people: 1, failed: 0 })
    expect(asked()).toEqual(['make nils@new-utility.example'])
  })
})

describe('somebody ends', () => {
  beforeEach(async () => {
    await put()
    await handed('nora')
    asked()
  })

  test('by a day that is past: their account is ended at once, and opened again where they come back', async () => {
    await put({ until: '2026-03-02' })
    expect(await handed('nora')).toBe(0)
    expect(asked()).toEqual([`end ${email}`])
    await handed('nora')
    expect([asked(), waiting()]).toEqual([[], []])
    await put()
    await handed('nora')
    expect(asked()).toEqual([`make ${email}`, `let in again ${email}`])
    expect(pool.accounts.get(email)).toBe(true)
  })

  test('by a day to come: on the day after it, by the clock, and not before', async () => {
    await put({ until: '2026-03-05' })
    await handed('nora')
    expect([asked(), waiting()]).toEqual([[], ['nora 2026-03-06T00:00:00.000Z']])
    house.at('2026-03-05T23:00:00.000Z')
    expect(await due()).toEqual({ people: 0, failed: 0 })
    // what its own writing hands over is not due yet
    await handed('nora')
    expect(asked()).toEqual([])
    house.at('2026-03-06T00:00:00.000Z')
    expect(await due()).toEqual({ people: 1, failed: 0 })
    expect([asked(), waiting()]).toEqual([[`end ${email}`], []])
  })

  test('under an address that is theirs no more; a change to come, on its day', async () => {
    const next = 'nora.lund@demo-utility.example'
    await put({ email: next, effectiveFrom: '2026-03-10' })
    await handed('nora')
    expect([asked(), waiting()]).toEqual([[`make ${next}`], ['nora 2026-03-10T00:00:00.000Z']])
    house.at('2026-03-10T00:00:00.000Z')
    await due()
    expect(asked()).toEqual([`end ${email}`])
    await put({ email })
    await handed('nora')
    expect(asked()).toEqual([`make ${email}`, `let in again ${email}`, `end ${next}`])
  })

  test('while somebody else has the address, who gets an account of their own: the password is another', async () => {
    await put({ until: '2026-03-20' }, 'nora-2')
    await handed('nora-2')
    expect(asked()).toEqual([])
    await put({ until: '2026-03-02' })
    await handed('nora')
    expect([asked(), waiting()]).toEqual([[`make anew ${email}`], ['nora-2 2026-03-21T00:00:00.000Z']])
    expect(await accountOf(house.table, email)).toMatchObject({ standing: 'made', personId: 'nora-2' })
    house.at('2026-03-21T01:00:00.000Z')
    await due()
    expect(asked()).toEqual([`end ${email}`])
  })

  test('and somebody else gets the address later: an account of their own, and not the one from before', async () => {
    await put({ until: '2026-03-02' })
    await handed('nora')
    await put({}, 'successor')
    await handed('successor')
    expect(asked()).toEqual([`end ${email}`, `make anew ${email}`])
    await put({ name: 'Nora Lund-Berg' }, 'successor')
    await put({ until: '2026-03-01' })
    await handed('successor', 'nora')
    expect(asked()).toEqual([])
  })

  test('and another organisation takes the address over: an account of their own, which nobody else ends', async () => {
    await put({ until: '2026-03-02' })
    const theirs = { ...nora, role: 'manager' }
    await house.done('PUT', '/v1/people/nora', theirs, 'other owner')
    await due()
    expect(asked()).toEqual([`make anew ${email}`])
    expect(pool.accounts.get(email)).toBe(true)
  })
})

test('whoever is set free is asked for again at the pool, once, by the address of today', async () => {
  await put()
  await handed('nora')
  await house.done('POST', '/v1/people/nora/sign-in/free', { factId: randomUUID(), reason: 'the password ran out' })
  await handed('nora')
  await handed('nora')
  await due()
  expect([asked(), waiting()]).toEqual([[`make ${email}`, `invite again ${email}`], []])
  await put({ until: '2026-03-10' })
  await handed('nora')
  await house.done('POST', '/v1/people/nora/sign-in/free', { factId: randomUUID(), reason: 'once more' })
  await handed('nora')
  expect([asked(), waiting()]).toEqual([[`invite again ${email}`], ['nora 2026-03-11T00:00:00.000Z']])
})

describe('a pool that is away', () => {
  test('keeps nobody from being entered; the message comes again, and so does the hour', async () => {
    pool.away = true
    await put()
    await put({ email: 'nils@demo-utility.example' }, 'nils')
    expect(await handed('nora')).toBe(1)
    expect(await due()).toEqual({ people: 2, failed: 2 })
    expect(vi.mocked(console.error).mock.calls.flat().join()).not.toContain('@')
    pool.away = false
    expect(await due()).toEqual({ people: 2, failed: 0 })
    expect(asked().toSorted()).toEqual(['make nils@demo-utility.example', `make ${email}`])
  })

  test('an edition that comes while the pool is asked is seen to as well', async () => {
    await put()
    const during: AccountsParts = {
      ...parts,
      pool: async () => ({
        ...pool,
        make: async (address) => {
          await put({ until: '2026-03-02' })
          return pool.make(address)
        },
      }),
    }
    await seeToThose(during, [message('nora')])
    expect(waiting()).toEqual(['nora 2026-03-03T15:00:00.000Z'])
    await handed('nora')
    expect(asked()).toEqual([`make ${email}`, `end ${email}`])
  })
})
