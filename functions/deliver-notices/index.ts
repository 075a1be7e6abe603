import { SESClient } from '@aws-sdk/client-ses'
import type { DynamoDBBatchResponse, DynamoDBStreamEvent } from 'aws-lambda'
import { systemClock } from '../platform/clock.ts'
import { mailEnvironment } from '../platform/environment.ts'
import { log } from '../platform/log.ts'
import { documentClient, openTable } from '../platform/table.ts'
import { deliverUnsent, type Parts } from './deliver-notices.ts'
import { deliverFromStream } from './from-stream.ts'
import { sesMailer } from './mail.ts'

const environment = mailEnvironment()

const parts: Parts = {
  table: openTable(documentClient(), environment.TABLE_NAME),
  clock: systemClock,
  mailer: sesMailer(new SESClient({}), {
    from: environment.MAIL_FROM,
    configurationSet: environment.MAIL_CONFIGURATION_SET,
    pagesUrl: environment.PAGES_URL,
    answersUrl: environment.ANSWERS_URL,
  }),
}

/** Two events: new notices from the table's stream, and the scheduler asking for what the stream missed. */
export const handler = async (event: DynamoDBStreamEvent | { kind: 'unsent' }): Promise<DynamoDBBatchResponse> => {
  if ('Records' in event) return deliverFromStream(parts, event.Records)
  log('info', 'unsent notices taken up', await deliverUnsent(parts))
  return { batchItemFailures: [] }
}
