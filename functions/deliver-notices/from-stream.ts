/** New notices as the table's stream hands them over. */
import type { AttributeValue } from '@aws-sdk/client-dynamodb'
import { unmarshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBBatchResponse, DynamoDBRecord } from 'aws-lambda'
import { type Delivery, deliverSafely, type Parts } from './deliver-notices.ts'

/** A stream comes again from the first failure on; what was sent behind that one is known as sent. */
export async function deliverFromStream(
  parts: Parts,
  records: readonly DynamoDBRecord[],
): Promise<DynamoDBBatchResponse> {
  let from: string | undefined
  for (const record of records) {
    const delivery = await deliverRecord(parts, record)
    if (delivery === 'try again' || delivery === 'stop here') from ??= record.dynamodb?.SequenceNumber ?? ''
    if (delivery === 'stop here') break
  }
  return { batchItemFailures: from === undefined ? [] : [{ itemIdentifier: from }] }
}

async function deliverRecord(parts: Parts, { eventName, dynamodb }: DynamoDBRecord): Promise<Delivery | 'no notice'> {
  const image = dynamodb?.NewImage as Record<string, AttributeValue> | undefined
  if (eventName !== 'INSERT' || image?.entity?.S !== 'notice') return 'no notice'
  return deliverSafely(parts, image.number?.S ?? '', () => unmarshall(image))
}
