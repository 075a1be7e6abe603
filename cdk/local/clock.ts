/** The settable clock. It runs on by itself, and threads that run functions share it. */
export interface SettableClock {
  readonly now: () => number
  readonly set: (instant: number) => void
  /** milliseconds between this clock and the real one, readable from other threads */
  readonly shared: SharedArrayBuffer
}

export function settableClock(start?: number): SettableClock {
  const shared = new SharedArrayBuffer(8)
  const ahead = new BigInt64Array(shared)
  const set = (instant: number) => {
    Atomics.store(ahead, 0, BigInt(Math.round(instant - Date.now())))
  }
  if (start !== undefined) set(start)
  return { now: () => Date.now() + Number(Atomics.load(ahead, 0)), set, shared }
}

/** An instant with its offset; a bare local time would mean another instant on every machine. */
export function parseInstant(text: unknown): number | undefined {
  if (typeof text !== 'string') return undefined
  if (!/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:\d{2})$/.test(text)) return undefined
  const instant = Date.parse(text)
  // Date.parse rolls 31 February over into March
  const [year, month, day] = text.slice(0, 10).split('-').map(Number) as [number, number, number]
  const daysInMonth = new Date(Date.UTC(year, month, 0)).getUTCDate()
  return Number.isNaN(instant) || day > daysInMonth ? undefined : instant
}
