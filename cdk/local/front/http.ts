/** The front door: the routes of the template with their authorisers and limits, and the local controls. */
import type { IncomingMessage, RequestListener, ServerResponse } from 'node:http'
import type { LocalFunction } from '../functions/functions.ts'
import type { Deployed, Properties } from '../template/template.ts'
import { type Authoriser, claimsAsText, hasScope, jwtAuthoriser, type KeySet } from './authoriser.ts'
import { httpAnswer, httpEvent } from './event.ts'

export interface FrontParts {
  readonly deployed: Deployed
  readonly functionOf: (arn: string) => LocalFunction
  /** the keys of an issuer of tokens */
  readonly keysOf: (issuer: string) => KeySet
  /** hears how each call to the API ended */
  readonly answered: (apiId: string, status: number) => void
  /** answers what is under /local/ */
  readonly controls: (method: string, url: URL, body: string) => Promise<Answer | undefined>
}

interface Route {
  readonly key: string
  readonly method: string
  readonly pattern: RegExp
  /** the order of matching: a full path, then a variable, then a greedy one; a method before ANY */
  readonly rank: number
  readonly authoriser: Authoriser | undefined
  /** a token needs one of them, if any */
  readonly scopes: readonly string[]
  readonly target: LocalFunction
}

// quotas of HTTP APIs
const mostBytes = 10 * 1024 * 1024
const mostHeaderBytes = 10_240
const longestAnswerMillis = 30_000

export function front(parts: FrontParts): RequestListener {
  const routes = routesOf(parts)
  const throttled = throttle(parts.deployed)
  const [api] = parts.deployed.all('AWS::ApiGatewayV2::Api')
  const apiId = api?.name ?? ''

  async function answer(message: IncomingMessage, response: ServerResponse): Promise<void> {
    const url = new URL(message.url ?? '/', 'http://local')
    if (url.pathname.startsWith('/local/')) return answerWith(response, await local(parts, message, url))
    response.once('close', () => parts.answered(apiId, response.statusCode))
    if (headerBytes(message) > mostHeaderBytes) return say(response, 431, 'Request Header Fields Too Large')
    const method = message.method ?? 'GET'
    const route = routes.find(
      (one) => (one.method === 'ANY' || one.method === method) && one.pattern.test(url.pathname),
    )
    if (route === undefined) return say(response, 404, 'Not Found')
    if (throttled()) return say(response, 429, 'Too Many Requests')
    const claims = await route.authoriser?.(message.headers.authorization)
    if (route.authoriser !== undefined && claims === undefined) {
      response.setHeader('www-authenticate', 'Bearer')
      return say(response, 401, 'Unauthorized')
    }
    if (claims !== undefined && !hasScope(route.scopes, claims)) return say(response, 403, 'Forbidden')
    const body = await read(message, mostBytes)
    if (body === undefined) return say(response, 413, 'Request Entity Too Large')
    const event = httpEvent({
      message,
      body,
      routeKey: route.key,
      pathParameters: pathParameters(route.pattern, url.pathname),
      claims: claims && claimsAsText(claims),
      scopes: route.scopes,
      // tokens are judged by the real time, and so is what comes before a sign-out and what after it
      now: Date.now(),
      apiId,
      account: parts.deployed.account,
    })
    const outcome = await within(longestAnswerMillis, route.target.invoke(event))
    if (outcome === undefined) return say(response, 503, 'Service Unavailable')
    if (!outcome.ok && outcome.errorType === 'RequestTooLargeException')
      return say(response, 413, 'Request Entity Too Large')
    const sent = outcome.ok ? httpAnswer(outcome.payload) : undefined
    if (sent === undefined) return say(response, 500, 'Internal Server Error')
    response.setHeader('apigw-requestid', event.requestContext.requestId)
    response.writeHead(sent.status, { ...sent.headers, 'content-length': sent.body.length }).end(sent.body)
  }

  return (message, response) => {
    answer(message, response).catch(() => {
      if (!response.headersSent) return say(response, 500, 'Internal Server Error')
      response.destroy()
    })
  }
}

function routesOf({ deployed, functionOf, keysOf }: FrontParts): Route[] {
  const authorisers = new Map<string, Authoriser>()
  for (const { name, properties } of deployed.all('AWS::ApiGatewayV2::Authorizer')) {
    authorisers.set(name, jwtAuthoriser(properties, keysOf))
  }
  const integrations = new Map(
    deployed.all('AWS::ApiGatewayV2::Integration').map(({ name, properties }) => [name, properties]),
  )
  const routes = deployed.all('AWS::ApiGatewayV2::Route').map(({ id, properties }) => {
    const integration = integrations.get(properties.Target.replace('integrations/', ''))
    if (integration === undefined) throw new Error(`${id} leads to no integration`)
    const called = lambdaOf(integration)
    const target = functionOf(called)
    mayBeInvoked(deployed, called, properties.RouteKey)
    return {
      ...matcher(properties.RouteKey),
      key: properties.RouteKey,
      target,
      authoriser: authoriserOf(properties, authorisers),
      scopes: properties.AuthorizationScopes ?? [],
    }
  })
  return routes.sort((one, other) => one.rank - other.rank)
}

function authoriserOf(
  { AuthorizationType, AuthorizerId }: Properties,
  known: Map<string, Authoriser>,
): Authoriser | undefined {
  if (AuthorizationType === undefined || AuthorizationType === 'NONE') return undefined
  const found = known.get(AuthorizerId)
  if (found === undefined)
    throw new Error(`the local stack knows no authoriser ${AuthorizerId} of type ${AuthorizationType}`)
  return found
}

function lambdaOf({ IntegrationType, IntegrationUri, PayloadFormatVersion }: Properties): string {
  if (IntegrationType !== 'AWS_PROXY' || PayloadFormatVersion !== '2.0') {
    throw new Error('the local stack knows Lambda integrations with payload format 2.0 only')
  }
  return /arn:aws:lambda:[^/]*/.exec(IntegrationUri)?.[0] ?? IntegrationUri
}

/** A permission to invoke the function must be there: AWS answers 500 to every call of a route without one. */
function mayBeInvoked(deployed: Deployed, arn: string, routeKey: string): void {
  const path = routeKey.split(' ').at(-1) ?? ''
  const granted = deployed.all('AWS::Lambda::Permission').some(({ properties }) => {
    const { Action, FunctionName, Principal, SourceArn = '' } = properties
    const forRoute = SourceArn.endsWith('/*/*') || SourceArn.endsWith(`/*/*${path}`)
    return (
      Action === 'lambda:InvokeFunction' && FunctionName === arn && Principal === 'apigateway.amazonaws.com' && forRoute
    )
  })
  if (!granted) throw new Error(`API Gateway has no permission to invoke ${arn} for ${routeKey}`)
}

function matcher(routeKey: string): { method: string; pattern: RegExp; rank: number } {
  if (routeKey === '$default') return { method: 'ANY', pattern: /^/, rank: 9 }
  const [method = 'ANY', path = '/'] = routeKey.split(' ')
  const source = path
    .replace(/[.*?^$()|[\]\\]/g, '\\$&')
    .replace(/\{([A-Za-z0-9._-]+)\+\}/g, '(?<$1>.+)')
    .replace(/\{([A-Za-z0-9._-]+)\}/g, '(?<$1>[^/]+)')
  const rank = (path.includes('+}') ? 4 : path.includes('{') ? 2 : 0) + (method === 'ANY' ? 1 : 0)
  return { method, pattern: new RegExp(`^${source}$`), rank }
}

function pathParameters(pattern: RegExp, path: string): Record<string, string> | undefined {
  const groups = pattern.exec(path)?.groups
  if (groups === undefined) return undefined
  return Object.fromEntries(Object.entries(groups).map(([name, value]) => [name, decoded(value)]))
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text)
  } catch {
    return text
  }
}

/** The stage's limits as a bucket that refills in real time, whatever the settable clock says. */
function throttle(deployed: Deployed): () => boolean {
  const [stage] = deployed.all('AWS::ApiGatewayV2::Stage')
  const { ThrottlingRateLimit: rate, ThrottlingBurstLimit: burst } = stage?.properties.DefaultRouteSettings ?? {}
  if (rate === undefined || burst === undefined) return () => false
  let left = burst
  let at = performance.now()
  return () => {
    const now = performance.now()
    left = Math.min(burst, left + ((now - at) / 1000) * rate)
    at = now
    if (left < 1) return true
    left -= 1
    return false
  }
}

interface Answer {
  readonly status: number
  readonly body: unknown
}

async function local({ controls }: FrontParts, message: IncomingMessage, url: URL): Promise<Answer> {
  const body = await read(message, mostBytes)
  const found = await controls(message.method ?? 'GET', url, body?.toString() ?? '')
  return found ?? { status: 404, body: { message: 'Not Found' } }
}

/** The whole body, or undefined when there is more than allowed. */
async function read(message: IncomingMessage, most: number): Promise<Buffer | undefined> {
  const chunks: Buffer[] = []
  let bytes = 0
  for await (const chunk of message) {
    bytes += chunk.length
    if (bytes <= most) chunks.push(chunk)
  }
  return bytes > most ? undefined : Buffer.concat(chunks)
}

const headerBytes = ({ rawHeaders, url = '' }: IncomingMessage) =>
  rawHeaders.reduce((bytes, text) => bytes + text.length, url.length)

function within<T>(millis: number, work: Promise<T>): Promise<T | undefined> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => resolve(undefined), millis)
    work.then(resolve, reject).finally(() => clearTimeout(timer))
  })
}

function say(response: ServerResponse, status: number, message: string): void {
  answerWith(response, { status, body: { message } })
}

function answerWith(response: ServerResponse, { status, body }: Answer): void {
  response.writeHead(status, { 'content-type': 'application/json' }).end(JSON.stringify(body))
}
