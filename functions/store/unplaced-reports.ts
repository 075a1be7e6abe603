/** Reports of danger on numbers that no stick has, as they lie in the table until they are placed, and afterwards. */
import type { Instant } from '../../shared-domain/calendar.ts'
import { changeIf, is } from './change.ts'
import type { Organisation } from './organisation.ts'
import { readEach, readerOf } from './reading.ts'
import type { Write } from './table.ts'

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

const asReport = readerOf<UnplacedReport>('unplaced report', {
  factId: 'text',
  number: 'text',
  door: 'text',
  body: 'map',
  bodyHash: 'text',
  recordedAt: 'text',
  recordedBy: 'text',
  placed: ['map', 'null'],
})

/** Reports, in no order. */
export async function unplacedReports({ table, keys }: Organisation): Promise<UnplacedReport[]> {
  return readEach(await table.all({ partition: ['pk', keys.unplacedReports()], consistent: true }), asReport)
}

export async function unplacedReport(
  { table, keys }: Organisation,
  factId: string,
): Promise<UnplacedReport | undefined> {
  const item = await table.get(keys.unplacedReport(factId))
  return item === undefined ? undefined : asReport(item)
}

/** Writes of the report and of its id; they fail where either was seen before. */
export function keptWrites({ table, keys }: Organisation, kept: UnplacedReport): Write[] {
  return [
    table.putNew({ ...keys.unplacedReport(kept.factId), entity: 'unplaced report', ...kept }),
    table.putNew({ ...keys.guard(kept.factId), entity: 'guard', bodyHash: kept.bodyHash }),
  ]
}

/** The placing, once: the write fails where somebody else placed the report. */
export function placedWrite({ table, keys }: Organisation, factId: string, placed: Placed): Write {
  return table.change(keys.unplacedReport(factId), changeIf({ set: { placed } }, is('placed', null)))
}
