/** Units are counted as the Amazon DynamoDB Developer Guide counts them. */
import { describe, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { fakeTable } from '../support/fake-table.ts'
import { metered } from './meter.ts'

const key = { pk: 'P', sk: 'S' }
/** Some 400 bytes more than so many kilobytes less one: counts as so many. */
const filled = (kilobytes: number) => 'x'.repeat((kilobytes - 1) * 1024 + 400)
/** in the list of a depot, which holds whole items */
const listed = (place: string, kilobytes = 1) => ({
  depotStandingKey: 'D',
  standingSort: place,
  text: filled(kilobytes),
})
/** in a queue of notices, which holds their keys */
const queued = (at: string, kilobytes = 1) => ({ queue: 'Q', queueAt: at, text: filled(kilobytes) })

async function unitsOf(before: object | undefined, after: object): Promise<number> {
  const meter = metered(fakeTable(before === undefined ? [] : [{ ...key, ...before } as Item]))
  const values = Object.entries(after)
  await meter.table.update(key, {
    UpdateExpression: `SET ${values.map(([name]) => `#${name} = :${name}`).join(', ')}`,
    ExpressionAttributeNames: Object.fromEntries(values.map(([name]) => [`#${name}`, name])),
    ExpressionAttributeValues: Object.fromEntries(values.map(([name, value]) => [`:${name}`, value])),
  })
  return meter.units()
}

describe('a write takes a unit for each kilobyte of the item', () => {
  test.each([
    ['as it is', undefined, { text: filled(3) }, 3],
    ['or as it was, whichever is larger', { text: filled(3) }, { text: filled(1) }, 3],
    ['twice where a list holds it whole', undefined, listed('a', 3), 3 + 3],
    ['and no more where a list holds its keys', undefined, queued('a', 3), 3 + 1],
    ['its place in a list stays', listed('a', 2), listed('a', 1), 2 + 2],
    ['its place changes, and it is taken out and put in', listed('a', 2), listed('b', 3), 3 + 2 + 3],
    ['a list of keys does not hear of the rest', queued('a', 2), { text: filled(3) }, 3],
    ['nothing that is in a list changes', listed('a', 2), listed('a', 2), 2],
  ])('%s', async (_, before, after, units) => {
    expect(await unitsOf(before, after)).toBe(units)
  })

  test('one more as it leaves a list', async () => {
    const meter = metered(fakeTable([{ ...key, ...listed('a', 2) }]))
    await meter.table.update(key, { UpdateExpression: 'REMOVE depotStandingKey' })
    expect(meter.units()).toBe(2 + 2)
  })

  test('twice in a transaction, but for its lists', async () => {
    const meter = metered(fakeTable())
    await meter.table.transact([meter.table.put({ ...key, entity: 'stick', ...listed('a', 2) })])
    expect([meter.units(), meter.writtenOf('stick'), meter.writtenOf('notice')]).toEqual([2 * 2 + 2, 6, 0])
  })

  test('also where its condition does not hold', async () => {
    const meter = metered(fakeTable([{ ...key, ...listed('a', 3) }]))
    const { done } = await meter.table.transact([meter.table.putNew({ ...key, text: 'new' })])
    expect([done, meter.units()]).toEqual([false, 2 * 3])
  })
})

describe('a read takes a unit for each four kilobytes', () => {
  const items = ['S1', 'S2', 'S3'].map((sk) => ({ pk: 'P', sk, text: filled(3) }))

  test.each([
    ['by its key', async ({ table }: ReturnType<typeof metered>) => table.get({ pk: 'P', sk: 'S1' }), 1],
    ['by its key where there is none', async ({ table }) => table.get({ pk: 'P', sk: 'S9' }), 1],
    ['of each of several', async ({ table }) => table.getAll([items[0], items[1], key].map((one) => one ?? key)), 3],
    ['of a query together', async ({ table }) => table.all({ partition: ['pk', 'P'], consistent: true }), 2],
    ['half as much where it may lag', async ({ table }) => table.all({ partition: ['pk', 'P'] }), 1],
    ['of a page', async ({ table }) => table.page({ partition: ['pk', 'P'], limit: 1 }), 0.5],
    ['of what is only counted', async ({ table }) => table.count({ partition: ['pk', 'P'] }), 1],
  ])('%s', async (_, read, units) => {
    const meter = metered(fakeTable(items))
    await read(meter)
    expect(meter.units()).toBe(units)
  })
})
