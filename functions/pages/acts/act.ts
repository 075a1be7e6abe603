/**
 * An act on a page: a form that becomes a request, which is performed as the API performs it. Nothing is decided here:
 * who may do it, what fits and what follows are the request's.
 */
import type { Context } from 'hono'
import { idFrom } from '../../ground/derived-id.ts'
import { invalid, type Refusal, Refused } from '../../ground/errors.ts'
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
  /** of what the address asks for several times, such as the sticks of a selection, all */
  readonly queries: Readonly<Record<string, readonly string[]>>
  readonly wording: PageWording
}

export interface Act {
  /** the request that it becomes, as `requests/routes.ts` has it */
  readonly route: { readonly method: 'POST' | 'PUT'; readonly path: string }
  /** @throws Refused where whoever asks may not do it, or there is nothing to do it to */
  readonly form: (acting: Acting) => Promise<Form>
  /** whether the body has the id of a fact */
  readonly isFact: boolean
  /** what it is done to, each by a request of its own; left out where that is the one thing that the address names */
  readonly each?: (acting: Acting) => readonly Params[]
  /** the body of the request, where it is more than what stands in the form */
  readonly body?: (body: object, factId: string) => object
  /** the page that says what was done and what follows; `waits` where a second person has to approve it first */
  readonly done: (acting: Acting, way: Done) => Promise<WebDocument>
  /** the page that says what became of each, where it was done to several */
  readonly results?: (acting: Acting, results: readonly Result[]) => Promise<WebDocument>
}

type Params = Acting['params']

/** What became of one of several: why it was refused, or null. */
export interface Result {
  readonly params: Params
  readonly refusal: Refusal | null
}

export const waysDone = ['recorded', 'waits'] as const
export type Done = (typeof waysDone)[number]

/** An answer of a page: a document to show, or the place to go on to. */
export type PageAnswer = { readonly document: WebDocument; readonly status: number } | { readonly goTo: string }

export async function showAct(act: Act, acting: Acting): Promise<WebDocument> {
  const way = waysDone.find((one) => one === acting.query.done)
  if (way !== undefined) return act.done(acting, way)
  const form = await act.form(acting)
  return formPage(form, { typed: {}, faults: null, factId: crypto.randomUUID() }, acting.wording)
}

export async function sendAct(act: Act, acting: Acting, context: Context): Promise<PageAnswer> {
  const form = await act.form(acting)
  const filled = await typedIn(context)
  const body = bodyOf(form.fields, filled.typed, form.fixed ?? {})
  const targets = act.each?.(acting) ?? [acting.params]
  const results: (Result & { readonly status: number })[] = []
  for (const params of targets) {
    const factId = act.each === undefined ? filled.factId : idFrom(filled.factId, ...Object.values(params))
    results.push(await resultOf(act, { ...acting, params }, withId(act, body, factId)))
  }
  const [first] = results
  const refusal = results.every((one) => one.refusal !== null) ? (first?.refusal ?? null) : null
  if (refusal !== null && (act.results === undefined || refusal.kind === 'invalid')) {
    const faults = faultsIn(refusal, form.fields, acting.wording)
    return { document: formPage(form, { ...filled, faults }, acting.wording), status: statusOf(refusal) }
  }
  if (act.results !== undefined) return { document: await act.results(acting, results), status: 200 }
  const way: Done = first?.status === 202 ? 'waits' : 'recorded'
  return { goTo: `${context.req.path}?${new URLSearchParams({ ...acting.query, done: way })}` }
}

function withId(act: Act, body: object, factId: string): object {
  const complete = act.body?.(body, factId) ?? body
  return act.isFact ? { ...complete, factId } : complete
}

async function resultOf(act: Act, acting: Acting, body: object): Promise<Result & { readonly status: number }> {
  const { params } = acting
  try {
    return { params, refusal: null, status: await performed(act, acting, body) }
  } catch (error) {
    if (!(error instanceof Refused)) throw error
    // of one thing alone a page says that it is not there
    if (error.refusal.kind === 'not found' && act.each === undefined) throw error
    return { params, refusal: error.refusal, status: statusOf(error.refusal) }
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
  'not allowed': 403,
  'not found': 404,
  refused: 409,
  'too large': 413,
  invalid: 422,
  'try again': 503,
}
const statusOf = ({ kind }: Refusal) => statuses[kind]

/** What is wrong, said once for each thing that is wrong in none of the fields. */
function faultsIn(refusal: Refusal, fields: readonly Field[], wording: PageWording): FormFaults {
  if (refusal.kind !== 'invalid') return { byField: new Map(), others: whyNot(refusal, wording) }
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

/** Why something was refused, in sentences. */
export function whyNot(refusal: Refusal, { say, objection }: PageWording): string[] {
  if (refusal.kind === 'refused') return refusal.reasons.map(objection)
  if (refusal.kind === 'try again') return [say('send again')]
  if (refusal.kind === 'not found') return [say('no such thing')]
  return [say('not for you')]
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
