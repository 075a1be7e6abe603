/** Reads a queue for an event source mapping, as Lambda's poller does. */
import { setTimeout as pause } from 'node:timers/promises'
import type { SQSRecord } from 'aws-lambda'
import type { LocalFunction } from '../functions/functions.ts'
import type { RunResult } from '../functions/worker.ts'
import type { Properties } from '../template/template.ts'
import { type Consumer, type Poller, poll } from './poller.ts'
import type { QueueMessage, Queues } from './queues.ts'

export interface QueueParts {
  readonly functionOf: (name: string) => LocalFunction
  readonly queues: Queues
  readonly region: string
}

/** The number that AWS begins with where the mapping names no limit. */
const batchesAtOnce = 5

export function queuePoller(parts: QueueParts, mapping: Properties): Poller {
  const { EventSourceArn, FilterCriteria } = mapping
  if (FilterCriteria !== undefined) throw new Error(`the local stack filters no messages of a queue: ${EventSourceArn}`)
  const { queues } = parts
  const source = { name: 'queue', next: () => queues.receive(EventSourceArn), breathMillis: 0, idleMillis: 1000 }
  const poller = poll(source, [consumer(mapping, parts)])
  queues.watch(EventSourceArn, poller.wake)
  return poller
}

function consumer(mapping: Properties, parts: QueueParts): Consumer<QueueMessage> {
  const size: number = mapping.BatchSize ?? 10
  const windowMillis = 1000 * (mapping.MaximumBatchingWindowInSeconds ?? 0)
  const most: number = mapping.ScalingConfig?.MaximumConcurrency ?? batchesAtOnce
  const waiting: QueueMessage[] = []
  const underWay = new Set<Promise<void>>()
  let stopped = false
  let handedOn = 0
  /** runs while what waits is fewer than a batch and more may come */
  let gathering: NodeJS.Timeout | undefined

  function hurry(): void {
    clearTimeout(gathering)
    gathering = undefined
    start()
  }

  function start(): void {
    while (waiting.length > 0 && gathering === undefined && underWay.size < most && !stopped) {
      handedOn++
      const run: Promise<void> = handle(waiting.splice(0, size), mapping, parts)
        .catch((error) => {
          if (!stopped) console.error(`A batch of a queue could not be handled: ${error}`)
        })
        .finally(() => {
          underWay.delete(run)
          start()
        })
      underWay.add(run)
    }
  }

  return {
    take(messages) {
      const isFirst = waiting.length === 0
      waiting.push(...messages)
      if (waiting.length >= size || windowMillis === 0) return hurry()
      if (isFirst && gathering === undefined) gathering = setTimeout(hurry, windowMillis)
    },
    hurry,
    busy: () => underWay.size > 0 || waiting.length > 0,
    idle: async () => {
      while (underWay.size > 0) await Promise.all(underWay)
    },
    handedOn: () => handedOn,
    stop: () => {
      stopped = true
      clearTimeout(gathering)
    },
  }
}

async function handle(messages: readonly QueueMessage[], mapping: Properties, parts: QueueParts): Promise<void> {
  const { queues, functionOf, region } = parts
  const { EventSourceArn: arn, FunctionName, FunctionResponseTypes = [] } = mapping
  const outcome = await functionOf(FunctionName).invoke({ Records: messages.map((one) => recordOf(one, arn, region)) })
  const failed = failedOf(messages, outcome, FunctionResponseTypes.includes('ReportBatchItemFailures'))
  const taken = messages.filter((message) => !failed.includes(message))
  await Promise.all(taken.map((message) => queues.remove(arn, message)))
  if (failed.length === 0) return
  // AWS waits until the visibility timeout of the queue is over
  await pause(Math.min(20 * 2 ** timesReceived(failed[0]), 1000))
  await Promise.all(failed.map((message) => queues.giveBack(arn, message)))
}

const timesReceived = (message: QueueMessage | undefined) =>
  Number(message?.Attributes.ApproximateReceiveCount ?? 1) - 1

/** A report that names no message of the batch fails all of it. An empty report is success. @lintignore tested alone */
export function failedOf(
  messages: readonly QueueMessage[],
  outcome: RunResult,
  reportsItems: boolean,
): readonly QueueMessage[] {
  if (!outcome.ok) return messages
  if (!reportsItems) return []
  const failures = (JSON.parse(outcome.payload) as { batchItemFailures?: { itemIdentifier?: unknown }[] } | null)
    ?.batchItemFailures
  if (!Array.isArray(failures)) return []
  const named = failures.map(({ itemIdentifier }) => messages.find(({ MessageId }) => MessageId === itemIdentifier))
  const known = named.filter((message) => message !== undefined)
  return known.length === named.length ? known : messages
}

function recordOf(message: QueueMessage, eventSourceARN: string, awsRegion: string): SQSRecord {
  return {
    messageId: message.MessageId,
    receiptHandle: message.ReceiptHandle,
    body: message.Body,
    md5OfBody: message.MD5OfBody,
    attributes: message.Attributes as unknown as SQSRecord['attributes'], // asked for by name; a record does not say so
    messageAttributes: {},
    eventSource: 'aws:sqs',
    eventSourceARN,
    awsRegion,
  }
}
