/** A fault at one place of an input: where it is (RFC 6901 pointer), what came, and what would be right. */
export interface Fault {
  readonly pointer: string
  readonly came: unknown
  readonly expected: string
}
