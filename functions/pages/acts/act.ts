/**
 * An act on a page: a form that becomes a request, which is performed as the API performs it. Nothing is decided here:
 * who may do it, what fits and what follows are the request's.
 */
import type { Context } from 'hono'
import { isInstant } from '../../../shared-domain/calendar.ts'
import type { Fault } from '../../../shared-domain/fault.ts'
import { faultIn, refusalIn } from '../../../shared-domain/wording.ts'
import { idFrom } from '../../ground/derived-id.ts'
import { invalid, type Refusal, Refused } from '../../ground/errors.ts'
import { wallAtStick } from '../../questions/today.ts'
import type { Answer } from '../../requests/problem.ts'
import type { Recorder, Route } from '../../requests/request.ts'
import type { Markup, WebDocument } from '../../web/web-page.ts'
import { documentOf } from '../layout.ts'
import type { PageWording } from '../wording.ts'
import { bodyOf } from './body.ts'
import type { Field, Filled, Form, FormFaults, Typed } from './form.ts'
import { formMarkup } from './form-markup.ts'
import { textOf } from './measure.ts'
import { broughtTogether, type FlatField, flat } from './rows.ts'

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
  /**
   * An hour that was left empty is that of entering, as a device told it which sent the form later: of what speaks
   * against a stick, which would have stood at the hour of its recording. The fact is about the stick `:id`.
   */
  readonly takesHourOfEntering?: true
  /** what it is done to, each by a request of its own; left out where that is the one thing that the address names */
  readonly each?: (acting: Acting) => readonly Params[]
  /** the body of the request, where it is more than what stands in the form */
  readonly body?: (body: object, factId: string) => object
  /** fields of the form that go into the path of the request, by their names there */
  readonly inPath?: Readonly<Record<string, Field['name']>>
  /** faults that only the page can find, such as a new entry under an id that another has */
  readonly check?: (acting: Acting) => Promise<FormFaults | null>
  /** what would follow, where nothing is to be changed yet */
  readonly preview?: (acting: Acting, body: object) => Promise<Markup>
  /** the address to go on to, where that is not the form's own */
  readonly goTo?: (acting: Acting, answer: Answer) => string
  /** the page that shows what is told this once, where the answer has such a thing */
  readonly once?: (acting: Acting, answer: Answer) => Promise<WebDocument>
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
export type PageAnswer =
  | {
      readonly document: WebDocument
      readonly status: number
      /** reasons not to take it, in sentences; none where it was */
      readonly notTaken: readonly string[]
      /** a fact stands already under the id of the form */
      readonly stands: boolean
    }
  | { readonly goTo: string }

export async function showAct(act: Act, acting: Acting): Promise<WebDocument> {
  const way = waysDone.find((one) => one === acting.query.done)
  if (way !== undefined) return act.done(acting, way)
  const form = await act.form(acting)
  return formPage(form, { typed: null, faults: null, factId: crypto.randomUUID() }, acting.wording)
}

export async function sendAct(act: Act, by: Acting, context: Context): Promise<PageAnswer> {
  const form = await act.form(by)
  const filled = arranged(form, await typedIn(context))
  const { typed } = filled
  const page = (more: Partial<Filled>, status: number, stands = false): PageAnswer => ({
    document: formPage(form, { ...filled, faults: null, ...more }, by.wording),
    status,
    notTaken: sentencesOf(flat(form.fields, typed), more.faults ?? null, by.wording),
    stands,
  })
  if ('more' in typed) return page({}, 200)
  if (form.from !== undefined && typed.from?.[0] !== form.from)
    return page({ typed: { ...typed, from: [form.from] }, faults: alone(by.wording.say('changed meanwhile')) }, 409)
  const acting = { ...by, params: { ...by.params, ...inPath(act, typed) } }
  const body = await withHourOfEntering(act, acting, { body: bodyOf(form.fields, typed, form.fixed ?? {}), typed })
  const shownAgain = (refusal: Refusal) => {
    const judging = { ...by.wording, typed }
    const stands = refusal.kind === 'refused' && refusal.reasons.some(({ code }) => code === 'fact-id-used')
    return page({ faults: faultsIn(refusal, flat(form.fields, typed), judging) }, statusOf(refusal), stands)
  }
  const found = (await act.check?.(acting)) ?? null
  if (found !== null) return page({ faults: found }, 422)
  if ('preview' in typed && act.preview !== undefined) {
    const { preview } = act
    const followed = await orRefused(() => preview(acting, act.body?.(body, filled.factId) ?? body))
    return 'refusal' in followed ? shownAgain(followed.refusal) : page({ preview: followed.done }, 200)
  }
  const targets = act.each?.(acting) ?? [acting.params]
  const results: (Result & { readonly answer: Answer | null })[] = []
  for (const params of targets) {
    const factId = act.each === undefined ? filled.factId : idFrom(filled.factId, ...Object.values(params))
    results.push(await resultOf(act, { ...acting, params }, withId(act, body, factId)))
  }
  const [first] = results
  const refusal = results.every((one) => one.refusal !== null) ? (first?.refusal ?? null) : null
  if (refusal !== null && (act.results === undefined || refusal.kind === 'invalid')) return shownAgain(refusal)
  if (act.results !== undefined) {
    const notTaken = results.flatMap((one) => (one.refusal === null ? [] : whyNot(one.refusal, by.wording)))
    return { document: await act.results(acting, results), status: 200, notTaken, stands: false }
  }
  if (act.goTo !== undefined && first?.answer != null) return { goTo: act.goTo(acting, first.answer) }
  if (act.once !== undefined && first?.answer != null)
    return { document: await act.once(acting, first.answer), status: 200, notTaken: [], stands: false }
  const way: Done = first?.answer?.status === 202 ? 'waits' : 'recorded'
  return { goTo: `${context.req.path}?${new URLSearchParams({ ...acting.query, done: way })}` }
}

/** An hour that somebody typed stands as typed, and so does what is no moment. */
async function withHourOfEntering(
  { takesHourOfEntering }: Act,
  { by, params: { id } }: Acting,
  { body, typed }: { readonly body: object; readonly typed: Typed },
): Promise<object> {
  const at = typed.enteredAt?.[0] ?? ''
  if (takesHourOfEntering !== true || id === undefined || !isInstant(at) || 'at' in body) return body
  const { day, hour } = await wallAtStick(by, id, at)
  return { ...body, occurredOn: day, at: hour }
}

const arranged = ({ fields }: Form, { factId, typed }: Typing) => ({ factId, typed: broughtTogether(fields, typed) })

const alone = (text: string): FormFaults => ({ byField: new Map(), others: [text] })

const inPath = ({ inPath: names = {} }: Act, typed: Typed) =>
  Object.fromEntries(Object.entries(names).map(([name, field]) => [name, typed[field]?.[0]?.trim() ?? '']))

async function orRefused<T>(work: () => Promise<T>): Promise<{ readonly done: T } | { readonly refusal: Refusal }> {
  try {
    return { done: await work() }
  } catch (error) {
    if (error instanceof Refused) return { refusal: error.refusal }
    throw error
  }
}

function withId(act: Act, body: object, factId: string): object {
  const complete = act.body?.(body, factId) ?? body
  return act.isFact ? { ...complete, factId } : complete
}

async function resultOf(act: Act, acting: Acting, body: object): Promise<Result & { readonly answer: Answer | null }> {
  const { params } = acting
  const done = await orRefused(() => performed(act.route, { ...acting, query: {} }, body))
  if (!('refusal' in done)) return { params, refusal: null, answer: done.done }
  // of one thing alone a page says that it is not there
  if (done.refusal.kind === 'not found' && act.each === undefined) throw new Refused(done.refusal)
  return { params, refusal: done.refusal, answer: null }
}

/** All that may be asked for is loaded with the first act. */
export async function performed(
  to: Pick<Route, 'method' | 'path'>,
  { by, params, query }: Acting,
  json: object,
): Promise<Answer> {
  const [{ routes }, { perform }] = await Promise.all([
    import('../../requests/routes.ts'),
    import('../../requests/perform.ts'),
  ])
  const found = routes.find(({ method, path }) => method === to.method && path === to.path)
  if (found === undefined) throw new Error(`there is no request ${to.method} ${to.path}`)
  const { organisation, caller } = by
  by.shares?.admit({ organisation: organisation.name, personId: caller.personId }, found, json)
  const body = { json, faults: [], refusal: null }
  return perform(found, by, { params, query, body })
}

/** A form is at most as large as what anybody types. */
const largestForm = 500_000

interface Typing {
  readonly factId: string
  readonly typed: Typed
}

async function typedIn(context: Context): Promise<Typing> {
  const text = await context.req.text()
  if (text.length > largestForm)
    throw invalid({ pointer: '', came: text.length, expected: { is: 'right: letters at most', most: largestForm } })
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
  'too many': 429,
}
export const statusOf = ({ kind }: Refusal) => statuses[kind]

/** Words for what is wrong, with what was typed beside them. */
type Judging = PageWording & { readonly typed: Typed }

/** What is wrong, said once for each thing that is wrong in none of the fields. */
function faultsIn(refusal: Refusal, fields: readonly FlatField[], judging: Judging): FormFaults {
  if (refusal.kind !== 'invalid') return { byField: new Map(), others: whyNot(refusal, judging) }
  const placed = refusal.faults.map((fault) => ({ fault, field: fieldAt(fault.pointer, fields) }))
  const byField = Map.groupBy(
    placed.flatMap(({ fault, field }) => (field === undefined ? [] : [{ name: field.name, fault, field }])),
    ({ name }) => name,
  )
  return {
    byField: new Map(
      [...byField].map(([name, all]) => [name, all.map(({ fault, field }) => faultAt(fault, field, judging))]),
    ),
    others: placed
      .filter(({ field }) => field === undefined)
      .map(({ fault }) => `${fault.pointer}: ${faultIn(judging, fault)}`),
  }
}

/** What would be right, in the reader's language; of a field in the reader's own unit, in that unit. */
function faultAt({ pointer, expected }: Fault, field: FlatField, judging: Judging): string {
  const { say, typed } = judging
  const isEmpty = (typed[field.name] ?? []).every((text) => text.trim() === '')
  if (isEmpty && (pointer === field.name || field.name.startsWith(`${pointer}/`))) return say('to be filled in')
  if (typeof expected === 'string') return faultIn(judging, { expected })
  const figure = (metres: number) => (field.kind === 'measure' ? textOf(metres, field.unit) : String(metres))
  if (expected.is === 'right: at least') return say('at least', { figure: figure(Number(expected.least)) })
  if (expected.is === 'right: more than') return say('more than', { figure: figure(Number(expected.least)) })
  if (expected.is === 'right: at most') return say('at most', { figure: figure(Number(expected.most)) })
  if (expected.is === 'right: less than') return say('less than', { figure: figure(Number(expected.most)) })
  if (expected.is === 'right: an identifier') return say('an identifier')
  if (expected.is === 'right: a number') return say('a number')
  if (expected.is === 'right: a whole number') return say('a whole number')
  return faultIn(judging, { expected })
}

/** Why something was refused, in sentences. */
export function whyNot(refusal: Refusal, wording: PageWording): readonly string[] {
  if (refusal.kind === 'try again') return [wording.say('send again')]
  return refusalIn(wording, refusal).details
}

/** Sentences on what is wrong, for whoever does not see the form. */
function sentencesOf(fields: readonly FlatField[], faults: FormFaults | null, { say }: PageWording): string[] {
  if (faults === null) return []
  const inFields = fields.flatMap(({ name, label }) =>
    (faults.byField.get(name) ?? []).map((fault) => say('field and fault', { field: label, fault })),
  )
  return [...inFields, ...faults.others]
}

/** The field at the pointer, or the nearest one above or below it. */
function fieldAt(pointer: string, fields: readonly FlatField[]): FlatField | undefined {
  return (
    fields.find(({ name }) => name === pointer) ??
    fields.find(({ name }) => pointer.startsWith(`${name}/`)) ??
    fields.find(({ name }) => name.startsWith(`${pointer}/`))
  )
}

function formPage(form: Form, shown: Filled, wording: PageWording): WebDocument {
  const more = form.act === undefined ? {} : { more: 'crew' as const }
  return documentOf({ title: form.title, main: formMarkup(form, shown, wording), ...more }, wording)
}
