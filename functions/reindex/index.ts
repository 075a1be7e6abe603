import type { Context } from 'aws-lambda'
import { systemClock } from '../platform/clock.ts'
import { tableEnvironment } from '../platform/environment.ts'
import { log } from '../platform/log.ts'
import { documentClient, openTable } from '../platform/table.ts'
import { reindex } from './reindex.ts'

const table = openTable(documentClient(), tableEnvironment().TABLE_NAME)
const leastMillisForAPage = 20_000

export const handler = async (_: unknown, context: Context) => {
  const outcome = await reindex(table, systemClock(), () => context.getRemainingTimeInMillis() > leastMillisForAPage)
  if (outcome.sticks > 0) log('info', 'lists rewritten', { ...outcome })
  return outcome
}
