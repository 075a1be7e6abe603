/** An entry of a register gets an edition. */

import { type CalendarDate, localDateAt } from '../../shared-domain/calendar.ts'
import { calibrationAhead, type Instrument } from '../../shared-domain/registers.ts'
import { invalid, Refused } from '../ground/errors.ts'
import { todayAt } from '../questions/today.ts'
import { isReferring, referenceFaults } from '../recording/references.ts'
import { checkEntryFits } from '../recording/room.ts'
import type { RegisterKind } from '../store/keys.ts'
import type { Bodies } from '../store/registers.ts'
import { entryView } from './register-view.ts'
import type { Request } from './request.ts'

export async function putEdition<K extends RegisterKind>(kind: K, request: Request<Bodies[K]>) {
  const { organisation, body, id } = request
  const today = await todayFor(kind, request)
  const unknown = isReferring(kind) ? await referenceFaults(organisation, kind, body) : []
  if (unknown.length > 0) throw invalid(...unknown)
  if (kind === 'instrument') await checkCalibration(request as unknown as Request<Instrument>) // the kind decides the body's type
  const entry = {
    body,
    effectiveFrom: body.effectiveFrom ?? today,
    recordedAt: request.now,
    recordedBy: request.caller.personId,
  }
  checkEntryFits(entry)
  for (let tries = 0; tries < 5; tries++) {
    const added = await organisation.registers.add(kind, id, entry)
    if (added === 'lost') continue
    return { status: added.outcome === 'first' ? 201 : 200, body: entryView(kind, id, added.edition) }
  }
  throw new Refused({ kind: 'try again' })
}

/** A depot's own zone where there is one; the register's dates are otherwise those of UTC. */
async function todayFor<K extends RegisterKind>(kind: K, request: Request<Bodies[K]>): Promise<CalendarDate> {
  const { body, now } = request
  if ('timeZone' in body) return localDateAt(now, body.timeZone)
  const depotId = kind === 'crew' && 'depotId' in body ? body.depotId : undefined
  return (await todayAt(request, depotId ?? null)).today
}

/** An instrument belongs to no depot: its day has come where it has come to any of them. */
async function checkCalibration({ organisation, body, now }: Request<Instrument>): Promise<void> {
  const zones = (await organisation.registers.depotsNow(now)).map((one) => one.body.timeZone)
  const days = ['UTC', ...zones].map((zone) => localDateAt(now, zone)).sort()
  const faults = calibrationAhead(body, days.at(-1) ?? localDateAt(now, 'UTC'))
  if (faults.length > 0) throw invalid(...faults)
}
