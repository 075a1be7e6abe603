import type { SQSBatchResponse, SQSEvent } from 'aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { tableEnvironment } from '../ground/environment.ts'
import { log } from '../ground/log.ts'
import { documentClient, openTable } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { followUp } from './follow-up.ts'
import { writeStillOwed } from './still-owed.ts'
import { tellFromQueue, tellOfUndelivered } from './undelivered.ts'

const table = openTable(documentClient(), tableEnvironment().TABLE_NAME)

/** Two events come here: what was not delivered, from its queue, and the scheduler asking for all that waits. */
export const handler = async (event: SQSEvent | { kind: 'silent' }): Promise<SQSBatchResponse> => {
  if ('Records' in event) return tellFromQueue(table, systemClock, event.Records)
  const now = systemClock()
  const [owed, silent, undelivered] = [
    await writeStillOwed(table, now),
    await followUp(table, now),
    await tellOfUndelivered(table, now),
  ]
  const failed = owed.failed + silent.failed + undelivered.failed
  // the line is said each time, since an alarm rings when it is not
  log('info', alarmWords.followedUp, { ...silent, ...undelivered, stillOwed: owed.written, failed })
  // the next run tries again; a run that fails rings
  if (failed > 0) throw new Error(`${failed} notices were not passed on`)
  return { batchItemFailures: [] }
}
