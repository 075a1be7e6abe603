/** Walks the schemas of the API's own routes, so that a test can look at every place of every body and question. */
import * as z from 'zod'
import { routes } from '../../functions/requests/routes.ts'

/** Schemas of requests, by their routes: `PUT /v1/depots/:id body`. */
export function requestSchemas(): [name: string, schema: z.ZodType][] {
  return routes.flatMap(({ method, path, body, query }) => [
    ...(body === undefined ? [] : [[`${method} ${path} body`, body as z.ZodType] as [string, z.ZodType]]),
    ...(query === undefined ? [] : [[`${method} ${path} query`, query] as [string, z.ZodType]]),
  ])
}

type Named = [name: string, inner: z.ZodType]
/** Parts of a schema as the library keeps them: each type has some of these. */
interface Definition {
  readonly shape: Record<string, z.ZodType>
  readonly element: z.ZodType
  readonly items: readonly z.ZodType[]
  readonly options: readonly z.ZodType[]
  readonly keyType: z.ZodType
  readonly valueType: z.ZodType
  readonly out: z.ZodType
  readonly innerType: z.ZodType
  readonly getter: () => z.ZodType
}
type Parts = (def: Definition) => Named[]

const none: Parts = () => []
const inner: Parts = ({ innerType }) => [['', innerType]]

/** Inner schemas of each type that a request is made of. */
const parts: { readonly [type: string]: Parts | undefined } = {
  object: ({ shape }) => Object.entries(shape),
  array: ({ element }) => [['*', element]],
  tuple: ({ items }) => Object.entries(items),
  union: ({ options }) => Object.entries(options).map(([i, option]) => [`option ${i}`, option]),
  record: ({ keyType, valueType }) => [
    ['name', keyType],
    ['*', valueType],
  ],
  lazy: ({ getter }) => [['', getter()]],
  pipe: ({ out }) => [['', out]],
  ...{ optional: inner, nullable: inner, default: inner },
  ...{ string: none, number: none, boolean: none, enum: none, literal: none },
  // read through by the schema of its kind, once that is known
  unknown: none,
}

/** The schemas one level down, each with its name there. */
export function within(schema: z.ZodType): Named[] {
  const known = parts[schema.type]
  if (known === undefined) throw new Error(`a schema of the type ${schema.type} is new here: say what is within it`)
  return known((schema as unknown as { def: Definition }).def)
}

/** The schema and all within it, each with the way there. */
export function everySchema(schema: z.ZodType, at = ''): [at: string, schema: z.ZodType][] {
  return [
    [at, schema],
    ...within(schema).flatMap(([name, inner]) => everySchema(inner, name === '' ? at : `${at}/${name}`)),
  ]
}

export interface Bounds {
  readonly minimum?: number
  readonly maximum?: number
  readonly minItems?: number
  readonly maxItems?: number
  readonly maxLength?: number
  readonly pattern?: string
  readonly format?: string
  readonly propertyNames?: { readonly enum?: readonly string[] }
  readonly additionalProperties?: unknown
}

/** Bounds as the API document states them. */
export function boundsOf(schema: z.ZodType): Bounds {
  const made = z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' })
  const { $ref, $defs } = made as { $ref?: string; $defs?: Record<string, Bounds> }
  return $ref === undefined ? (made as Bounds) : ($defs?.[$ref.replace('#/$defs/', '')] ?? {})
}
