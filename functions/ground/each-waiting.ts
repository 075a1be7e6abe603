/** Long work that waits for its run, of every organisation. */
import { describe, log } from './log.ts'

interface Work<Waiting> {
  /** answers how many sticks were written */
  readonly work: (one: Waiting) => Promise<number>
  /** a sentence for the log of work that failed, and what names it there */
  readonly trouble: string
  readonly named: (one: Waiting) => Readonly<Record<string, string>>
}

/** Work that fails keeps no other waiting. `mayGoOn` is asked before each: what is left waits for the next run. */
export async function eachWaiting<Waiting>(
  all: readonly Waiting[],
  mayGoOn: () => boolean,
  { work, trouble, named }: Work<Waiting>,
): Promise<{ readonly sticks: number; readonly failed: boolean }> {
  let sticks = 0
  let failed = false
  for (const one of all) {
    if (!mayGoOn()) break
    try {
      sticks += await work(one)
    } catch (error) {
      failed = true
      log('error', trouble, { ...named(one), trouble: describe(error) })
    }
  }
  return { sticks, failed }
}
