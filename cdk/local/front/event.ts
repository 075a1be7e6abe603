/** Requests of Node as events of API Gateway, payload format 2.0, and its answers back. */
import { randomUUID } from 'node:crypto'
import type { IncomingMessage } from 'node:http'
import type { APIGatewayProxyEventV2, APIGatewayProxyEventV2WithJWTAuthorizer } from 'aws-lambda'
import type { Properties } from '../template/template.ts'

export interface Arrived {
  readonly message: IncomingMessage
  readonly body: Buffer
  readonly routeKey: string
  readonly pathParameters: Record<string, string> | undefined
  readonly claims: Record<string, string> | undefined
  /** those that the route asks for */
  readonly scopes: readonly string[]
  readonly now: number
  readonly apiId: string
  readonly account: string
}

export type HttpEvent = APIGatewayProxyEventV2 | APIGatewayProxyEventV2WithJWTAuthorizer

export function httpEvent({
  message,
  body,
  routeKey,
  pathParameters,
  claims,
  scopes,
  now,
  apiId,
  account,
}: Arrived): HttpEvent {
  const [rawPath = '/', rawQueryString = ''] = splitOnce(message.url ?? '/', '?')
  const { cookie, ...given } = message.headers
  const headers: Record<string, string> = {}
  for (const [name, value] of Object.entries(given)) if (value !== undefined) headers[name] = [value].flat().join(',')
  const sourceIp = message.socket.remoteAddress?.replace('::ffff:', '') ?? '127.0.0.1'
  const text = isText(headers['content-type'], body)
  return {
    version: '2.0',
    routeKey,
    rawPath,
    rawQueryString,
    ...(cookie === undefined ? {} : { cookies: cookie.split('; ') }),
    headers: {
      ...headers,
      'x-amzn-trace-id': traceId(now),
      'x-forwarded-for': sourceIp,
      'x-forwarded-port': String(message.socket.localPort ?? ''),
      'x-forwarded-proto': 'http',
    },
    ...(rawQueryString === '' ? {} : { queryStringParameters: queryParameters(rawQueryString) }),
    requestContext: {
      accountId: account,
      apiId,
      ...(claims === undefined ? {} : { authorizer: { jwt: { claims, scopes: scopes.length === 0 ? null : scopes } } }),
      domainName: headers.host ?? '',
      domainPrefix: apiId,
      http: {
        method: message.method ?? 'GET',
        path: rawPath,
        protocol: `HTTP/${message.httpVersion}`,
        sourceIp,
        userAgent: headers['user-agent'] ?? '',
      },
      requestId: randomUUID(),
      routeKey,
      stage: '$default',
      time: logTime(now),
      timeEpoch: now,
    },
    ...(pathParameters === undefined ? {} : { pathParameters }),
    ...(body.length === 0 ? {} : { body: body.toString(text ? 'utf8' : 'base64') }),
    isBase64Encoded: body.length > 0 && !text,
  } as HttpEvent
}

function splitOnce(text: string, at: string): string[] {
  const place = text.indexOf(at)
  return place < 0 ? [text] : [text.slice(0, place), text.slice(place + 1)]
}

/** Repeated names are joined by commas. */
function queryParameters(query: string): Record<string, string> {
  const found: Record<string, string> = Object.create(null)
  for (const [name, value] of new URLSearchParams(query))
    found[name] = name in found ? `${found[name]},${value}` : value
  return found
}

function isText(contentType: string | undefined, body: Buffer): boolean {
  const known =
    contentType === undefined || /^(text\/|application\/(json|javascript|xml)\b)|\+(json|xml)\b/i.test(contentType)
  return known && body.equals(Buffer.from(body.toString('utf8')))
}

/** `02/Mar/2026:15:00:00 +0000` */
function logTime(now: number): string {
  const [, day, month, year, time] = new Date(now).toUTCString().split(' ')
  return `${day}/${month}/${year}:${time} +0000`
}

export interface HttpAnswer {
  readonly status: number
  readonly headers: Record<string, string | string[]>
  readonly body: Buffer
}

/** The answer of a function, as API Gateway reads it; undefined where it cannot be read. */
export function httpAnswer(payload: string): HttpAnswer | undefined {
  const given: unknown = JSON.parse(payload)
  if (given === null || typeof given !== 'object' || !('statusCode' in given)) {
    if (given === null) return undefined
    return {
      status: 200,
      headers: { 'content-type': 'application/json' },
      body: Buffer.from(typeof given === 'string' ? given : payload),
    }
  }
  const { statusCode, headers = {}, cookies = [], body = '', isBase64Encoded = false } = given as Properties
  if (!Number.isInteger(statusCode) || statusCode < 100 || statusCode > 599 || typeof body !== 'string')
    return undefined
  const lower = Object.fromEntries(Object.entries(headers).map(([name, value]) => [name.toLowerCase(), String(value)]))
  return {
    status: statusCode,
    headers: {
      'content-type': 'text/plain; charset=utf-8',
      ...lower,
      ...(cookies.length > 0 ? { 'set-cookie': cookies } : {}),
    },
    body: Buffer.from(body, isBase64Encoded ? 'base64' : 'utf8'),
  }
}

function traceId(now: number): string {
  return `Root=1-${Math.floor(now / 1000).toString(16)}-${randomUUID().replaceAll('-', '').slice(0, 24)}`
}
