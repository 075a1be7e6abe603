/** The fields of a body that nobody has checked yet: none where it is no object. */
export type Fields = Readonly<Record<string, unknown>>

export function fieldsOf(value: unknown): Fields {
  return typeof value === 'object' && value !== null ? (value as Fields) : {}
}
