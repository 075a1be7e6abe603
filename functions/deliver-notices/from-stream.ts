/** New notices as the table's stream hands them over. */
import type { AttributeValue } from '@aws-sdk/client-dynamodb'
import { unmarshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBBatchResponse, DynamoDBRecord } from 'aws-lambda'
import { type Delivery, deliverSafely, type Parts } from './deliver-notices.ts'

/** A stream is retried from the first failure on, so it stops there; the rest comes again with it. */
export async function deliverFromStream(
  parts: Parts,
  records: readonly DynamoDBRecord[],
): Promise<DynamoDBBatchResponse> {
  for (const record of records) {
    if ((await deliverRecord(parts, record)) === 'try again') {
      return { batchItemFailures: [{ itemIdentifier: record.dynamodb?.SequenceNumber ?? '' }] }
    }
  }
  return { batchItemFailures: [] }
}

async function deliverRecord(parts: Parts, { eventName, dynamodb }: DynamoDBRecord): Promise<Delivery | 'no notice'> {
  const image = dynamodb?.NewImage as Record<string, AttributeValue> | undefined
  if (eventName !== 'INSERT' || image?.entity?.S !== 'notice') return 'no notice'
  return deliverSafely(parts, image.number?.S ?? '', () => unmarshall(image))
}
