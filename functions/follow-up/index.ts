import type { DynamoDBBatchResponse, DynamoDBStreamEvent } from 'aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { tableEnvironment } from '../ground/environment.ts'
import { log } from '../ground/log.ts'
import { documentClient, openTable } from '../store/table.ts'
import { followUp } from './follow-up.ts'
import { writeStillOwed } from './still-owed.ts'
import { tellFromStream, tellOfUndelivered } from './undelivered.ts'

const table = openTable(documentClient(), tableEnvironment().TABLE_NAME)

/** Two events: what was not delivered, from the table's stream, and the scheduler asking for all that waits. */
export const handler = async (event: DynamoDBStreamEvent | { kind: 'silent' }): Promise<DynamoDBBatchResponse> => {
  if ('Records' in event) return tellFromStream(table, systemClock, event.Records)
  const now = systemClock()
  const [owed, silent, undelivered] = [
    await writeStillOwed(table, now),
    await followUp(table, now),
    await tellOfUndelivered(table, now),
  ]
  if (silent.silent > 0) log('info', 'notices that were not confirmed in time', { ...silent })
  if (undelivered.undelivered > 0) log('info', 'notices that were not delivered', { ...undelivered })
  // the next run tries again; a run that fails rings
  const failed = owed.failed + silent.failed + undelivered.failed
  if (failed > 0) throw new Error(`${failed} notices were not passed on`)
  return { batchItemFailures: [] }
}
