/** Two tiers: `npm test` runs a sample of what is large, `npm run test:all` the whole. */
import { createHash } from 'node:crypto'

const isWhole = process.env.WHOLE === 'yes'

export const cases = (whole: number, sampled: number) => (isWhole ? whole : sampled)

/** The tries of a property: fewer still where the suite runs once for each of many mutants. */
export const tries = (whole: number, sampled = whole) =>
  Math.min(cases(whole, sampled), Number(process.env.PROPERTY_RUNS ?? whole))

/**
 * The neighbours in a table that this commit's run takes, around its end too: the same for whoever runs the commit, and
 * in time all of them.
 */
export function sampled<T>(all: readonly T[], count: number): readonly T[] {
  if (isWhole || count >= all.length) return all
  const start =
    createHash('sha256')
      .update(process.env.COMMIT ?? '')
      .digest()
      .readUInt32LE(0) % all.length
  return [...all, ...all].slice(start, start + count)
}
