/** Every field that a column can hold has a name and a meaning in both languages, and every fault a sentence. */
import { expect, test } from 'vitest'
import { imports } from '../../../shared-domain/catalogue/en/imports.ts'
import { importsInSpanish } from '../../../shared-domain/catalogue/es/imports.ts'
import { importKinds } from '../../../shared-domain/import/choices.ts'
import { columnsOf, proposedMapping, unmapped } from '../../../shared-domain/import/columns.ts'
import { templates } from '../../../shared-domain/import/templates.ts'

const fields = importKinds.flatMap((kind) => Object.keys(columnsOf[kind]).map((field) => [kind, field] as const))

test.each(fields)('a field of %s has its name and its meaning: %s', (_, field) => {
  for (const words of [imports, importsInSpanish]) {
    expect(Object.keys(words)).toContain(`column ${field}`)
    expect(Object.keys(words)).toContain(`means ${field}`)
  }
})

test.each(Object.entries(templates))(
  'every heading of the template of %s is understood',
  (kind, { headings, example }) => {
    const mapping = proposedMapping(headings, kind as keyof typeof templates)
    expect(mapping).not.toContain(null)
    expect(unmapped(mapping, kind as keyof typeof templates)).toEqual([])
    expect(example).toHaveLength(headings.length)
  },
)
