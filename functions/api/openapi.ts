/** The OpenAPI document, made from the routes and their schemas; run as a script it writes the copy that is served. */
import { writeFileSync } from 'node:fs'
import * as z from 'zod'
import { rolesFor } from '../../shared-domain/rights.ts'
import { safetyWords } from '../../shared-domain/safety-words.ts'
import { answerSchema, problemAnswer } from './answer-schemas.ts'
import type { Route } from './request.ts'
import { routes } from './routes.ts'

export function openApiDocument(): object {
  const paths: Record<string, Record<string, object>> = {}
  const named: Record<string, object> = {}
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
    },
    security: [{ bearer: [] }],
    components: {
      securitySchemes: { bearer: { type: 'http', scheme: 'bearer', bearerFormat: 'JWT' } },
      schemas: named,
    },
    paths,
  }
}

function operation(route: Route, named: Record<string, object>): object {
  const problem = (description: string) => ({
    description,
    content: { 'application/problem+json': { schema: schemaOf(problemAnswer, 'output', named) } },
  })
  const good = (description: string) => ({
    description,
    content: { 'application/json': { schema: schemaOf(answerSchema(route.answer), 'output', named) } },
  })
  const proposed = () => ({
    description: 'It would loosen, and waits for a second person; nothing has changed',
    content: { 'application/json': { schema: schemaOf(answerSchema('proposal decided'), 'output', named) } },
  })
  return {
    summary: route.summary,
    description: `For: ${rolesFor(route.action).join(', ')}.`,
    parameters: [...pathParameters(route), ...queryParameters(route)],
    ...(route.body === undefined
      ? {}
      : {
          requestBody: {
            required: true,
            content: { 'application/json': { schema: schemaOf(route.body, 'input', named) } },
          },
        }),
    responses: {
      ...(route.method === 'GET' ? {} : { 201: good('Newly recorded') }),
      ...(route.mayLoosen ? { 202: proposed() } : {}),
      ...(route.danger ? { 202: good('Kept and told, on a number that no stick has') } : {}),
      200: good(route.method === 'GET' ? 'As asked' : 'Already so; nothing was written, or an edition was added'),
      ...(route.body === undefined ? {} : { 400: problem('Not JSON'), 422: problem('Every fault of the body') }),
      ...(route.body === undefined && route.query !== undefined ? { 422: problem('Every fault of the query') } : {}),
      401: { description: 'No valid token' },
      403: problem('Not allowed in your own organisation'),
      404: problem('Nothing of this name exists'),
      ...(route.method === 'POST' || (route.method === 'PUT' && route.path === '/v1/sticks/:id')
        ? { 409: problem('Refused by the rules, with reasons') }
        : {}),
    },
  }
}

function pathParameters(route: Route): object[] {
  return [...route.path.matchAll(/:(\w+)/g)].map(([, name]) => ({
    name,
    in: 'path',
    required: true,
    schema: { type: 'string' },
  }))
}

function queryParameters(route: Route): object[] {
  if (route.query === undefined) return []
  const { properties } = schemaOf(route.query, 'input', {}) as { properties?: Record<string, object> }
  return Object.entries(properties ?? {}).map(([name, schema]) => ({ name, in: 'query', required: false, schema }))
}

/** The schema, with those that have a name of their own put beside the others in `named` and referred to. */
function schemaOf(schema: z.ZodType, io: 'input' | 'output', named: Record<string, object>): object {
  const made = z.toJSONSchema(schema, { io, unrepresentable: 'any', target: 'draft-2020-12' })
  const {
    $schema: _,
    $defs,
    id,
    ...rest
  } = JSON.parse(JSON.stringify(made).replaceAll('"#/$defs/', '"#/components/schemas/')) as {
    $schema?: string
    $defs?: Record<string, { id?: string }>
    id?: string
  }
  for (const [name, { id: __, ...body }] of Object.entries($defs ?? {})) named[name] = body
  if (id === undefined) return rest
  named[id] = rest
  return { $ref: `#/components/schemas/${id}` }
}

/** As it lies in the repository, so that a test can tell whether it has drifted. */
export function openApiText(): string {
  return `${JSON.stringify(openApiDocument(), null, 2)}\n`
}

if (process.argv[1]?.endsWith('openapi.ts'))
  writeFileSync(new URL('openapi.generated.json', import.meta.url), openApiText())
