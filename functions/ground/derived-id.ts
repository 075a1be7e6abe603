/** Ids that follow from others, so that the same thing done twice has the same ones. */
import { createHash } from 'node:crypto'

/**
 * The id is the same whenever it is asked for, so that what is sent twice is recorded once: RFC 9562, 5.8, by our own
 * hash.
 */
export function idFrom(...names: readonly string[]): string {
  const hex = createHash('sha256').update(names.join(' ')).digest('hex')
  const variant = ((Number.parseInt(hex[16] ?? '0', 16) & 3) | 8).toString(16)
  const part = (from: number, to: number) => hex.slice(from, to)
  return `${part(0, 8)}-${part(8, 12)}-8${part(13, 16)}-${variant}${part(17, 20)}-${part(20, 32)}`
}
