/**
 * The content of a queue's message: the keys of those items in one batch of the table's stream that its reader is for.
 */
import type { SQSBatchResponse, SQSRecord } from 'aws-lambda'
import { describe, log } from '../ground/log.ts'
import type { Key } from './table.ts'

export const handedOn = (keys: readonly Key[]): string => JSON.stringify(keys.map(({ pk, sk }) => ({ pk, sk })))

/** @lintignore whoever stands in for a queue in tests reads what it says, too */
export const keysIn = (body: string): Key[] => JSON.parse(body) as Key[]

/** Messages are handled one by one, so that none keeps another. A message that is not done comes again. */
export async function takeEach(
  records: readonly SQSRecord[],
  isDone: (keys: readonly Key[]) => Promise<boolean>,
): Promise<SQSBatchResponse> {
  const left: SQSRecord[] = []
  for (const record of records) if (!(await isDoneSafely(record, isDone))) left.push(record)
  return { batchItemFailures: left.map(({ messageId }) => ({ itemIdentifier: messageId })) }
}

/** Messages are handled together; where that fails, one by one, so that none keeps another. */
export async function takeTogether(
  records: readonly SQSRecord[],
  handle: (keys: readonly Key[]) => Promise<unknown>,
): Promise<SQSBatchResponse> {
  const isDone = async (keys: readonly Key[]) => {
    await handle(keys)
    return true
  }
  try {
    await handle(records.flatMap(({ body }) => keysIn(body)))
    return { batchItemFailures: [] }
  } catch {
    // each message tells its own trouble
    return takeEach(records, isDone)
  }
}

async function isDoneSafely(
  { messageId, body }: SQSRecord,
  isDone: (keys: readonly Key[]) => Promise<boolean>,
): Promise<boolean> {
  try {
    return await isDone(keysIn(body))
  } catch (error) {
    log('error', 'message not handled', { message: messageId, trouble: describe(error) })
    return false
  }
}
