/** Lists in forms, without a script: which rows are filled, and all fields of a form one after the other. */
import type { Field, FormPart, Rows, Typed } from './form.ts'

export type FlatField = Field & {
  /** the words on the row or the heading that the field stands under */
  readonly within?: string
}

/** Every field that is shown, those of all rows among them. */
export function flat(parts: readonly FormPart[], typed: Typed | null): FlatField[] {
  return parts.flatMap((part): FlatField[] => {
    if (part.kind === 'rows') return rowsOf(part, rowsShown(part, typed))
    if (part.kind !== 'group') return [part]
    return part.fields.map((field) => ({ ...field, within: part.legend }))
  })
}

/** The fields of the first so many rows. */
export function rowsOf({ name, row, each }: Rows, count: number): FlatField[] {
  return Array.from({ length: count }, (_, place) =>
    row(`${name}/${place}`, place).map((field) => ({ ...field, within: each(place + 1) })),
  ).flat()
}

export const rowsShown = (rows: Rows, typed: Typed | null) => rowsFilled(rows, typed) + rows.spare

/** Of a form that was sent, all rows that were brought together count. */
export function rowsFilled(rows: Rows, typed: Typed | null): number {
  return typed === null ? rows.filled : placesIn(rows, typed).length
}

function placesIn({ name }: Rows, typed: Typed): number[] {
  const places = Object.keys(typed).flatMap((key) => {
    const [place = ''] = key.startsWith(`${name}/`) ? key.slice(name.length + 1).split('/') : []
    return /^\d{1,4}$/.test(place) ? [Number(place)] : []
  })
  return [...new Set(places)].sort((a, b) => a - b)
}

/** Rows are brought together, so that what is wrong with a row of the body is shown at that row. */
export function broughtTogether(parts: readonly FormPart[], typed: Typed): Typed {
  return parts.reduce((all, part) => (part.kind === 'rows' ? withoutEmptyRows(part, all) : all), typed)
}

function withoutEmptyRows(rows: Rows, typed: Typed): Typed {
  const { name, row } = rows
  const others = Object.entries(typed).filter(([key]) => !key.startsWith(`${name}/`))
  const full = placesIn(rows, typed)
    .map((place) => row(`${name}/${place}`, place))
    .filter((fields) => fields.some((field) => field.kind !== 'kept' && isTyped(typed[field.name])))
  const moved = full.flatMap((fields, place) => {
    const there = row(`${name}/${place}`, place)
    return fields.flatMap((field, i) => {
      const [to, values] = [there[i]?.name, typed[field.name]]
      return to === undefined || values === undefined ? [] : [[to, values] as const]
    })
  })
  return Object.fromEntries([...others, ...moved])
}

const isTyped = (values: readonly string[] = []) => values.some((text) => text.trim() !== '')
