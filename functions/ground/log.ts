/**
 * Writes one line of JSON an event; never the body of a fact or an address. Services name addresses in what they say
 * went wrong, as SES does of one that is not verified.
 */
export function log(level: 'info' | 'error', event: string, details: Record<string, unknown> = {}): void {
  const plain = (_: string, value: unknown) => (typeof value === 'string' ? withoutAddresses(value) : value)
  console[level](JSON.stringify({ level, event, ...details }, plain))
}

/** A package has an `@` in its path too, and no host after it. */
const withoutAddresses = (text: string): string =>
  text.replaceAll(/[^\s"<>()]+@[^\s"<>()/]*\.[^\s"<>()/]+/g, '(an address)')

export function describe(error: unknown): string {
  return error instanceof Error ? `${error.name}: ${error.message}` : String(error)
}
