import type { Context } from 'aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { tableEnvironment } from '../ground/environment.ts'
import { log } from '../ground/log.ts'
import { documentClient, openTable } from '../store/table.ts'
import { reindex } from './reindex.ts'

const table = openTable(documentClient(), tableEnvironment().TABLE_NAME)
const leastMillisForAPage = 20_000

export const handler = async (_: unknown, context: Context) => {
  const outcome = await reindex(table, systemClock(), () => context.getRemainingTimeInMillis() > leastMillisForAPage)
  if (outcome.sticks > 0) log('info', 'lists rewritten', { ...outcome })
  return outcome
}
