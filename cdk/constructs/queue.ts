import { Duration } from 'aws-cdk-lib'
import { EventSourceMapping, type IFunction } from 'aws-cdk-lib/aws-lambda'
import type { ITopic } from 'aws-cdk-lib/aws-sns'
import { Queue, QueueEncryption } from 'aws-cdk-lib/aws-sqs'
import type { Construct } from 'constructs'
import { acknowledge } from './accept.ts'
import { type AlarmProps, type AlarmText, age, alarm, arrivals, everyFiveMinutes } from './alarm.ts'
import type { Grants } from './function.ts'

const kept = { encryption: QueueEncryption.SQS_MANAGED, enforceSSL: true, retentionPeriod: Duration.days(14) }

/** Work that could not be done is kept here for people to look at. The queue cannot be made without its alarm. */
export function deadLetterQueue(scope: Construct, id: string, { operators, means }: Omit<AlarmProps, 'bell'>): Queue {
  const queue = new Queue(scope, id, kept)
  acknowledge(queue, 'AwsSolutions-SQS3', 'it is itself where failures end')
  const waiting = queue.metricApproximateNumberOfMessagesVisible({ period: everyFiveMinutes, statistic: 'Maximum' })
  alarm(queue, 'Arrived', { operators, bell: arrivals(waiting, everyFiveMinutes), means })
  return queue
}

export interface WorkQueueProps {
  readonly operators: ITopic
  /** the longest run of the reader */
  readonly readerMayRun: Duration
  readonly deadLetters: Queue
  /** rings where a message lies for longer */
  readonly oldAfter: Duration
  readonly ageMeans: AlarmText
}

/** Work that a function is to take up at once. The queue cannot be made without the alarm of its age. */
export function workQueue(scope: Construct, id: string, props: WorkQueueProps): Queue {
  const queue = new Queue(scope, id, {
    ...kept,
    // six times, as AWS advises: a message that shows again while its reader is at work would have two
    visibilityTimeout: Duration.seconds(6 * props.readerMayRun.toSeconds()),
    deadLetterQueue: { queue: props.deadLetters, maxReceiveCount: 5 },
  })
  const oldest = queue.metricApproximateAgeOfOldestMessage({ period: Duration.minutes(1), statistic: 'Maximum' })
  const bell = age(oldest, props.oldAfter, 'seconds')
  alarm(queue, 'Old', { operators: props.operators, bell, means: props.ageMeans })
  return queue
}

export interface FromQueueProps {
  readonly queue: Queue
  readonly target: IFunction
  /** takes up to ten messages in one run: those that lie there, or what comes within so many seconds */
  readonly gathersForSeconds?: number
}

/**
 * Hands a function what lies in a queue at once, a message at a time unless it gathers. Its role is granted reading by
 * name, with `queueGrants`.
 */
export function fromQueue(scope: Construct, id: string, { queue, target, gathersForSeconds }: FromQueueProps): void {
  new EventSourceMapping(scope, id, {
    target,
    eventSourceArn: queue.queueArn,
    batchSize: gathersForSeconds === undefined ? 1 : 10,
    ...(gathersForSeconds ? { maxBatchingWindow: Duration.seconds(gathersForSeconds) } : {}),
    reportBatchItemFailures: true,
    // the fewest that AWS allows
    maxConcurrency: 2,
  })
}

export const queueGrants = (...queues: readonly Queue[]): Grants => ({
  ReadQueues: [
    ['sqs:ReceiveMessage', 'sqs:DeleteMessage', 'sqs:GetQueueAttributes'],
    queues.map(({ queueArn }) => queueArn),
  ],
})
