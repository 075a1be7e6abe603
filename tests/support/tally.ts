import { expect } from 'vitest'

/** A count of what a property saw of its subject: a property that saw too little of anything is no proof. */
export function tally<Kind extends string = string>(runs: number) {
  const seen = new Map<Kind, number>()
  return {
    count: (...kinds: readonly (Kind | false)[]) => {
      for (const kind of kinds) if (kind !== false) seen.set(kind, (seen.get(kind) ?? 0) + 1)
    },
    expectAtLeast: (share: number, ...kinds: readonly Kind[]) => {
      for (const kind of kinds) expect(seen.get(kind) ?? 0, kind).toBeGreaterThanOrEqual(Math.floor(share * runs))
    },
  }
}
