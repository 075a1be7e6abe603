/** What stands between a function and AWS: its own role decides, and what AWS refuses is refused. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type FixtureStack, startFixtureStack } from './fixture-stack.ts'

let stack: FixtureStack
beforeAll(async () => {
  stack = await startFixtureStack()
})
afterAll(() => stack?.stop())

interface Tried {
  readonly done?: object
  readonly refused?: { name: string; message: string; status: number; CancellationReasons?: { Code: string }[] }
}

const table = async (command: string, input: object = {}) =>
  (await stack.call('POST', `/v1/table/${command}`, input)).json as Tried
const key = (sk: string) => ({ pk: { S: 'p' }, sk: { S: sk } })
const name = () => stack.parts.table.name
const put = (sk: string) => ({ Put: { TableName: name(), Item: key(sk) } })

describe('a call that the role grants', () => {
  test.each([
    ['PutItem', { Item: key('1') }],
    ['GetItem', { Key: key('1') }],
    ['UpdateItem', { Key: key('1'), UpdateExpression: 'SET a = :a', ExpressionAttributeValues: { ':a': { S: '1' } } }],
    ['Query', { KeyConditionExpression: 'pk = :p', ExpressionAttributeValues: { ':p': { S: 'p' } } }],
    [
      'Query',
      { IndexName: 'by-lot', KeyConditionExpression: 'lotKey = :p', ExpressionAttributeValues: { ':p': { S: 'p' } } },
    ],
  ])('%s is done', async (command, input) => {
    expect(await table(command, input)).toMatchObject({ done: expect.anything() })
  })

  test('a transaction of granted parts is done', async () => {
    expect(await table('TransactWriteItems', { TransactItems: [put('2'), put('2b')] })).toMatchObject({
      done: expect.anything(),
    })
  })
})

describe('a call that the role does not grant is denied as AWS denies it', () => {
  test.each([
    ['DeleteItem', { Key: key('1') }],
    ['Scan', {}],
    ['DescribeTable', {}],
    ['DeleteTable', {}],
    ['UpdateTable', { DeletionProtectionEnabled: false }],
  ])('%s', async (command, input) => {
    const { refused } = await table(command, input)
    expect(refused).toMatchObject({ name: 'AccessDeniedException', status: 400 })
    expect(refused?.message).toMatch(
      new RegExp(
        `^User: arn:aws:sts::\\d{12}:assumed-role/Quarterturn-RestDoorRole\\w+/Quarterturn-RestDoorFunction\\w+ is ` +
          'not authorized to perform: ' +
          `dynamodb:${command} on resource: arn:aws:dynamodb:us-east-1:\\d{12}:table/Quarterturn-Table\\w+ because`,
      ),
    )
  })

  test('a transaction with one part that is not granted, and nothing of it is written', async () => {
    const remove = { Delete: { TableName: name(), Key: key('1') } }
    const check = {
      ConditionCheck: { TableName: name(), Key: key('none'), ConditionExpression: 'attribute_not_exists(pk)' },
    }
    for (const [part, action] of [
      [remove, 'dynamodb:DeleteItem'],
      [check, 'dynamodb:ConditionCheckItem'],
    ] as const) {
      const { refused } = await table('TransactWriteItems', { TransactItems: [put('3'), part] })
      expect(refused).toMatchObject({ name: 'AccessDeniedException' })
      expect(refused?.message).toContain(action)
    }
    expect(await table('GetItem', { Key: key('3') })).not.toHaveProperty('done.Item')
  })

  test('another table, and an index that is not the function’s', async () => {
    expect(await table('GetItem', { TableName: 'another', Key: key('1') })).toMatchObject({
      refused: { name: 'AccessDeniedException' },
    })
    const index = {
      IndexName: 'by-moon',
      KeyConditionExpression: 'a = :p',
      ExpressionAttributeValues: { ':p': { S: 'p' } },
    }
    expect(await table('Query', index)).toMatchObject({ refused: { name: 'AccessDeniedException' } })
  })

  test('an object that is read or removed by a function that may only write, and it stays', async () => {
    const key = 'journal/organisations/demo/2026-03-02/15-00-00-000Z-0.ndjson'
    expect(await stack.invoke('JournalDoor', { key, text: 'kept' })).toEqual({ done: true })
    for (const [tries, action] of [
      ['read', 's3:GetObject'],
      ['delete', 's3:DeleteObject'],
    ])
      expect(await stack.invoke('JournalDoor', { key, tries })).toMatchObject({
        refused: { name: 'AccessDenied', message: expect.stringContaining(String(action)) },
      })
    expect(await stack.invoke('JournalDoor', { key: 'elsewhere', text: 'x' })).toMatchObject({
      refused: { name: 'AccessDenied' },
    })
  })

  test('mail from a function that may send none', async () => {
    const { json } = await stack.call('POST', '/v1/mail', {
      raw: 'From: a@quarterturn.example\r\nTo: b@crew.example\r\n\r\nx',
    })
    expect(json).toMatchObject({ refused: { status: 403, message: expect.stringContaining('ses:SendRawEmail') } })
  })

  test('a caller that is no function of the template', async () => {
    const answer = await fetch(
      ((await stack.call('GET', '/v1/environment')).json as Record<string, string>).AWS_ENDPOINT_URL_DYNAMODB ?? '',
      {
        method: 'POST',
        headers: {
          'x-amz-target': 'DynamoDB_20120810.ListTables',
          authorization: 'AWS4-HMAC-SHA256 Credential=X/1/us-east-1/dynamodb/aws4_request',
        },
        body: '{}',
      },
    )
    expect(answer.status).toBe(400)
    expect(await answer.text()).toContain('UnrecognizedClientException')
  })
})

// DynamoDB Local lets all of 40 raced transactions on one item pass; DynamoDB cancels those that meet another
describe('a race', () => {
  interface Raced {
    readonly status: number
    readonly answer: { __type?: string; CancellationReasons?: { Code: string }[] }
  }

  /** All at once at the door itself: the functions' threads would hand them in four at a time. */
  async function race(body: string): Promise<Raced[]> {
    const environment = (await stack.call('GET', '/v1/environment')).json as Record<string, string>
    const headers = {
      'x-amz-target': 'DynamoDB_20120810.TransactWriteItems',
      'content-type': 'application/x-amz-json-1.0',
      authorization:
        `AWS4-HMAC-SHA256 Credential=${environment.AWS_ACCESS_KEY_ID}/20260101/us-east-1/dynamodb/aws4_request, ` +
        'SignedHeaders=host, Signature=0',
    }
    const one = async () => {
      const answer = await fetch(environment.AWS_ENDPOINT_URL_DYNAMODB ?? '', { method: 'POST', headers, body })
      return { status: answer.status, answer: (await answer.json()) as Raced['answer'] }
    }
    return Promise.all(Array.from({ length: 40 }, one))
  }

  test('of transactions for one item: some are cancelled as conflicts, and say which part it was', async () => {
    const items = { TransactItems: [put('other'), put('raced')] }
    const raced: Raced[] = []
    for (let rounds = 0; rounds < 20 && !raced.some(({ status }) => status === 400); rounds++) {
      raced.push(...(await race(JSON.stringify(items))))
    }
    const cancelled = raced.filter(({ status }) => status !== 200)
    expect(raced.length - cancelled.length).toBeGreaterThan(0)
    expect(cancelled.length).toBeGreaterThan(0)
    for (const { answer } of cancelled) {
      expect(answer.__type).toMatch(/#TransactionCanceledException$/)
      expect(answer.CancellationReasons?.map(({ Code }) => Code)).toEqual([
        'TransactionConflict',
        'TransactionConflict',
      ])
    }
    expect(await table('TransactWriteItems', items)).toHaveProperty('done')
  })

  test('the emulator alone lets every one pass: once it does not, our own refusal can go', async () => {
    const headers = {
      'x-amz-target': 'DynamoDB_20120810.TransactWriteItems',
      'content-type': 'application/x-amz-json-1.0',
      authorization:
        'AWS4-HMAC-SHA256 Credential=local/20260101/us-east-1/dynamodb/aws4_request, SignedHeaders=host, Signature=0',
    }
    const body = JSON.stringify({ TransactItems: [put('raced')] })
    const raced = await Promise.all(
      Array.from({ length: 40 }, () => fetch(stack.parts.table.endpoint, { method: 'POST', headers, body })),
    )
    expect(raced.map(({ status }) => status)).toEqual(Array.from({ length: 40 }, () => 200))
  })
})
