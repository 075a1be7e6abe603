/** The one reader of the table's stream: what it hands on to whom. */
import { setTimeout as pause } from 'node:timers/promises'
import { marshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBRecord } from 'aws-lambda'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { handOn, type QueueName } from '../../functions/hand-on/hand-on.ts'
import { keysIn } from '../../functions/store/handed-on.ts'
import { queueKey } from '../../functions/store/keys.ts'
import { accountsQueue, queueShards, toSequencePrefix } from '../../functions/store/table-shape.ts'

const record = (name: string, queue?: string, eventName: 'INSERT' | 'MODIFY' = 'INSERT'): DynamoDBRecord => {
  const item = { pk: name, sk: 'NOTICE', lines: ['what it says'], ...(queue === undefined ? {} : { queue }) }
  const { pk, sk } = item
  const image = (of: object) => marshall(of) as unknown as Record<string, never>
  return { eventName, dynamodb: { SequenceNumber: name, Keys: image({ pk, sk }), NewImage: image(item) } }
}

async function handed(...records: DynamoDBRecord[]): Promise<Partial<Record<QueueName, string[]>>[]> {
  const messages: Partial<Record<QueueName, string[]>>[] = []
  await handOn(async (queue, body) => messages.push({ [queue]: keysIn(body).map(({ pk }) => pk) }), records)
  return messages
}

test.each(queueShards)('each queue of the table has its readers, whatever the shard: %s', async (shard) => {
  const batch = [
    record('a', queueKey('unsent', shard)),
    record('b', queueKey('urgent', shard)),
    record('c', queueKey('undelivered', shard)),
  ]
  expect(await handed(...batch)).toEqual([{ others: ['a'] }, { urgent: ['b'] }, { undelivered: ['c'] }])
})

test('people whose accounts are owed have a queue of their own', async () => {
  expect(await handed(record('a', accountsQueue), record('b', queueKey('urgent', '0')))).toEqual([
    { accounts: ['a'] },
    { urgent: ['b'] },
  ])
})

test.each(queueShards)(
  'facts have a queue of their own, in which they wait for their place in the tree: %s',
  async (shard) => {
    expect(await handed(record('a', `${toSequencePrefix}${shard}`), record('b', queueKey('urgent', '0')))).toEqual([
      { sequence: ['a'] },
      { urgent: ['b'] },
    ])
  },
)

test('what came together for one queue is one message, in its order, so that it leaves one after another', async () => {
  const batch = [
    record('a', queueKey('urgent', '0')),
    record('b', queueKey('unsent', '1')),
    record('c', queueKey('urgent', '2')),
  ]
  expect(await handed(...batch)).toEqual([{ urgent: ['a', 'c'] }, { others: ['b'] }])
})

test('a notice that is claimed or given back lies where it lay, and is not handed on again', async () => {
  const claimed = [record('a', queueKey('unsent', '0'), 'MODIFY'), record('b', queueKey('urgent', '0'), 'MODIFY')]
  expect(await handed(...claimed)).toEqual([])
  expect(await handed(record('c', queueKey('undelivered', '0'), 'MODIFY'))).toEqual([{ undelivered: ['c'] }])
})

test('what nobody waits for is handed to nobody', async () => {
  expect(await handed(record('a'), record('b', queueKey('unanswered', '0')))).toEqual([])
})

test('a message says where a notice lies, and nothing that it says', async () => {
  const bodies: string[] = []
  await handOn(async (_, body) => bodies.push(body), [record('a', queueKey('unsent', '0'))])
  expect(bodies).toEqual(['[{"pk":"a","sk":"NOTICE"}]'])
})

describe('a queue that takes nothing', () => {
  const away =
    (...queues: QueueName[]) =>
    (queue: QueueName) =>
      queues.includes(queue) ? Promise.reject(new Error('away')) : Promise.resolve()
  const batch = [
    record('a', queueKey('unsent', '0')),
    record('b', queueKey('urgent', '0')),
    record('c', queueKey('undelivered', '0')),
  ]
  let said: unknown[][]
  beforeEach(() => {
    said = vi.spyOn(console, 'error').mockImplementation(() => undefined).mock.calls
  })
  afterEach(() => vi.restoreAllMocks())

  test.each<[QueueName[], string[]]>([
    [[], []],
    [['urgent'], ['b']],
    [
      ['others', 'undelivered'],
      ['a', 'c'],
    ],
    [
      ['urgent', 'others', 'undelivered'],
      ['a', 'b', 'c'],
    ],
  ])('leaves its own records to come again, and keeps nothing from the others: %j', async (queues, left) => {
    const { batchItemFailures } = await handOn(away(...queues), batch)
    expect(batchItemFailures.map(({ itemIdentifier }) => itemIdentifier).sort()).toEqual(left)
  })

  test('is waited for no less than those that take: what is answered was handed on, or is left', async () => {
    const taken: QueueName[] = []
    await handOn(async (queue) => {
      if (queue === 'urgent') throw new Error('away')
      await pause(20)
      taken.push(queue)
    }, batch)
    expect(taken.sort()).toEqual(['others', 'undelivered'])
  })

  test('is said by the words on which the alarm rings, and without the notice', async () => {
    await handOn(away('urgent'), batch)
    expect(said.map(([line]) => JSON.parse(String(line)))).toEqual([
      { level: 'error', event: 'not handed on', queue: 'urgent', trouble: 'Error: away' },
    ])
  })
})
