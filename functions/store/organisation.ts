/** What one organisation has in the table. Nothing of it can be opened without naming the organisation. */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { noRules, type Rules, rulesFrom } from '../../shared-domain/policy/rules.ts'
import { keysOf } from './keys.ts'
import { openNotices } from './notice-life.ts'
import { openRegisters } from './registers.ts'
import { openSticks } from './sticks.ts'
import { readingAhead, type Table } from './table.ts'

export type Organisation = ReturnType<typeof openOrganisation>

/** The employer's own layer; there is one. */
export const employerPolicyId = 'employer'

export function openOrganisation(shared: Table, organisation: string) {
  const table = readingAhead(shared)
  const keys = keysOf(organisation)
  const registers = openRegisters(table, keys, organisation)
  const sticks = openSticks(table, keys, organisation)
  const notices = openNotices(table, organisation)

  /** By whose clock the day turns at a depot; UTC where it is not known where a stick lies. */
  async function zoneAt(depotId: string | null): Promise<string> {
    const depot = depotId === null ? undefined : await registers.head('depot', depotId)
    return depot?.newest.body.timeZone ?? 'UTC'
  }

  async function rulesOn(day: CalendarDate): Promise<Rules> {
    const edition = await registers.inForce('policy', employerPolicyId, day)
    return edition === undefined ? noRules : rulesFrom(edition.body, edition.edition)
  }

  return { name: organisation, table, keys, registers, sticks, notices, zoneAt, rulesOn }
}
