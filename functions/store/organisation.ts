/** What one organisation has in the table. Nothing of it can be opened without naming the organisation. */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { type Policy, policyFrom } from '../../shared-domain/policy/policy.ts'
import { keysOf } from './keys.ts'
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

  /** By whose clock the day turns at a depot; UTC where it is not known where a stick lies. */
  async function zoneAt(depotId: string | null): Promise<string> {
    const depot = depotId === null ? undefined : await registers.head('depot', depotId)
    return depot?.newest.body.timeZone ?? 'UTC'
  }

  async function policyOn(day: CalendarDate): Promise<Policy | null> {
    const edition = await registers.inForce('policy', employerPolicyId, day)
    return edition === undefined ? null : { ...policyFrom(edition.body), edition: edition.edition }
  }

  return { name: organisation, table, keys, registers, sticks, zoneAt, policyOn }
}
