import { Duration } from 'aws-cdk-lib'
import type { ITopic } from 'aws-cdk-lib/aws-sns'
import { Queue, QueueEncryption } from 'aws-cdk-lib/aws-sqs'
import type { Construct } from 'constructs'
import { accept } from './accept.ts'
import { type AlarmText, alarm, any, everyFiveMinutes } from './alarm.ts'

/** Where what could not be done is kept for people to look at; it cannot be made without its alarm. */
export function deadLetterQueue(scope: Construct, id: string, operators: ITopic, text: AlarmText): Queue {
  const queue = new Queue(scope, id, {
    encryption: QueueEncryption.SQS_MANAGED,
    enforceSSL: true,
    retentionPeriod: Duration.days(14),
  })
  accept(queue, 'AwsSolutions-SQS3', 'it is itself where failures end')
  const waiting = queue.metricApproximateNumberOfMessagesVisible({ period: everyFiveMinutes, statistic: 'Maximum' })
  alarm(queue, 'NotEmpty', operators, any(waiting), text)
  return queue
}
