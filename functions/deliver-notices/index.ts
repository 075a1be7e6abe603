import { SESClient } from '@aws-sdk/client-ses'
import type { Context, SQSBatchResponse, SQSEvent } from 'aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { mailEnvironment } from '../ground/environment.ts'
import { log } from '../ground/log.ts'
import { sleep } from '../ground/sleep.ts'
import { documentClient, openTable } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { deliverUnsent, type Parts } from './deliver-notices.ts'
import { deliverFromQueue } from './from-queue.ts'
import { sesMailer } from './mail.ts'
import { accountPace } from './pace.ts'

const environment = mailEnvironment()

// tried again at the account's pace only; without these limits one call could hang for as long as the function may run
const ses = new SESClient({
  maxAttempts: 1,
  requestHandler: { connectionTimeout: 3_000, requestTimeout: 10_000, throwOnRequestTimeout: true },
})

const mailer = sesMailer(ses, {
  from: environment.MAIL_FROM,
  replyTo: environment.MAIL_REPLY_TO,
  configurationSet: environment.MAIL_CONFIGURATION_SET,
  pagesUrl: environment.PAGES_URL,
  answersUrl: environment.ANSWERS_URL,
})
const table = openTable(documentClient(), environment.TABLE_NAME)
const paceUntil = accountPace(mailer.quota, {
  now: () => performance.now(),
  sleep,
  random: Math.random,
})

/** For the last call to the mail service, and to mark or give back what it was about. */
const reserveMillis = 15_000

/** Two events: new notices from their queues, and the scheduler asking for what came through none. */
export const handler = async (event: SQSEvent | { kind: 'unsent' }, context: Context): Promise<SQSBatchResponse> => {
  const pace = paceUntil(performance.now() + context.getRemainingTimeInMillis() - reserveMillis)
  const parts: Parts = { table, clock: systemClock, mailer, pace }
  if ('Records' in event) return deliverFromQueue(parts, event.Records)
  // said each time, since an alarm rings when it is not
  log('info', alarmWords.takenUp, { ...(await deliverUnsent(parts)) })
  return { batchItemFailures: [] }
}
