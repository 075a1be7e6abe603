/** Whatever a schema takes, the table takes: every number, text and list of every request has its bounds. */
import { describe, expect, test } from 'vitest'
import * as z from 'zod'
import { faultsOf } from '../../functions/api/problem.ts'
import { moreThanNought } from '../../shared-domain/quantities.ts'
import { line } from '../../shared-domain/text.ts'
import { boundsOf, everySchema, requestSchemas } from '../support/schemas.ts'

const schemas = requestSchemas()
const all = schemas.flatMap(([name, schema]) => everySchema(schema, name))
const ofType = (type: string) => all.filter(([, schema]) => schema.type === type)

/** What is missing, in words; null where all is there. */
function unbounded(schema: z.ZodType): string | null {
  const bounds = boundsOf(schema)
  const isSafe = (bound: number | undefined) => bound !== undefined && Math.abs(bound) < Number.MAX_SAFE_INTEGER
  switch (schema.type) {
    case 'number':
      return isSafe(bounds.minimum) && isSafe(bounds.maximum) ? null : 'a least and a largest number'
    case 'array':
      return bounds.maxItems === undefined ? 'a largest number of entries' : null
    case 'string': {
      const { maxLength, pattern, format } = bounds
      return maxLength === undefined && pattern === undefined && format === undefined ? 'a length or a form' : null
    }
    case 'object':
      return bounds.additionalProperties === false ? null : 'an end to its names'
    case 'record':
      return bounds.propertyNames?.enum === undefined ? 'an end to its names' : null
    default:
      return null
  }
}

describe('every request', () => {
  test('is looked at: there are many, with places of every type', () => {
    expect(schemas.length).toBeGreaterThan(20)
    for (const [type, least] of Object.entries({ number: 60, string: 60, array: 15, object: 30, union: 10, record: 1 }))
      expect([type, ofType(type).length > least]).toEqual([type, true])
  })

  test('has bounds on every number, text, list and set of names', () => {
    const missing = all.flatMap(([at, schema]) => {
      const what = unbounded(schema)
      return what === null ? [] : [`${at}: ${what}`]
    })
    expect(missing).toEqual([])
  })

  test.each([
    ['a number', z.number()],
    ['a number with a least alone', z.number().min(0)],
    ['a whole number', z.int()],
    ['a text', z.string()],
    ['a list', z.array(z.boolean())],
    ['an object', z.object({})],
    ['a record', z.record(z.string(), z.boolean())],
  ])('without bounds would be found: %s', (_, schema) => {
    expect(unbounded(schema)).not.toBeNull()
  })

  // DynamoDB keeps 1e-130 to 1e126, its document client what JavaScript can count by one
  test.each([Number.MIN_VALUE, 1e-300, 1e-131, 1e-9, -1e-300, 2 ** 53 + 2, -(2 ** 53) - 2, 1e126, Number.MAX_VALUE])(
    'no number of it may be %d',
    (value) => {
      const taking = ofType('number').filter(([, schema]) => schema.safeParse(value).success)
      expect(taking.map(([at]) => at)).toEqual([])
    },
  )

  test('nought stays where nought can be measured, and above it the finest figure is named', () => {
    expect(ofType('number').filter(([, schema]) => schema.safeParse(0).success).length).toBeGreaterThan(20)
    const { error } = moreThanNought(10).safeParse(0)
    expect(error && faultsOf(error, 0).faults[0]?.expected).toBe('at least 0.000001')
  })
})

describe('what is expected is said in words', () => {
  const wrong = [
    null,
    true,
    7.5,
    -1e9,
    1e9,
    'x',
    '',
    '\u0000',
    'x'.repeat(5000),
    [],
    [1],
    [null, null, null],
    {},
    { x: 1 },
  ]

  test.each(schemas)('at every place of %s', (name, schema) => {
    for (const [at, inner] of everySchema(schema, name)) {
      for (const value of wrong) {
        const { error } = inner.safeParse(value)
        for (const { expected } of error === undefined ? [] : faultsOf(error, value).faults)
          expect([at, value, expected]).toEqual([
            at,
            value,
            expect.stringMatching(/^(?!.*[Ii]nvalid)(?!.*undefined).{3}/),
          ])
      }
    }
  })

  test('a choice without words of its own would be found', () => {
    const { error } = z.union([z.literal('*'), line(3)]).safeParse(1)
    expect(error && faultsOf(error, 1).faults[0]?.expected).toMatch(/Invalid/)
  })
})
