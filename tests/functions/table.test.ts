import { TransactionCanceledException } from '@aws-sdk/client-dynamodb'
import { BatchGetCommand, GetCommand, QueryCommand, TransactWriteCommand, UpdateCommand } from '@aws-sdk/lib-dynamodb'
import { mockClient } from 'aws-sdk-client-mock'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { keysForetold } from '../../functions/requests/read-ahead.ts'
import { keysOf } from '../../functions/store/keys.ts'
import { documentClient, type Item, openTable, readingAhead } from '../../functions/store/table.ts'
import { fakeTable } from '../support/fake-table.ts'
import { tableContract } from './table-contract.ts'

tableContract('the fake, with calm indexes', () => {
  const table = fakeTable()
  table.trouble({ indexLag: 0 })
  return table
})

function mocked() {
  const client = documentClient()
  return { dynamo: mockClient(client), table: openTable(client, 'the-table') }
}

const key = (stickId: string) => ({ pk: `ORG#o#STICK#${stickId}`, sk: 'STATE' })
const stick = (stickId: string): Item => ({ ...key(stickId), stickId })

describe('a list is read to its end', () => {
  const depot = { index: 'by-depot-next-tell', partition: ['depotTellKey', 'ORG#o#TELL#D'] } as const

  test('through empty pages, for as long as there is a key to go on from', async () => {
    const { dynamo, table } = mocked()
    const key = (n: number) => ({ pk: `k${n}`, sk: 'STATE' })
    dynamo
      .on(QueryCommand)
      .resolvesOnce({ Items: [], LastEvaluatedKey: key(1) })
      .resolvesOnce({ Items: [stick('S-1')], LastEvaluatedKey: key(2) })
      .resolvesOnce({ LastEvaluatedKey: key(3) })
      .resolvesOnce({ Items: [stick('S-2')] })
    expect(await table.all(depot)).toEqual([stick('S-1'), stick('S-2')])
    const asked = dynamo.commandCalls(QueryCommand).map(({ args }) => args[0].input.ExclusiveStartKey)
    expect(asked).toEqual([undefined, key(1), key(2), key(3)])
  })

  test('one page hands out the key to go on from, and asks for what it was told to', async () => {
    const { dynamo, table } = mocked()
    const after = { pk: 'k1', sk: 'STATE' }
    dynamo.on(QueryCommand).resolves({ Items: [stick('S-1')], LastEvaluatedKey: { pk: 'k2', sk: 'STATE' } })
    const range = { ...depot, between: ['nextTellOn', '0', '2026-03-02#~'], limit: 1, descending: true, after } as const
    expect(await table.page(range)).toEqual({ items: [stick('S-1')], next: { pk: 'k2', sk: 'STATE' } })
    expect(dynamo.commandCalls(QueryCommand)[0]?.args[0].input).toMatchObject({
      TableName: 'the-table',
      IndexName: 'by-depot-next-tell',
      ExpressionAttributeNames: { '#p': 'depotTellKey', '#s': 'nextTellOn' },
      ExpressionAttributeValues: { ':p': 'ORG#o#TELL#D', ':from': '0', ':to': '2026-03-02#~' },
      ScanIndexForward: false,
      Limit: 1,
      ExclusiveStartKey: after,
    })
  })
})

describe('an item read ahead', () => {
  test('answers the first that asks, in the same call as what else is asked for; the next reads anew', async () => {
    const { dynamo, table } = mocked()
    dynamo.on(BatchGetCommand).resolves({ Responses: { 'the-table': [stick('S-1'), stick('S-2')] } })
    dynamo.on(GetCommand).resolves({ Item: { ...stick('S-1'), version: 2 } })
    const reading = readingAhead(table)
    reading.ahead([key('S-1')])
    expect(await reading.get(key('S-2'))).toEqual(stick('S-2'))
    expect(await reading.get(key('S-1'))).toEqual(stick('S-1'))
    expect(dynamo.calls()).toHaveLength(1)
    expect(await reading.get(key('S-1'))).toMatchObject({ version: 2 })
  })

  test('that cannot be read fails whoever asks for it, and nobody else', async () => {
    const { dynamo, table } = mocked()
    dynamo
      .on(GetCommand)
      .rejectsOnce(new Error('no connection'))
      .resolves({ Item: stick('S-1') })
    const reading = readingAhead(table)
    reading.ahead([key('S-1')])
    await expect(reading.get(key('S-1'))).rejects.toThrow('no connection')
    expect(await reading.get(key('S-1'))).toEqual(stick('S-1'))
  })

  test('is told from the path and the body; what is no name in them is passed over', () => {
    const keys = keysOf('o')
    const path = '/v1/sticks/:id/bench-tests'
    const id = '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0001'
    expect(
      keysForetold(keys, { path, id: 'S-1', body: { factId: id, instrumentId: 'INS-1', procedureId: 'PRC-1' } }),
    ).toEqual([keys.state('S-1'), keys.registerHead('instrument', 'INS-1'), keys.registerHead('procedure', 'PRC-1')])
    expect(keysForetold(keys, { path: '/v1/sticks/:id/moves', id: 'S-1', body: { to: { store: 'DEP-1' } } })).toEqual([
      keys.state('S-1'),
      keys.registerHead('depot', 'DEP-1'),
    ])
    const nonsense = [undefined, null, 3, 'text', [], { to: 'missing', factId: 7, crewId: '', procedureId: {} }]
    for (const body of nonsense) expect(keysForetold(keys, { path: '/v1/crews/:id', id: 'CR-1', body })).toEqual([])
    expect(keysForetold(keys, { path, id: '#', body: {} })).toEqual([])
  })
})

describe('many items at once', () => {
  test('what comes back unprocessed is asked for again, until nothing does', async () => {
    const { dynamo, table } = mocked()
    const left = (...ids: string[]) => ({
      'the-table': { Keys: ids.map((id) => ({ pk: stick(id).pk, sk: 'STATE' })) },
    })
    dynamo
      .on(BatchGetCommand)
      .resolvesOnce({ Responses: { 'the-table': [stick('S-1')] }, UnprocessedKeys: left('S-2', 'S-3') })
      .resolvesOnce({ UnprocessedKeys: left('S-2', 'S-3') })
      .resolvesOnce({ Responses: { 'the-table': [stick('S-3')] }, UnprocessedKeys: left('S-2') })
      .resolvesOnce({ Responses: { 'the-table': [stick('S-2')] }, UnprocessedKeys: {} })
    const found = await table.getAll(['S-1', 'S-2', 'S-3'].map(stick))
    expect(found.map((item) => item.stickId)).toEqual(['S-1', 'S-3', 'S-2'])
    const asked = dynamo
      .commandCalls(BatchGetCommand)
      .map(({ args }) => args[0].input.RequestItems?.['the-table']?.Keys?.map((key) => key.pk))
    const pk = (id: string) => stick(id).pk
    expect(asked).toEqual([
      [pk('S-1'), pk('S-2'), pk('S-3')],
      [pk('S-2'), pk('S-3')],
      [pk('S-2'), pk('S-3')],
      [pk('S-2')],
    ])
  })

  test('are asked for a hundred at a time, by their keys alone and as they are now', async () => {
    const { dynamo, table } = mocked()
    dynamo.on(BatchGetCommand).resolves({})
    await table.getAll(Array.from({ length: 201 }, (_, i) => stick(`S-${i}`)))
    const asked = dynamo.commandCalls(BatchGetCommand).map(({ args }) => args[0].input.RequestItems?.['the-table'])
    expect(asked.map((one) => one?.Keys?.length)).toEqual([100, 100, 1])
    expect(asked[2]).toEqual({ Keys: [{ pk: 'ORG#o#STICK#S-200', sk: 'STATE' }], ConsistentRead: true })
  })
})

describe('a cancelled transaction', () => {
  function cancelledFor(...codes: (string | undefined)[]) {
    const { dynamo, table } = mocked()
    const error = new TransactionCanceledException({
      message: 'cancelled',
      $metadata: {},
      CancellationReasons: codes.map((code) => (code === undefined ? {} : { Code: code })),
    })
    dynamo.on(TransactWriteCommand).rejects(error)
    return { error, outcome: table.transact([table.putNew(stick('S-1'))]) }
  }

  test.each([
    ['TransactionConflict'],
    ['None', 'TransactionConflict'],
    ['ProvisionedThroughputExceeded', 'TransactionConflict', 'None'],
    ['ThrottlingError', 'TransactionConflict'],
  ])('was lost and may run again where one reason is a race and the others are throttling: %s %s', async (...codes) => {
    await expect(cancelledFor(...codes).outcome).resolves.toEqual({ done: false, failed: [] })
  })

  describe('for the load of the table alone', () => {
    const busy = (code: string) =>
      new TransactionCanceledException({
        message: 'cancelled',
        $metadata: {},
        CancellationReasons: [{ Code: 'None' }, { Code: code }],
      })
    // the longest waits that chance can give are cut to nothing
    beforeEach(() => void vi.spyOn(Math, 'random').mockReturnValue(0))
    afterEach(() => vi.restoreAllMocks())

    test.each(['ThrottlingError', 'ProvisionedThroughputExceeded'])('%s: it is tried again as it is', async (code) => {
      const { dynamo, table } = mocked()
      dynamo.on(TransactWriteCommand).rejectsOnce(busy(code)).rejectsOnce(busy(code)).resolves({})
      await expect(table.transact([table.putNew(stick('S-1'))])).resolves.toEqual({ done: true })
      const sent = dynamo.commandCalls(TransactWriteCommand).map(({ args }) => args[0].input)
      expect(sent).toHaveLength(3)
      expect(sent[2]).toEqual(sent[0])
    })

    test('lost by the second try it is lost, and begins again with what stands by then', async () => {
      const { dynamo, table } = mocked()
      dynamo.on(TransactWriteCommand).rejectsOnce(busy('ThrottlingError')).rejects(busy('ConditionalCheckFailed'))
      await expect(table.transact([table.putNew(stick('S-1'))])).resolves.toEqual({ done: false, failed: [1] })
    })

    test('for too long: whoever sent it is told to try again', async () => {
      const { dynamo, table } = mocked()
      dynamo.on(TransactWriteCommand).rejects(busy('ThrottlingError'))
      const refusal = { kind: 'try again' }
      await expect(table.transact([table.putNew(stick('S-1'))])).rejects.toMatchObject({ refusal })
      expect(dynamo.commandCalls(TransactWriteCommand)).toHaveLength(6)
    })
  })

  test('names which conditions failed', async () => {
    const { outcome } = cancelledFor('None', 'ConditionalCheckFailed', 'TransactionConflict', 'ConditionalCheckFailed')
    await expect(outcome).resolves.toEqual({ done: false, failed: [1, 3] })
  })

  test.each([
    ['ValidationError'],
    ['TransactionConflict', 'ItemCollectionSizeLimitExceeded'],
    ['ConditionalCheckFailed', 'ValidationError'],
    ['ReasonNobodyKnowsYet'],
    [],
  ])('is an error when any reason is another, or none is given: %s %s', async (...codes) => {
    const { error, outcome } = cancelledFor(...codes)
    await expect(outcome).rejects.toBe(error)
  })

  test('that was never taken for another cause is an error', async () => {
    const { dynamo, table } = mocked()
    const error = Object.assign(new Error('no'), { name: 'ValidationException' })
    dynamo.on(TransactWriteCommand).rejects(error)
    await expect(table.transact([table.putNew(stick('S-1'))])).rejects.toBe(error)
  })
})

describe('one item changed under a condition', () => {
  const change = { UpdateExpression: 'SET trouble = :t', ExpressionAttributeValues: { ':t': 'x' } }

  test('answers whether the condition held', async () => {
    const { dynamo, table } = mocked()
    dynamo
      .on(UpdateCommand)
      .resolvesOnce({})
      .rejectsOnce(Object.assign(new Error('no'), { name: 'ConditionalCheckFailedException' }))
    expect(await table.update(key('S-1'), change)).toBe(true)
    expect(await table.update(key('S-1'), change)).toBe(false)
  })

  test('passes any other trouble on', async () => {
    const { dynamo, table } = mocked()
    dynamo.on(UpdateCommand).rejects(Object.assign(new Error('no'), { name: 'TransactionConflictException' }))
    await expect(table.update(key('S-1'), change)).rejects.toThrow('no')
  })
})

describe('the fake refuses what the service and its client refuse', () => {
  const deep = (levels: number): unknown => Array.from({ length: levels }).reduce((inner) => [inner], 1)
  const wide = 'x'.repeat(1025)

  test.each([
    ['a number beyond what can be counted by one', { figure: 2 ** 53 + 2 }],
    ['a number nearer to nought than it keeps', { figure: 1e-131 }],
    ['one on the other side of nought, within', { list: [{ figure: -1e-300 }] }],
    ['no number', { figure: Number.NaN }],
    ['nesting of more than 32 levels', { list: deep(33) }],
    ['a sort key of an index that is too long', { standingSort: wide }],
    ['a partition key of an index that is too long', { crewKey: wide + wide }],
    ['an item of more than 400 KB', { text: 'x'.repeat(410_000) }],
  ])('%s', async (_, more) => {
    const table = fakeTable()
    await expect(table.transact([table.put({ ...stick('S-1'), ...more })])).rejects.toThrow()
    expect(table.items()).toEqual([])
  })

  test('and takes what lies just within', async () => {
    const table = fakeTable()
    const more = { figures: [0, 1e-129, 2 ** 53 - 1, -(2 ** 53) + 1], list: deep(30), crewKey: wide }
    expect(await table.transact([table.put({ ...stick('S-1'), ...more, standingSort: 'x'.repeat(1024) })])).toEqual({
      done: true,
    })
  })

  test('a key or a range that is too long to be asked for', async () => {
    const table = fakeTable()
    await expect(table.get({ pk: 'ORG', sk: wide })).rejects.toThrow()
    await expect(table.getAll([{ pk: wide + wide, sk: 'x' }])).rejects.toThrow()
    await expect(table.page({ partition: ['pk', wide + wide] })).rejects.toThrow()
    await expect(table.page({ partition: ['pk', 'ORG'], between: ['sk', 'a', wide] })).rejects.toThrow()
  })
})

describe('the fake can be told to make trouble', () => {
  const put = (table: ReturnType<typeof fakeTable>, id: string) => table.transact([table.putNew(stick(id))])

  test('the second transaction is lost, and nothing of it written', async () => {
    const table = fakeTable()
    table.trouble({ lose: [2] })
    expect(await put(table, 'S-1')).toEqual({ done: true })
    expect(await put(table, 'S-2')).toEqual({ done: false, failed: [] })
    expect(await put(table, 'S-2')).toEqual({ done: true })
    expect(table.transactions()).toBe(3)
  })

  test('it breaks off before a transaction, or after', async () => {
    const table = fakeTable()
    table.trouble({ crashBefore: 1 })
    await expect(put(table, 'S-1')).rejects.toThrow('broken off')
    expect(table.items()).toEqual([])
    table.trouble({ crashAfter: 1 })
    await expect(put(table, 'S-1')).rejects.toThrow('broken off')
    expect(table.items()).toEqual([stick('S-1')])
  })

  test('its indexes lag while the table itself does not', async () => {
    const table = fakeTable()
    const lot = (id: string) => ({ ...stick(id), lotKey: 'L' })
    const ofLot = async () =>
      (await table.all({ index: 'by-lot', partition: ['lotKey', 'L'] })).map((one) => one.stickId)
    table.trouble({ indexLag: 1 })
    await table.transact([table.put(lot('S-1'))])
    await table.transact([table.put(lot('S-2'))])
    expect(await ofLot()).toEqual(['S-1'])
    expect(await table.get(key('S-2'))).toEqual(lot('S-2'))
    table.trouble({ indexLag: 0 })
    expect(await ofLot()).toEqual(['S-1', 'S-2'])
  })

  test('its indexes lag without being told to, until some calls later or until they have settled', async () => {
    const table = fakeTable()
    const lot = (id: string) => ({ ...stick(id), lotKey: 'L' })
    const ofLot = async () =>
      (await table.all({ index: 'by-lot', partition: ['lotKey', 'L'] })).map((one) => one.stickId)
    await table.transact([table.put(lot('S-1'))])
    expect(await ofLot()).toEqual([])
    for (let calls = 0; calls < 3; calls++) await table.get(key('S-1'))
    expect(await ofLot()).toEqual(['S-1'])
    await table.transact([table.put(lot('S-2'))])
    expect(await ofLot()).toEqual(['S-1'])
    table.settled()
    expect(await ofLot()).toEqual(['S-1', 'S-2'])
  })

  test('it hands out maps in no order, at any depth, and lists in theirs', async () => {
    const table = fakeTable([], 20)
    const inner = { a: 1, b: 2, c: 3, d: 4, e: 5 }
    const item = { ...stick('S-1'), ...inner, list: [inner, 2, 1] }
    await table.transact([table.put(item)])
    const read = await Promise.all(Array.from({ length: 20 }, () => table.get(key('S-1'))))
    for (const one of read) expect(one).toEqual(item)
    expect(new Set(read.map((one) => JSON.stringify(one))).size).toBe(20)
    expect(new Set(read.map((one) => JSON.stringify((one?.list as unknown[] | undefined)?.[0]))).size).toBeGreaterThan(
      10,
    )
  })

  test('an item that is read again and again comes in a few orders, which are soon known', async () => {
    const table = fakeTable()
    await table.transact([table.put({ ...stick('S-1'), a: 1, b: 2, c: 3, d: 4, e: 5 })])
    const read = await Promise.all(Array.from({ length: 20 }, () => table.get(key('S-1'))))
    expect(new Set(read.map((one) => JSON.stringify(one))).size).toBe(3)
    expect(() => Object.assign(read[0] ?? {}, { a: 2 })).toThrow('read only')
  })

  test.each([
    ['size(holds) > :n', 'SET trouble = :t'],
    ['state = :t', 'SET trouble = :t'],
    ['attribute_exists(pk)', 'SET trouble = if_not_exists(trouble, :t)'],
    ['attribute_exists(pk)', 'DELETE trouble :t'],
    ['attribute_exists(pk) sometimes', 'SET trouble = :t'],
    ['pk <> :t', 'SET trouble = :t'],
  ])('an expression it does not know is an error: %s, %s', async (ConditionExpression, UpdateExpression) => {
    const table = fakeTable()
    await table.transact([table.put(stick('S-1'))])
    const values = { ExpressionAttributeValues: { ':t': 'x', ':n': 1 } }
    await expect(table.update(key('S-1'), { ConditionExpression, UpdateExpression, ...values })).rejects.toThrow(
      'does not know',
    )
  })
})
