/** A fault at one place of an input: where it is (RFC 6901 pointer), what came, and what would be right. */
export interface Fault {
  /** the part of the request that `pointer` leads into; the body where it is left out */
  readonly in?: 'path' | 'query'
  readonly pointer: string
  readonly came: unknown
  readonly expected: string
}
