/** The reasons against a test in the order in which people are to read them. */
import type { Reason } from '../reason.ts'
import type { Judgement } from './judge.ts'

/** Reasons that were measured against the stick stand before what is in doubt or left out. */
const ranks: { readonly [code: string]: number } = {
  'withstand-failed': 0,
  'reading-over-limit': 1,
  'reading-in-guard-band': 2,
  'open-defect': 3,
  'gloss-lost': 3,
}
const lastRank = 4

/** The governing reading first, then those of its state by what they read, then those of the other state. */
export function worstFirst({ reasons, worst }: Pick<Judgement, 'reasons' | 'worst'>): Reason[] {
  const rank = ({ code }: Reason) => ranks[code] ?? lastRank
  const isWorst = (one: Reason) =>
    worst !== null && (Object.keys(worst) as (keyof typeof worst)[]).every((key) => one[key] === worst[key])
  const away = (one: Reason) => (isWorst(one) ? 0 : one.state === worst?.state ? 1 : 2)
  const readings = (one: Reason) => (rank(one) === 1 || rank(one) === 2 ? one.leakageMicroamps : undefined)
  return [...reasons].sort(
    (a, b) =>
      rank(a) - rank(b) ||
      (readings(a) === undefined ? 0 : away(a) - away(b) || (readings(b) ?? 0) - (readings(a) ?? 0)),
  )
}
