/** Files for spreadsheets of all that is kept. Those of a kind that is taken in come in again unchanged. */
import * as z from 'zod'
import { localDateAt } from '../../shared-domain/calendar.ts'
import { kindsTakenOut } from '../../shared-domain/import/choices.ts'
import { checkRole } from '../questions/rights.ts'
import { cursorTo, pageAsked } from './paging.ts'
import { type Request, type Route, route } from './request.ts'
import { sheetFormats } from './sheet-formats.ts'

const asked = z.lazy(() =>
  z.strictObject({
    kind: z.enum(kindsTakenOut),
    format: z.enum(sheetFormats).default('csv'),
    cursor: z.string().max(400).optional(),
  }),
)

export const exportRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/exports',
    summary:
      'What the caller may read, as CSV or with `format=xlsx` as a workbook. Sticks, tests from before, uses, moves, ' +
      'people, crews and instruments come in again by /v1/imports unchanged. Some 10,000 rows; the header `Link` ' +
      'leads to the next',
    action: 'take out files',
    query: asked,
    answer: 'spreadsheet',
    handle: sheet,
  }),
]

async function sheet(request: Request) {
  checkRole(request.caller, 'take out files')
  const { kind, format, cursor } = request.query as z.output<typeof asked> // the router parsed it
  // few take files out: what lays them out is loaded with the first
  const [{ isPlaceOf, rowsKept }, { sheetOf, sheetTypes }] = await Promise.all([
    import('../questions/taken-out.ts'),
    import('./sheet.ts'),
  ])
  const { after } = pageAsked({ cursor }, (place) => isPlaceOf(kind, place))
  const { next, ...found } = await rowsKept(request, kind, after)
  const part = after === '' && next === null ? '' : next === null ? '-last-part' : '-part'
  const name = `${kind}-${localDateAt(request.now, 'UTC')}${part}.${format}`
  const link = `</v1/exports?kind=${kind}&format=${format}&cursor=${cursorTo(next)}>; rel="next"`
  return {
    status: 200,
    body: await sheetOf(found, format),
    contentType: sheetTypes[format],
    headers: {
      'content-disposition': `attachment; filename="${name}"`,
      ...(next === null ? {} : { link }),
    },
  }
}
