/**
 * The API's document as other programs read it: every operation has a name, a subject, an example that is taken, and
 * its faults.
 */
import { describe, expect, test } from 'vitest'
import { buildAnswers } from '../../functions/answers/answers.ts'
import { openApiDocument } from '../../functions/api/openapi.ts'
import { examples } from '../../functions/api/openapi-examples.ts'
import { subjects } from '../../functions/api/openapi-operations.ts'
import { buildFeed } from '../../functions/feed/feed.ts'
import { routes } from '../../functions/requests/routes.ts'
import { fakeTable } from '../support/fake-table.ts'

interface Answer {
  readonly $ref?: string
  readonly description?: string
  readonly headers?: object
  readonly content?: Record<string, { schema: { $ref?: string } }>
}
interface Operation {
  readonly operationId: string
  readonly tags: string[]
  readonly summary: string
  readonly security?: object[]
  readonly parameters?: { name: string; in: string }[]
  readonly requestBody?: { content: Record<string, { example: unknown }> }
  readonly responses: Record<string, Answer>
}
interface Contract {
  readonly info: { license: { name: string; identifier: string } }
  readonly servers: { url: string }[]
  readonly tags: { name: string; description: string }[]
  readonly components: { schemas: Record<string, object>; responses: Record<string, Answer> }
  readonly paths: Record<string, Record<string, Operation>>
}

const contract = openApiDocument() as Contract
const operations = Object.entries(contract.paths).flatMap(([path, methods]) =>
  Object.entries(methods)
    .filter(([method]) => method !== 'parameters')
    .map(([method, operation]) => ({ path, method, operation })),
)
const ofRoutes = operations.filter(({ operation }) => operation.security === undefined)

function found(answer: Answer): Answer {
  return answer.$ref === undefined ? answer : (contract.components.responses[answer.$ref.split('/').at(-1) ?? ''] ?? {})
}

/** Every object of the document, from the top down. */
function* objectsIn(value: unknown): Generator<Record<string, unknown>> {
  if (typeof value !== 'object' || value === null) return
  if (!Array.isArray(value)) yield value as Record<string, unknown>
  for (const inner of Object.values(value)) yield* objectsIn(inner)
}

describe('names', () => {
  test('every operation has one of its own that a program can call a function by', () => {
    const names = operations.map(({ operation }) => operation.operationId)
    expect(new Set(names).size).toBe(operations.length)
    for (const name of names) expect(name).toMatch(/^[a-z]+([A-Z][a-z]+)*$/)
  })

  test('each is stated for one route, and each route has one', () => {
    const stated = subjects.flatMap(({ operations }) => Object.values(operations))
    expect(stated.sort()).toEqual(routes.map(({ method, path }) => `${method} ${path}`).sort())
    expect(ofRoutes).toHaveLength(routes.length)
  })

  test('every operation belongs to one declared subject, and every subject has a description and operations', () => {
    const declared = contract.tags.map(({ name }) => name)
    expect(new Set(declared).size).toBe(declared.length)
    expect(new Set(operations.flatMap(({ operation }) => operation.tags))).toEqual(new Set(declared))
    for (const { operation } of operations) expect(operation.tags).toHaveLength(1)
    for (const { description } of contract.tags) expect(description.length).toBeGreaterThan(20)
  })
})

test('the document names a server without a host, and a licence', () => {
  expect(contract.servers.map(({ url }) => url)).toEqual(['/'])
  expect(contract.info.license).toEqual({ name: expect.any(String), identifier: expect.stringMatching(/^LicenseRef-/) })
})

test('everything that is referred to stands in the document, and nothing else does', () => {
  const named = Object.entries({ schemas: contract.components.schemas, responses: contract.components.responses })
  const there = named.flatMap(([kind, all]) => Object.keys(all).map((name) => `#/components/${kind}/${name}`))
  const referred = new Set([...objectsIn(contract)].flatMap(({ $ref }) => (typeof $ref === 'string' ? [$ref] : [])))
  expect(referred).toEqual(new Set(there))
})

test('what a schema requires it describes', () => {
  for (const { required, properties = {} } of objectsIn(contract))
    if (Array.isArray(required)) for (const name of required) expect(properties).toHaveProperty([name])
})

test('the parameters of a path are those of its operations', () => {
  for (const { path, operation } of ofRoutes) {
    const inPath = (operation.parameters ?? []).filter((one) => one.in === 'path').map(({ name }) => `{${name}}`)
    expect(inPath).toEqual(path.match(/\{\w+\}/g) ?? [])
  }
})

test('each parameter is described, and described alike wherever it stands', () => {
  const described = new Map<unknown, unknown>()
  const parameters = [...objectsIn(contract)].filter((one) => one.in === 'path' || one.in === 'query')
  expect(parameters.length).toBeGreaterThan(100)
  for (const { name, description } of parameters) {
    expect(description).toMatch(/^\S.{15}/)
    expect(described.get(name) ?? description).toBe(description)
    described.set(name, description)
  }
})

describe('what goes wrong', () => {
  const problems = ['400', '404', '405', '409', '413', '422']

  test('every operation tells what each refusal answers: problem details of one schema', () => {
    for (const { operation } of ofRoutes) {
      const told = Object.keys(operation.responses)
      expect(told).toEqual(expect.arrayContaining(['401', '403', '404', '405', '422']))
      for (const status of told.filter((one) => problems.includes(one)))
        expect(found(operation.responses[status] ?? {}).content).toEqual({
          'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } },
        })
    }
  })

  test('whatever takes a body tells of a body that cannot be read, is too large, or is refused by the rules', () => {
    for (const { operation } of ofRoutes.filter((one) => one.operation.requestBody !== undefined))
      expect(Object.keys(operation.responses)).toEqual(expect.arrayContaining(['400', '409', '413', '422']))
  })

  test('the gateway’s own answers are told as what they are, beside ours where both answer so', () => {
    for (const { operation } of ofRoutes)
      for (const status of ['401', '403', '429']) {
        const { content, description } = found(operation.responses[status] ?? {})
        expect(Object.keys(content ?? {})).toEqual(['application/problem+json', 'application/json'])
        expect(description).toContain('gateway')
      }
  })

  test('405 promises the header Allow', () => {
    expect(contract.components.responses.NotDoneHere?.headers).toHaveProperty('Allow')
  })

  test('the doors without a token tell of at least one refusal, with its content', () => {
    for (const { operation } of operations.filter((one) => one.operation.security !== undefined)) {
      const refusals = Object.entries(operation.responses).filter(([status]) => status.startsWith('4'))
      expect(refusals.length).toBeGreaterThan(0)
      for (const [, answer] of refusals) expect(Object.keys(found(answer).content ?? {})).toHaveLength(1)
    }
  })
})

describe('examples', () => {
  const withBody = routes.filter(({ body }) => body !== undefined)
  const idOf = new Map(subjects.flatMap((one) => Object.entries(one.operations).map(([id, route]) => [route, id])))

  test.each(withBody.map((route) => [idOf.get(`${route.method} ${route.path}`) ?? '', route] as const))(
    '%s: its example is taken by its schema, and stands in the document',
    (operationId, { method, path, body }) => {
      expect(body?.safeParse(examples[operationId])).toMatchObject({ success: true })
      const operation = contract.paths[path.replaceAll(/:(\w+)/g, '{$1}')]?.[method.toLowerCase()]
      expect(operation?.requestBody?.content['application/json']?.example).toEqual(examples[operationId])
    },
  )

  test('there is one for each body and no other', () => {
    expect(Object.keys(examples).sort()).toEqual(
      withBody.map(({ method, path }) => idOf.get(`${method} ${path}`)).sort(),
    )
  })
})

test('the doors without a token are those that the other functions open, and the document itself', () => {
  const table = fakeTable()
  const clock = () => '2026-03-02T15:00:00.000Z' as never
  const doors = [...buildAnswers({ table, clock }).routes, ...buildFeed({ table, clock, from: 'a@b.example' }).routes]
  const opened = doors.map(({ method, path }) => `${method} ${path.replaceAll(/:(\w+)/g, '{$1}')}`)
  const told = operations.filter(({ operation }) => operation.security !== undefined)
  expect(told.map(({ method, path }) => `${method.toUpperCase()} ${path}`).sort()).toEqual(
    [...opened, 'GET /v1/openapi.json'].sort(),
  )
  for (const { operation } of told) expect(operation.security).toEqual([])
})
