import type { Context } from 'aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { tableEnvironment } from '../ground/environment.ts'
import { log } from '../ground/log.ts'
import { documentClient, openTable } from '../store/table.ts'
import { sweep } from './sweep.ts'

const table = openTable(documentClient(), tableEnvironment().TABLE_NAME)

/** Time kept back for the transaction that is under way, and to say what is left. */
const reserveMillis = 20_000

export const handler = async (_: unknown, context: Context) => {
  const outcome = await sweep(table, systemClock, () => context.getRemainingTimeInMillis() - reserveMillis)
  log('info', 'swept', { ...outcome })
  // The scheduler's retry and the alarm must hear of it; what succeeded is not told twice by running again.
  if (outcome.failed > 0) throw new Error(`${outcome.failed} rounds of the sweep failed`)
  return outcome
}
