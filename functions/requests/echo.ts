/** Values that came, told back: each is cut to what is needed to find it. */

const longestEcho = 200

/** A whole survey is not echoed back, nor anything else of its size or depth. */
export function brief(value: unknown): unknown {
  if (typeof value === 'string') return cutText(value, longestEcho)
  if (value === null || typeof value !== 'object') return Number.isFinite(value) ? value : (wordFor(value) ?? null)
  const text = beginningOf(value, longestEcho)
  return text.length > longestEcho ? cutText(text, longestEcho) : value
}

/** JSON writes a number beyond its own range as nothing at all. */
function wordFor(value: unknown): unknown {
  return typeof value === 'number' ? 'a number too large to be read' : value
}

/** The beginning of the value's JSON, up to so many letters and a little more. The value is not walked beyond them. */
function beginningOf(value: unknown, room: number): string {
  if (typeof value === 'string') return JSON.stringify(cutText(value, room))
  if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? 'null'
  const isList = Array.isArray(value)
  let text = isList ? '[' : '{'
  for (const name of Object.keys(value)) {
    if (text.length > room) return text
    const inner = beginningOf((value as Record<string, unknown>)[name], room - text.length)
    text += `${text.length > 1 ? ',' : ''}${isList ? '' : `${JSON.stringify(cutText(name, room))}:`}${inner}`
  }
  return text + (isList ? ']' : '}')
}

/** The text, cut where it is too long, and never between the halves of one letter. */
export function cutText(text: string, most: number): string {
  return text.length <= most ? text : `${text.slice(0, most).replace(/[\uD800-\uDBFF]$/, '')}…`
}
