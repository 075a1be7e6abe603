/**
 * The one reader of the table's stream. It hands on to queues and decides nothing: where a notice lies says who is to
 * have it, and all that is kept for ever goes to the journal besides.
 */
import type { DynamoDBBatchResponse, DynamoDBRecord } from 'aws-lambda'
import { describe, log } from '../ground/log.ts'
import { handedOn } from '../store/handed-on.ts'
import { journalLineOf, messagesOf } from '../store/journal.ts'
import {
  accountsQueue,
  alarmWords,
  importsQueue,
  plansQueue,
  queuePrefix,
  toSequencePrefix,
} from '../store/table-shape.ts'

export type QueueName = 'urgent' | 'others' | 'undelivered' | 'accounts' | 'journal' | 'sequence' | 'imports' | 'plans'

/** The beginnings of keys, and the queue to which each leads; the first that fits. */
const ways: readonly (readonly [beginsWith: string, QueueName])[] = [
  [queuePrefix.urgent, 'urgent'],
  [queuePrefix.unsent, 'others'],
  [queuePrefix.undelivered, 'undelivered'],
  [accountsQueue, 'accounts'],
  [toSequencePrefix, 'sequence'],
  [importsQueue, 'imports'],
  [plansQueue, 'plans'],
]

/** A notice is new once. Claimed or given back it lies there too, and whoever did that knows of it. */
const onlyNew: readonly QueueName[] = ['urgent', 'others']

/**
 * Sends one message to each queue: what was written together leaves together, in whatever order messages come. A queue
 * that takes none keeps nothing from the others. The stream comes again from the first record that is left; whoever
 * gets a notice twice knows it.
 */
export async function handOn(
  send: (queue: QueueName, body: string) => Promise<unknown>,
  records: readonly DynamoDBRecord[],
): Promise<DynamoDBBatchResponse> {
  const lots = Map.groupBy(records, wayOf)
  const left: DynamoDBRecord[] = []
  async function handOver(queue: QueueName, lot: readonly DynamoDBRecord[], bodies: readonly string[]): Promise<void> {
    try {
      for (const body of bodies) await send(queue, body)
    } catch (error) {
      // the line is said each time, since an alarm rings on it: a batch that is reported as left counts as no error of
      // the function
      log('error', alarmWords.notHandedOn, { queue, trouble: describe(error) })
      left.push(...lot)
    }
  }
  const kept = records.flatMap((record) => journalLineOf(record) ?? [])
  await Promise.all([
    ...[...lots].map(async ([queue, lot]) => queue && handOver(queue, lot, [handedOn(lot.map(keyOf))])),
    handOver('journal', records, messagesOf(kept)),
  ])
  const places = new Set(left.map(({ dynamodb }) => dynamodb?.SequenceNumber ?? ''))
  return { batchItemFailures: [...places].map((itemIdentifier) => ({ itemIdentifier })) }
}

function wayOf({ dynamodb, eventName }: DynamoDBRecord): QueueName | undefined {
  const lies = dynamodb?.NewImage?.queue?.S ?? ''
  const way = ways.find(([beginsWith]) => lies.startsWith(beginsWith))?.[1]
  return way !== undefined && onlyNew.includes(way) && eventName !== 'INSERT' ? undefined : way
}

const keyOf = ({ dynamodb }: DynamoDBRecord) => ({ pk: dynamodb?.Keys?.pk?.S ?? '', sk: dynamodb?.Keys?.sk?.S ?? '' })
