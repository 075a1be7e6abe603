/** New notices as the table's stream hands them over. */
import type { AttributeValue } from '@aws-sdk/client-dynamodb'
import { unmarshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBBatchResponse, DynamoDBRecord } from 'aws-lambda'
import { asNotice } from '../store/notices.ts'
import { deliverAll, type Parts } from './deliver-notices.ts'

/** A stream comes again from the first that is not done; what was sent behind that one is known as sent. */
export async function deliverFromStream(
  parts: Parts,
  records: readonly DynamoDBRecord[],
): Promise<DynamoDBBatchResponse> {
  const notices = records.filter(isNewNotice).sort((a, b) => rank(a) - rank(b))
  const done = await deliverAll(parts, notices, { number: numberOf, notice: noticeOf })
  const isLeft = (record: DynamoDBRecord) => ['stop here', 'try again', undefined].includes(done.get(record))
  const from = records.find((record) => isNewNotice(record) && isLeft(record))
  return { batchItemFailures: from === undefined ? [] : [{ itemIdentifier: from.dynamodb?.SequenceNumber ?? '' }] }
}

/** Word of a stick that is unsafe now goes before what can wait, and to the hands it is in before their managers. */
function rank({ dynamodb }: DynamoDBRecord): number {
  const { answer, to } = dynamodb?.NewImage ?? {}
  return (answer === undefined ? 10 : 0) + inHand.indexOf(to?.M?.role?.S ?? '')
}

const inHand = ['crew', 'foreman', 'bench', 'manager']

const isNewNotice = ({ eventName, dynamodb }: DynamoDBRecord) =>
  eventName === 'INSERT' && dynamodb?.NewImage?.entity?.S === 'notice'

const numberOf = ({ dynamodb }: DynamoDBRecord) => dynamodb?.NewImage?.number?.S ?? ''

const noticeOf = ({ dynamodb }: DynamoDBRecord) =>
  asNotice(unmarshall(dynamodb?.NewImage as Record<string, AttributeValue>))
