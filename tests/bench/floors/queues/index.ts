/** The floor of a cold start that sends to queues: their client, and nothing else. */
import { SQSClient } from '@aws-sdk/client-sqs'

const queues = new SQSClient({})

export const handler = async () => typeof queues
