/**
 * Faults of a request, all in one answer: of its path, query and body, and of names in the body that no register knows.
 */
import * as z from 'zod'
import { expectedBy, type Fault, type Refusing } from '../../shared-domain/fault.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import { notFound, Refused } from '../ground/errors.ts'
import { cutText } from './echo.ts'
import { type Faulty, faultsOf } from './faults.ts'
import type { Recorder, Request, Route } from './request.ts'

const nothingAsked = z.strictObject({})

/** What a request brings: the parameters of its path, its query and its body. */
export interface Sent {
  readonly params: Readonly<Record<string, string>>
  readonly query: Readonly<Record<string, string>>
  readonly body: SentBody
}

export interface SentBody {
  readonly json: unknown
  /** faults that it has whatever its schema says: a name given twice, nesting too deep */
  readonly faults: readonly Fault[]
  /** refusal of the body as a whole; a caller who may not send it at all is refused for that first */
  readonly refusal: Refused | null
}

export const nothingSent: SentBody = { json: undefined, faults: [], refusal: null }

/** The request as its route reads it. A caller who may not do this at all is told so before any fault. */
export async function checked(
  route: Route,
  by: Recorder,
  { params, query, body: sent }: Sent,
): Promise<Request<never>> {
  checkPath(route, params)
  const request = { ...by, id: params.id ?? '', factId: params.factId ?? '', feedId: params.feedId ?? '' }
  const asked = inQuery(parse(route.query ?? nothingAsked, query))
  const body = sent.refusal === null ? parse(route.body, sent.json) : { ...noFaults, value: null }
  const found = [nameFaults(request.id, route), asked, { faults: sent.faults, more: 0 }, body]
  if (sent.refusal !== null || found.some(({ faults }) => faults.length > 0)) {
    const unread = { ...request, query: {}, body: sent.json }
    await mayDoThis(route, unread)
    throw sent.refusal ?? (await allFaults(route, unread, found))
  }
  return { ...request, query: asked.value as Request['query'], body: body.value as never }
}

/**
 * A parameter without the form of a name is the name of nothing, and no key to be looked up. The id of a PUT passes,
 * since its sender is told the fault. So does the number that word of danger comes in on: it is the number of no stick,
 * and is taken.
 */
function checkPath({ method, path, danger }: Route, params: Sent['params']): void {
  for (const [, parameter = ''] of path.matchAll(/:(\w+)/g)) {
    const isTold = (method === 'PUT' || danger) && parameter === 'id'
    const name = params[parameter] ?? ''
    if (!isTold && !registerId.safeParse(name).success) throw notFound(nameAmong(path, parameter, name))
  }
}

function nameAmong(path: string, parameter: string, name: string): Refusing<'none'> {
  const [, things = ''] = new RegExp(`([\\w-]+)/:${parameter}`).exec(path) ?? []
  return { is: 'none: name', name: JSON.stringify(cutText(name, 100)), things: things.replaceAll('-', ' ') }
}

function nameFaults(id: string, { path, danger }: Route): Faulty {
  const named = path.includes(':id') && !danger ? registerId.safeParse(id) : null
  if (named === null || named.success) return noFaults
  const what = expectedBy(named.error.issues[0]?.message ?? '')
  return { faults: [{ in: 'path', pointer: '/id', came: id, expected: what }], more: 0 }
}

const noFaults: Faulty = { faults: [], more: 0 }

function parse(schema: z.ZodType | undefined, input: unknown): Faulty & { readonly value: unknown } {
  if (schema === undefined) return { ...noFaults, value: input }
  const parsed = schema.safeParse(input)
  return parsed.success ? { ...noFaults, value: parsed.data } : { ...faultsOf(parsed.error, input), value: null }
}

function inQuery<Of extends Faulty>(found: Of): Of {
  return { ...found, faults: found.faults.map((one) => ({ ...one, in: 'query' as const })) }
}

/** The refusal of a caller who may not do this. It is told before the faults of what was sent. */
async function mayDoThis(route: Route, request: Request): Promise<void> {
  if (nameFaults(request.id, route).faults.length === 0) await route.first?.(request)
}

/**
 * All faults that were found, with the names in the body that no register knows, so that one answer tells everything.
 */
async function allFaults(route: Route, request: Request, found: readonly Faulty[]): Promise<Refused> {
  const unknown = (await route.references?.(request.organisation, request.body)) ?? []
  const faults = [...found.flatMap((one) => one.faults), ...unknown]
  return new Refused({ kind: 'invalid', faults, more: found.reduce((sum, one) => sum + one.more, 0) })
}
