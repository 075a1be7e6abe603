/** An entry of a register gets an edition, or a proposal of one where it would loosen. */
import { localDateAt } from '../../shared-domain/calendar.ts'
import { calibrationAhead, type Instrument, type Procedure } from '../../shared-domain/registers.ts'
import { invalid } from '../ground/errors.ts'
import type { EntryEdit } from '../recording/editions.ts'
import type { RegisterKind } from '../store/keys.ts'
import type { Bodies } from '../store/registers.ts'
import { cursorTo } from './paging.ts'
import { proposedView } from './proposals.ts'
import { recording } from './recording.ts'
import { entryView } from './register-view.ts'
import type { Request } from './request.ts'

export async function putEdition<K extends RegisterKind>(
  kind: K,
  request: Request<Bodies[K]>,
  holds?: EntryEdit['holds'],
) {
  const { body, id } = request
  // the kind decides the body's type
  if (kind === 'instrument') await checkCalibration(request as unknown as Request<Instrument>)
  const edited = await (await recording()).edit(request, { kind, id, body, ...(holds === undefined ? {} : { holds }) })
  if (edited.outcome === 'proposed') return { status: 202, body: await proposedView(edited) }
  const view = await entryView(kind, id, edited.edition)
  if (kind !== 'procedure' || edited.outcome !== 'added')
    return { status: edited.outcome === 'first' ? 201 : 200, body: view }
  // the kind decides the body's type
  return { status: 200, body: { ...view, ...(await foundOver(request as unknown as Request<Procedure>)) } }
}

/** The first page of what a stricter edition finds, where it finds something. */
async function foundOver(request: Request<Procedure>) {
  const { id, body } = request
  const { items, next } = await (await recording()).overLimitsFor(request, { id, body })
  return items.length === 0 && next === null ? {} : { over: { items, next: cursorTo(next) } }
}

/** An instrument belongs to no depot: the day of its calibration has come once it has come at any of them. */
export async function checkCalibration({ organisation, body, now }: Request<Instrument>): Promise<void> {
  const zones = (await organisation.registers.depotsNow(now)).map((one) => one.body.timeZone)
  const days = ['UTC', ...zones].map((zone) => localDateAt(now, zone)).sort()
  const faults = calibrationAhead(body, days.at(-1) ?? localDateAt(now, 'UTC'))
  if (faults.length > 0) throw invalid(...faults)
}
