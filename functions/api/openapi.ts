/**
 * The OpenAPI document, made from the routes and their schemas. Run as a script, this file writes the copy that is
 * served.
 */
import { writeFileSync } from 'node:fs'
import type * as z from 'zod'
import { rolesFor } from '../../shared-domain/rights.ts'
import { safetyWords } from '../../shared-domain/safety-words.ts'
import { problemAnswer } from '../requests/answer-schemas.ts'
import type { Route } from '../requests/request.ts'
import { routes } from '../requests/routes.ts'
import { gatewayMessage, onlyAnswer, shownAs, wrong, wrongAnswers } from './openapi-answers.ts'
import { examples } from './openapi-examples.ts'
import { fileBody } from './openapi-imports.ts'
import { subjects } from './openapi-operations.ts'
import { inPath, meaningOf } from './openapi-parameters.ts'
import { publicPaths, publicTag } from './openapi-public.ts'
import { type NamedSchemas, schemaOf } from './openapi-schema.ts'

export function openApiDocument(): object {
  const paths: Record<string, Record<string, object>> = {}
  const named: NamedSchemas = {}
  schemaOf(problemAnswer, 'output', named)
  for (const route of routes) {
    const path = route.path.replaceAll(/:(\w+)/g, '{$1}')
    paths[path] = { ...paths[path], [route.method.toLowerCase()]: operation(route, named) }
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'Quarterturn',
      version: '1',
      description: `Keeps insulated live-line sticks safe to hold. ${safetyWords}`,
      license: { name: 'No licence is granted', identifier: 'LicenseRef-UNLICENSED' },
    },
    servers: [{ url: '/', description: 'The host that serves this document' }],
    tags: [...subjects.map(({ name, description }) => ({ name, description })), publicTag],
    security: [{ bearer: [] }],
    components: {
      securitySchemes: { bearer: { type: 'http', scheme: 'bearer', bearerFormat: 'JWT' } },
      schemas: { ...named, GatewayMessage: gatewayMessage },
      responses: wrongAnswers,
    },
    paths: { ...paths, ...publicPaths },
  }
}

function operation(route: Route, named: NamedSchemas): object {
  const { operationId, tag } = nameOf(route)
  return {
    operationId,
    tags: [tag],
    summary: route.summary,
    description: `For: ${rolesFor(route.action).join(', ')}.`,
    parameters: [...pathParameters(route), ...queryParameters(route)],
    ...(route.bytes ? { requestBody: fileBody } : {}),
    ...(route.body === undefined ? {} : { requestBody: requestBody(operationId, route.body, named) }),
    responses: { ...goodAnswers(route, operationId, named), ...wrongAnswersOf(route) },
  }
}

/** @throws where nobody has named the operation: no name is made up, since programs go on calling by it */
function nameOf({ method, path }: Route): { readonly operationId: string; readonly tag: string } {
  for (const { name, operations } of subjects)
    for (const [operationId, address] of Object.entries(operations))
      if (address === `${method} ${path}`) return { operationId, tag: name }
  throw new Error(`${method} ${path} has no operationId: name it in openapi-operations.ts`)
}

function requestBody(operationId: string, body: z.ZodType, named: NamedSchemas): object {
  const example = examples[operationId]
  if (example === undefined) throw new Error(`${operationId} has no example: give one in openapi-examples.ts`)
  return { required: true, content: { 'application/json': { schema: schemaOf(body, 'input', named), example } } }
}

function goodAnswers(route: Route, operationId: string, named: NamedSchemas): object {
  const good = (description: string, answer = route.answer) => ({ description, content: shownAs(answer, named) })
  if (route.method === 'GET') return { 200: good('As asked') }
  if (onlyAnswer[operationId] === 200) return { 200: good('Answered, or done') }
  if (onlyAnswer[operationId] === 201) return { 201: good('Newly made') }
  if (onlyAnswer[operationId] === 202) return { 202: good('Taken; nothing has changed yet') }
  const proposed = 'It would loosen, and waits for a second person; nothing has changed'
  return {
    201: good('Newly recorded'),
    ...(route.mayLoosen ? { 202: good(proposed, 'proposal decided') } : {}),
    ...(route.danger ? { 202: good('Kept and told, on a number that no stick has') } : {}),
    200: good('Already so; nothing was written, or an edition was added'),
  }
}

function wrongAnswersOf({ method, body, bytes }: Route): object {
  return {
    ...(body === undefined && bytes === undefined ? {} : { 400: wrong.malformed, 413: wrong.tooLarge }),
    401: wrong.noToken,
    403: wrong.notAllowed,
    404: wrong.notFound,
    405: wrong.notDoneHere,
    ...(method === 'GET' ? {} : { 409: wrong.refused }),
    422: wrong.faulty,
    429: wrong.tooMany,
    500: wrong.failed,
    503: wrong.tryAgain,
  }
}

const pathParameters = ({ path }: Route): object[] => [...path.matchAll(/:(\w+)/g)].map(([, name = '']) => inPath(name))

function queryParameters({ query }: Route): object[] {
  if (query === undefined) return []
  const { properties } = schemaOf(query, 'input', {}) as { properties?: Record<string, object> }
  return Object.entries(properties ?? {}).map(([name, schema]) => {
    return { name, in: 'query', required: false, description: meaningOf(name), schema }
  })
}

/** The text as it lies in the repository, so that a test can tell whether it has drifted. */
export const openApiText = (): string => `${JSON.stringify(openApiDocument(), null, 2)}\n`

if (process.argv[1]?.endsWith('openapi.ts'))
  writeFileSync(new URL('openapi.generated.json', import.meta.url), openApiText())
