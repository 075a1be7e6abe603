import type { Context, SQSBatchResponse, SQSEvent } from 'aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { tableEnvironment } from '../ground/environment.ts'
import { log } from '../ground/log.ts'
import { documentClient, openTable } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { seeToTrees } from './by-the-clock.ts'
import { sequenceThose } from './sequence.ts'

const parts = { table: openTable(documentClient(), tableEnvironment().TABLE_NAME), clock: systemClock }
const leastMillisForAPage = 20_000

/** Two events come here: facts that were written, from their queue, and the scheduler every quarter of an hour. */
export const handler = async (event: SQSEvent | { kind: 'trees' }, context: Context): Promise<SQSBatchResponse> => {
  if ('Records' in event) return sequenceThose(parts, event.Records)
  const outcome = await seeToTrees(parts, () => context.getRemainingTimeInMillis() > leastMillisForAPage)
  // the line is said each time, since an alarm rings when it is not
  log('info', alarmWords.sequenced, { ...outcome })
  // the next run tries again; a run that fails rings
  if (outcome.failed > 0) throw new Error(`${outcome.failed} facts or trees were not seen to`)
  return { batchItemFailures: [] }
}
