/** Notices that whoever recorded their cause did not come to write: written now, in pages, until the last is there. */
import type { Instant } from '../../shared-domain/calendar.ts'
import { describe, log } from '../ground/log.ts'
import { openOrganisation } from '../store/organisation.ts'
import { stillOwedBy, writeOf } from '../store/still-owed.ts'
import type { Table } from '../store/table.ts'

/** Writes the notices of each cause by themselves: what fails here is taken up by the next run. */
export async function writeStillOwed(table: Table, now: Instant): Promise<{ written: number; failed: number }> {
  let written = 0
  let failed = 0
  for (const marker of await stillOwedBy(table, now)) {
    try {
      if (await writeOf(openOrganisation(table, marker.organisation), marker)) written += 1
    } catch (error) {
      failed += 1
      log('error', 'notices are still to be written', { cause: marker.cause, trouble: describe(error) })
    }
  }
  return { written, failed }
}
