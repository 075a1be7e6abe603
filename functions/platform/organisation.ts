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

  async function policyOn(day: CalendarDate): Promise<Policy | null> {
    const edition = await registers.inForce('policy', employerPolicyId, day)
    return edition === undefined ? null : { ...policyFrom(edition.body), edition: edition.edition }
  }

  return { name: organisation, table, keys, registers, sticks, policyOn }
}
