/**
 * Lists in pages: how many are asked for, the cursor to go on from, and a list cut where an answer would grow too
 * large.
 */
import * as z from 'zod'
import { expecting } from '../../shared-domain/fault.ts'
import { invalid } from '../ground/errors.ts'
import type { Request } from './request.ts'

const usualLimit = 200

export const pageFields = () => ({
  cursor: z.string().max(400).optional(),
  limit: z
    .string()
    .regex(/^([1-9]|[1-9]\d|1\d\d|200)$/, expecting({ is: 'right: a whole number from', from: 1, to: 200 }))
    .optional(),
})
export const pageQuery = z.lazy(() => z.strictObject(pageFields()))

/** The key to go on after, empty to begin; `isKey` knows what an earlier answer can have named. */
export function pageAsked(
  { cursor, limit }: Request['query'],
  isKey: (key: string) => boolean,
): { readonly after: string; readonly limit: number } {
  const most = Number(limit ?? usualLimit)
  if (cursor === undefined) return { after: '', limit: most }
  const after = Buffer.from(cursor, 'base64url').toString()
  if (isKey(after)) return { after, limit: most }
  throw invalid({
    in: 'query',
    pointer: '/cursor',
    came: cursor,
    expected: { is: 'right: next' },
  })
}

export function cursorTo(key: string): string
export function cursorTo(key: string | null): string | null
export function cursorTo(key: string | null): string | null {
  return key === null ? null : Buffer.from(key).toString('base64url')
}

/** The most bytes of a list. A function may answer 6 MB, and what frames the list is left some room. */
const mostBytes = 4_000_000

export interface Listed<Item> {
  readonly items: readonly Item[]
  /** key of an item: keys sort as the list does, and each item has another */
  readonly keyOf: (item: Item) => string
  readonly show: (item: Item) => unknown
}

/** One page of a list that was read whole. */
export function cut<Item>(
  { items, keyOf, show }: Listed<Item>,
  query: Request['query'],
): { readonly items: unknown[]; readonly next: string | null } {
  const { after, limit } = pageAsked(query, (key) => /^[^\s\p{C}]{1,300}$/u.test(key))
  const left = items.filter((item) => keyOf(item) > after)
  const shown: unknown[] = []
  let bytes = 0
  for (const item of left.slice(0, limit)) {
    const one = show(item)
    bytes += Buffer.byteLength(JSON.stringify(one))
    if (shown.length > 0 && bytes > mostBytes) break
    shown.push(one)
  }
  const last = left[shown.length - 1]
  const isAll = shown.length === left.length
  return { items: shown, next: isAll || last === undefined ? null : cursorTo(keyOf(last)) }
}
