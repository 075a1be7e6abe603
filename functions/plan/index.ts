import type { Context, SQSBatchResponse, SQSEvent } from 'aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { tableEnvironment } from '../ground/environment.ts'
import { log } from '../ground/log.ts'
import { documentClient, openTable } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { makeThose } from './make.ts'
import { askForNight } from './nightly.ts'

const parts = {
  table: openTable(documentClient(), tableEnvironment().TABLE_NAME),
  clock: systemClock,
  openSolver: async () => (await import('./engine.ts')).openSolver(),
}

/** The longest time of a depot, with a margin. */
const leastMillisForADepot = 60_000

/** Two events come here: plans that were asked for, from their queue, and the scheduler every hour. */
export const handler = async (event: SQSEvent | { kind: 'night' }, context: Context): Promise<SQSBatchResponse> => {
  if ('Records' in event)
    return makeThose(parts, event.Records, () => context.getRemainingTimeInMillis() > leastMillisForADepot)
  const outcome = await askForNight(parts)
  // the line is said each time, since an alarm rings when it is not
  log('info', alarmWords.plansSeenTo, { ...outcome })
  // the next run tries again; a run that fails rings
  if (outcome.failed > 0) throw new Error(`${outcome.failed} organisations got no plan tonight`)
  return { batchItemFailures: [] }
}
