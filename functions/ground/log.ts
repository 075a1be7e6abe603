/** Writes one line of JSON an event; never the body of a fact or an address. */
export function log(level: 'info' | 'error', event: string, details: Record<string, unknown> = {}): void {
  console[level](JSON.stringify({ level, event, ...details }))
}

export function describe(error: unknown): string {
  return error instanceof Error ? `${error.name}: ${error.message}` : String(error)
}
