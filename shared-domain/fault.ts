/** What is wrong with one place of an input: where (RFC 6901 pointer), what came, what would be right. */
export interface Fault {
  readonly pointer: string
  readonly came: unknown
  readonly expected: string
}
