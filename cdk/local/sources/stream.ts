/** Reads the table's stream for the template's event source mappings, as Lambda's poller does. */
import type { LocalFunction } from '../functions/functions.ts'
import type { DynamoDb } from '../table/dynamodb.ts'
import type { Properties } from '../template/template.ts'
import { type BatchRules, handleBatch, type StreamRecord } from './batches.ts'
import { filterOf } from './filter.ts'
import { type Consumer, type Poller, poll } from './poller.ts'
import type { Queues } from './queues.ts'

export interface StreamParts {
  readonly dynamodb: DynamoDb
  /** the ARN by which the emulator knows the stream of the template's table */
  readonly streamArn: string
  readonly functionOf: (name: string) => LocalFunction
  readonly queues: Queues
}

/** Mappings that begin at the same place in the stream share one look at it. */
export function streamPollers(parts: StreamParts, mappings: readonly Properties[]): Poller[] {
  return [...Map.groupBy(mappings, ({ StartingPosition }) => StartingPosition)].map(([position, together]) =>
    poll(
      { name: 'stream', next: reader(parts, position), breathMillis: 15, idleMillis: 250 },
      together.map((mapping) => consumer(mapping, parts)),
    ),
  )
}

/** A mapping takes its batches one after another, whatever becomes of the batches of other mappings. */
function consumer(mapping: Properties, parts: StreamParts): Consumer<StreamRecord> {
  const rules = batchRules(mapping, parts)
  const passes = filterOf((mapping.FilterCriteria?.Filters ?? []).map(({ Pattern }: Properties) => Pattern))
  const size: number = mapping.BatchSize ?? 100
  const waiting: StreamRecord[] = []
  let stopped = false
  let handedOn = 0
  let busy = false
  let running: Promise<void> = Promise.resolve()

  async function run(): Promise<void> {
    busy = true
    while (waiting.length > 0 && !stopped) {
      handedOn++
      try {
        await handleBatch(waiting.splice(0, size), rules)
      } catch (error) {
        if (!stopped) console.error(`A batch of the stream could not be handled: ${error}`)
      }
    }
    busy = false
  }

  return {
    take(records) {
      const seen = records.map((record) => ({ ...record, eventSourceARN: mapping.EventSourceArn }))
      waiting.push(...seen.filter(passes))
      if (!busy) running = run()
    },
    busy: () => busy,
    idle: () => running,
    handedOn: () => handedOn,
    stop: () => {
      stopped = true
    },
  }
}

function batchRules(mapping: Properties, { functionOf, queues }: StreamParts): BatchRules {
  const target = functionOf(mapping.FunctionName)
  const oldestSeconds: number = mapping.MaximumRecordAgeInSeconds ?? -1
  const destination: string | undefined = mapping.DestinationConfig?.OnFailure?.Destination
  return {
    invoke: (records) => target.invoke({ Records: records }),
    giveUp: async (records, why) => {
      if (destination !== undefined)
        await queues.send(
          destination,
          givenUp(records, why, { functionArn: target.arn, streamArn: mapping.EventSourceArn }),
        )
    },
    reportsItems: (mapping.FunctionResponseTypes ?? []).includes('ReportBatchItemFailures'),
    halves: mapping.BisectBatchOnFunctionError ?? false,
    mostRetries: mapping.MaximumRetryAttempts ?? -1,
    tooOld: ({ dynamodb }) =>
      oldestSeconds >= 0 &&
      (dynamodb.ApproximateCreationDateTime ?? Number.POSITIVE_INFINITY) < Date.now() / 1000 - oldestSeconds,
  }
}

/** Dead letters name the place of the records in the stream and leave the records out, as AWS does. */
function givenUp(
  records: readonly StreamRecord[],
  why: string,
  { functionArn, streamArn }: { readonly functionArn: string; readonly streamArn: string },
): object {
  const times = records.map(({ dynamodb }) =>
    new Date((dynamodb.ApproximateCreationDateTime ?? 0) * 1000).toISOString(),
  )
  return {
    version: '1.0',
    timestamp: new Date().toISOString(),
    requestContext: { functionArn, condition: why },
    responseContext: { statusCode: 200, executedVersion: '$LATEST', functionError: 'Unhandled' },
    DDBStreamBatchInfo: {
      shardId: 'shardId-local',
      startSequenceNumber: records.at(0)?.dynamodb.SequenceNumber,
      endSequenceNumber: records.at(-1)?.dynamodb.SequenceNumber,
      approximateArrivalOfFirstRecord: times.at(0),
      approximateArrivalOfLastRecord: times.at(-1),
      batchSize: records.length,
      streamArn,
    },
  }
}

const streams = (operation: string) => `DynamoDBStreams_20120810.${operation}`

/** The next records in order; none when the end is reached. A shard that closes is followed by its child. */
function reader({ dynamodb, streamArn }: StreamParts, startingPosition: string): () => Promise<StreamRecord[]> {
  const done = new Set<string>()
  let shard: string | undefined
  let iterator: string | undefined

  async function open(): Promise<boolean> {
    const { StreamDescription } = await dynamodb.call(streams('DescribeStream'), { StreamArn: streamArn })
    const shards: Properties[] = StreamDescription.Shards
    const ready = shards.find(({ ShardId, ParentShardId }) => {
      const parentLeft = shards.some((other) => other.ShardId === ParentShardId) && !done.has(ParentShardId)
      return !done.has(ShardId) && !parentLeft
    })
    if (ready === undefined) return false
    shard = ready.ShardId
    const position = done.size === 0 ? startingPosition : 'TRIM_HORIZON'
    const request = { StreamArn: streamArn, ShardId: shard, ShardIteratorType: position }
    iterator = (await dynamodb.call(streams('GetShardIterator'), request)).ShardIterator
    return true
  }

  return async () => {
    if (iterator === undefined && !(await open())) return []
    const { Records, NextShardIterator } = await dynamodb.call(streams('GetRecords'), {
      ShardIterator: iterator,
      Limit: 1000,
    })
    iterator = NextShardIterator
    if (iterator === undefined && shard !== undefined) done.add(shard)
    return Records
  }
}
