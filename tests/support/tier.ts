/** Two tiers: `npm test` runs a sample of what is large, `npm run test:all` the whole. */
const isWhole = process.env.WHOLE === 'yes'

export const cases = (whole: number, sampled: number) => (isWhole ? whole : sampled)

/** How often a property is tried: fewer only where the suite runs once for each of many mutants. */
export const tries = (most: number) => Math.min(most, Number(process.env.PROPERTY_RUNS ?? most))
