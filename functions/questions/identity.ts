/**
 * The caller. The token, verified by the API's authoriser, says which person of which organisation it is. The register
 * of people says what that person may do, so that a change binds at once. Only an owner may act without an entry:
 * somebody must make the first one.
 */
import * as z from 'zod'
import { type CalendarDate, localDateAt } from '../../shared-domain/calendar.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import { hasBegun, hasEnded, rightsOf } from '../../shared-domain/people.ts'
import type { Person as Entry } from '../../shared-domain/registers.ts'
import type { RightsHolder } from '../../shared-domain/rights.ts'
import { notAllowed } from '../ground/errors.ts'
import type { Edition, Registers } from '../store/registers.ts'

const claims = z.lazy(() => z.object({ sub: registerId, organisation: registerId, role: z.string().optional() }))

export interface Claims {
  readonly personId: string
  readonly organisation: string
  readonly ownerByToken: boolean
}

export interface Caller extends RightsHolder {
  readonly personId: string
}

export function readClaims(raw: unknown): Claims {
  const parsed = claims.safeParse(raw)
  if (!parsed.success) throw notAllowed('The token names no person of an organisation.')
  const { sub, organisation, role } = parsed.data
  return { personId: sub, organisation, ownerByToken: role === 'owner' }
}

/** Answers the caller, by the register's own day, which is that of UTC. */
export async function callerOf(
  { personId, ownerByToken }: Claims,
  registers: Registers,
  today: CalendarDate,
): Promise<Caller> {
  const entry = await registers.inForce('person', personId, today)
  const byEntry = entry !== undefined && hasBegun(entry, today) ? entry.body : null
  if (ownerByToken && (byEntry === null || (await isEnteredByOthers(personId, byEntry, registers)))) {
    return { personId, role: 'owner', depots: ['*'], crewId: null }
  }
  if (byEntry === null) throw notAllowed('This person is not on the register of people.')
  if (hasEnded(byEntry, today)) {
    throw notAllowed(`This person is no longer on the register of people: ${byEntry.until} was the last day.`)
  }
  return { personId, ...rightsOf(byEntry) }
}

/** No entry takes an owner by token their rights before an owner had a hand in it. */
async function isEnteredByOthers(personId: string, { role }: Entry, registers: Registers): Promise<boolean> {
  if (role === 'owner') return false
  const editions = await registers.editions('person', personId)
  const byOwner = await Promise.all(editions.map((edition) => isByOwner(edition, personId, registers)))
  return !byOwner.includes(true)
}

/**
 * Answers whether an owner had a hand in the edition. A person who signed it and had no entry then acted as an owner by
 * token; so did the entry's own person.
 */
async function isByOwner(
  { recordedBy, recordedAt }: Edition<Entry>,
  personId: string,
  registers: Registers,
): Promise<boolean> {
  if (recordedBy === personId) return true
  const day = localDateAt(recordedAt, 'UTC')
  const recorder = await registers.inForce('person', recordedBy, day)
  return recorder === undefined || !hasBegun(recorder, day) || recorder.body.role === 'owner'
}
