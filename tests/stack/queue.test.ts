/** What the mailer is given of its queues, and what becomes of what it cannot handle. */
import { setTimeout as pause } from 'node:timers/promises'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { LocalFunction } from '../../cdk/local/functions/functions.ts'
import type { RunResult } from '../../cdk/local/functions/worker.ts'
import { failedOf, queuePoller } from '../../cdk/local/sources/queue.ts'
import type { QueueMessage, Queues } from '../../cdk/local/sources/queues.ts'
import { type FixtureStack, startFixtureStack } from './fixture-stack.ts'

const messages = ['a', 'b', 'c'].map((MessageId) => ({ MessageId }) as QueueMessage)
const ok = (answer: unknown): RunResult => ({ ok: true, payload: JSON.stringify(answer) })
const report = (...ids: unknown[]) => ok({ batchItemFailures: ids.map((itemIdentifier) => ({ itemIdentifier })) })

// AWS Lambda Developer Guide, "Implementing partial batch responses" for SQS (from memory)
describe('of a batch come again', () => {
  test.each<[string, RunResult, string]>([
    ['those that are reported', report('c', 'a'), 'ac'],
    ['none where none is reported', report(), ''],
    ['none where nothing is said', ok(null), ''],
    ['all where a report names one that it was not given', report('a', 'z'), 'abc'],
    ['all where a report names nothing', report(''), 'abc'],
    ['all where the function throws', { ok: false, errorType: 'Error', errorMessage: 'thrown' }, 'abc'],
  ])('%s', (_, outcome, again) => {
    const failed = failedOf(messages, outcome, true).map(({ MessageId }) => MessageId)
    expect(failed.sort().join('')).toBe(again)
  })

  test('none that is reported where the mapping takes no reports', () => {
    expect(failedOf(messages, report('a'), false)).toEqual([])
  })
})

describe('a batching window', () => {
  /** A poller over messages that lie there from the start, and the sizes of the batches that it hands on. */
  function polled(count: number, window?: number) {
    const sizes: number[] = []
    let lying = Array.from({ length: count }, (_, i) => ({ MessageId: `m${i}` }) as QueueMessage)
    const queues = {
      receive: async () => lying.splice(0),
      watch: () => undefined,
      remove: async () => undefined,
    } as unknown as Queues // what a poller asks of them
    const invoke = async ({ Records }: { Records: unknown[] }) => {
      sizes.push(Records.length)
      return ok(null)
    }
    const functionOf = () => ({ invoke }) as unknown as LocalFunction // what a poller asks of it
    const parts = { functionOf, queues, region: 'us-east-1' }
    const mapping = { EventSourceArn: 'arn', FunctionName: 'f', BatchSize: 10, MaximumBatchingWindowInSeconds: window }
    const poller = queuePoller(parts, mapping)
    const add = (more: number) => {
      lying = Array.from({ length: more }, (_, i) => ({ MessageId: `n${i}` }) as QueueMessage)
      poller.wake()
    }
    return { sizes, poller, add }
  }
  const soon = () => pause(50)

  test('gathers what comes within it, and ends at once where somebody waits', async () => {
    const { sizes, poller, add } = polled(2, 600)
    await soon()
    add(3)
    await soon()
    expect(sizes).toEqual([])
    await poller.drained()
    expect(sizes).toEqual([5])
    await poller.stop()
  })

  test('ends where a batch is full, and what is left is handed on with it', async () => {
    const { sizes, poller } = polled(13, 600)
    await soon()
    expect(sizes).toEqual([10, 3])
    await poller.stop()
  })

  test('ends by itself; what still waits at the end of the stack is handed on', async () => {
    const brief = polled(2, 0.02)
    await soon()
    expect(brief.sizes).toEqual([2])
    await brief.poller.stop()
    const long = polled(2, 600)
    await soon()
    await long.poller.stop()
    expect(long.sizes).toEqual([2])
  })

  test('without one, messages are handed on as they come', async () => {
    const { sizes, poller } = polled(2)
    await soon()
    expect(sizes).toEqual([2])
    await poller.stop()
  })
})

describe('the queues of a stack', () => {
  let stack: FixtureStack
  beforeAll(async () => {
    stack = await startFixtureStack()
  })
  afterAll(() => stack?.stop())

  interface Handed {
    readonly message: { readonly name: string; readonly does?: string }
    readonly times: string
    readonly from: string
  }
  const handed = (name: string) => stack.logged<Handed>('message').filter(({ message }) => message.name === name)

  /** Through the stream and its reader, as notices come. */
  async function send(...all: Handed['message'][]): Promise<void> {
    const TransactItems = all.map((message) => ({
      Put: {
        TableName: stack.parts.table.name,
        Item: {
          pk: { S: 'p' },
          sk: { S: message.name },
          entity: { S: 'notice' },
          sends: { S: JSON.stringify(message) },
        },
      },
    }))
    expect((await stack.call('POST', '/v1/table/TransactWriteItems', { TransactItems })).json).toHaveProperty('done')
    await stack.settle()
  }

  test('a message comes once, with all that AWS says of it, and before the stack is called settled', async () => {
    await send({ name: 'M1' })
    expect(handed('M1')).toMatchObject([
      { times: '1', from: expect.stringMatching(/:Quarterturn-DeliverNoticesUrgent/) },
    ])
  })

  test('one that is reported as failed comes again and keeps no other', async () => {
    await send({ name: 'F1', does: 'fail once' }, { name: 'F2' })
    expect(handed('F1').map(({ times }) => times)).toEqual(['1', '2'])
    expect(handed('F2')).toHaveLength(1)
  })

  test.each(['fail', 'throw'])(
    'one that does not cease to %s lies in the dead letters after five times',
    async (does) => {
      await send({ name: does, does })
      expect(handed(does).map(({ times }) => times)).toEqual(['1', '2', '3', '4', '5'])
      expect(await stack.queue('DeliverNoticesUnsent')).toContainEqual({ name: does, does })
    },
  )

  test('a function may send to the queues that its role names, and the address of none lets in another', async () => {
    const queue = stack.parts.deployed.all('AWS::SQS::Queue').find(({ id }) => id.startsWith('DeliverNoticesUrgent'))
    const QueueUrl = stack.parts.deployed.url(queue?.id ?? '')
    const { json } = await stack.call('POST', '/v1/queue/SendMessage', { QueueUrl, MessageBody: '{"name":"X"}' })
    expect(json).toMatchObject({
      refused: { name: 'AccessDeniedException', status: 403, message: expect.stringContaining('sqs:SendMessage') },
    })
    await stack.settle()
    expect(handed('X')).toEqual([])
  })

  test.each(['ReceiveMessage', 'DeleteMessageBatch', 'PurgeQueue', 'ListQueues'])('nor may it %s', async (command) => {
    const Entries = [{ Id: '1', ReceiptHandle: 'none' }]
    const { json } = await stack.call('POST', `/v1/queue/${command}`, {
      QueueUrl: 'https://sqs.us-east-1.amazonaws.com/1/q',
      Entries,
    })
    expect(json).toMatchObject({ refused: { name: 'AccessDeniedException' } })
  })
})
