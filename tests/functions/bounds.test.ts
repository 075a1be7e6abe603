/** Whatever a schema takes, the table takes: every number, text and list of every request has its bounds. */
import { describe, expect, test } from 'vitest'
import * as z from 'zod'
import { faultsOf } from '../../functions/requests/faults.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { refusing } from '../../shared-domain/catalogue/en/refusals.ts'
import { spanish } from '../../shared-domain/catalogue/es/language.ts'
import { refusingInSpanish } from '../../shared-domain/catalogue/es/refusals.ts'
import { moreThanNought } from '../../shared-domain/quantity-fields.ts'
import { line } from '../../shared-domain/text.ts'
import { faultIn, wordingIn } from '../../shared-domain/wording.ts'
import { inEnglish } from '../support/english.ts'
import { type Bounds, boundsOf, everySchema, requestSchemas } from '../support/schemas.ts'

const schemas = requestSchemas()
const all = schemas.flatMap(([name, schema]) => everySchema(schema, name))
const ofType = (type: string) => all.filter(([, schema]) => schema.type === type)

const isSafe = (bound: number | undefined) => bound !== undefined && Math.abs(bound) < Number.MAX_SAFE_INTEGER
const isFormed = ({ maxLength, pattern, format }: Bounds) => (maxLength ?? pattern ?? format) !== undefined

const bounded: { readonly [type: string]: (bounds: Bounds) => boolean } = {
  number: ({ minimum, maximum }) => isSafe(minimum) && isSafe(maximum),
  array: ({ maxItems }) => maxItems !== undefined,
  string: isFormed,
  object: ({ additionalProperties }) => additionalProperties === false,
  record: ({ propertyNames }) => propertyNames?.enum !== undefined,
}

const isBounded = (schema: z.ZodType) => bounded[schema.type]?.(boundsOf(schema)) ?? true

describe('every request', () => {
  test('is looked at: there are many, with places of every type', () => {
    expect(schemas.length).toBeGreaterThan(20)
    for (const [type, least] of Object.entries({ number: 60, string: 60, array: 15, object: 30, union: 10, record: 1 }))
      expect([type, ofType(type).length > least]).toEqual([type, true])
  })

  test('has bounds on every number, text, list and set of names', () => {
    const without = all.filter(([, schema]) => !isBounded(schema))
    expect(without.map(([at, schema]) => `${at}: ${schema.type}`)).toEqual([])
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
    expect(isBounded(schema)).toBe(false)
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
    expect(error && faultsOf(error, 0).faults.map(inEnglish.fault)).toEqual(['at least 0.000001'])
  })
})

const speakers = [
  [wordingIn(english, 'metric', refusing), /^(?!.*[Ii]nvalid)(?!.*undefined)(?!.*has no words).{3}/],
  [wordingIn(spanish, 'metric', refusingInSpanish), /^(?!.*undefined)(?!.*no sabe expresar)(?!.*en inglés).{2}/],
] as const

describe('what is expected is said in words of both languages', () => {
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
          for (const [wording, words] of speakers)
            expect([at, value, faultIn(wording, { expected })]).toEqual([at, value, expect.stringMatching(words)])
      }
    }
  })

  test('a choice without words of its own would be found', () => {
    const { error } = z.union([z.literal('*'), line(3)]).safeParse(1)
    const [fault = { expected: '' }] = error === undefined ? [] : faultsOf(error, 1).faults
    const said = speakers.map(([wording]) => faultIn(wording, fault))
    expect(said).toEqual(['Invalid input', '“Invalid input” (texto original en inglés)'])
  })
})
