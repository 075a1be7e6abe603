/** A list cut where an answer would grow too large, with the cursor to go on from. */
import * as z from 'zod'
import { invalid } from '../ground/errors.ts'

/** A function may answer 6 MB; what frames the list is left some room. */
const mostBytes = 4_000_000

export const listCursor = z.string().max(400)

/** `keyOf` sorts as the list does, and is different for each. */
export function cut<Item>(
  items: readonly Item[],
  keyOf: (item: Item) => string,
  show: (item: Item) => unknown,
  cursor: string | undefined,
): { readonly items: unknown[]; readonly next: string | null } {
  const after = cursor === undefined ? '' : keyFrom(cursor)
  const left = items.filter((item) => keyOf(item) > after)
  const shown: unknown[] = []
  let bytes = 0
  for (const item of left) {
    const one = show(item)
    bytes += Buffer.byteLength(JSON.stringify(one))
    if (shown.length > 0 && bytes > mostBytes) break
    shown.push(one)
  }
  const last = left[shown.length - 1]
  const isAll = shown.length === left.length
  return { items: shown, next: isAll || last === undefined ? null : Buffer.from(keyOf(last)).toString('base64url') }
}

function keyFrom(cursor: string): string {
  const key = Buffer.from(cursor, 'base64url').toString()
  if (/^[\w.:#-]{1,200}$/.test(key)) return key
  throw invalid({ pointer: '/cursor', came: cursor, expected: 'the `next` of an earlier answer' })
}
