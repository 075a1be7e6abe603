/** Two tiers: `npm test` runs a sample of what is large, `npm run test:all` the whole. */
const isWhole = process.env.WHOLE === 'yes'

export const cases = (whole: number, sampled: number) => (isWhole ? whole : sampled)
