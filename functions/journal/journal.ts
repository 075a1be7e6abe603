/**
 * Writes to the journal's bucket what the stream's reader hands on: one object a message and organisation. A message
 * that comes twice makes an object that says the same again, which does no harm.
 */
import type { SQSBatchResponse, SQSRecord } from 'aws-lambda'
import type { WallClock } from '../ground/clock.ts'
import { describe, log } from '../ground/log.ts'
import { type JournalObject, objectsOf } from '../store/journal.ts'

export interface JournalParts {
  readonly put: (object: JournalObject) => Promise<unknown>
  readonly clock: WallClock
}

/** A message of which an object was not taken comes again. */
export async function keepInJournal(
  { put, clock }: JournalParts,
  records: readonly SQSRecord[],
): Promise<SQSBatchResponse> {
  const left: SQSRecord[] = []
  for (const record of records) {
    try {
      for (const object of objectsOf(record.body, clock())) await put(object)
    } catch (error) {
      log('error', 'message not handled', { message: record.messageId, trouble: describe(error) })
      left.push(record)
    }
  }
  return { batchItemFailures: left.map(({ messageId }) => ({ itemIdentifier: messageId })) }
}
