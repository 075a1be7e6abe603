/** Reports of danger on numbers that no stick has, for those who place them. */
import { type UnplacedReport, unplacedReports } from '../store/unplaced-reports.ts'
import type { Asker } from './asker.ts'
import { checkRole } from './rights.ts'

/** Reports still to be placed come first, the oldest of them first. */
export async function unplacedReportsFor({ organisation, caller }: Asker): Promise<readonly UnplacedReport[]> {
  checkRole(caller, 'read unplaced reports')
  const reports = await unplacedReports(organisation)
  return reports.sort((a, b) => (listKeyOf(a) < listKeyOf(b) ? -1 : 1))
}

/** The report's place in their list. */
export const listKeyOf = ({ placed, recordedAt, factId }: UnplacedReport) =>
  [placed === null ? 0 : 1, recordedAt, factId].join('#')
