/** Makes every plan that waits in a house, as the function behind the queue does. */
import type { SQSRecord } from 'aws-lambda'
import { openSolver } from '../../functions/plan/engine.ts'
import { makeThose } from '../../functions/plan/make.ts'
import { handedOn } from '../../functions/store/handed-on.ts'
import type { House } from '../functions/house.ts'

export async function planAll({ table, clock }: Pick<House, 'table' | 'clock'>): Promise<void> {
  const waiting = table.items().filter(({ entity, state }) => entity === 'plan' && state !== 'planned')
  const records = [{ messageId: 'one', body: handedOn(waiting) } as SQSRecord] // it reads no more of a message
  const { batchItemFailures } = await makeThose({ table, clock, openSolver }, records, () => true)
  if (batchItemFailures.length > 0) throw new Error('a plan was not made')
}
