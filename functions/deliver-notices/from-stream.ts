/** New notices as the table's stream hands them over. */
import type { AttributeValue } from '@aws-sdk/client-dynamodb'
import { unmarshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBBatchResponse, DynamoDBRecord } from 'aws-lambda'
import { type Delivery, deliverSafely, type Parts } from './deliver-notices.ts'

/** A stream comes again from the first that is not done; what was sent behind that one is known as sent. */
export async function deliverFromStream(
  parts: Parts,
  records: readonly DynamoDBRecord[],
): Promise<DynamoDBBatchResponse> {
  const left = new Set(records)
  for (const record of [...records].sort((a, b) => rank(a) - rank(b))) {
    const delivery = await deliverRecord(parts, record)
    if (delivery === 'stop here') break
    if (delivery !== 'try again') left.delete(record)
  }
  const from = records.find((record) => left.has(record))
  return { batchItemFailures: from === undefined ? [] : [{ itemIdentifier: from.dynamodb?.SequenceNumber ?? '' }] }
}

/** Word of a stick that is unsafe now goes before what can wait, and to the hands it is in before their managers. */
function rank({ dynamodb }: DynamoDBRecord): number {
  const { answer, to } = dynamodb?.NewImage ?? {}
  return (answer === undefined ? 10 : 0) + inHand.indexOf(to?.M?.role?.S ?? '')
}

const inHand = ['crew', 'foreman', 'manager']

async function deliverRecord(parts: Parts, { eventName, dynamodb }: DynamoDBRecord): Promise<Delivery | 'no notice'> {
  const image = dynamodb?.NewImage as Record<string, AttributeValue> | undefined
  if (eventName !== 'INSERT' || image?.entity?.S !== 'notice') return 'no notice'
  return deliverSafely(parts, image.number?.S ?? '', () => unmarshall(image))
}
