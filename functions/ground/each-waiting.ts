/** Long work that waits for its run, of every organisation. */
interface Work<Waiting> {
  /** answers how many sticks were written */
  readonly work: (one: Waiting) => Promise<number>
  /** logs what failed, in the words by which operators know it */
  readonly failing: (one: Waiting, error: unknown) => void
}

/** Work that fails keeps no other waiting. `mayGoOn` is asked before each: what is left waits for the next run. */
export async function eachWaiting<Waiting>(
  all: readonly Waiting[],
  mayGoOn: () => boolean,
  { work, failing }: Work<Waiting>,
): Promise<{ readonly sticks: number; readonly failed: boolean }> {
  let sticks = 0
  let failed = false
  for (const one of all) {
    if (!mayGoOn()) break
    try {
      sticks += await work(one)
    } catch (error) {
      failed = true
      failing(one, error)
    }
  }
  return { sticks, failed }
}
