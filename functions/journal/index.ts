import { PutObjectCommand, S3Client } from '@aws-sdk/client-s3'
import type { SQSBatchResponse, SQSEvent } from 'aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { journalEnvironment } from '../ground/environment.ts'
import { log } from '../ground/log.ts'
import { type JournalObject, markJournal } from '../store/journal.ts'
import { documentClient, openTable } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { keepInJournal } from './journal.ts'

const { TABLE_NAME, JOURNAL_BUCKET, NAMES_BUCKET } = journalEnvironment()
const table = openTable(documentClient(), TABLE_NAME)
const s3 = new S3Client({})
const into =
  (Bucket: string, ContentType: string) =>
  ({ key: Key, text: Body }: JournalObject) =>
    s3.send(new PutObjectCommand({ Bucket, Key, Body, ContentType }))
const parts = {
  clock: systemClock,
  put: into(JOURNAL_BUCKET, 'application/x-ndjson'),
  putNames: into(NAMES_BUCKET, 'application/json'),
}

/** Two events: what was written to the table, from its queue, and the scheduler asking that the journal be heard. */
export const handler = async (event: SQSEvent | { kind: 'mark' }): Promise<SQSBatchResponse> => {
  if ('Records' in event) return keepInJournal(parts, event.Records)
  await markJournal(table, systemClock())
  // the line is said each time, since an alarm rings when it is not
  log('info', alarmWords.journalHeard, {})
  return { batchItemFailures: [] }
}
