/** What its one reader is given of the table's stream, and what becomes of what it cannot handle. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { RunResult } from '../../cdk/local/functions/worker.ts'
import { type BatchRules, handleBatch, type StreamRecord } from '../../cdk/local/sources/batches.ts'
import { filterOf } from '../../cdk/local/sources/filter.ts'
import { type FixtureStack, startFixtureStack } from './fixture-stack.ts'

const record = (name: string): StreamRecord => ({ eventID: name, dynamodb: { SequenceNumber: name } })
const ok = (answer: unknown): RunResult => ({ ok: true, payload: JSON.stringify(answer) })
const thrown: RunResult = { ok: false, errorType: 'Error', errorMessage: 'thrown' }

/** Runs a batch; `answer` says what the function does with the names it is given. */
async function run(
  names: string[],
  answer: (names: string[], call: number) => RunResult,
  change: Partial<BatchRules> = {},
) {
  const calls: string[] = []
  const givenUp: string[] = []
  const text = (records: readonly StreamRecord[]) => records.map(({ dynamodb }) => dynamodb.SequenceNumber).join('')
  await handleBatch(names.map(record), {
    invoke: async (records) => {
      calls.push(text(records))
      return answer([...text(records)], calls.length)
    },
    giveUp: async (records, why) => void givenUp.push(`${text(records)} ${why}`),
    reportsItems: true,
    halves: true,
    mostRetries: 2,
    tooOld: () => false,
    ...change,
  })
  return { calls, givenUp }
}

const failing =
  (...bad: string[]) =>
  (names: string[]) =>
    ok({ batchItemFailures: names.filter((name) => bad.includes(name)).map((itemIdentifier) => ({ itemIdentifier })) })
const throwing =
  (...bad: string[]) =>
  (names: string[]) =>
    names.some((name) => bad.includes(name)) ? thrown : ok({ batchItemFailures: [] })

describe('a batch', () => {
  test('that is taken is not given again', async () => {
    expect(await run(['a', 'b', 'c'], failing())).toEqual({ calls: ['abc'], givenUp: [] })
    for (const answer of [null, {}, { batchItemFailures: [] }]) {
      expect(await run(['a', 'b'], () => ok(answer))).toEqual({ calls: ['ab'], givenUp: [] })
    }
  })

  test('of which one record fails comes again from that record on, and no record before it', async () => {
    const once = (names: string[], call: number) => (call === 1 ? failing('b')(names) : failing()(names))
    expect(await run(['a', 'b', 'c'], once)).toEqual({ calls: ['abc', 'bc'], givenUp: [] })
  })

  test('of which several fail comes again from the first of them on', async () => {
    const once = (names: string[], call: number) => (call === 1 ? failing('d', 'b')(names) : failing()(names))
    expect((await run(['a', 'b', 'c', 'd'], once)).calls).toEqual(['abcd', 'bcd'])
  })

  test('whose report names a record it was not given fails as a whole', async () => {
    const once = (_: string[], call: number) => ok({ batchItemFailures: call === 1 ? [{ itemIdentifier: 'z' }] : [] })
    expect((await run(['a', 'b'], once)).calls).toEqual(['ab', 'ab'])
  })

  test('that makes the function throw is halved until the record that does it stands alone', async () => {
    expect(await run(['a', 'b', 'c', 'd'], throwing('c'))).toEqual({
      calls: ['abcd', 'ab', 'cd', 'c', 'c', 'c', 'd'],
      givenUp: ['c RetryAttemptsExhausted'],
    })
  })

  test('is not halved unless the mapping says so', async () => {
    expect(await run(['a', 'b'], throwing('b'), { halves: false })).toEqual({
      calls: ['ab', 'ab', 'ab'],
      givenUp: ['ab RetryAttemptsExhausted'],
    })
  })

  test('without item reports: what does not throw is taken', async () => {
    expect(await run(['a', 'b'], failing('a'), { reportsItems: false })).toEqual({ calls: ['ab'], givenUp: [] })
  })

  // one record that could not be handled blocked its shard for a day (wellcomecollection/platform PR#954)
  test('is given up after its retries, from the failing record on', async () => {
    expect(await run(['a', 'b', 'c'], failing('b'))).toEqual({
      calls: ['abc', 'bc', 'bc'],
      givenUp: ['bc RetryAttemptsExhausted'],
    })
  })

  test('without the records that are too old', async () => {
    const tooOld = ({ dynamodb }: StreamRecord) => dynamodb.SequenceNumber === 'a'
    expect(await run(['a', 'b'], failing(), { tooOld })).toEqual({ calls: ['b'], givenUp: ['a RecordAgeExceeded'] })
  })
})

describe('a filter', () => {
  const notices = filterOf(['{"eventName":["INSERT"],"dynamodb":{"NewImage":{"entity":{"S":["notice"]}}}}'])
  test.each([
    [true, { eventName: 'INSERT', dynamodb: { NewImage: { entity: { S: 'notice' }, more: { S: 'x' } } } }],
    [false, { eventName: 'MODIFY', dynamodb: { NewImage: { entity: { S: 'notice' } } } }],
    [false, { eventName: 'INSERT', dynamodb: { NewImage: { entity: { S: 'fact' } } } }],
    [false, { eventName: 'INSERT', dynamodb: { NewImage: {} } }],
    [false, { eventName: 'REMOVE', dynamodb: { OldImage: { entity: { S: 'notice' } } } }],
  ])('lets through: %s for %j', (passes, given) => {
    expect(notices(given)).toBe(passes)
  })

  test('any of several is enough, and none lets all through', () => {
    const either = filterOf(['{"a":["x"]}', '{"a":[{"prefix":"y"}]}'])
    expect(['x', 'yes', 'z'].map((a) => either({ a }))).toEqual([true, true, false])
    expect(filterOf([])({})).toBe(true)
    expect(filterOf(['{"a":[{"exists":false}]}'])({ b: 1 })).toBe(true)
    expect(filterOf(['{"a":[{"anything-but":["x"]}]}'])({ a: 'y' })).toBe(true)
  })

  test('with a rule that is not known stops the stack, not the mail', () => {
    expect(() => filterOf(['{"a":[{"numeric":[">",1]}]}'])).toThrow('numeric')
  })
})

describe('the stream of a stack', () => {
  let stack: FixtureStack
  beforeAll(async () => {
    stack = await startFixtureStack()
  })
  afterAll(() => stack?.stop())

  interface Batch {
    readonly batch: string[]
  }
  const batches = () => stack.logged<Batch>('batch').map(({ batch }) => batch)

  async function write(entity: string, ...items: [sk: string, does?: string][]): Promise<void> {
    const TransactItems = items.map(([sk, does]) => ({
      Put: {
        TableName: stack.parts.table.name,
        Item: {
          pk: { S: 'p' },
          sk: { S: sk },
          entity: { S: entity },
          ...(does === undefined ? {} : { does: { S: does } }),
        },
      },
    }))
    const { json } = await stack.call('POST', '/v1/table/TransactWriteItems', { TransactItems })
    expect(json).toHaveProperty('done')
    await stack.settle()
  }

  test('what is kept for ever arrives, and its changes; progress of lists does not', async () => {
    await write('reindexed', ['R1'])
    await write('notice', ['N1'], ['N2'])
    await write('notice', ['N1'])
    await write('fact', ['F1'])
    await write('notice', ['N1', 'changed'])
    expect(batches()).toEqual([['N1', 'N2'], ['F1'], ['N1']])
  })

  test('no batch is larger than the mapping says', async () => {
    const before = batches().length
    await write('notice', ...Array.from({ length: 23 }, (_, i): [string] => [`M${String(i).padStart(2, '0')}`]))
    expect(
      batches()
        .slice(before)
        .map(({ length }) => length),
    ).toEqual([10, 10, 3])
  })

  test('a record reported as failed comes again; in the end it lies in the dead letters with its place', async () => {
    const before = batches().length
    await write('notice', ['P1'], ['P2', 'fail'], ['P3'])
    expect(batches().slice(before)).toEqual([['P1', 'P2', 'P3'], ...Array.from({ length: 5 }, () => ['P2', 'P3'])])
    const letters = await stack.queue('HandOnNotHandedOn')
    expect(letters).toMatchObject([
      {
        requestContext: { condition: 'RetryAttemptsExhausted' },
        DDBStreamBatchInfo: { batchSize: 2, streamArn: expect.stringContaining('/stream/') },
      },
    ])
    expect(JSON.stringify(letters)).not.toContain('P2')
  })

  test('one that makes the function throw keeps none of the others', async () => {
    const before = batches().length
    await write('notice', ['T1'], ['T2', 'throw'], ['T3'], ['T4'])
    const after = batches().slice(before)
    expect(after.filter((names) => !names.includes('T2'))).toEqual([['T1'], ['T3', 'T4']])
    await write('notice', ['U1'])
    expect(batches().at(-1)).toEqual(['U1'])
  })
})
