import type { AttributeValue } from '@aws-sdk/client-dynamodb'
import { SESClient } from '@aws-sdk/client-ses'
import { unmarshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBBatchResponse, DynamoDBStreamEvent } from 'aws-lambda'
import { systemClock } from '../platform/clock.ts'
import { mailEnvironment } from '../platform/environment.ts'
import { describe, log } from '../platform/log.ts'
import type { Notice } from '../platform/notices.ts'
import { documentClient, openTable } from '../platform/table.ts'
import { deliver, deliverUnsent, type Parts } from './deliver-notices.ts'
import { sesMailer } from './mail.ts'

const environment = mailEnvironment()

const parts: Parts = {
  table: openTable(documentClient(), environment.TABLE_NAME),
  clock: systemClock,
  mailer: sesMailer(new SESClient({}), {
    from: environment.MAIL_FROM,
    configurationSet: environment.MAIL_CONFIGURATION_SET,
    pagesUrl: environment.PAGES_URL,
  }),
}

/** Two events: new notices from the table's stream, and the scheduler asking for what the stream missed. */
export const handler = async (event: DynamoDBStreamEvent | { kind: 'unsent' }): Promise<DynamoDBBatchResponse> => {
  if ('Records' in event) return fromStream(event)
  log('info', 'unsent notices taken up', await deliverUnsent(parts))
  return { batchItemFailures: [] }
}

/** A stream is retried from the first failure on, so it stops there; the rest comes again with it. */
async function fromStream(event: DynamoDBStreamEvent): Promise<DynamoDBBatchResponse> {
  for (const record of event.Records) {
    const image = record.dynamodb?.NewImage
    if (record.eventName !== 'INSERT' || image === undefined) continue
    const notice = unmarshall(image as Record<string, AttributeValue>) as Notice & { entity?: string }
    if (notice.entity !== 'notice') continue
    if ((await tryOne(notice)) === 'try again') {
      return { batchItemFailures: [{ itemIdentifier: record.dynamodb?.SequenceNumber ?? '' }] }
    }
  }
  return { batchItemFailures: [] }
}

async function tryOne(notice: Notice): Promise<string> {
  try {
    return await deliver(parts, notice)
  } catch (error) {
    log('error', 'notice not handled', { notice: notice.number, trouble: describe(error) })
    return 'try again'
  }
}
