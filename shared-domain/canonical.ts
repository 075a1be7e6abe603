/** A value as text by which equal values are told. */

/** JSON with its keys in order and absent values left out, so that equal bodies are equal text. */
export function canonical(value: unknown): string {
  return JSON.stringify(value, (_, inner) =>
    inner !== null && typeof inner === 'object' && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)))
      : inner,
  )
}
