import { systemClock } from '../platform/clock.ts'
import { tableEnvironment } from '../platform/environment.ts'
import { log } from '../platform/log.ts'
import { documentClient, openTable } from '../platform/table.ts'
import { followUp } from './follow-up.ts'

const table = openTable(documentClient(), tableEnvironment().TABLE_NAME)

export const handler = async () => {
  const outcome = await followUp(table, systemClock())
  if (outcome.silent > 0) log('info', 'notices that were not confirmed in time', { ...outcome })
  return outcome
}
