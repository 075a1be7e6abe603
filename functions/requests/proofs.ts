/** What proves records to a stranger: the folder of a stick, and the head that the tree had each day. */
import * as z from 'zod'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { calendarDate } from '../../shared-domain/date-fields.ts'
import { directoryFor } from '../questions/directory.ts'
import { cut, pageQuery } from './paging.ts'
import { type Request, type Route, route } from './request.ts'

const asOf = z.lazy(() => z.strictObject({ on: calendarDate.optional(), asKnownOn: calendarDate.optional() }))

export const proofRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/sticks/:id/proof',
    summary:
      'Everything about it as one ZIP for an auditor, with a page to read and a file that checks it offline; ' +
      '`?on=DATE` from the facts that occurred by then, `&asKnownOn=DATE` from those recorded by then',
    action: 'take a proof',
    query: asOf,
    answer: 'proof folder',
    handle: folder,
  }),
  route({
    method: 'GET',
    path: '/v1/proof/heads',
    summary:
      'The head of the organisation’s tree of facts as each day began, by the clock of UTC; a day on which nothing ' +
      'came has none. In parts, to be gone on with by `?cursor=`',
    action: 'read tree heads',
    query: pageQuery,
    answer: 'list of day head',
    handle: heads,
  }),
]

async function folder(request: Request) {
  const { proofFor } = await import('../questions/proof.ts')
  if (request.proofFile === undefined) throw new Error('this door hands out no proof')
  const { on, asKnownOn } = request.query as { on?: CalendarDate; asKnownOn?: CalendarDate } // the router parsed it
  const [proved, directory] = await Promise.all([
    proofFor(request, request.id, { on, asKnownOn }),
    directoryFor(request),
  ])
  const { name, bytes } = await request.proofFile(request, { proved, directory })
  return {
    status: 200,
    body: bytes,
    contentType: 'application/zip',
    headers: { 'content-disposition': `attachment; filename="${name}"` },
  }
}

async function heads(request: Request) {
  const { headsFor } = await import('../questions/proof.ts')
  const items = await headsFor(request)
  return {
    status: 200,
    body: cut({ items, keyOf: ({ day }) => day, show: (head) => head }, request.query),
  }
}
