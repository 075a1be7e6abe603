/** What the mailer is given of its queues, and what becomes of what it cannot handle. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { RunResult } from '../../cdk/local/functions/worker.ts'
import { failedOf } from '../../cdk/local/sources/queue.ts'
import type { QueueMessage } from '../../cdk/local/sources/queues.ts'
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
