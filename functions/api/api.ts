/** From request to answer: who calls, what they may do, what they sent; then one handler. */
import { type Context, Hono } from 'hono'
import * as z from 'zod'
import { localDateAt } from '../../shared-domain/calendar.ts'
import { registerId } from '../../shared-domain/registers.ts'
import type { Clock } from '../ground/clock.ts'
import { notAllowed, notFound, Refused } from '../ground/errors.ts'
import { describe, log } from '../ground/log.ts'
import { callerOf, readClaims } from '../questions/identity.ts'
import { openOrganisation } from '../store/organisation.ts'
import type { Table } from '../store/table.ts'
import { nothingSent, readBody } from './body.ts'
import { type Answer, type Faulty, faultsOf, notDoneHere, problem, problemType, unexpected } from './problem.ts'
import { keysForetold } from './read-ahead.ts'
import type { Request, Route } from './request.ts'
import { routes } from './routes.ts'

export interface ApiParts {
  readonly table: Table
  readonly clock: Clock
  /** the verified claims of the caller's token */
  readonly claimsOf: (context: Context) => unknown
  readonly openApi: object
  /** where calendars fetch feeds, without a slash at its end */
  readonly feedsUrl: string
}

export function buildApi(parts: ApiParts): Hono {
  const app = new Hono()
  app.get(contract, () => reply({ status: 200, body: parts.openApi }))
  for (const route of routes) {
    app.on(route.method, route.path, async (context) => reply(await answer(parts, route, context)))
  }
  for (const [path, methods] of methodsByPath) app.all(path, () => reply(notDoneHere(methods)))
  app.notFound(() => reply(problem({ kind: 'not found' })))
  return app
}

const contract = '/v1/openapi.json'

/** A HEAD is answered wherever a GET is. */
const methodsByPath = [...Map.groupBy([...routes, { method: 'GET', path: contract }], ({ path }) => path)].map(
  ([path, all]) => [path, all.flatMap(({ method }) => (method === 'GET' ? ['GET', 'HEAD'] : [method]))] as const,
)

async function answer(parts: ApiParts, route: Route, context: Context): Promise<Answer> {
  try {
    return await handle(parts, route, context)
  } catch (error) {
    if (error instanceof Refused) return problem(error.refusal)
    log('error', 'request failed', { route: `${route.method} ${route.path}`, trouble: describe(error) })
    return unexpected()
  }
}

async function handle({ table, clock, claimsOf, feedsUrl }: ApiParts, route: Route, context: Context): Promise<Answer> {
  const now = clock()
  const claims = readClaims(claimsOf(context))
  const organisation = openOrganisation(table, claims.organisation)
  const today = localDateAt(now, 'UTC')
  const id = context.req.param('id') ?? ''
  const sent = route.body === undefined ? nothingSent : await readBody(context, route.danger ?? false)
  organisation.table.ahead(keysForetold(organisation.keys, route.path, id, sent.json))
  // the policy is asked for together with the caller: nearly every answer needs both
  const [caller] = await Promise.all([callerOf(claims, organisation.registers, today), organisation.rulesOn(today)])
  if (!route.allowed.includes(caller.role)) throw notAllowed(`This is not for the role ${caller.role}.`)
  checkPath(route, context)
  const asked = parse(route.query ?? nothingAsked, context.req.query())
  const body = sent.refusal === null ? parse(route.body, sent.json) : { ...noFaults, value: null }
  const [factId = '', feedId = ''] = [context.req.param('factId'), context.req.param('feedId')]
  const request = { organisation, caller, now, id, factId, feedId, feedsUrl, query: {}, body: sent.json }
  const found = [nameFaults(id, route), asked, { faults: sent.faults, more: 0 }, body]
  const isFaulty = sent.refusal !== null || found.some(({ faults }) => faults.length > 0)
  if (isFaulty) await mayDoThis(route, request)
  if (sent.refusal !== null) throw sent.refusal
  if (isFaulty) throw await allFaults(route, request, found)
  return route.handle({ ...request, query: asked.value as Request['query'], body: body.value as never })
}

const nothingAsked = z.strictObject({})

/** What has not the form of a name is the name of nothing, and no key to be looked up; a new entry may still be told so. */
function checkPath({ method, path, danger }: Route, context: Context): void {
  for (const [, parameter = ''] of path.matchAll(/:(\w+)/g)) {
    // a number that is no name is the number of no stick, and word of danger on it is taken
    const isTold = (method === 'PUT' || danger) && parameter === 'id'
    if (!isTold && !registerId.safeParse(context.req.param(parameter)).success) throw notFound()
  }
}

function nameFaults(id: string, { path, danger }: Route): Faulty {
  const named = path.includes(':id') && !danger ? registerId.safeParse(id) : null
  if (named === null || named.success) return noFaults
  const what = named.error.issues[0]?.message ?? 'an identifier'
  return { faults: [{ pointer: '', came: id, expected: `in the path, ${what}` }], more: 0 }
}

const noFaults: Faulty = { faults: [], more: 0 }

function parse(schema: z.ZodType | undefined, input: unknown): Faulty & { readonly value: unknown } {
  if (schema === undefined) return { ...noFaults, value: input }
  const parsed = schema.safeParse(input)
  return parsed.success ? { ...noFaults, value: parsed.data } : { ...faultsOf(parsed.error, input), value: null }
}

/** Told before what is wrong with what was sent. */
async function mayDoThis(route: Route, request: Request): Promise<void> {
  if (nameFaults(request.id, route).faults.length === 0) await route.first?.(request)
}

/** With what the body names and the register knows nothing of, so that one answer tells everything. */
async function allFaults(route: Route, request: Request, found: readonly Faulty[]): Promise<Refused> {
  const unknown = (await route.references?.(request.organisation, request.body)) ?? []
  const faults = [...found.flatMap((one) => one.faults), ...unknown]
  return new Refused({ kind: 'invalid', faults, more: found.reduce((sum, one) => sum + one.more, 0) })
}

function reply({ status, body, contentType, headers }: Answer): Response {
  return new Response(JSON.stringify(body), {
    status,
    headers: {
      'content-type': contentType ?? (status >= 400 ? problemType : 'application/json'),
      'cache-control': 'no-store',
      'x-content-type-options': 'nosniff',
      ...headers,
    },
  })
}
