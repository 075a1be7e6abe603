/** A stick as it is known on a date, and its history. */
import * as z from 'zod'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { calendarDate } from '../../shared-domain/date-fields.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { factId } from '../../shared-domain/identifiers.ts'
import { type CorrectedFact, correctionsBySlip } from '../../shared-domain/state/known-now.ts'
import { fieldsOf } from '../ground/fields.ts'
import { historyFor, seenStick, stickFor } from '../questions/sticks.ts'
import { correctionView } from './correction-view.ts'
import { toldFact } from './english.ts'
import { cut, pageQuery } from './paging.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'

const asOf = z.lazy(() => z.strictObject({ on: calendarDate.optional(), asKnownOn: calendarDate.optional() }))

export const stickRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/sticks/:id',
    summary:
      'Where it stands today; `?on=DATE` from the facts that occurred by then, `&asKnownOn=DATE` from those ' +
      'recorded by then',
    action: 'read a stick',
    query: asOf,
    answer: 'stick',
    handle: show,
  }),
  route({
    method: 'GET',
    path: '/v1/sticks/:id/facts',
    summary: 'Its history, in order of time; a long one in parts, to be gone on with by `?cursor=`',
    action: 'read a stick',
    query: pageQuery,
    answer: 'list of fact',
    handle: history,
  }),
]

/** The stick, if it exists and this caller may see it. */
export const seen = (request: Request) => seenStick(request, request.id)

/** What was recorded already is answered to whoever sends it again, though the stick has gone out of their sight. */
export async function seenOrRecorded(request: Request<unknown>): Promise<void> {
  try {
    await seenStick(request, request.id)
  } catch (error) {
    const { success, data } = factId.safeParse(fieldsOf(request.body).factId)
    const guard = success ? await request.organisation.sticks.guard(data) : undefined
    if (guard?.stickId !== request.id) throw error
  }
}

async function show(request: Request) {
  const asked = request.query as { on?: CalendarDate; asKnownOn?: CalendarDate } // the router parsed it by `asOf`
  const { stick, standing, day } = await stickFor(request, request.id, asked)
  return { status: 200, body: stickView(stick, standing, day) }
}

async function history(request: Request) {
  const items = await historyFor(request, request.id)
  // a fact that stands in place of a slip has the same place as the slip
  const keyOf = ({ place, fact }: (typeof items)[number]) =>
    [place.instant, place.rank, ...[place.seq, fact.seq].map((seq) => String(seq).padStart(8, '0'))].join('#')
  const slips = correctionsBySlip(items.map(({ fact }) => fact))
  const show = ({ fact }: (typeof items)[number]) => shownFact(fact, slips.get(fact.factId))
  return { status: 200, body: cut({ items, keyOf, show }, request.query) }
}

/** A slip says by which correction it is one. */
function shownFact(fact: RecordedFact, correction: CorrectedFact | undefined) {
  const { factId, seq, occurredOn, at, recordedAt, recordedBy, ...happening } = toldFact(fact)
  const correctedBy = correction === undefined ? null : correctionView(correction)
  return { factId, occurredOn, at: at ?? null, recordedAt, recordedBy, seq, correctedBy, ...happening }
}
