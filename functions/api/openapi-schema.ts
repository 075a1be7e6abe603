/** Schemas as the document writes them. */
import * as z from 'zod'

/** Schemas that have a name of their own: each stands once in the document, and is referred to. */
export type NamedSchemas = Record<string, object>

export function schemaOf(schema: z.ZodType, io: 'input' | 'output', named: NamedSchemas): object {
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
