/**
 * An act on a page: a form that becomes a request, which is performed as the API performs it. Nothing is decided here:
 * who may do it, what fits and what follows are the request's.
 */
import type { Context } from 'hono'
import type { Refusal } from '../../ground/errors.ts'
import { invalid, Refused } from '../../ground/errors.ts'
import type { Recorder } from '../../requests/request.ts'
import type { WebDocument } from '../../web/web-page.ts'
import { documentOf } from '../layout.ts'
import type { PageWording } from '../wording.ts'
import { bodyOf } from './body.ts'
import { type Field, type Form, type FormFaults, formMarkup, type Typed } from './form.ts'

/** Whoever acts, and on what. */
export interface Acting {
  readonly by: Recorder
  readonly params: Readonly<Record<string, string>>
  readonly query: Readonly<Record<string, string>>
  readonly wording: PageWording
}

export interface Act {
  /** the request that it becomes, as `requests/routes.ts` has it */
  readonly route: { readonly method: 'POST' | 'PUT'; readonly path: string }
  /** @throws Refused where whoever asks may not do it, or there is nothing to do it to */
  readonly form: (acting: Acting) => Promise<Form>
  /** whether the body has the id of a fact */
  readonly isFact: boolean
  /** the page that says what was done and what follows; `waits` where a second person has to approve it first */
  readonly done: (acting: Acting, way: Done) => Promise<WebDocument>
}

export const waysDone = ['recorded', 'waits'] as const
export type Done = (typeof waysDone)[number]

/** An answer of a page: a document to show, or the place to go on to. */
export type PageAnswer = { readonly document: WebDocument; readonly status: number } | { readonly goTo: string }

export async function showAct(act: Act, acting: Acting): Promise<WebDocument> {
  const way = waysDone.find((one) => one === acting.query.done)
  if (way !== undefined) return act.done(acting, way)
  const form = await act.form(acting)
  return formPage(form, { typed: {}, trouble: null, factId: crypto.randomUUID() }, acting.wording)
}

export async function sendAct(act: Act, acting: Acting, context: Context): Promise<PageAnswer> {
  const form = await act.form(acting)
  const { factId, typed } = await typedIn(context)
  const body = { ...bodyOf(form.fields, typed, form.fixed ?? {}), ...(act.isFact ? { factId } : {}) }
  try {
    const status = await performed(act, acting, body)
    const way: Done = status === 202 ? 'waits' : 'recorded'
    return { goTo: `${context.req.path}?${new URLSearchParams({ done: way })}` }
  } catch (error) {
    if (!(error instanceof Refused) || error.refusal.kind === 'not found') throw error
    const trouble = troubleOf(error.refusal, form.fields, acting.wording)
    return { document: formPage(form, { typed, trouble, factId }, acting.wording), status: statusOf(error.refusal) }
  }
}

/** All that may be asked for is loaded with the first act. */
async function performed({ route }: Act, { by, params }: Acting, json: object): Promise<number> {
  const [{ routes }, { perform }] = await Promise.all([
    import('../../requests/routes.ts'),
    import('../../requests/perform.ts'),
  ])
  const found = routes.find(({ method, path }) => method === route.method && path === route.path)
  if (found === undefined) throw new Error(`there is no request ${route.method} ${route.path}`)
  const body = { json, faults: [], refusal: null }
  return (await perform(found, by, { params, query: {}, body })).status
}

/** A form is at most as large as what anybody types. */
const largestForm = 500_000

async function typedIn(context: Context): Promise<{ readonly factId: string; readonly typed: Typed }> {
  const text = await context.req.text()
  if (text.length > largestForm) throw invalid({ pointer: '', came: text.length, expected: 'a form' })
  const fields = new URLSearchParams(text)
  const typed = Object.fromEntries([...new Set(fields.keys())].map((name) => [name, fields.getAll(name)]))
  return { factId: fields.get('factId') ?? '', typed }
}

const statuses: { readonly [kind in Refusal['kind']]: number } = {
  malformed: 400,
  'not signed in': 401,
  'not allowed': 403,
  'not found': 404,
  refused: 409,
  'too large': 413,
  invalid: 422,
  'try again': 503,
}
const statusOf = ({ kind }: Refusal) => statuses[kind]

function troubleOf(refusal: Refusal, fields: readonly Field[], { say, objection }: PageWording): FormFaults {
  if (refusal.kind === 'refused') return { byField: new Map(), others: refusal.reasons.map(objection) }
  if (refusal.kind === 'try again') return { byField: new Map(), others: [say('send again')] }
  if (refusal.kind !== 'invalid') return { byField: new Map(), others: [say('not for you')] }
  const placed = refusal.faults.map((fault) => ({ fault, field: fieldAt(fault.pointer, fields) }))
  const byField = Map.groupBy(
    placed.filter(({ field }) => field !== undefined),
    ({ field }) => field ?? '',
  )
  return {
    byField: new Map([...byField].map(([name, all]) => [name, all.map(({ fault }) => fault.expected)])),
    others: placed.filter(({ field }) => field === undefined).map(({ fault }) => `${fault.pointer}: ${fault.expected}`),
  }
}

/** The field at the pointer, or the nearest one above or below it. */
function fieldAt(pointer: string, fields: readonly Field[]): string | undefined {
  const names = fields.map(({ name }) => name)
  return (
    names.find((name) => name === pointer) ??
    names.find((name) => pointer.startsWith(`${name}/`)) ??
    names.find((name) => name.startsWith(`${pointer}/`))
  )
}

function formPage(form: Form, shown: Parameters<typeof formMarkup>[1], wording: PageWording): WebDocument {
  return documentOf({ title: form.title, main: formMarkup(form, shown, wording) }, wording)
}
