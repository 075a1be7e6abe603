/**
 * Writes to the journal's bucket what the stream's reader hands on: one object a message and organisation. A message
 * that comes twice makes an object that says the same again, which does no harm.
 */
import type { SQSBatchResponse, SQSRecord } from 'aws-lambda'
import type { WallClock } from '../ground/clock.ts'
import { describe, log } from '../ground/log.ts'
import { type JournalObject, linesIn, objectsOf } from '../store/journal.ts'
import { apart } from '../store/journal-names.ts'

export interface JournalParts {
  readonly put: (object: JournalObject) => Promise<unknown>
  /** where names are kept, which may be erased one day */
  readonly putNames: (object: JournalObject) => Promise<unknown>
  readonly clock: WallClock
}

/**
 * A message of which an object was not taken comes again. Names go first: a line whose names are nowhere would read as
 * if they had been erased.
 */
export async function keepInJournal(
  { put, putNames, clock }: JournalParts,
  records: readonly SQSRecord[],
): Promise<SQSBatchResponse> {
  const left: SQSRecord[] = []
  for (const record of records) {
    try {
      const lines = linesIn(record.body).map(apart)
      await Promise.all(lines.map(async ({ beside }) => beside && putNames(beside)))
      const locked = objectsOf(
        lines.map(({ line }) => line),
        clock(),
      )
      for (const object of locked) await put(object)
    } catch (error) {
      log('error', 'message not handled', { message: record.messageId, trouble: describe(error) })
      left.push(record)
    }
  }
  return { batchItemFailures: left.map(({ messageId }) => ({ itemIdentifier: messageId })) }
}
