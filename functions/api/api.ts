/** The way from request to answer: who calls, what they may do, what they sent; then one handler. */
import { type Context, Hono } from 'hono'
import type { WallClock } from '../ground/clock.ts'
import { isOutOfReach, Refused } from '../ground/errors.ts'
import { describe, log } from '../ground/log.ts'
import { callerOf, notBound, readToken, type TokenRules } from '../questions/identity.ts'
import { rulesOn, todayAt } from '../questions/today.ts'
import { nothingSent } from '../requests/checked.ts'
import { contract } from '../requests/contract.ts'
import type { Shares } from '../requests/fair-shares.ts'
import { perform } from '../requests/perform.ts'
import { type Answer, noSuchAddress, notDoneHere, outOfReach, problemType, unexpected } from '../requests/problem.ts'
import { keysForetold } from '../requests/read-ahead.ts'
import type { PaperMaker, ProofFolder, Recorder, Route } from '../requests/request.ts'
import { routes } from '../requests/routes.ts'
import { openOrganisation } from '../store/organisation.ts'
import { whoIs } from '../store/sign-ins.ts'
import type { Table } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { arrivedAt } from '../web/gateway.ts'
import { readBody, readBytes } from './body.ts'

export interface ApiParts {
  readonly table: Table
  readonly clock: WallClock
  /** the verified claims of the caller's token */
  readonly claimsOf: (context: Context) => unknown
  readonly tokens: TokenRules
  readonly openApi: () => Promise<object>
  readonly proofFile?: ProofFolder
  readonly paperFile?: PaperMaker
  readonly uploads?: Recorder['uploads']
  /** left out in tests that ask more than anybody does */
  readonly shares?: Shares
  /** address at which calendars fetch feeds, without a slash at its end */
  readonly feedsUrl: string
}

export function buildApi(parts: ApiParts): Hono {
  const app = new Hono()
  app.get(contract, async () => reply({ status: 200, body: await parts.openApi() }))
  for (const route of routes) {
    app.on(route.method, route.path, async (context) => reply(await answer(parts, route, context)))
  }
  for (const [path, allow] of allowedByPath) {
    app.options(path, () => new Response(null, { status: 204, headers: { allow, 'cache-control': 'no-store' } }))
    app.all(path, () => reply(notDoneHere(allow)))
  }
  app.notFound(() => reply(noSuchAddress()))
  return app
}

/** The router answers a HEAD wherever a GET is answered. */
const allowedByPath = [...Map.groupBy([...routes, { method: 'GET', path: contract }], ({ path }) => path)].map(
  ([path, all]) => {
    const methods = all.flatMap(({ method }) => (method === 'GET' ? ['GET', 'HEAD'] : [method]))
    return [path, [...methods, 'OPTIONS'].join(', ')] as const
  },
)

async function answer(parts: ApiParts, route: Route, context: Context): Promise<Answer> {
  try {
    return await handle(parts, route, context)
  } catch (error) {
    if (error instanceof Refused) return (await import('../requests/refused.ts')).problem(error.refusal)
    log('error', alarmWords.requestFailed, { route: `${route.method} ${route.path}`, trouble: describe(error) })
    return isOutOfReach(error) ? outOfReach() : unexpected()
  }
}

async function handle(parts: ApiParts, route: Route, context: Context): Promise<Answer> {
  const { table, feedsUrl, proofFile, paperFile, uploads } = parts
  const now = parts.clock()
  const { issuedAt, ...subject } = readToken(parts.claimsOf(context), parts.tokens)
  const bound = await whoIs(table, subject)
  if (bound === undefined) throw notBound()
  const body = await sentIn(context, route)
  parts.shares?.admit(bound, route, body.json)
  const organisation = openOrganisation(table, bound.organisation)
  const { today } = await todayAt({ organisation, now }, null)
  const params = context.req.param() as Record<string, string> // a router of paths in text knows no names of parameters
  const foretold = { path: route.path, id: params.id ?? '', body: body.json }
  organisation.table.ahead(keysForetold(organisation.keys, foretold))
  // the policy is asked for together with the caller: nearly every answer needs both
  const [caller] = await Promise.all([
    callerOf(organisation, { ...bound, issuedAt }, today),
    rulesOn(organisation, today),
  ])
  const asks = { organisation, caller, now, arrivedAt: arrivedAt(context, parts.clock) }
  const by = { ...asks, feedsUrl, proofFile, paperFile, uploads }
  return perform(route, by, { params, query: context.req.query(), body })
}

function sentIn(context: Context, { body, bytes, danger }: Route) {
  if (bytes) return readBytes(context)
  return body === undefined ? nothingSent : readBody(context, danger ?? false)
}

function reply({ status, body, contentType, headers }: Answer): Response {
  return new Response(body instanceof Uint8Array ? new Uint8Array(body) : JSON.stringify(body), {
    status,
    headers: {
      'content-type': contentType ?? (status >= 400 ? problemType : 'application/json'),
      'cache-control': 'no-store',
      'x-content-type-options': 'nosniff',
      ...headers,
    },
  })
}
