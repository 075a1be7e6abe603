/** From request to answer: who calls, what they may do, what they sent; then one handler. */
import { type Context, Hono } from 'hono'
import type * as z from 'zod'
import { localDateAt } from '../../shared-domain/calendar.ts'
import { registerId } from '../../shared-domain/registers.ts'
import type { Clock } from '../platform/clock.ts'
import { invalid, notAllowed, notFound, Refused } from '../platform/errors.ts'
import { callerOf, readClaims } from '../platform/identity.ts'
import { describe, log } from '../platform/log.ts'
import { openOrganisation } from '../platform/organisation.ts'
import type { Table } from '../platform/table.ts'
import { type Answer, faultsOf, problem, problemType, unexpected } from './problem.ts'
import { keysForetold } from './read-ahead.ts'
import type { Request, Route } from './request.ts'
import { routes } from './routes.ts'

/** An API that answers at 5 MB the most, well over any bench test (a 20 m stick is about 0.2 MB). */
const largestBody = 5_000_000

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
  app.get('/v1/openapi.json', (context) => context.json(parts.openApi))
  for (const route of routes) {
    app.on(route.method, route.path, async (context) => reply(await answer(parts, route, context)))
  }
  app.notFound(() => reply(problem({ kind: 'not found' })))
  return app
}

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
  const sent = route.body === undefined ? undefined : await readBody(context)
  organisation.table.ahead(keysForetold(organisation.keys, route.path, id, sent?.json))
  // the policy is asked for together with the caller: nearly every answer needs both
  const [caller] = await Promise.all([callerOf(claims, organisation.registers, today), organisation.policyOn(today)])
  if (!route.allowed.includes(caller.role)) throw notAllowed(`This is not for the role ${caller.role}.`)
  const named = registerId.safeParse(id)
  if (route.path.includes(':id') && !named.success && !route.danger) {
    if (route.method !== 'PUT') throw notFound()
    const what = named.error.issues[0]?.message ?? 'an identifier'
    throw invalid({ pointer: '', came: id, expected: `in the path, ${what}` })
  }
  const query = parse(route.query as z.ZodType<Request['query']> | undefined, context.req.query())
  const body = route.body === undefined ? undefined : parse(route.body, accepted(sent))
  const [factId = '', feedId = ''] = [context.req.param('factId'), context.req.param('feedId')]
  return route.handle({ organisation, caller, now, id, factId, feedId, feedsUrl, query, body: body as never })
}

function parse<T>(schema: z.ZodType<T> | undefined, input: T): T {
  if (schema === undefined) return input
  const parsed = schema.safeParse(input)
  if (parsed.success) return parsed.data
  throw invalid(...faultsOf(parsed.error, input))
}

interface Sent {
  readonly json: unknown
  readonly refusal: Refused | null
}

async function readBody(context: Context): Promise<Sent> {
  const text = await context.req.text()
  if (text.length > largestBody) {
    return { json: null, refusal: new Refused({ kind: 'too large', detail: `At most ${largestBody} characters.` }) }
  }
  try {
    return { json: JSON.parse(text), refusal: null }
  } catch (error) {
    const detail = error instanceof Error ? error.message : 'not JSON'
    return { json: null, refusal: new Refused({ kind: 'malformed', detail }) }
  }
}

/** Who may not send it at all is told that first, whatever is wrong with the body. */
function accepted(sent: Sent | undefined): unknown {
  if (sent?.refusal) throw sent.refusal
  return sent?.json
}

function reply({ status, body, contentType }: Answer): Response {
  return new Response(JSON.stringify(body), {
    status,
    headers: {
      'content-type': contentType ?? (status >= 400 ? problemType : 'application/json'),
      'cache-control': 'no-store',
    },
  })
}
