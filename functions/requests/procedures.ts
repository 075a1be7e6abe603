/** What a procedure means for the last tests by it: as it is stored, and as it is proposed. */
import * as z from 'zod'
import { type Procedure, procedure } from '../../shared-domain/registers.ts'
import { invalid } from '../ground/errors.ts'
import { entryFor, toRead } from '../questions/registers.ts'
import { referenceFaults, referencesOf } from '../recording/references.ts'
import { shownReason } from './english.ts'
import { cursorTo, pageAsked, pageFields } from './paging.ts'
import { recording } from './recording.ts'
import { isNumber } from './register-view.ts'
import { type Request, type Route, route } from './request.ts'

export const procedureRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/procedures/:id/over',
    summary:
      'Sticks that passed by this procedure and whose last readings are over what it asks by now; at most 200 ' +
      'sticks are looked at an answer, in the order of their numbers',
    action: toRead.procedure,
    query: z.lazy(() => z.strictObject({ cursor: pageFields().cursor })),
    answer: 'list of sticks over',
    handle: getOver,
  }),
  route({
    method: 'POST',
    path: '/v1/procedures/:id/preview',
    summary:
      'Last tests by this procedure that passed and would not by what is sent, which is not recorded; at most 200 ' +
      'sticks are looked at an answer, in the order of their numbers',
    action: toRead.procedure,
    query: z.lazy(() => z.strictObject({ cursor: pageFields().cursor })),
    body: procedure,
    first: (request) => entryFor(request, { kind: 'procedure', id: request.id }),
    references: referencesOf('procedure'),
    answer: 'procedure preview',
    handle: previewProcedure,
  }),
]

async function getOver(request: Request) {
  const { id, query } = request
  const { body } = await entryFor(request, { kind: 'procedure', id })
  const { after } = pageAsked(query, isNumber)
  const proposed = body as Procedure // the kind decides the body's type
  const { items, next } = await (await recording()).overLimitsFor(request, { id, body: proposed, after })
  return { status: 200, body: { items, next: cursorTo(next) } }
}

async function previewProcedure(request: Request<Procedure>) {
  const { id, body, organisation } = request
  await entryFor(request, { kind: 'procedure', id })
  const faults = await referenceFaults(organisation, 'procedure', body)
  if (faults.length > 0) throw invalid(...faults)
  const { after } = pageAsked(request.query, isNumber)
  const { tests, items, next } = await (await recording()).noLongerPassingFor(request, { id, body, after })
  const shown = items.map(({ judgement: { verdict, reasons, worst }, ...one }) => ({
    ...one,
    verdict,
    reasons: reasons.map(shownReason),
    worst,
  }))
  return { status: 200, body: { tests, items: shown, next: cursorTo(next) } }
}
