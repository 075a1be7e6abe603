/** The parts that must be closed again, last opened first, however far the opening came. */
export interface Closers {
  readonly add: (close: () => unknown) => void
  readonly closeAll: () => Promise<void>
}

export function closers(): Closers {
  const open: (() => unknown)[] = []
  let closed: Promise<void> | undefined

  const quietly = async (close: () => unknown) => {
    try {
      await close()
    } catch {
      // a part that fails to close keeps no other from closing
    }
  }

  async function closeInTurn(): Promise<void> {
    for (let next = open.pop(); next !== undefined; next = open.pop()) await quietly(next)
  }

  return {
    add: (close) => {
      if (closed === undefined) open.push(close)
      else void quietly(close)
    },
    closeAll: () => (closed ??= closeInTurn()),
  }
}
