/** Reports of danger on numbers that no stick has, as they lie in the table until they are placed, and afterwards. */
import type { Instant } from '../../shared-domain/calendar.ts'
import type { Organisation } from './organisation.ts'
import { readAs, readOne, type Write } from './table.ts'

export interface UnplacedReport {
  readonly factId: string
  readonly number: string
  /** the last word of the path that it came in by */
  readonly door: string
  readonly body: object
  readonly bodyHash: string
  readonly recordedAt: Instant
  readonly recordedBy: string
  readonly placed: Placed | null
}

interface Placed {
  readonly stickId: string
  readonly by: string
  readonly at: Instant
}

/** In no order. */
export async function unplacedReports({ table, keys }: Organisation): Promise<UnplacedReport[]> {
  return readAs(await table.all({ partition: ['pk', keys.unplacedReports()], consistent: true }))
}

export async function unplacedReport(
  { table, keys }: Organisation,
  factId: string,
): Promise<UnplacedReport | undefined> {
  const item = await table.get(keys.unplacedReport(factId))
  return item === undefined ? undefined : readOne<UnplacedReport>(item)
}

/** The report, and its id with it: neither was ever seen before. */
export function keptWrites({ table, keys }: Organisation, kept: UnplacedReport): Write[] {
  return [
    table.putNew({ ...keys.unplacedReport(kept.factId), entity: 'unplaced report', ...kept }),
    table.putNew({ ...keys.guard(kept.factId), entity: 'guard', bodyHash: kept.bodyHash }),
  ]
}

/** Once: fails where somebody else placed it. */
export function placedWrite({ table, keys }: Organisation, factId: string, placed: Placed): Write {
  return table.change(keys.unplacedReport(factId), {
    UpdateExpression: 'SET #placed = :placed',
    ConditionExpression: '#placed = :nowhere',
    ExpressionAttributeNames: { '#placed': 'placed' },
    ExpressionAttributeValues: { ':placed': placed, ':nowhere': null },
  })
}
