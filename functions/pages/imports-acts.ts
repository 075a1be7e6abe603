/** Acts on the pages of spreadsheets, each by the request that the API has for it. */
import type { Context } from 'hono'
import { importKinds } from '../../shared-domain/import/choices.ts'
import { templateFile, templates } from '../../shared-domain/import/templates.ts'
import { invalid, notFound, Refused } from '../ground/errors.ts'
import { importFor } from '../questions/imports.ts'
import { checkRole } from '../questions/rights.ts'
import { formFor } from '../requests/import-acts.ts'
import { restLink } from '../requests/import-view.ts'
import type { WebDocument } from '../web/web-page.ts'
import { type Acting, performed } from './acts/act.ts'
import { importPage } from './imports-page.ts'

interface Shown {
  readonly document: WebDocument
  /** origins to which the form of the page leads, besides the pages */
  readonly leadsTo: readonly string[]
}

export async function importShown({ by, params, query, wording }: Acting, origin: string): Promise<Shown> {
  const sent = await importFor(by, params.id ?? '')
  const isAwaited = sent.state === 'awaiting file' && query.key === undefined
  const upload = isAwaited ? await formFor(by, sent.id, `${origin}/imports/${sent.id}`) : null
  const rest = sent.rest.length > 0 && by.uploads !== undefined ? restLink(await by.uploads(), by, sent) : null
  const known = { sent, form: upload?.form ?? null, isThere: query.key !== undefined, rest }
  return { document: importPage(known, wording), leadsTo: upload === null ? [] : [upload.origin] }
}

/** Answers where to go on. */
export async function beginImport(acting: Acting, context: Context): Promise<string> {
  const fields = await typedIn(context)
  const kind = fields.get('kind') ?? ''
  const sent = { ...acting, params: {}, query: { kind, mode: 'check' } }
  const { body } = await performed({ method: 'POST', path: '/v1/imports' }, sent, new Uint8Array())
  return `/imports/${(body as { readonly id: string }).id}?done=recorded`
}

export async function sayReading(acting: Acting, context: Context): Promise<string> {
  const said = readingIn(await typedIn(context))
  return done('POST /v1/imports/:id/reading', acting, said)
}

export async function applyImport(acting: Acting, context: Context): Promise<string> {
  const goodOnly = (await typedIn(context)).get('goodOnly') === 'yes'
  return done('POST /v1/imports/:id/apply', acting, { goodOnly })
}

async function done(route: `POST ${string}`, acting: Acting, body: object): Promise<string> {
  const path = route.slice('POST '.length)
  try {
    await performed({ method: 'POST', path }, { ...acting, query: {} }, body)
    return `/imports/${acting.params.id}?done=recorded`
  } catch (error) {
    // the page was left open, and shows by now what has become of the file
    if (error instanceof Refused && error.refusal.kind === 'refused') return `/imports/${acting.params.id}`
    throw error
  }
}

/** Only what was chosen: what was not asked has no field. */
function readingIn(fields: URLSearchParams): object {
  const chosen = (name: string) => fields.get(name) || undefined
  const columns = Number(fields.get('columns') ?? '0')
  const mapping = Array.from({ length: Math.min(columns, 200) }, (_, place) => chosen(`column-${place}`) ?? null)
  const units = [...fields].flatMap(([name, unit]) =>
    name.startsWith('unit-') && unit !== '' ? [[name.slice(5), unit]] : [],
  )
  const [sheet, named] = [chosen('sheet'), ['encoding', 'dates', 'decimal', 'order'] as const]
  return {
    ...Object.fromEntries(named.flatMap((name) => (chosen(name) === undefined ? [] : [[name, chosen(name)]]))),
    ...(sheet === undefined ? {} : { sheet: Number(sheet) }),
    ...(columns > 0 ? { mapping } : {}),
    ...(units.length === 0 ? {} : { units: Object.fromEntries(units) }),
  }
}

const largestForm = 100_000

async function typedIn(context: Context): Promise<URLSearchParams> {
  const text = await context.req.text()
  if (text.length > largestForm)
    throw invalid({ pointer: '', came: text.length, expected: { is: 'right: letters at most', most: largestForm } })
  return new URLSearchParams(text)
}

export function templateOf({ by, params }: Acting): Response {
  checkRole(by.caller, 'import')
  const kind = importKinds.find((one) => one === params.kind && one in templates) as keyof typeof templates | undefined
  if (kind === undefined) throw notFound({ is: 'none: name', name: params.kind ?? '', things: 'templates' })
  return new Response(templateFile(templates[kind]), {
    headers: {
      'content-type': 'text/csv; charset=utf-8',
      'content-disposition': `attachment; filename="${kind}.csv"`,
      'cache-control': 'no-store',
    },
  })
}

/** A file of what is kept, as the API hands it out. */
export async function takenOut({ params, query, ...acting }: Acting): Promise<Response> {
  const of = { ...acting, params: {}, query: { ...query, kind: params.kind ?? '' } }
  const { body, contentType = '', headers } = await performed({ method: 'GET', path: '/v1/exports' }, of, {})
  return new Response(body as Uint8Array<ArrayBuffer>, {
    headers: { ...headers, 'content-type': contentType, 'cache-control': 'no-store' },
  })
}
