import type { SQSBatchResponse, SQSEvent } from 'aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { accountsEnvironment } from '../ground/environment.ts'
import { log } from '../ground/log.ts'
import { documentClient, openTable } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { openPool, type Pool } from '../web/pool.ts'
import { seeToDue, seeToThose } from './accounts.ts'

const { TABLE_NAME, POOL_ID } = accountsEnvironment()

/** Opened with the first who needs it; most runs of the clock need none. */
let opened: Promise<Pool> | undefined
function pool(): Promise<Pool> {
  opened ??= openPool(POOL_ID)
  return opened
}
const parts = { table: openTable(documentClient(), TABLE_NAME), clock: systemClock, pool }

/** Two events come here: people whose entry has a new edition, from their queue, and the scheduler each hour. */
export const handler = async (event: SQSEvent | { kind: 'accounts' }): Promise<SQSBatchResponse> => {
  if ('Records' in event) return seeToThose(parts, event.Records)
  const outcome = await seeToDue(parts)
  // the line is said each time, since an alarm rings when it is not
  log('info', alarmWords.accountsSeenTo, { ...outcome })
  // the next run tries again; a run that fails rings
  if (outcome.failed > 0) throw new Error(`accounts of ${outcome.failed} people were not seen to`)
  return { batchItemFailures: [] }
}
