/**
 * Who calls. The token, verified by the API's authoriser, says which person of which organisation; the register of people
 * says what that person may do, so that a change binds at once. Only an owner may act without an entry: somebody must
 * make the first one.
 */
import * as z from 'zod'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import type { Person } from '../../shared-domain/rights.ts'
import { notAllowed } from '../ground/errors.ts'
import type { Registers } from '../store/registers.ts'

const claims = z.lazy(() => z.object({ sub: registerId, organisation: registerId, role: z.string().optional() }))

export interface Claims {
  readonly personId: string
  readonly organisation: string
  readonly ownerByToken: boolean
}

export interface Caller extends Person {
  readonly personId: string
}

export function readClaims(raw: unknown): Claims {
  const parsed = claims.safeParse(raw)
  if (!parsed.success) throw notAllowed('The token names no person of an organisation.')
  const { sub, organisation, role } = parsed.data
  return { personId: sub, organisation, ownerByToken: role === 'owner' }
}

export async function callerOf(
  { personId, ownerByToken }: Claims,
  registers: Registers,
  today: CalendarDate,
): Promise<Caller> {
  const person = (await registers.inForce('person', personId, today))?.body
  if (person !== undefined) {
    return { personId, role: person.role, depots: person.depots, crewId: person.crewId ?? null }
  }
  if (ownerByToken) return { personId, role: 'owner', depots: ['*'], crewId: null }
  throw notAllowed('This person is not on the register of people.')
}
