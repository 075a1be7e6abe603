/** Walks the schemas of the API's own routes, so that a test can look at every place of every body and question. */
import * as z from 'zod'
import { routes } from '../../functions/api/routes.ts'

/** What a request may hold, by its route: `PUT /v1/depots/:id body`. */
export function requestSchemas(): [name: string, schema: z.ZodType][] {
  return routes.flatMap(({ method, path, body, query }) => [
    ...(body === undefined ? [] : [[`${method} ${path} body`, body as z.ZodType] as [string, z.ZodType]]),
    ...(query === undefined ? [] : [[`${method} ${path} query`, query] as [string, z.ZodType]]),
  ])
}

/** The schemas one level down, each with its name there. */
export function within(schema: z.ZodType): [name: string, inner: z.ZodType][] {
  const { def } = schema as z.ZodAny & { def: Record<string, unknown> }
  const of = (inner: unknown) => inner as z.ZodType
  switch (schema.type) {
    case 'object':
      return Object.entries(def.shape as Record<string, z.ZodType>)
    case 'array':
      return [['*', of(def.element)]]
    case 'tuple':
      return (def.items as z.ZodType[]).map((item, i) => [String(i), item])
    case 'union':
      return (def.options as z.ZodType[]).map((option, i) => [`option ${i}`, option])
    case 'record':
      return [
        ['name', of(def.keyType)],
        ['*', of(def.valueType)],
      ]
    case 'optional':
    case 'nullable':
    case 'default':
      return [['', of(def.innerType)]]
    case 'pipe':
      return [['', of(def.out)]]
    case 'string':
    case 'number':
    case 'boolean':
    case 'enum':
    case 'literal':
      return []
    default:
      throw new Error(`a schema of the type ${schema.type} was not met before: say here what is within it`)
  }
}

/** Itself and all within it, each with the way there. */
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

/** As the API document says it. */
export function boundsOf(schema: z.ZodType): Bounds {
  const made = z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' })
  const { $ref, $defs } = made as { $ref?: string; $defs?: Record<string, Bounds> }
  return $ref === undefined ? (made as Bounds) : ($defs?.[$ref.replace('#/$defs/', '')] ?? {})
}
