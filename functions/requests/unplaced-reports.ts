/** Reports of danger on numbers that no stick has: listed for managers, who say which stick each was about. */
import * as z from 'zod'
import { registerId } from '../../shared-domain/identifiers.ts'
import { listKeyOf, unplacedReportsFor } from '../questions/unplaced-reports.ts'
import { cut, pageQuery } from './paging.ts'
import { recording } from './recording.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'

const placing = z.lazy(() => z.strictObject({ stickId: registerId }))

export const unplacedReportRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/unplaced-reports',
    summary: 'Reports of danger on numbers that no stick has, those still to be placed first',
    action: 'read unplaced reports',
    query: pageQuery,
    answer: 'list of unplaced report',
    handle: async (request) => {
      const items = await unplacedReportsFor(request)
      return { status: 200, body: cut({ items, keyOf: listKeyOf, show: shown }, request.query) }
    },
  }),
  route({
    method: 'POST',
    path: '/v1/unplaced-reports/:factId/place',
    summary: 'Say which stick a report was about: it stands at its own hour then',
    action: 'place a report',
    body: placing,
    answer: 'step',
    handle: place,
  }),
]

function shown(report: Awaited<ReturnType<typeof unplacedReportsFor>>[number]) {
  const { factId, number, door, body, recordedAt, recordedBy, placed } = report
  return { factId, number, what: door, body, recordedAt, recordedBy, placed }
}

async function place(request: Request<z.output<typeof placing>>) {
  const factId = request.factId.toLowerCase()
  const outcome = await (await recording()).placeReport(request, { factId, stickId: request.body.stickId })
  const { stick, standing, today, isNew, remarks } = outcome
  return {
    status: isNew ? 201 : 200,
    body: { factId, stick: stickView(stick, standing, today), ...(remarks.length > 0 ? { remarks } : {}) },
  }
}
