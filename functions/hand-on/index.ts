import { SendMessageCommand, SQSClient } from '@aws-sdk/client-sqs'
import type { DynamoDBStreamEvent } from 'aws-lambda'
import { queuesEnvironment } from '../ground/environment.ts'
import { handOn } from './hand-on.ts'

const {
  URGENT_QUEUE_URL,
  OTHERS_QUEUE_URL,
  UNDELIVERED_QUEUE_URL,
  JOURNAL_QUEUE_URL,
  ACCOUNTS_QUEUE_URL,
  SEQUENCE_QUEUE_URL,
  IMPORTS_QUEUE_URL,
  PLANS_QUEUE_URL,
} = queuesEnvironment()
const urls = {
  urgent: URGENT_QUEUE_URL,
  others: OTHERS_QUEUE_URL,
  undelivered: UNDELIVERED_QUEUE_URL,
  journal: JOURNAL_QUEUE_URL,
  accounts: ACCOUNTS_QUEUE_URL,
  sequence: SEQUENCE_QUEUE_URL,
  imports: IMPORTS_QUEUE_URL,
  plans: PLANS_QUEUE_URL,
}
// the region's own address, whichever host the queue's has
const sqs = new SQSClient({
  useQueueUrlAsEndpoint: false,
  maxAttempts: 3,
  requestHandler: { connectionTimeout: 1_000, requestTimeout: 3_000, throwOnRequestTimeout: true },
})

export const handler = ({ Records }: DynamoDBStreamEvent) =>
  handOn((queue, MessageBody) => sqs.send(new SendMessageCommand({ QueueUrl: urls[queue], MessageBody })), Records)
