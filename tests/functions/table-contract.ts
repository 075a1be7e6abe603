/** What the product relies on of its table. The fake keeps it, and so must any emulator it is run against. */
import { randomUUID } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import type { Item, Range, Table } from '../../functions/store/table.ts'
import { type IndexName, indexes } from '../../functions/store/table-shape.ts'

export function tableContract(name: string, open: () => Table | Promise<Table>): void {
  /** A table and an organisation nobody else writes to. */
  async function opened() {
    return { table: await open(), org: `ORG#${randomUUID()}` }
  }

  const stickItem = (org: string, stickId: string, more: Record<string, unknown> = {}): Item => ({
    pk: `${org}#STICK#${stickId}`,
    sk: 'STATE',
    stickId,
    version: 1,
    ...more,
  })
  const keyOf = ({ pk, sk }: Item) => ({ pk, sk })
  const unchanged = (version: number) => ({
    ConditionExpression: '#version = :version',
    ExpressionAttributeNames: { '#version': 'version' },
    ExpressionAttributeValues: { ':version': version },
  })
  const ids = (items: readonly Item[]) => items.map((item) => item.stickId)
  const numbered = (n: number) => Array.from({ length: n }, (_, i) => `S-${String(i + 1).padStart(3, '0')}`)

  async function stored(table: Table, items: readonly Item[]): Promise<void> {
    for (let i = 0; i < items.length; i += 100) {
      const { done } = await table.transact(items.slice(i, i + 100).map((item) => table.put(item)))
      if (!done) throw new Error('the table would not take the items of a test')
    }
  }

  async function followed(table: Table, range: Range): Promise<Item[]> {
    const found: Item[] = []
    let after: Record<string, unknown> | undefined
    do {
      const page = await table.page({ ...range, after })
      if (range.limit !== undefined) expect(page.items.length).toBeLessThanOrEqual(range.limit)
      found.push(...page.items)
      after = page.next
    } while (after !== undefined)
    return found
  }

  describe(`${name}: what is written is kept`, () => {
    test('a stick is read back as it was written, without what was absent', async () => {
      const { table, org } = await opened()
      const item = stickItem(org, 'S-1', { holds: [], lengths: [0.1, 2.4], custody: { crewId: 'CR-1' }, dueOn: null })
      await stored(table, [{ ...item, lot: undefined, custody: { crewId: 'CR-1', returnBy: undefined } }])
      const read = await table.get(keyOf(item))
      expect(read).toEqual(item)
      expect(read).not.toHaveProperty('lot')
      expect(read?.custody).not.toHaveProperty('returnBy')
    })

    test('a stick nobody registered is not there', async () => {
      const { table, org } = await opened()
      expect(await table.get(keyOf(stickItem(org, 'S-1')))).toBeUndefined()
    })

    test('changing what was handed in or read out changes nothing in the table', async () => {
      const { table, org } = await opened()
      const item = stickItem(org, 'S-1', { holds: ['failed-test'] })
      await stored(table, [item])
      ;(item.holds as string[]).push('drop')
      const read = await table.get(keyOf(item))
      try {
        ;(read as { holds: string[] } & Item).holds.push('drop')
      } catch {
        // a copy that lets nobody change it is as good
      }
      expect((await table.get(keyOf(item)))?.holds).toEqual(['failed-test'])
    })

    test('of more keys than one question may hold, all that exist are found', async () => {
      const { table, org } = await opened()
      const sticks = numbered(130).map((id) => stickItem(org, id))
      await stored(table, sticks)
      const found = await table.getAll([...sticks, stickItem(org, 'S-999')])
      expect(ids(found).sort()).toEqual(numbered(130))
      expect(await table.getAll([])).toEqual([])
    })
  })

  describe(`${name}: a transaction is all or nothing`, () => {
    test('everything in it is written', async () => {
      const { table, org } = await opened()
      const sticks = numbered(100).map((id) => stickItem(org, id))
      expect(await table.transact(sticks.map((item) => table.putNew(item)))).toEqual({ done: true })
      expect(await table.getAll(sticks)).toHaveLength(100)
    })

    test('a fact id used before keeps out all that comes with it, and is named', async () => {
      const { table, org } = await opened()
      const guard = stickItem(org, 'S-1')
      await stored(table, [guard])
      const others = [stickItem(org, 'S-2'), stickItem(org, 'S-3')] as const
      const outcome = await table.transact([table.putNew(others[0]), table.putNew(guard), table.putNew(others[1])])
      expect(outcome).toEqual({ done: false, failed: [1] })
      expect(await table.getAll(others)).toEqual([])
    })

    test('a state written on by somebody else since it was read is not overwritten', async () => {
      const { table, org } = await opened()
      const read = stickItem(org, 'S-1')
      await stored(table, [{ ...read, version: 2, status: 'on hold' }])
      const late = table.put({ ...read, version: 2, status: 'in service' }, unchanged(1))
      expect(await table.transact([late])).toEqual({ done: false, failed: [0] })
      expect((await table.get(keyOf(read)))?.status).toBe('on hold')
      const again = table.put({ ...read, version: 3, status: 'in service' }, unchanged(2))
      expect(await table.transact([again])).toEqual({ done: true })
      expect((await table.get(keyOf(read)))?.status).toBe('in service')
    })

    test('a condition on a stick that is not there does not hold', async () => {
      const { table, org } = await opened()
      const item = stickItem(org, 'S-1')
      expect(await table.transact([table.put(item, unchanged(1))])).toEqual({ done: false, failed: [0] })
    })

    test('of two writers of the same new stick one wins', async () => {
      const { table, org } = await opened()
      const item = stickItem(org, 'S-1')
      const outcomes = await Promise.all([1, 2].map((by) => table.transact([table.putNew({ ...item, by })])))
      expect(outcomes.filter((outcome) => outcome.done)).toHaveLength(1)
    })

    test.each([
      ['none', 0],
      ['101', 101],
    ])('%s items are no transaction', async (_, size) => {
      const { table, org } = await opened()
      const writes = numbered(size).map((id) => table.put(stickItem(org, id)))
      await expect(table.transact(writes)).rejects.toThrow()
      expect(await table.getAll(numbered(100).map((id) => stickItem(org, id)))).toEqual([])
    })

    test('one stick twice in a transaction is refused', async () => {
      const { table, org } = await opened()
      const writes = [table.put(stickItem(org, 'S-1')), table.put(stickItem(org, 'S-1', { version: 2 }))]
      await expect(table.transact(writes)).rejects.toThrow()
      expect(await table.get(keyOf(stickItem(org, 'S-1')))).toBeUndefined()
    })

    test('a fact too large to be kept is refused, and nothing of its transaction is written', async () => {
      const { table, org } = await opened()
      const large = stickItem(org, 'S-1', { note: 'x'.repeat(410 * 1024) })
      await expect(table.transact([table.put(stickItem(org, 'S-2')), table.put(large)])).rejects.toThrow()
      expect(await table.getAll([large, stickItem(org, 'S-2')])).toEqual([])
    })
  })

  describe(`${name}: a notice changed in place`, () => {
    const lease = {
      UpdateExpression: 'SET #state = :claimed, leaseUntil = :until ADD attempts :one',
      ConditionExpression: '#state = :owed OR (#state = :claimed AND leaseUntil < :now)',
      ExpressionAttributeNames: { '#state': 'state' },
    }
    const at = (now: string, until: string) => ({
      ...lease,
      ExpressionAttributeValues: { ':claimed': 'claimed', ':owed': 'owed', ':now': now, ':until': until, ':one': 1 },
    })

    test('is lent to one sender, and to another once the lease has run out', async () => {
      const { table, org } = await opened()
      const notice: Item = { pk: `${org}#NOTICE#1`, sk: 'NOTICE', state: 'owed', to: { name: 'Ana' } }
      await stored(table, [notice])
      expect(await table.update(keyOf(notice), at('2026-03-02T15:00:00.000Z', '2026-03-02T15:02:00.000Z'))).toBe(true)
      expect(await table.update(keyOf(notice), at('2026-03-02T15:02:00.000Z', '2026-03-02T15:04:00.000Z'))).toBe(false)
      expect(await table.update(keyOf(notice), at('2026-03-02T15:02:00.001Z', '2026-03-02T15:04:00.001Z'))).toBe(true)
      const after = { ...notice, state: 'claimed', leaseUntil: '2026-03-02T15:04:00.001Z', attempts: 2 }
      expect(await table.get(keyOf(notice))).toEqual(after)
    })

    test('marked as sent it leaves the list of those not sent and keeps the rest', async () => {
      const { table, org } = await opened()
      const notice: Item = { pk: `${org}#NOTICE#1`, sk: 'NOTICE', state: 'claimed', day: '2026-03-02' }
      const queued = { queue: `${org}#UNSENT`, queueAt: '2026-03-02T15:00:00.000Z' }
      await stored(table, [{ ...notice, ...queued }])
      const list: Range = { index: 'notices-by-queue', partition: ['queue', queued.queue] }
      expect(await table.all(list)).toHaveLength(1)
      await table.update(keyOf(notice), {
        UpdateExpression: 'SET #state = :sent REMOVE queue, leaseUntil',
        ExpressionAttributeNames: { '#state': 'state' },
        ExpressionAttributeValues: { ':sent': 'sent' },
      })
      expect(await table.get(keyOf(notice))).toEqual({ ...notice, state: 'sent', queueAt: queued.queueAt })
      expect(await table.all(list)).toEqual([])
    })

    test('is found by its key alone: more than that is refused', async () => {
      const { table, org } = await opened()
      const notice: Item = { pk: `${org}#NOTICE#1`, sk: 'NOTICE', state: 'owed' }
      await stored(table, [notice])
      const change = { UpdateExpression: 'SET trouble = :t', ExpressionAttributeValues: { ':t': 'x' } }
      await expect(table.update(notice, change)).rejects.toThrow()
      await expect(table.transact([table.change(notice, change)])).rejects.toThrow()
      expect(await table.get(keyOf(notice))).toEqual(notice)
    })

    test('in a transaction it is changed under its condition with the rest, or not at all', async () => {
      const { table, org } = await opened()
      const notice: Item = { pk: `${org}#NOTICE#1`, sk: 'NOTICE', state: 'owed' }
      await stored(table, [notice])
      const change = (from: string) =>
        table.change(keyOf(notice), {
          UpdateExpression: 'SET #state = :to',
          ConditionExpression: '#state = :from',
          ExpressionAttributeNames: { '#state': 'state' },
          ExpressionAttributeValues: { ':to': 'sent', ':from': from },
        })
      const beside = table.putNew(stickItem(org, 'S-1'))
      expect(await table.transact([beside, change('claimed')])).toEqual({ done: false, failed: [1] })
      expect(await table.get(keyOf(stickItem(org, 'S-1')))).toBeUndefined()
      expect(await table.transact([beside, change('owed')])).toEqual({ done: true })
      expect((await table.get(keyOf(notice)))?.state).toBe('sent')
    })
  })

  describe(`${name}: what lies ready beside an item`, () => {
    const ready = { toConfirm: 'hold|S-1|f', heldOnceConfirmed: { confirmed: true }, sortOnceConfirmed: 'held#1#S-1' }
    const confirm = (table: Table, item: Item) =>
      table.change(keyOf(item), {
        UpdateExpression:
          'SET held = heldOnceConfirmed, standingSort = sortOnceConfirmed REMOVE toConfirm, heldOnceConfirmed, ' +
          'sortOnceConfirmed ADD #version :one',
        ConditionExpression: 'toConfirm = :about',
        ExpressionAttributeNames: { '#version': 'version' },
        ExpressionAttributeValues: { ':about': 'hold|S-1|f', ':one': 1 },
      })

    test('takes the place of what was there, once', async () => {
      const { table, org } = await opened()
      const item = stickItem(org, 'S-1', { held: { confirmed: false }, standingSort: 'held#0#S-1', ...ready })
      await stored(table, [item])
      expect(await table.transact([confirm(table, item)])).toEqual({ done: true })
      const after = stickItem(org, 'S-1', { held: { confirmed: true }, standingSort: 'held#1#S-1', version: 2 })
      expect(await table.get(keyOf(item))).toEqual(after)
      expect(await table.transact([confirm(table, item)])).toEqual({ done: false, failed: [0] })
    })

    test('where it is not there nothing is changed, and the condition is named', async () => {
      const { table, org } = await opened()
      const item = stickItem(org, 'S-1', { standingSort: '2026-03-02#S-1' })
      await stored(table, [item])
      const beside = table.putNew(stickItem(org, 'S-2'))
      expect(await table.transact([beside, confirm(table, item)])).toEqual({ done: false, failed: [1] })
      expect(await table.get(keyOf(item))).toEqual(item)
    })
  })

  describe(`${name}: lists`, () => {
    const facts = (org: string, n: number): Item[] =>
      numbered(n).map((stickId) => ({ pk: `${org}#STICK#S`, sk: `FACT#${stickId}`, stickId }))

    test('facts come in the order of their keys, both ways, within the bounds and with them', async () => {
      const { table, org } = await opened()
      await stored(table, [
        ...facts(org, 5),
        { pk: `${org}#STICK#S`, sk: 'STATE' },
        { pk: `${org}#STICK#T`, sk: 'FACT#S-001' },
      ])
      const all: Range = { partition: ['pk', `${org}#STICK#S`], between: ['sk', 'FACT#', 'FACT#~'], consistent: true }
      expect(ids(await table.all(all))).toEqual(numbered(5))
      expect(ids(await table.all({ ...all, descending: true }))).toEqual(numbered(5).reverse())
      const some = { ...all, between: ['sk', 'FACT#S-002', 'FACT#S-004'] } as const
      expect(ids(await table.all(some))).toEqual(['S-002', 'S-003', 'S-004'])
    })

    test.each([1, 2, 3, 7, 8])('read %i at a time nothing is missed or doubled', async (limit) => {
      const { table, org } = await opened()
      await stored(table, facts(org, 7))
      const range: Range = { partition: ['pk', `${org}#STICK#S`], limit }
      expect(ids(await followed(table, range))).toEqual(numbered(7))
      expect(ids(await followed(table, { ...range, descending: true }))).toEqual(numbered(7).reverse())
    })

    test('what is too long for one page is read to its end', async () => {
      const { table, org } = await opened()
      const note = 'x'.repeat(300 * 1024)
      for (const fact of facts(org, 8)) await stored(table, [{ ...fact, note }])
      const range: Range = { partition: ['pk', `${org}#STICK#S`] }
      expect((await table.page(range)).items.length).toBeLessThan(8)
      expect(ids(await table.all(range))).toEqual(numbered(8))
    })

    test('an index holds only what carries both its keys, by its own order', async () => {
      const { table, org } = await opened()
      const tell = (stickId: string, nextTellOn?: string) =>
        stickItem(org, stickId, {
          depotTellKey: `${org}#TELL#D`,
          ...(nextTellOn === undefined ? {} : { nextTellOn: `${nextTellOn}#${stickId}` }),
        })
      await stored(table, [
        tell('S-1', '2026-03-09'),
        tell('S-2', '2026-03-02'),
        tell('S-3'),
        tell('S-4', '2026-03-10'),
        stickItem(org, 'S-5', { nextTellOn: '2026-03-02#S-5' }),
      ])
      const range: Range = {
        index: 'by-depot-next-tell',
        partition: ['depotTellKey', `${org}#TELL#D`],
        between: ['nextTellOn', '0', '2026-03-09#~'],
      }
      const found = async () => (await table.all(range)).map((item) => String(item.nextTellOn).split('#')[1])
      expect(await found()).toEqual(['S-2', 'S-1'])
      await stored(table, [tell('S-2')])
      expect(await found()).toEqual(['S-1'])
    })

    test.each(Object.entries(indexes) as [IndexName, (typeof indexes)[IndexName]][])(
      'the index %s answers by its keys, also where many share a date, with what it keeps of an item',
      async (index, { partition, sort, projection }) => {
        const { table, org } = await opened()
        const sortOf = (stickId: string) => (sort === 'stickId' ? stickId : '2026-03-02')
        const items = numbered(5).map((stickId) =>
          stickItem(org, stickId, { [partition]: `${org}#X`, [sort]: sortOf(stickId), note: 'x' }),
        )
        await stored(table, items)
        const range: Range = { index, partition: [partition, `${org}#X`], between: [sort, '0', '~'], limit: 2 }
        const found = await followed(table, range)
        expect(found.map(({ pk }) => pk).sort()).toEqual(items.map(({ pk }) => pk))
        const names = Object.keys(
          projection === 'ALL' ? (items[0] ?? {}) : { pk: '', sk: '', [partition]: '', [sort]: '' },
        )
        for (const item of found) expect(Object.keys(item).sort()).toEqual(names.sort())
      },
    )

    test('a range is counted without being read, no further than asked', async () => {
      const { table, org } = await opened()
      const note = 'x'.repeat(300 * 1024)
      for (const fact of facts(org, 8)) await stored(table, [{ ...fact, note }])
      const range: Range = { partition: ['pk', `${org}#STICK#S`], between: ['sk', 'FACT#S-002', 'FACT#~'] }
      expect(await table.count(range)).toBe(7)
      expect(await table.count({ ...range, limit: 5 })).toBe(5)
      expect(await table.count({ ...range, partition: ['pk', `${org}#STICK#T`] })).toBe(0)
    })

    test('of a range in an index the keys alone are sent where no more is asked for', async () => {
      const { table, org } = await opened()
      const places = { depotStandingKey: `${org}#D`, standingSort: '2026-03-02#S-1' }
      await stored(table, [stickItem(org, 'S-1', places)])
      const range: Range = {
        index: 'by-depot-standing',
        partition: ['depotStandingKey', `${org}#D`],
        between: ['standingSort', '2026', '2027'],
        keysOnly: true,
      }
      const { items } = await table.page(range)
      expect(items.map(({ standingSort }) => standingSort)).toEqual(['2026-03-02#S-1'])
      expect(items[0]).not.toHaveProperty('stickId')
    })

    test('a range that ends before it begins is refused', async () => {
      const { table, org } = await opened()
      await expect(table.all({ partition: ['pk', org], between: ['sk', 'b', 'a'] })).rejects.toThrow()
    })
  })
}
