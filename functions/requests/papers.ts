/** Papers of a stick to print: the certificate of a test, a label, a tag. */
import * as z from 'zod'
import { factId } from '../../shared-domain/identifiers.ts'
import { type LabelSheetName, labelSheetNames, mostOnSheet } from '../../shared-domain/label-sheets.ts'
import { directoryFor } from '../questions/directory.ts'
import type { PaperToDraw } from '../questions/papers.ts'
import { type Request, type Route, route } from './request.ts'

const whichTest = z.lazy(() => z.strictObject({ test: factId.optional() }))

/** A place as a query has it: text that is a whole number. */
const whichPlace = z.lazy(() =>
  z.strictObject({
    sheet: z.enum(labelSheetNames).optional(),
    place: z.enum(Array.from({ length: mostOnSheet }, (_, i) => `${i + 1}`)).optional(),
  }),
)

export const paperRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/sticks/:id/certificate',
    summary:
      'The certificate of a bench test as PDF; `?test=` the factId of one, without it the newest. It says first how ' +
      'the stick stands, and of a test that did not pass it is a record',
    action: 'read a stick',
    query: whichTest,
    answer: 'paper',
    handle: async (request) => {
      const { certificateFor } = await import('../questions/papers.ts')
      const known = await certificateFor(request, request.id, request.query.test)
      return printed(request, { kind: 'certificate', known })
    },
  }),
  route({
    method: 'GET',
    path: '/v1/sticks/:id/label',
    summary:
      'A label as PDF, on one place of a sheet of labels (`?sheet=&place=`, the first of an A4 sheet of 24 without ' +
      'them); its second page checks the printer. What must not be used gets one that says so',
    action: 'record a label',
    query: whichPlace,
    answer: 'paper',
    handle: async (request) => {
      const { labelFor } = await import('../questions/papers.ts')
      const { sheet = 'a4-24', place = '1' } = request.query as { sheet?: LabelSheetName; place?: string } // parsed
      const known = await labelFor(request, request.id)
      return printed(request, { kind: 'label', known, asked: { sheet, place: Number(place) } })
    },
  }),
  route({
    method: 'GET',
    path: '/v1/sticks/:id/tag',
    summary: 'An out-of-service tag as PDF: why it must not be used, what alone ends that, and room to write',
    action: 'read a stick',
    answer: 'paper',
    handle: async (request) => {
      const { sheetFor } = await import('../questions/sticks.ts')
      return printed(request, { kind: 'tag', known: await sheetFor(request, request.id) })
    },
  }),
]

async function printed(request: Request, paper: PaperToDraw) {
  if (request.paperFile === undefined) throw new Error('this door prints no papers')
  const { codePathFor } = await import('./paper-codes.ts')
  const [directory, codePath] = await Promise.all([directoryFor(request), codePathFor(request, paper)])
  const { name, bytes } = await request.paperFile(request, { paper, directory, codePath })
  return {
    status: 200,
    body: bytes,
    contentType: 'application/pdf',
    headers: { 'content-disposition': `inline; filename="${name}"` },
  }
}
