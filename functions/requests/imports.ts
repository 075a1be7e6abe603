/** Files of rows: sent, asked about, said, checked and taken in. A worker behind a queue does what takes time. */

import { randomUUID } from 'node:crypto'
import * as z from 'zod'
import { importKinds } from '../../shared-domain/import/choices.ts'
import { checkRole } from '../questions/rights.ts'
import { saidOfImport } from './import-reading.ts'
import { type Request, type Route, route } from './request.ts'

const sending = z.lazy(() =>
  z.strictObject({
    kind: z.enum(importKinds),
    mode: z.enum(['check', 'apply']).default('check'),
    goodOnly: z.enum(['true', 'false']).default('false'),
  }),
)
const applying = z.lazy(() => z.strictObject({ goodOnly: z.boolean().default(false) }))

export const importRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/imports',
    summary:
      'Send a file of rows, CSV or a workbook. Up to 4 MB stand in the request; where it is empty or larger, the ' +
      'answer has the form by which the file is sent. `mode=check` says what each row would change; `apply` goes on ' +
      'by itself where every row is good, and with `goodOnly=true` where some are',
    action: 'import',
    bytes: true,
    query: sending,
    answer: 'import',
    handle: send,
  }),
  route({
    method: 'GET',
    path: '/v1/imports',
    summary: 'The newest files that were sent',
    action: 'import',
    answer: 'list of import',
    handle: async (request) => ({ status: 200, body: await (await acts()).listed(request) }),
  }),
  route({
    method: 'GET',
    path: '/v1/imports/:id',
    summary: 'How far it has come, what is asked, what is wrong in which row, and what was changed',
    action: 'import',
    answer: 'import',
    handle: async (request) => ({ status: 200, body: await (await acts()).shownTo(request) }),
  }),
  route({
    method: 'POST',
    path: '/v1/imports/:id/reading',
    summary: 'Say what was asked of how the file is to be read; it is checked anew',
    action: 'import',
    body: saidOfImport,
    answer: 'import',
    handle: async (request) => ({ status: 200, body: await (await acts()).said(request) }),
  }),
  route({
    method: 'POST',
    path: '/v1/imports/:id/apply',
    summary: 'Take in a file that was checked: all of its rows where all are good, or the good ones',
    action: 'import',
    body: applying,
    answer: 'import',
    handle: async (request) => ({ status: 200, body: await (await acts()).applied(request) }),
  }),
]

/** Few send files: what keeps them is loaded with the first. */
const acts = () => import('./import-acts.ts')

async function send(request: Request<never>) {
  checkRole(request.caller, 'import')
  const { kind, mode, goodOnly } = request.query as z.output<typeof sending> // the router parsed it
  // its number begins with when it came, so that lists are in time
  const id = `${request.now.replaceAll(/[^\dTZ]/g, '')}-${randomUUID().slice(0, 8)}`
  const bytes = request.body as Uint8Array<ArrayBuffer>
  return {
    status: 201,
    body: await (await acts()).begun(request, { id, kind, mode, goodOnly: goodOnly === 'true', bytes }),
  }
}
